//! What a light was seen to do, as a row of its table: ready to be pasted, for the author to name.

use crate::meaning::Shown;
use crate::table::{LightTable, Shows, Timed};

/// A row that shows what was seen. Its id, kind and title are for the author to fill in.
pub(super) fn row(table: &LightTable, shown: &[Shown]) -> String {
    let head = "[[meaning]]\nid    = \"unnamed\"\nkind  = \"other\"\ntitle = \"Not named yet\"\n";
    let mut text = head.to_owned();
    for shown in shown {
        let id = &table.lights[shown.light].id;
        text += &format!("shows.{id} = {}\n", form(&shown.shows));
    }
    text.push_str("next  = [{ hand_on = \"Not named yet\" }]\n");
    text
}

/// The right-hand side of `shows.…`.
fn form(shows: &Shows) -> String {
    match shows {
        Shows::Off => "\"off\"".to_owned(),
        Shows::Fixed(colour) => format!("{{ fixed = \"{colour}\" }}"),
        Shows::Flashing {
            colour,
            period,
            on_s,
            group,
            apart_s,
        } => {
            let groups = apart_s.filter(|_| *group > 1).map(|apart_s| {
                let apart = time(apart_s);
                format!(", group = {group}, apart = \"{apart}\"")
            });
            let on = time(0.5 * (on_s.0 + on_s.1));
            let period = timed(*period);
            let groups = groups.unwrap_or_default();
            format!("{{ flashing = \"{colour}\"{groups}, period = \"{period}\", on = \"{on}\" }}")
        }
        Shows::Alternating { colours, each } => {
            let colours: Vec<String> = colours.iter().map(|colour| format!("\"{colour}\"")).collect();
            format!(
                "{{ alternating = [{}], each = \"{}\" }}",
                colours.join(", "),
                timed(*each)
            )
        }
        Shows::Breathing { colour, period } => {
            format!("{{ breathing = \"{colour}\", period = \"{}\" }}", timed(*period))
        }
        Shows::Steps(steps) => {
            let step = |(colour, each): &(Option<_>, Timed)| {
                let colour = colour.map_or_else(|| "off".to_owned(), |colour| format!("{colour}"));
                format!("\"{colour} {}\"", timed(*each))
            };
            let steps: Vec<String> = steps.iter().map(step).collect();
            format!("{{ steps = [{}] }}", steps.join(", "))
        }
        Shows::Sequence(stays) => {
            let stays: Vec<String> = stays.iter().map(|stay| form(&stay.shows)).collect();
            format!("{{ sequence = [{}] }}", stays.join(", "))
        }
    }
}

fn timed(timed: Timed) -> String {
    time(timed.seconds)
}

fn time(seconds: f64) -> String {
    format!("{:.0} ms", 1000.0 * seconds)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::colour::ColourName::{Blue, Red};
    use crate::table::{load, parse};

    fn seconds(seconds: f64) -> Timed {
        Timed {
            seconds,
            within: 0.15,
        }
    }

    /// The text is read back by the table's own parser as what it was made from.
    #[test]
    fn a_pasted_row_is_read_as_what_was_seen() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/tables/orchard-valve.toml");
        let table = load(&path).unwrap().0;
        let on_s = (0.3 * 0.85, 0.3 * 1.15);
        let flashing = |group, apart_s| Shows::Flashing {
            colour: Red,
            period: seconds(2.4),
            on_s,
            group,
            apart_s,
        };
        for shows in [
            Shows::Off,
            Shows::Fixed(Blue),
            flashing(1, None),
            flashing(3, Some(0.55)),
            Shows::Alternating {
                colours: vec![Blue, Red],
                each: seconds(0.4),
            },
            Shows::Breathing {
                colour: Blue,
                period: seconds(3.1),
            },
            Shows::Steps(vec![
                (Some(Red), seconds(0.9)),
                (None, seconds(0.2)),
                (Some(Blue), seconds(0.3)),
                (None, seconds(0.5)),
            ]),
        ] {
            let shown = [Shown {
                light: 0,
                shows: shows.clone(),
            }];
            let head = "schema = 1\n[device]\nname = \"x\"\n[[light]]\nid = \"crown\"\nlabel = \"x\"\ncolours = [\"red\", \"blue\"]\n";
            let text = format!("{head}{}", row(&table, &shown));
            let read = parse("pasted.toml", &text).unwrap_or_else(|error| panic!("{text}\n{error:?}"));
            match (&read.meanings[0].shows[0].shows, &shows) {
                (
                    Shows::Flashing {
                        on_s: found,
                        period,
                        group,
                        apart_s,
                        ..
                    },
                    Shows::Flashing {
                        on_s,
                        period: wanted,
                        group: flashes,
                        apart_s: apart,
                        ..
                    },
                ) => {
                    assert!(
                        (found.0 - on_s.0).abs() < 1e-9 && (found.1 - on_s.1).abs() < 1e-9,
                        "{found:?}"
                    );
                    assert_eq!((period, group, apart_s), (wanted, flashes, apart));
                }
                (found, wanted) => assert_eq!(found, wanted),
            }
        }
    }
}
