//! The period against a general-purpose periodogram's (`reference.py` says which, and how it was run).

use lampwise::colour::{D65, ReadFrom, name_colour};
use lampwise::light::Sighting;
use lampwise::trace::{Chroma, Rhythm, Sample, Tint, Trace, measure};

use crate::signal::rms;

/// One series of `series.csv` as a trace.
fn trace(case: usize) -> Trace {
    let mut reader = csv::Reader::from_reader(include_str!("series.csv").as_bytes());
    let points: Vec<(f64, f64)> = reader
        .deserialize::<(usize, f64, f64)>()
        .map(Result::unwrap)
        .filter(|row| row.0 == case)
        .map(|row| (row.1, row.2))
        .collect();
    let chroma = Chroma {
        u: D65.0,
        v: D65.1,
        sd: 0.003,
    };
    let samples = points
        .windows(2)
        .map(|pair| Sample {
            time_s: pair[0].0,
            span_s: pair[1].0 - pair[0].0,
            sighting: Sighting::Seen,
            level: pair[0].1,
            level_sd: 0.06,
            chroma: (pair[0].1 > 0.2).then_some(chroma),
            tint: (pair[0].1 > 0.2).then_some(0),
            turned: None,
        })
        .collect();
    let tints = vec![Tint {
        chroma,
        read_from: ReadFrom::CLEAN,
        names: name_colour(D65.0, D65.1, 0.003, ReadFrom::CLEAN),
        dominant_nm: None,
        purity: 0.0,
        share: 1.0,
    }];
    Trace {
        samples,
        tints,
        beat_hz: None,
        otherwise: None,
    }
}

/// Both look at the same series; the periodogram has an error of its own, so the truth is the judge.
#[test]
fn periods_are_no_worse_than_a_periodogram_s() {
    let mut reader = csv::Reader::from_reader(include_str!("reference.csv").as_bytes());
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for row in reader.deserialize::<(usize, f64, f64, f64, f64)>() {
        let (case, truth_s, _, _, peak_s) = row.unwrap();
        let measured = measure(&trace(case), 0.0);
        assert_eq!(measured.rhythm, Rhythm::Flashing, "case {case}");
        let period = measured.period_s.unwrap();
        println!("{case}: truth {truth_s}, periodogram {peak_s}, here {period:?}");
        assert!(
            (period.value - truth_s).abs() < 3.0 * period.sd,
            "case {case}: {period:?}"
        );
        ours.push(period.value / truth_s - 1.0);
        theirs.push(peak_s / truth_s - 1.0);
    }
    assert_eq!(ours.len(), 6);
    assert!(rms(&ours) < rms(&theirs), "{ours:?} {theirs:?}");
}
