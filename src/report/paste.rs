//! What a light was seen to do, as a row of its table: ready to be pasted, for the author to name.

use crate::meaning::Shown;
use crate::table::LightTable;

use super::findings::Judged;

/// What was seen where no row fits, as a row; `None` where it is nothing that a table can say.
pub(super) fn proposed(judged: &Judged) -> Option<String> {
    let shown = &judged.reading.shown;
    (!shown.is_empty()).then(|| row(judged.table, shown))
}

/// A row that shows what was seen. Its id, kind and title are for the author to fill in.
fn row(table: &LightTable, shown: &[Shown]) -> String {
    let head = "[[meaning]]\nid    = \"unnamed\"\nkind  = \"other\"\ntitle = \"Not named yet\"\n";
    let mut text = head.to_owned();
    for shown in shown {
        let id = &table.lights[shown.light].id;
        text += &format!("shows.{id} = {}\n", shown.shows.written());
    }
    text.push_str("next  = [{ hand_on = \"Not named yet\" }]\n");
    text
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::colour::ColourName::{Blue, Red};
    use crate::table::{Shows, Timed, load, parse};

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
