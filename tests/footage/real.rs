//! Real clips, where they are: against ffprobe, which is a reader of its own. They are not part of the project.

use std::path::Path;
use std::process::Command;

use lampwise::footage::Kind;

use crate::seen::{read, skipped};

#[test]
fn real_clips_agree_with_ffprobe() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/clips");
    let Ok(entries) = std::fs::read_dir(&folder) else {
        return skipped("no folder of real clips");
    };
    if Command::new("ffprobe").arg("-version").output().is_err() {
        return skipped("no ffprobe");
    }
    let is_footage = |path: &std::path::PathBuf| {
        path.extension().is_some_and(|name| {
            ["mp4", "mov", "gif", "jpg", "jpeg", "png", "webp"]
                .iter()
                .any(|n| name == *n)
        })
    };
    let mut checked = 0;
    for path in entries.map(|entry| entry.unwrap().path()).filter(is_footage) {
        let name = path.display();
        let (seen, summary) = read(&path).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(summary.frames, seen.len());
        if summary.kind == Kind::Photo {
            assert_eq!(seen.len(), 1);
            continue;
        }
        let truth = stamps_by_ffprobe(&path);
        assert_eq!(seen.len(), truth.len(), "{name}: frames");
        for (frame, truth_s) in seen.iter().zip(&truth) {
            // ffprobe prints microseconds.
            let shift_s = frame.time_s - (truth_s - truth[0]);
            assert!(
                shift_s.abs() < 1.5e-6,
                "{name}: {} s is off by {shift_s}",
                frame.time_s
            );
        }
        checked += 1;
    }
    assert!(checked > 0, "{}: holds no clip", folder.display());
}

fn stamps_by_ffprobe(path: &Path) -> Vec<f64> {
    let output = Command::new("ffprobe")
        .args([
            "-v",
            "error",
            "-select_streams",
            "v:0",
            "-show_entries",
            "frame=best_effort_timestamp_time",
        ])
        .args(["-of", "csv=p=0"])
        .arg(path)
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    text.lines()
        .filter_map(|line| line.split(',').next()?.parse().ok())
        .collect()
}
