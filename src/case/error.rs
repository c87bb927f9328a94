//! Why a case file is not taken.

/// Why a case file is not taken. It is never changed then.
#[derive(Debug, thiserror::Error)]
pub enum CaseError {
    /// The text is cut off, changed by hand or not of this form.
    #[error("it is damaged or was changed by hand: {0}")]
    Damaged(#[from] serde_json::Error),
    /// JSON, but not of this program.
    #[error("it is no case file: it has no `schema`")]
    NoCase,
    /// A form that this program does not read.
    #[error("it is written in schema {found}, which this program does not read")]
    OtherSchema {
        /// The schema number in the file.
        found: u64,
    },
    /// Longer than a case may be.
    #[error("it is longer than {} bytes", super::LONGEST_BYTES)]
    TooLong,
}
