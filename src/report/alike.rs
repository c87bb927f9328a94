//! Rows of a table that may show the same thing: no clip can part them, whatever the camera.

use crate::table::{LightTable, Meaning, Shows, Stay, Timed};

/// Pairs of rows (indices) that fit one and the same light: every light that both name may do the same in both. Two
/// rows that name no light in common can be true at once and are pairs too.
pub(super) fn alike(table: &LightTable) -> Vec<(usize, usize)> {
    let rows = table.meanings.len();
    let pairs = (0..rows).flat_map(|a| (a + 1..rows).map(move |b| (a, b)));
    pairs
        .filter(|(a, b)| rows_alike(&table.meanings[*a], &table.meanings[*b]))
        .collect()
}

fn rows_alike(a: &Meaning, b: &Meaning) -> bool {
    a.shows.iter().all(|one| {
        b.shows
            .iter()
            .filter(|other| other.light == one.light)
            .all(|other| shows_alike(&one.shows, &other.shows))
    })
}

fn shows_alike(a: &Shows, b: &Shows) -> bool {
    match (a, b) {
        (Shows::Off, Shows::Off) => true,
        (Shows::Fixed(a), Shows::Fixed(b)) => a == b,
        (
            Shows::Flashing {
                colour: c1,
                period: p1,
                on_s: on1,
                group: g1,
                apart_s: a1,
            },
            Shows::Flashing {
                colour: c2,
                period: p2,
                on_s: on2,
                group: g2,
                apart_s: a2,
            },
        ) => {
            let apart = |apart: &Option<f64>, period: &Timed| {
                apart.map_or((0.0, f64::INFINITY), |seconds| {
                    span(&Timed { seconds, ..*period })
                })
            };
            c1 == c2 && g1 == g2 && timed(p1, p2) && meet(*on1, *on2) && meet(apart(a1, p1), apart(a2, p2))
        }
        (
            Shows::Alternating {
                colours: c1,
                each: e1,
            },
            Shows::Alternating {
                colours: c2,
                each: e2,
            },
        ) => timed(e1, e2) && turned(c1, c2, |a, b| a == b),
        (
            Shows::Breathing {
                colour: c1,
                period: p1,
            },
            Shows::Breathing {
                colour: c2,
                period: p2,
            },
        ) => c1 == c2 && timed(p1, p2),
        (Shows::Steps(a), Shows::Steps(b)) => turned(a, b, |a, b| a.0 == b.0 && timed(&a.1, &b.1)),
        (Shows::Sequence(a), Shows::Sequence(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| stays_alike(a, b))
        }
        _ => false,
    }
}

fn stays_alike(a: &Stay, b: &Stay) -> bool {
    meet(a.for_s, b.for_s) && shows_alike(&a.shows, &b.shows)
}

/// Equal cycles, wherever they start.
fn turned<T>(a: &[T], b: &[T], same: impl Fn(&T, &T) -> bool) -> bool {
    let from = |start: usize| b.iter().cycle().skip(start).take(b.len());
    a.len() == b.len() && (0..b.len()).any(|start| a.iter().zip(from(start)).all(|(a, b)| same(a, b)))
}

fn timed(a: &Timed, b: &Timed) -> bool {
    meet(span(a), span(b))
}

fn span(timed: &Timed) -> (f64, f64) {
    (
        timed.seconds * (1.0 - timed.within),
        timed.seconds * (1.0 + timed.within),
    )
}

fn meet(a: (f64, f64), b: (f64, f64)) -> bool {
    a.0 <= b.1 && b.0 <= a.1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::ColourName::{Blue, Red, White};
    use rstest::rstest;

    fn flashing(period_s: f64, within: f64, on_s: (f64, f64)) -> Shows {
        Shows::Flashing {
            colour: Red,
            period: Timed {
                seconds: period_s,
                within,
            },
            on_s,
            group: 1,
            apart_s: None,
        }
    }

    fn alternating(colours: &[crate::colour::ColourName]) -> Shows {
        Shows::Alternating {
            colours: colours.to_vec(),
            each: Timed {
                seconds: 0.2,
                within: 0.1,
            },
        }
    }

    #[rstest]
    // 1.0 s + 10 % = 1.1 s; 1.2 s - 10 % = 1.08 s: a lamp at 1.09 s is both.
    #[case(flashing(1.0, 0.1, (0.1, 0.9)), flashing(1.2, 0.1, (0.1, 0.9)), true)]
    // 1.0 s + 5 % = 1.05 s; 1.2 s - 5 % = 1.14 s: no lamp is both.
    #[case(flashing(1.0, 0.05, (0.1, 0.9)), flashing(1.2, 0.05, (0.1, 0.9)), false)]
    #[case(flashing(1.0, 0.1, (0.1, 0.2)), flashing(1.0, 0.1, (0.7, 0.8)), false)]
    #[case(alternating(&[Blue, White]), alternating(&[White, Blue]), true)]
    #[case(alternating(&[Blue, White, Red]), alternating(&[White, Blue, Red]), false)]
    #[case(Shows::Fixed(Red), Shows::Fixed(Blue), false)]
    #[case(Shows::Fixed(Red), Shows::Off, false)]
    #[case(Shows::Off, Shows::Off, true)]
    fn tells_what_one_lamp_can_do_at_once(#[case] a: Shows, #[case] b: Shows, #[case] expected: bool) {
        assert_eq!(shows_alike(&a, &b), expected);
        assert_eq!(shows_alike(&b, &a), expected, "order does not matter");
    }
}
