//! What a light does, as somebody would say it on the phone.

use crate::report::words::list;
use crate::table::{Shows, Stay};

/// One phrase, without a full stop.
pub(super) fn phrase(shows: &Shows) -> String {
    match shows {
        Shows::Off => "dark all the time".to_owned(),
        Shows::Fixed(colour) => format!("lit {colour} all the time"),
        Shows::Flashing {
            colour,
            period,
            on_s,
            group: 1,
            ..
        } => format!(
            "flashes {colour}: {} lit, then dark; one flash every {}{}",
            span(*on_s),
            time(period.seconds),
            a_minute(period.seconds)
        ),
        Shows::Flashing {
            colour,
            period,
            on_s,
            group,
            apart_s,
        } => format!(
            "flashes {colour} {} and then pauses: {} lit each, {} from flash to flash, all of it every {}",
            times(*group),
            span(*on_s),
            time(apart_s.unwrap_or(period.seconds)),
            time(period.seconds)
        ),
        Shows::Alternating { colours, each } => {
            let names: Vec<String> = colours.iter().map(ToString::to_string).collect();
            format!(
                "changes from {} and round again without going dark, {} each",
                names.join(" to "),
                time(each.seconds)
            )
        }
        Shows::Breathing { colour, period } => format!(
            "swells and fades in {colour}, one breath every {}",
            time(period.seconds)
        ),
        Shows::Steps(steps) => {
            let states: Vec<String> = steps
                .iter()
                .map(|(colour, timed)| {
                    let state = colour.map_or_else(|| "dark".to_owned(), |colour| colour.to_string());
                    format!("{state} {}", time(timed.seconds))
                })
                .collect();
            format!("{}, and round again", list(&states, "then"))
        }
        Shows::Sequence(stays) => {
            let parts: Vec<String> = stays.iter().map(stay).collect();
            format!("first {}", parts.join("; after that "))
        }
    }
}

/// The same in a few words, for a list.
pub(super) fn brief(shows: &Shows) -> String {
    match shows {
        Shows::Off => "dark".to_owned(),
        Shows::Fixed(colour) => format!("lit {colour}"),
        Shows::Flashing {
            colour,
            period,
            group: 1,
            ..
        } => format!("flashes {colour}{}", a_minute(period.seconds)),
        Shows::Flashing { colour, group, .. } => format!("flashes {colour} {}, pauses", times(*group)),
        Shows::Alternating { colours, .. } => {
            let names: Vec<String> = colours.iter().map(ToString::to_string).collect();
            format!("changes {}", names.join(", "))
        }
        Shows::Breathing { colour, .. } => format!("swells and fades in {colour}"),
        Shows::Steps(steps) => {
            let names: Vec<&str> = steps
                .iter()
                .map(|(colour, _)| colour.map_or("dark", crate::colour::ColourName::as_str))
                .collect();
            format!("changes {}", names.join(", "))
        }
        Shows::Sequence(stays) => {
            let parts: Vec<String> = stays.iter().map(|stay| brief(&stay.shows)).collect();
            format!("first {}", parts.join(", then "))
        }
    }
}

fn stay(stay: &Stay) -> String {
    let (least_s, most_s) = stay.for_s;
    let how_long = if most_s.is_finite() {
        span(stay.for_s)
    } else {
        format!("{} or longer", time(least_s))
    };
    format!("{}, for {how_long}", phrase(&stay.shows))
}

fn times(count: u32) -> String {
    match count {
        2 => "twice".to_owned(),
        many => format!("{many} times"),
    }
}

fn a_minute(period_s: f64) -> String {
    let rate = (60.0 / period_s).round();
    if (10.0..=600.0).contains(&rate) {
        format!(" (about {rate} a minute)")
    } else {
        String::new()
    }
}

/// A range of seconds; one figure where it is narrow enough for people to call it one.
fn span((least_s, most_s): (f64, f64)) -> String {
    let middle_s = 0.5 * (least_s + most_s);
    if most_s - least_s <= 0.35 * middle_s {
        return format!("about {}", time(middle_s));
    }
    format!("{} to {}", time(least_s), time(most_s))
}

/// Seconds to two figures after the point, without idle noughts.
pub(super) fn time(seconds: f64) -> String {
    let (number, unit) = if seconds >= 120.0 {
        (seconds / 60.0, "min")
    } else {
        (seconds, "s")
    };
    format!("{} {unit}", (number * 100.0).round() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::ColourName::{Blue, Red, White};
    use crate::table::Timed;

    const fn timed(seconds: f64) -> Timed {
        Timed {
            seconds,
            within: 0.15,
        }
    }

    #[test]
    fn says_it_as_people_do() {
        let twice = Shows::Flashing {
            colour: Red,
            period: timed(2.5),
            on_s: (0.2125, 0.2875),
            group: 2,
            apart_s: Some(0.5),
        };
        assert_eq!(
            phrase(&twice),
            "flashes red twice and then pauses: about 0.25 s lit each, 0.5 s from flash to flash, all of it every 2.5 s"
        );
        let reset = Shows::Sequence(vec![
            Stay {
                shows: Shows::Alternating {
                    colours: vec![Blue, White],
                    each: timed(0.12),
                },
                for_s: (3.0, f64::INFINITY),
            },
            Stay {
                shows: Shows::Fixed(White),
                for_s: (2.0, 4.0),
            },
        ]);
        assert_eq!(
            phrase(&reset),
            "first changes from blue to white and round again without going dark, 0.12 s each, for 3 s or longer; \
             after that lit white all the time, for 2 s to 4 s"
        );
    }
}
