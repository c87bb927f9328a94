//! A proposed row for programs.

use serde_json::{Value, json};

use crate::learn::{Description, Learnt, RowHead};

use super::wire::rounded;
use super::words::rhythm_code;

/// The row with what it rests on. `row` is it in table syntax; `notes` are for its author.
#[must_use]
pub fn learn_json(head: &RowHead, learnt: &Learnt, row: &str, notes: &[String]) -> Value {
    let clip = |clip: &Description| {
        json!({
            "clip": clip.clip,
            "period_s": clip.period_s.map(|period| rounded(period.value, 4)),
            "period_sd_s": clip.period_s.map(|period| rounded(period.sd, 4)),
        })
    };
    let clips: Vec<Value> = learnt.clips.iter().map(clip).collect();
    json!({
        "schema": 1,
        "id": head.id,
        "light": head.light,
        "shows": learnt.shows,
        "rhythm": rhythm_code(learnt.rhythm),
        "period_s": learnt.period_s.map(|period_s| rounded(period_s, 4)),
        "spread": learnt.spread.map(|spread| rounded(spread, 4)),
        "within": learnt.within,
        "clips": clips,
        "notes": notes,
        "row": row,
    })
}
