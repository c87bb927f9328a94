//! The judgements as tables beside their targets, and the misses.

use std::fmt::Write;

use lampwise::light::Sighting;
use lampwise::meaning::{Outcome, Reading};
use lampwise::table::LightTable;

use super::judge::{Judged, Verdict};
use super::keep::Candidate;
use super::plan::Kind;
use super::tables::Listed;

const VERDICTS: [(Verdict, &str); 6] = [
    (Verdict::Right, "right"),
    (Verdict::Wrong, "wrong"),
    (Verdict::Open, "open"),
    (Verdict::Lost, "lost"),
    (Verdict::Unheard, "unheard"),
    (Verdict::Unseen, "unseen"),
];

pub(crate) fn text(tables: &[Listed], all: &[Judged], seed: u64) -> String {
    let mut text = format!(
        "{} rendered clips read under {} tables, seed {seed}\n\
         right: what the clip is for was said (too short: undecided or unseen; alike: asked); wrong: another row decided\n\
         open: undecided, the truth among the rivals; lost: undecided without it; unheard: called in no row\n\n",
        all.len(),
        tables.len()
    );
    write!(text, "{:34}{:>6}", "easy and medium clips", "clips").expect("memory");
    for (_, word) in VERDICTS {
        write!(text, "{word:>9}").expect("memory");
    }
    text.push('\n');
    let counting: Vec<&Judged> = all.iter().filter(|judged| judged.counts()).collect();
    for (index, listed) in tables.iter().enumerate() {
        for (kind, word) in Kind::ALL {
            let rows = counting
                .iter()
                .copied()
                .filter(|judged| judged.job.table == index && judged.job.kind == kind);
            line(
                &mut text,
                &format!("{}, {word}", listed.name),
                rows.collect(),
                tables,
            );
        }
    }
    for (kind, word) in Kind::ALL {
        let rows = counting.iter().copied().filter(|judged| judged.job.kind == kind);
        line(&mut text, &format!("all, {word}"), rows.collect(), tables);
    }
    for (kind, word) in Kind::ALL {
        let rows = all
            .iter()
            .filter(|judged| !judged.counts() && judged.job.kind == kind);
        line(&mut text, &format!("brutal, {word}"), rows.collect(), tables);
    }
    targets(&mut text, &counting, tables);
    let mut times: Vec<f64> = all.iter().map(|judged| judged.seconds).collect();
    times.sort_by(f64::total_cmp);
    let at = |share: f64| 1000.0 * times[((times.len() - 1) as f64 * share) as usize];
    let longest = all.iter().max_by(|a, b| a.seconds.total_cmp(&b.seconds));
    writeln!(
        text,
        "inference: median {:.0} ms, 95 % {:.0} ms, longest {:.0} ms a clip (clip {})",
        at(0.5),
        at(0.95),
        at(1.0),
        longest.map_or(0, |judged| judged.job.index)
    )
    .expect("memory");
    text
}

fn line(text: &mut String, name: &str, rows: Vec<&Judged>, tables: &[Listed]) {
    if rows.is_empty() {
        return;
    }
    write!(text, "{name:34}{:6}", rows.len()).expect("memory");
    for (verdict, _) in VERDICTS {
        write!(text, "{:9}", count(&rows, verdict, tables)).expect("memory");
    }
    text.push('\n');
}

fn count(rows: &[&Judged], verdict: Verdict, tables: &[Listed]) -> usize {
    rows.iter()
        .filter(|judged| judged.verdict(tables) == verdict)
        .count()
}

fn targets(text: &mut String, all: &[&Judged], tables: &[Listed]) {
    let of = |kinds: &[Kind], verdict: Verdict| {
        let rows: Vec<&Judged> = all
            .iter()
            .copied()
            .filter(|judged| kinds.contains(&judged.job.kind))
            .collect();
        100.0 * count(&rows, verdict, tables) as f64 / rows.len().max(1) as f64
    };
    let listed = [Kind::Listed, Kind::Cut, Kind::Change];
    let mut target = |what: &str, found: f64, held: bool, wanted: &str| {
        let mark = if held { "ok  " } else { "MISS" };
        writeln!(text, "{mark} {what:46} {found:6.2} %   target {wanted}").expect("memory");
    };
    let rows: Vec<&Judged> = all
        .iter()
        .copied()
        .filter(|judged| listed.contains(&judged.job.kind))
        .collect();
    let lights = |judged: &Judged| tables[judged.job.table].table.lights.len();
    let found: Vec<&Judged> = rows
        .iter()
        .copied()
        .filter(|judged| judged.all_found(lights(judged)))
        .collect();
    let share = 100.0 * count(&found, Verdict::Right, tables) as f64 / found.len().max(1) as f64;
    let lost = rows.len() - found.len();
    target(
        &format!("rows read rightly, but for {lost} with a lamp lost"),
        share,
        share >= 98.0,
        ">= 98",
    );
    let right = of(&listed, Verdict::Right);
    target("rows read rightly", right, right >= 98.0, ">= 98");
    let wrong = of(&listed, Verdict::Wrong);
    target("rows decided as another", wrong, wrong <= 0.5, "<= 0.5");
    let other = [Verdict::Lost, Verdict::Unheard, Verdict::Unseen]
        .map(|verdict| of(&listed, verdict))
        .iter()
        .sum::<f64>();
    target("neither right nor open", other, other <= 0.0, "0");
    let unlisted = of(&[Kind::Unlisted], Verdict::Right);
    target("in no row, and called so", unlisted, unlisted >= 95.0, ">= 95");
    let decided = of(&[Kind::Unlisted], Verdict::Wrong);
    target("in no row, and decided", decided, decided <= 1.0, "<= 1");
    let short = of(&[Kind::Short], Verdict::Right);
    let nothing = of(&[Kind::Nothing], Verdict::Wrong);
    target("no light, and decided", nothing, nothing <= 0.5, "<= 0.5");
    target("too short, and undecided", short, short >= 95.0, ">= 95");
}

pub(crate) fn misses(tables: &[Listed], all: &[Judged]) -> String {
    let mut text = String::from("\nNot right:\n");
    for judged in all {
        let verdict = judged.verdict(tables);
        if verdict == Verdict::Right {
            continue;
        }
        let job = &judged.job;
        let listed = &tables[job.table];
        let row = job
            .row
            .map_or("in no row", |row| listed.table.meanings[row].id.as_str());
        writeln!(
            text,
            "{:?} clip {}: {}, {}: {row} ({}; {}, {}) {:.1} s at {:.0}/s\n      {}",
            verdict,
            job.index,
            listed.name,
            job.kind.word(),
            if job.pointed { "pointed" } else { "found" },
            job.filmed.effect,
            job.filmed.strength.word(),
            job.recipe.seconds,
            job.recipe.timing.frames_per_s,
            in_short(&listed.table, &judged.reading)
        )
        .expect("memory");
        writeln!(
            text,
            "      identity {:.3}, unlisted {:.3}, doubts {:?}",
            judged.identity, judged.reading.unlisted, judged.reading.doubts
        )
        .expect("memory");
        if job.row.is_none() || judged.reading.outcome == Outcome::Unlisted || verdict == Verdict::Wrong {
            writeln!(
                text,
                "      shown {:?}",
                job.recipe
                    .lamps
                    .iter()
                    .map(|lamp| &lamp.shows)
                    .collect::<Vec<_>>()
            )
            .expect("memory");
        }
        if !judged.reading.shown.is_empty() {
            writeln!(text, "      proposed {:?}", judged.reading.shown).expect("memory");
        }
        for (index, found) in judged.seen.iter().enumerate() {
            let light = judged.lamp_of_light.iter().position(|lamp| *lamp == Some(index));
            writeln!(text, "      {}", describe(found, light)).expect("memory");
        }
    }
    text
}

/// What a reading says, in short.
fn in_short(table: &LightTable, reading: &Reading) -> String {
    let id = |row: usize| table.meanings[row].id.as_str();
    let what = match reading.outcome {
        Outcome::Decided { row } => format!("decided {}", id(row)),
        other => format!("{other:?}").to_lowercase(),
    };
    let rivals: Vec<String> = reading
        .rivals
        .iter()
        .take(3)
        .map(|rival| format!("{} {:.2}", id(rival.row), rival.probability))
        .collect();
    let timeline: Vec<String> = reading
        .timeline
        .iter()
        .map(|episode| {
            format!(
                "{:.1}-{:.1} {}",
                episode.from_s,
                episode.to_s,
                episode.row.map_or("?", id)
            )
        })
        .collect();
    format!(
        "{what} {:.3} {rivals:?} {:?} {timeline:?}",
        reading.confidence, reading.settle
    )
}

fn describe(found: &Candidate, light: Option<usize>) -> String {
    let samples = &found.trace.samples;
    let mut course = String::new();
    for sample in samples.iter().step_by(samples.len().div_ceil(150).max(1)) {
        let letter =
            |first: u8| char::from(first + sample.tint.map_or(25, |tint| u8::try_from(tint).unwrap_or(24)));
        course.push(match (sample.sighting, sample.level) {
            (Sighting::Seen, level) if level > 0.75 => letter(b'A'),
            (Sighting::Seen, level) if level > 0.25 => letter(b'a'),
            (Sighting::Seen, _) => '_',
            _ => '?',
        });
    }
    let names: Vec<String> = found
        .trace
        .tints
        .iter()
        .map(|tint| {
            let ranked = tint.names.ranked();
            format!(
                "{} {:.2}/{} {:.2}",
                ranked[0].0, ranked[0].1, ranked[1].0, ranked[1].1
            )
        })
        .collect();
    let light = light.map_or_else(|| "-".to_owned(), |light| light.to_string());
    format!("light {light}: score {:.2} {course} {names:?}", found.score)
}
