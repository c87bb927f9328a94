//! Rows that look the same, nearly the same, or the same but for their colours.

use super::finding::{Finding, FindingKind, Severity};
use super::forecast::{Forecast, Pair, SECONDS, Verdict};
use crate::colour::ColourName;
use crate::meaning::colour_odds;
use crate::table::{Cycle, LightTable, Meaning, Part, Pattern, Phase, Places, Shade, looks_alike};

/// Frame rate and length that people film at unless asked for more: 30 a second, 10 s.
const USUAL: (usize, usize) = (1, 1);

/// Chance of a mistake above which two rows are confusable: at one in ten no reading is decided.
const CONFUSED: f64 = 0.1;

/// Odds below which the worst white balance leaves two colours undecided, as a logarithm: nine to one.
const NEAR: f64 = 2.197;

pub(super) fn findings(
    table: &LightTable,
    places: &Places,
    alike: &[Vec<usize>],
    forecast: &Forecast,
) -> Vec<Finding> {
    let mut findings: Vec<Finding> = alike.iter().map(|group| same(table, places, group)).collect();
    let same = |pair: &Pair| {
        let both = |group: &&Vec<usize>| group.contains(&pair.first) && group.contains(&pair.second);
        alike.iter().any(|group| both(&group))
    };
    for pair in forecast.pairs.iter().filter(|pair| !same(pair)) {
        findings.extend(of_pair(table, places, pair));
    }
    findings.extend(long_ones(table, places, forecast, &findings));
    findings.extend(separate(table, places, forecast));
    findings
}

fn id(table: &LightTable, row: usize) -> String {
    table.meanings[row].id.clone()
}

fn same(table: &LightTable, places: &Places, group: &[usize]) -> Finding {
    // Two faults may well share a rhythm; a fault that looks like a state that is well misleads people.
    let mut kinds = group.iter().map(|row| table.meanings[*row].kind);
    let first = kinds.next();
    let of_one_kind = kinds.all(|kind| Some(kind) == first);
    Finding {
        severity: if of_one_kind {
            Severity::Note
        } else {
            Severity::Warning
        },
        kind: FindingKind::SameLook {
            ids: group.iter().map(|row| id(table, *row)).collect(),
        },
        rows: group.to_vec(),
        at: places.row(group[1]),
        other: Some((places.row(group[0]), "looks the same")),
    }
}

fn of_pair(table: &LightTable, places: &Places, pair: &Pair) -> Option<Finding> {
    let (first, second) = (id(table, pair.first), id(table, pair.second));
    let confusion = pair.confusion[USUAL.0][USUAL.1];
    let near = near_colours(&table.meanings[pair.first], &table.meanings[pair.second]);
    let (kind, other) = match near {
        Some((colour, instead)) => (
            FindingKind::NearColours {
                first,
                second,
                colour,
                instead,
            },
            "the same in a near colour",
        ),
        None if confusion > CONFUSED => (
            FindingKind::Confusable {
                first,
                second,
                confusion,
                shortest_s: pair.shortest_s[USUAL.0],
            },
            "looks nearly like this",
        ),
        None => return None,
    };
    Some(Finding {
        severity: Severity::Warning,
        kind,
        rows: vec![pair.first, pair.second],
        at: places.show(pair.second, 0),
        other: Some((places.show(pair.first, 0), other)),
    })
}

/// Where two rows differ by colours alone and every colour that differs is near: the pair that differs most.
fn near_colours(first: &Meaning, second: &Meaning) -> Option<(ColourName, ColourName)> {
    let mut differing = Vec::new();
    let mut common = 0;
    for show in &first.shows {
        let Some(other) = second.shows.iter().find(|other| other.light == show.light) else {
            continue;
        };
        common += 1;
        let (of_first, of_second) = (colours(&show.pattern), colours(&other.pattern));
        if of_first.len() != of_second.len() {
            return None;
        }
        let recoloured = recolour(&other.pattern, &of_second, &of_first);
        if !looks_alike(&show.pattern, &recoloured) {
            return None;
        }
        differing.extend(of_first.into_iter().zip(of_second).filter(|(a, b)| a != b));
    }
    let odds = |(a, b): &(ColourName, ColourName)| colour_odds(*a, *b).min(colour_odds(*b, *a));
    let apart = differing.into_iter().max_by(|a, b| odds(a).total_cmp(&odds(b)))?;
    (common > 0 && odds(&apart) < NEAR).then_some(apart)
}

fn colours(pattern: &Pattern) -> Vec<ColourName> {
    let mut found = Vec::new();
    visit(pattern, &mut |colour| {
        if !found.contains(&colour) {
            found.push(colour);
        }
        colour
    });
    found
}

fn recolour(pattern: &Pattern, from: &[ColourName], to: &[ColourName]) -> Pattern {
    visit(pattern, &mut |colour| {
        let at = from.iter().position(|known| *known == colour);
        at.map_or(colour, |at| to[at])
    })
}

/// The pattern with every colour replaced.
fn visit(pattern: &Pattern, colour: &mut impl FnMut(ColourName) -> ColourName) -> Pattern {
    let mut shade = |shade: Shade| match shade {
        Shade::Dark => Shade::Dark,
        Shade::Lit(name, level) => Shade::Lit(colour(name), level),
    };
    match pattern {
        Pattern::Constant(one) => Pattern::Constant(shade(*one)),
        Pattern::Cycle(cycle) => {
            let phase = |phase: &Phase| Phase {
                from: shade(phase.from),
                to: shade(phase.to),
                ..*phase
            };
            Pattern::Cycle(Cycle {
                phases: cycle.phases.iter().map(phase).collect(),
                ..*cycle
            })
        }
        Pattern::Sequence(parts) => {
            let part = |part: &Part| Part {
                pattern: visit(&part.pattern, colour),
                for_s: part.for_s,
            };
            Pattern::Sequence(parts.iter().map(part).collect())
        }
    }
}

/// Rows that want a longer clip than the usual one, and of which no other finding says why.
fn long_ones(table: &LightTable, places: &Places, forecast: &Forecast, known: &[Finding]) -> Vec<Finding> {
    let told = |row: usize| known.iter().any(|finding| finding.rows.contains(&row));
    let wants_more = |row: &usize| {
        let of_row = &forecast.rows[*row];
        of_row.verdicts[USUAL.0][USUAL.1] != Verdict::Safe
            && of_row.shortest_s[USUAL.0].is_none_or(|seconds| seconds > SECONDS[USUAL.1])
    };
    (0..table.meanings.len())
        .filter(|row| !told(*row) && wants_more(row))
        .map(|row| Finding {
            severity: Severity::Note,
            kind: FindingKind::NeedsLong {
                id: id(table, row),
                shortest_s: forecast.rows[row].shortest_s[USUAL.0],
            },
            rows: vec![row],
            at: places.show(row, 0),
            other: None,
        })
        .collect()
}

/// The first two rows that have no light in common; one note is enough.
fn separate(table: &LightTable, places: &Places, forecast: &Forecast) -> Option<Finding> {
    let shares = |first: usize, second: usize| {
        let known = |pair: &Pair| pair.first == first && pair.second == second;
        forecast.pairs.iter().any(known)
    };
    let count = table.meanings.len();
    let mut pairs = (0..count).flat_map(|first| (first + 1..count).map(move |second| (first, second)));
    let (first, second) = pairs.find(|(first, second)| !shares(*first, *second))?;
    let label = |row: usize| {
        let show = table.meanings[row].shows.first();
        show.map(|show| table.lights[show.light].label.clone())
            .unwrap_or_default()
    };
    Some(Finding {
        severity: Severity::Note,
        kind: FindingKind::SeparateLights {
            lights: [label(first), label(second)],
        },
        rows: vec![first, second],
        at: places.row(second),
        other: Some((places.row(first), "speaks of another light")),
    })
}
