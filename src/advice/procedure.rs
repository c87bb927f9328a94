//! The procedure of a decided row, less what does not apply to this case.

use crate::table::{Meaning, Step};

use super::{Caution, Facts, NextStep, Sort, When};

/// What still has to be done, in the table's order, up to the first hand-on whose conditions are met.
pub(super) fn steps(meaning: &Meaning, facts: &Facts) -> Vec<NextStep> {
    let mut next = Vec::new();
    for step in &meaning.next {
        match step {
            Step::Do { .. } => next.extend(due(step, facts)),
            Step::HandOn { text, after_tried } => {
                if after_tried.iter().all(|name| facts.tried.contains(name)) {
                    next.push(NextStep::new(Sort::HandOn, text.clone()));
                    break;
                }
            }
        }
    }
    if next.is_empty() && !meaning.next.is_empty() {
        next.push(nothing_left(meaning, facts));
    }
    next
}

/// A step, if it applies: not tried yet, and not outside its time where it is known how long the state has
/// lasted.
fn due(step: &Step, facts: &Facts) -> Option<NextStep> {
    let Step::Do { until_s, after_s, .. } = step else {
        return None;
    };
    let when = match (*after_s, *until_s, facts.lasted_s) {
        (_, Some(until), Some(lasted)) if lasted >= until => return None,
        (Some(after), _, Some(lasted)) if lasted < after => return None,
        (_, Some(until), Some(lasted)) => When::ForAnother(until - lasted),
        (_, None, Some(_)) | (None, None, None) => When::Now,
        (Some(after), Some(until), None) => When::Between(after, until),
        (Some(after), None, None) => When::After(after),
        (None, Some(until), None) => When::Until(until),
    };
    worded(step, when, facts)
}

/// A step in words, unless it was tried.
fn worded(step: &Step, when: When, facts: &Facts) -> Option<NextStep> {
    let Step::Do {
        text,
        tried,
        caution,
        erases,
        ..
    } = step
    else {
        return None;
    };
    if tried.as_ref().is_some_and(|name| facts.tried.contains(name)) {
        return None;
    }
    let mut cautions = Vec::new();
    if *erases {
        cautions.push(Caution::ErasesSettings);
    }
    let named = tried.as_deref().unwrap_or_default();
    cautions.extend(Caution::called_for_by(&format!("{text} {named}")));
    cautions.extend(caution.clone().map(Caution::Stated));
    Some(NextStep {
        text: text.clone(),
        sort: Sort::Do,
        when,
        tried: tried.clone(),
        cautions,
    })
}

/// Where no step is due: the one that will be first, or else hand on.
fn nothing_left(meaning: &Meaning, facts: &Facts) -> NextStep {
    let lasted_s = facts.lasted_s.unwrap_or(0.0);
    let ahead = meaning.next.iter().filter_map(|step| match step {
        Step::Do {
            after_s: Some(after), ..
        } if *after > lasted_s => Some((*after, worded(step, When::After(*after), facts)?)),
        _ => None,
    });
    ahead.min_by(|a, b| a.0.total_cmp(&b.0)).map_or_else(
        || {
            NextStep::new(
                Sort::HandOn,
                "every step that the table has for this was done, or its time has passed.",
            )
        },
        |(_, step)| step,
    )
}
