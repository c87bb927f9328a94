//! The same columns as Apache Parquet, for whoever asks questions of thousands of clips.

use std::sync::Arc;

use parquet::data_type::{ByteArray, ByteArrayType, DoubleType};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;

use super::TriageRecord;
use super::columns::{COLUMNS, Cell, cells};

/// One file with one group of rows.
///
/// # Errors
///
/// When the writer fails, which memory gives it no reason to.
pub fn triage_parquet(records: &[TriageRecord], faults: &[&str]) -> Result<Vec<u8>, ParquetError> {
    let rows: Vec<[Cell; 13]> = records.iter().map(|record| cells(record, faults)).collect();
    let fields: Vec<String> = COLUMNS
        .iter()
        .map(|name| match *name {
            "confidence" | "length_s" => format!("optional double {name};"),
            _ => format!("optional binary {name} (utf8);"),
        })
        .collect();
    let schema = Arc::new(parse_message_type(&format!(
        "message clip {{ {} }}",
        fields.join(" ")
    ))?);
    let properties = Arc::new(WriterProperties::builder().build());
    let mut file = SerializedFileWriter::new(Vec::new(), schema, properties)?;
    let mut group = file.next_row_group()?;
    for place in 0..COLUMNS.len() {
        let mut column = group.next_column()?.expect("there is a column for every name");
        let here: Vec<i16> = rows.iter().map(|row| i16::from(!is_empty(&row[place]))).collect();
        if matches!(COLUMNS[place], "confidence" | "length_s") {
            let values: Vec<f64> = rows.iter().filter_map(|row| number(&row[place])).collect();
            column
                .typed::<DoubleType>()
                .write_batch(&values, Some(&here), None)?;
        } else {
            let values: Vec<ByteArray> = rows.iter().filter_map(|row| text(&row[place])).collect();
            column
                .typed::<ByteArrayType>()
                .write_batch(&values, Some(&here), None)?;
        }
        column.close()?;
    }
    group.close()?;
    file.into_inner()
}

fn is_empty(cell: &Cell) -> bool {
    matches!(cell, Cell::Text(None) | Cell::Number(None))
}

fn number(cell: &Cell) -> Option<f64> {
    match cell {
        Cell::Number(number) => *number,
        Cell::Text(_) => None,
    }
}

fn text(cell: &Cell) -> Option<ByteArray> {
    match cell {
        Cell::Text(text) => text.as_deref().map(ByteArray::from),
        Cell::Number(_) => None,
    }
}
