//! The same for programs. `schema` counts changes that take something away.

use serde_json::{Value, json};

use crate::check::{Check, FPS, Finding, Pair, RowForecast, SECONDS, Severity, Verdict};
use crate::table::{LightTable, Source};

/// One object with everything that a check found.
#[must_use]
pub fn check_json(table: &LightTable, source: &Source, check: &Check) -> Value {
    let findings: Vec<Value> = check
        .findings
        .iter()
        .map(|finding| finding_json(table, source, finding))
        .collect();
    let forecast = &check.forecast;
    let rows = forecast.rows.iter().enumerate();
    let rows: Vec<Value> = rows.map(|(row, of_row)| row_json(table, row, of_row)).collect();
    let pairs: Vec<Value> = forecast.pairs.iter().map(|pair| pair_json(table, pair)).collect();
    json!({
        "schema": 1,
        "device": table.device.name,
        "fine": check.is_fine(),
        "findings": findings,
        "frames_per_s": FPS,
        "seconds": SECONDS,
        "rows": rows,
        "pairs": pairs,
    })
}

fn finding_json(table: &LightTable, source: &Source, finding: &Finding) -> Value {
    let rows: Vec<&str> = finding
        .rows
        .iter()
        .map(|row| table.meanings[*row].id.as_str())
        .collect();
    let (line, column) = source.line_column(finding.at.start);
    let (to_line, to_column) = source.line_column(finding.at.end);
    json!({
        "code": finding.kind.code(),
        "severity": match finding.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
        },
        "text": finding.kind.message(),
        "help": finding.kind.help(),
        "rows": rows,
        "from": { "line": line, "column": column },
        "to": { "line": to_line, "column": to_column },
    })
}

fn row_json(table: &LightTable, row: usize, of_row: &RowForecast) -> Value {
    let verdicts: Vec<Vec<&str>> = of_row
        .verdicts
        .iter()
        .map(|lengths| lengths.iter().map(|verdict| word(*verdict)).collect())
        .collect();
    json!({
        "id": table.meanings[row].id,
        "verdict": verdicts,
        "shortest_s": of_row.shortest_s.map(rounded),
        "nearest": of_row.nearest.map(|row| table.meanings[row].id.as_str()),
    })
}

fn pair_json(table: &LightTable, pair: &Pair) -> Value {
    json!({
        "first": table.meanings[pair.first].id,
        "second": table.meanings[pair.second].id,
        "confusion": pair.confusion.map(|lengths| lengths.map(|share| (share * 1e4).round() / 1e4)),
        "shortest_s": pair.shortest_s.map(rounded),
    })
}

fn rounded(seconds: Option<f64>) -> Option<f64> {
    seconds.map(|seconds| (seconds * 10.0).ceil() / 10.0)
}

const fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Safe => "safe",
        Verdict::Close => "close",
        Verdict::Confusable => "confusable",
    }
}
