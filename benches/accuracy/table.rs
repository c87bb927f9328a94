//! The judgements as one table, the totals beside their targets, and the misses.

use std::fmt::Write;

use super::effects::{EFFECTS, Strength};
use super::judge::{Colour, Judged};

/// Targets of the project.
const FOUND: f64 = 0.99;
const COLOUR: f64 = 0.98;
const PERIOD: f64 = 0.99;
const AWAY_UNSEEN: f64 = 0.95;

/// What the target for finding holds for: pictures of at least this height, pixels,
const FOUND_HEIGHT_PX: u32 = 720;
/// lamps of at least this radius, pixels,
const FOUND_RADIUS_PX: f64 = 3.0;
/// and a hand that shakes at most this much, root mean square, pixels.
const FOUND_SHAKE_PX: f64 = 40.0;

pub(crate) fn text(all: &[Judged], seed: u64) -> String {
    let mut text = format!(
        "{} rendered clips, seed {seed}\n\
         found: the first lamp lies within the true radius + 3 px (root mean square, frames with both in view)\n\
         the rest is judged of found lamps; period, rhythm and on-time where 5 cycles were in view\n\
         colour: right name first; +both: or a near pair with 20 % each; sure: wrong at 80 % or more\n\
         period: within 0.5 %; on-time: median error in ms, and within half an exposure + 10 ms\n\
         away: frames covered or outside that count as seen; seen: frames in view that count as seen\n\n",
        all.len()
    );
    line(&mut text, &HEADER.map(str::to_owned));
    let names = EFFECTS.iter().map(|effect| effect.name).chain(["mixed"]);
    for name in names {
        for strength in Strength::ALL {
            let rows: Vec<&Judged> = all
                .iter()
                .filter(|judged| judged.job.effect_name() == name && judged.job.strength == strength)
                .collect();
            if !rows.is_empty() {
                line(&mut text, &cells(&format!("{name}, {}", strength.word()), &rows));
            }
        }
    }
    for strength in Strength::ALL {
        let rows: Vec<&Judged> = all
            .iter()
            .filter(|judged| judged.job.strength == strength)
            .collect();
        line(&mut text, &cells(&format!("all, {}", strength.word()), &rows));
    }
    line(
        &mut text,
        &cells(
            "all through a file",
            &all.iter().filter(|judged| judged.job.in_file).collect::<Vec<_>>(),
        ),
    );
    let everything: Vec<&Judged> = all.iter().collect();
    line(&mut text, &cells("all", &everything));
    targets(&mut text, &everything);
    misses(&mut text, all);
    text
}

const HEADER: [&str; 11] = [
    "",
    "clips",
    "found",
    "colour",
    "+both",
    "sure",
    "rhythm",
    "period",
    "on-time ms",
    "away",
    "seen",
];

fn line(text: &mut String, cells: &[String; 11]) {
    let widths = [24, 5, 8, 8, 8, 4, 8, 8, 13, 10, 6];
    for (index, (cell, width)) in cells.iter().zip(widths).enumerate() {
        let written = if index == 0 {
            write!(text, "{cell:<width$}")
        } else {
            write!(text, " {cell:>width$}")
        };
        written.expect("text can grow");
    }
    let trimmed = text.trim_end_matches(' ').len();
    text.truncate(trimmed);
    text.push('\n');
}

fn cells(name: &str, rows: &[&Judged]) -> [String; 11] {
    let colours: Vec<Colour> = rows.iter().filter_map(|row| row.colour).collect();
    let sure = colours
        .iter()
        .filter(|colour| **colour == Colour::WrongAndSure)
        .count();
    let both = [Colour::Right, Colour::Both];
    [
        name.to_owned(),
        rows.len().to_string(),
        Share::of(rows.iter().map(|row| row.found)).to_string(),
        Share::of(colours.iter().map(|colour| *colour == Colour::Right)).to_string(),
        Share::of(colours.iter().map(|colour| both.contains(colour))).to_string(),
        sure.to_string(),
        Share::of(rows.iter().filter_map(|row| row.rhythm_right)).to_string(),
        Share::of(rows.iter().filter_map(|row| row.period_right)).to_string(),
        on_time(rows),
        away(rows).map_or("-".to_owned(), |(seen, all)| format!("{seen}/{all}")),
        percent(sum(rows, |row| row.in_view.1), sum(rows, |row| row.in_view.0)),
    ]
}

/// So many of so many.
struct Share(usize, usize);

impl Share {
    fn of(right: impl Iterator<Item = bool>) -> Self {
        right.fold(Self(0, 0), |share, right| {
            Self(share.0 + usize::from(right), share.1 + 1)
        })
    }
}

impl std::fmt::Display for Share {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.1 == 0 {
            f.pad("-")
        } else {
            f.pad(&format!("{}/{}", self.0, self.1))
        }
    }
}

fn on_time(rows: &[&Judged]) -> String {
    let mut offs: Vec<f64> = rows
        .iter()
        .filter_map(|row| row.on_off_s)
        .map(|(off_s, _)| off_s)
        .collect();
    if offs.is_empty() {
        return "-".to_owned();
    }
    offs.sort_by(f64::total_cmp);
    let within = Share::of(
        rows.iter()
            .filter_map(|row| row.on_off_s)
            .map(|(off_s, most_s)| off_s <= most_s),
    );
    format!("{:.0} {within}", 1e3 * offs[offs.len() / 2])
}

/// Frames away that count as seen, and all frames away, if there are any.
fn away(rows: &[&Judged]) -> Option<(usize, usize)> {
    let all = sum(rows, |row| row.away.0);
    (all > 0).then(|| (sum(rows, |row| row.away.1), all))
}

fn sum(rows: &[&Judged], count: impl Fn(&Judged) -> usize) -> usize {
    rows.iter().map(|row| count(row)).sum()
}

fn percent(part: usize, whole: usize) -> String {
    if whole == 0 {
        "-".to_owned()
    } else {
        format!("{:.1} %", 100.0 * part as f64 / whole as f64)
    }
}

fn targets(text: &mut String, rows: &[&Judged]) {
    let in_scope = rows.iter().filter(|row| {
        let recipe = &row.job.recipe;
        recipe.width_px.min(recipe.height_px) >= FOUND_HEIGHT_PX
            && recipe.lamps[0].radius_px >= FOUND_RADIUS_PX
            && recipe.hand.shake_rms_px <= FOUND_SHAKE_PX
    });
    let found = Share::of(in_scope.map(|row| row.found));
    let colours = || rows.iter().filter_map(|row| row.colour);
    let first = Share::of(colours().map(|colour| colour == Colour::Right));
    let both = Share::of(colours().map(|colour| colour == Colour::Right || colour == Colour::Both));
    let period = Share::of(rows.iter().filter_map(|row| row.period_right));
    let (seen, all) = away(rows).unwrap_or((0, 0));
    let never_dark = Share::of(
        rows.iter()
            .filter(|row| row.away.0 > 0)
            .map(|row| row.dark_away == 0),
    );
    text.push('\n');
    let lines = [
        ("found (720p, radius >= 3 px, shake <= 40 px)", found, FOUND),
        ("colour, right name first", first, COLOUR),
        ("colour, right or honestly both", both, COLOUR),
        ("period within 0.5 %", period, PERIOD),
        (
            "frames away that do not count as seen",
            Share(all - seen, all),
            AWAY_UNSEEN,
        ),
        ("clips without a frame dark while away", never_dark, AWAY_UNSEEN),
    ];
    for (name, Share(right, all), target) in lines {
        let share = right as f64 / all as f64;
        let verdict = match (all, share >= target) {
            (0, _) => "nothing to judge",
            (_, true) => "met",
            (_, false) => "MISS",
        };
        let figure = percent(right, all);
        writeln!(
            text,
            "{name:<46} {figure:>8} of {all:<6} target {:.0} %: {verdict}",
            100.0 * target
        )
        .expect("text can grow");
    }
    promised(text, rows);
}

/// Whether periods are as exact as they say, and as their frames tell: few changes, each known to a part of a frame, leave no
/// more.
fn promised(text: &mut String, rows: &[&Judged]) {
    let of = |told: bool| {
        let asked = rows.iter().filter(move |row| row.period_told == Some(told));
        Share::of(asked.filter_map(|row| row.period_right))
    };
    let (told, open) = (of(true), of(false));
    writeln!(
        text,
        "periods whose frames leave no more than 0.5 % open to whoever looks: {told} ({}) right; those that leave more: {open}",
        percent(told.0, told.1),
    )
    .expect("text can grow");
    let given = || rows.iter().filter(|row| row.period_promised.is_some());
    let count = given().count();
    if count == 0 {
        return;
    }
    let promised = given().filter_map(|row| row.period_promised).sum::<f64>() / count as f64;
    let right = Share::of(given().filter_map(|row| row.period_right));
    writeln!(
        text,
        "periods given: {right} within 0.5 %; by their own stated deviations {:.1} % should be",
        100.0 * promised
    )
    .expect("text can grow");
    let mut off_by: Vec<f64> = rows.iter().filter_map(|row| row.period_off_by).collect();
    off_by.sort_by(f64::total_cmp);
    let within = |deviations: f64| Share::of(off_by.iter().map(|off| off.abs() <= deviations));
    let (one, two) = (within(1.0), within(2.0));
    writeln!(
        text,
        "their errors in stated deviations: median {:+.2}; within one {one} (of normal errors 68 %), within two {two} (95 %)",
        off_by[count / 2],
    )
    .expect("text can grow");
}

fn misses(text: &mut String, all: &[Judged]) {
    text.push_str(
        "\nMisses, by clip (see one again: cargo bench --bench accuracy -- --only INDEX --save FILE):\n",
    );
    for judged in all.iter().filter(|judged| !judged.wrong.is_empty()) {
        let job = &judged.job;
        writeln!(
            text,
            "{:>5} {} ({} high): {}",
            job.index,
            job.title(),
            job.recipe.height_px,
            judged.wrong.join("; ")
        )
        .expect("text can grow");
    }
}
