//! The page. Everything that comes from the table goes through maud, which escapes it.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::course::{Stretch, course};
use super::flashes::{MOST_A_SECOND, most_in_a_second};
use super::motion::{key_frames, screen};
use super::phrase::{brief, phrase};
use super::strip::{hatchings, strip};
use crate::colour::ColourName;
use crate::report::strip::letter;
use crate::table::{LightTable, Meaning, Pattern, Show, Shows, same_look};

const STYLE: &str = include_str!("style.css");

/// Flashes a second at which a slowed lamp is shown: well below what needs a caution.
const SLOWED_TO: f64 = 2.0;

/// What every row of a table looks like, as one HTML page without any other file and without any script.
#[must_use]
pub fn preview(table: &LightTable) -> String {
    let rows: Vec<Row> = table
        .meanings
        .iter()
        .enumerate()
        .map(|(index, meaning)| Row::new(table, index, meaning))
        .collect();
    let css: String = rows.iter().map(Row::css).collect();
    let fast = rows.iter().any(Row::is_fast);
    let title = format!("{}: what its lights look like", table.device.name);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; style-src 'unsafe-inline'; form-action 'none'; base-uri 'none'";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(css)) }
            }
            body {
                (hatchings())
                header {
                    h1 { (title) }
                    @if fast { (fast_caution()) }
                    p { "Ask for a description, find it here, and compare. Nothing moves until you ask it to. A dark lamp
                        never proves that the power is off." }
                    (legend(table))
                }
                nav aria-label="Rows by what they look like" {
                    h2 { "What is seen" }
                    ul.index { @for row in by_look(&rows) { (row.entry()) } }
                }
                main { @for row in &rows { (row.article()) } }
            }
        }
    };
    page.into_string()
}

fn fast_caution() -> Markup {
    html! {
        p.caution role="note" {
            strong { "Caution: photosensitivity. " }
            "Some of these lamps flash more than three times a second. Flashing light can set off seizures. Such a lamp is
            shown slowed; its true speed is behind one more step. Do not show it to anybody who has not agreed to see it."
        }
    }
}

/// The letters and hatchings of the colours that the table uses.
fn legend(table: &LightTable) -> Markup {
    let used = |colour: &ColourName| table.lights.iter().any(|light| light.colours.contains(colour));
    let words: Vec<String> = ColourName::ALL
        .into_iter()
        .filter(used)
        .map(|colour| format!("{} {colour}", letter(colour)))
        .collect();
    html! { p.soft { "In the strips time runs to the right, and a filled stretch is lit: " (words.join(", ")) "." } }
}

/// Rows in the order in which somebody would look for them: dark, steady, flashing, and so on.
fn by_look<'r, 't>(rows: &'r [Row<'t>]) -> Vec<&'r Row<'t>> {
    let mut sorted: Vec<&Row<'_>> = rows.iter().collect();
    sorted.sort_by_key(|row| row.rank());
    sorted
}

/// One row with all that is drawn of it.
struct Row<'t> {
    index: usize,
    meaning: &'t Meaning,
    table: &'t LightTable,
    alike: Vec<&'t str>,
    shown: Vec<Shown<'t>>,
}

/// One light of a row.
struct Shown<'t> {
    name: String,
    label: &'t str,
    show: &'t Show,
    course: Vec<Stretch>,
    flashes_a_second: f64,
}

impl Shown<'_> {
    fn moves(&self) -> bool {
        self.course.len() > 1
    }

    fn is_fast(&self) -> bool {
        self.flashes_a_second > MOST_A_SECOND
    }

    fn is_sequence(&self) -> bool {
        matches!(self.show.pattern, Pattern::Sequence(_))
    }
}

impl<'t> Row<'t> {
    fn new(table: &'t LightTable, index: usize, meaning: &'t Meaning) -> Self {
        let group = same_look(table).into_iter().find(|group| group.contains(&index));
        let others = group.unwrap_or_default().into_iter().filter(|row| *row != index);
        let shown = meaning.shows.iter().map(|show| {
            let course = course(&show.pattern);
            Shown {
                name: format!("r{index}l{}", show.light),
                label: &table.lights[show.light].label,
                show,
                flashes_a_second: most_in_a_second(&course),
                course,
            }
        });
        Self {
            index,
            meaning,
            table,
            alike: others.map(|row| table.meanings[row].title.as_str()).collect(),
            shown: shown.collect(),
        }
    }

    fn is_fast(&self) -> bool {
        self.shown.iter().any(Shown::is_fast)
    }

    fn moves(&self) -> bool {
        self.shown.iter().any(Shown::moves)
    }

    /// How many times slower a lamp that flashes too fast is shown, all lamps of the row alike.
    fn slowed_by(&self) -> f64 {
        let fastest = self
            .shown
            .iter()
            .map(|shown| shown.flashes_a_second)
            .fold(0.0, f64::max);
        if fastest > MOST_A_SECOND {
            (fastest / SLOWED_TO).ceil()
        } else {
            1.0
        }
    }

    /// Dark rows first, then by the most that any of its lights does.
    fn rank(&self) -> usize {
        let of = |shows: &Shows| match shows {
            Shows::Off => 0,
            Shows::Fixed(_) => 1,
            Shows::Breathing { .. } => 2,
            Shows::Flashing { group: 1, .. } => 3,
            Shows::Flashing { .. } => 4,
            Shows::Steps(_) => 5,
            Shows::Alternating { .. } => 6,
            Shows::Sequence(_) => 7,
        };
        self.shown
            .iter()
            .map(|shown| of(&shown.show.shows))
            .max()
            .unwrap_or(0)
    }

    fn anchor(&self) -> String {
        format!("row-{}", self.meaning.id)
    }

    /// What its lights do in a few words; where there are several, those that are dark go without saying.
    fn brief(&self) -> String {
        let lit = |shown: &&Shown<'_>| shown.show.shows != Shows::Off;
        let mut phrases = Vec::new();
        for shown in self.shown.iter().filter(lit) {
            let said = brief(&shown.show.shows);
            phrases.push(match self.table.lights.len() {
                1 => said,
                _ => format!("{} {said}", shown.label),
            });
        }
        if phrases.is_empty() {
            return "dark".to_owned();
        }
        phrases.join("; ")
    }

    fn entry(&self) -> Markup {
        html! { li { a href=(format!("#{}", self.anchor())) { (self.meaning.title) } ": " (self.brief()) } }
    }

    fn article(&self) -> Markup {
        html! {
            article id=(self.anchor()) {
                h2 { (self.meaning.title) span.kind { (self.meaning.kind.as_str()) } }
                @if !self.alike.is_empty() {
                    p { "Looks the same: " (self.alike.join(", ")) ". Something else has to part them." }
                }
                @for shown in &self.shown { (self.light(shown)) }
                @let unsaid = self.unsaid();
                @if !unsaid.is_empty() { p.soft { (unsaid.join(", ")) ": may do anything." } }
                (self.buttons())
            }
        }
    }

    /// Lights of which the row says nothing.
    fn unsaid(&self) -> Vec<&str> {
        let lights = self.table.lights.iter().enumerate();
        lights
            .filter(|(light, _)| !self.shown.iter().any(|shown| shown.show.light == *light))
            .map(|(_, light)| light.label.as_str())
            .collect()
    }

    fn light(&self, shown: &Shown<'_>) -> Markup {
        let said = phrase(&shown.show.shows);
        let still = shown.course.iter().find_map(|stretch| stretch.colour);
        html! {
            div.light {
                svg.lamp viewBox="0 0 72 72" role="img" aria-label=(format!("{}: {said}", shown.label)) {
                    circle.lens cx="36" cy="36" r="30" {}
                    @if shown.moves() {
                        circle.waits cx="36" cy="36" r="24" stroke=(still.map_or("none", screen)) {}
                        circle.glow.(shown.name) cx="36" cy="36" r="27" {}
                    } @else if let Some(colour) = still {
                        circle cx="36" cy="36" r="27" fill=(screen(colour)) {}
                        circle cx="36" cy="36" r="27" fill=(format!("url(#h{})", colour.index())) {}
                    }
                }
                div {
                    p { strong { (shown.label) } ": " (said) "." }
                    (strip(&shown.course, !shown.is_sequence(), &said))
                }
            }
        }
    }

    fn buttons(&self) -> Markup {
        if !self.moves() {
            return html! {};
        }
        let slowed = self.slowed_by();
        html! {
            @if self.is_fast() {
                label.play { input type="checkbox" class="slow"; span { "Show it move, " (slowed) " times slower" } }
                details.real {
                    summary { "At its true speed: caution, it flashes more than three times a second" }
                    p.caution { "Flashing light can set off seizures. Look away and stop it at the first sign of
                        discomfort." }
                    label.play { input type="checkbox" class="true"; span { "Show it at its true speed" } }
                }
            } @else {
                label.play { input type="checkbox" class="true"; span { "Show it move" } }
            }
            @if self.shown.iter().any(Shown::is_sequence) {
                p.soft { "It is shown again and again, with a dark pause; the device does it once." }
            }
            p.still { "Nothing moves here, because this device is set to reduce motion. The strip shows the same." }
        }
    }

    /// Key frames, and the rules that start them; none of it for who wants less motion.
    fn css(&self) -> String {
        let moving = self.shown.iter().filter(|shown| shown.moves());
        let rules = moving.map(|shown| {
            let (frames, seconds) = key_frames(&shown.name, &shown.course, shown.is_sequence());
            let started = |by: &str, seconds: f64| {
                format!(
                    "article:nth-of-type({}):has(.{by}:checked) .{}{{animation:{} {seconds:.4}s infinite}}",
                    self.index + 1,
                    shown.name,
                    shown.name
                )
            };
            let slow = if self.is_fast() {
                started("slow", seconds * self.slowed_by())
            } else {
                String::new()
            };
            let real = started("true", seconds);
            format!("@media (prefers-reduced-motion:no-preference){{{frames}{slow}{real}}}")
        });
        rules.collect()
    }
}
