//! What a light does, as it is written in a table.

use super::model::{Shows, Stay, Timed};
use super::shows::USUAL_WITHIN;

impl Shows {
    /// The value of `shows` in table syntax; times to three figures.
    #[must_use]
    pub fn written(&self) -> String {
        match self {
            Self::Off => "\"off\"".to_owned(),
            _ => format!("{{ {} }}", self.keys()),
        }
    }

    /// The keys and values between the braces.
    fn keys(&self) -> String {
        match self {
            Self::Off => "off = true".to_owned(),
            Self::Fixed(colour) => format!("fixed = \"{colour}\""),
            Self::Flashing {
                colour,
                period,
                on_s,
                group,
                apart_s,
            } => {
                let apart =
                    apart_s.map(|apart_s| format!(", group = {group}, apart = \"{}\"", time(apart_s)));
                format!(
                    "flashing = \"{colour}\", period = \"{}\", on = \"{}\"{}{}",
                    time(period.seconds),
                    time(0.5 * (on_s.0 + on_s.1)),
                    apart.unwrap_or_default(),
                    within(*period)
                )
            }
            Self::Alternating { colours, each } => {
                let colours: Vec<String> = colours.iter().map(|colour| format!("\"{colour}\"")).collect();
                format!(
                    "alternating = [{}], each = \"{}\"{}",
                    colours.join(", "),
                    time(each.seconds),
                    within(*each)
                )
            }
            Self::Breathing { colour, period } => {
                let length = time(period.seconds);
                format!(
                    "breathing = \"{colour}\", period = \"{length}\"{}",
                    within(*period)
                )
            }
            Self::Steps(steps) => {
                let written = steps.iter().map(|(colour, each)| {
                    let word = colour.map_or_else(|| "off".to_owned(), |colour| colour.to_string());
                    format!("\"{word} {}\"", time(each.seconds))
                });
                let written: Vec<String> = written.collect();
                let tolerance = steps.first().map(|(_, each)| within(*each)).unwrap_or_default();
                format!("steps = [{}]{tolerance}", written.join(", "))
            }
            Self::Sequence(stays) => {
                let stays: Vec<String> = stays.iter().map(stay).collect();
                format!("sequence = [{}]", stays.join(", "))
            }
        }
    }
}

fn stay(stay: &Stay) -> String {
    let (shortest_s, longest_s) = stay.for_s;
    let longest = if longest_s.is_finite() {
        time(longest_s)
    } else {
        String::new()
    };
    format!(
        "{{ {}, for = \"{}..{longest}\" }}",
        stay.shows.keys(),
        time(shortest_s)
    )
}

fn within(timed: Timed) -> String {
    if (timed.within - USUAL_WITHIN).abs() < 1e-9 {
        String::new()
    } else {
        format!(", within = \"{:.0} %\"", 100.0 * timed.within)
    }
}

/// To three figures or a millisecond.
fn time(seconds: f64) -> String {
    if seconds < 0.9995 {
        return format!("{:.0} ms", (seconds * 1000.0).max(1.0));
    }
    let places = if seconds < 10.0 { 2 } else { 1 };
    format!("{seconds:.places$} s")
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use crate::table::{load, looks_alike, parse};

    /// Every row of the shipped tables, written and read again by the table's own parser, looks as it did.
    #[test]
    fn what_is_written_is_read_as_what_it_was() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/tables");
        let mut rows = 0;
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|extension| extension != "toml") {
                continue;
            }
            let (table, _) = load(&path).unwrap();
            for show in table.meanings.iter().flat_map(|meaning| &meaning.shows) {
                let light = &table.lights[show.light];
                let colours: Vec<String> = light.colours.iter().map(|c| format!("\"{c}\"")).collect();
                let text = format!(
                    "schema = 1\n[device]\nname = \"x\"\n[[light]]\nid = \"l\"\nlabel = \"x\"\ncolours = [{}]\n\
                     [[meaning]]\nid = \"x\"\nkind = \"other\"\ntitle = \"x\"\nshows.l = {}\nnext = [{{ hand_on = \"x\" }}]\n",
                    colours.join(", "),
                    show.shows.written()
                );
                let read = parse("written.toml", &text)
                    .unwrap_or_else(|error| panic!("{text}\n{}", error.render(false)));
                let pattern = &read.meanings[0].shows[0].pattern;
                assert!(looks_alike(pattern, &show.pattern), "{text}{:?}", show.shows);
                rows += 1;
            }
        }
        assert!(rows > 30, "only {rows} rows were tried");
    }
}
