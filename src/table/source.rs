//! The text of a light table, kept so that places in it can be shown.

/// The text that a table was made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The name under which it was read, for people.
    pub name: String,
    /// The text.
    pub text: String,
}

impl Source {
    /// Line and column of a byte of the text, both counted from 1, columns in characters.
    #[must_use]
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        line_column(&self.text, byte)
    }
}

/// Line and column of a byte, both counted from 1, columns in characters. A byte past the end counts as the
/// end.
pub(super) fn line_column(text: &str, byte: usize) -> (usize, usize) {
    let byte = floor_char(text, byte);
    let before = &text[..byte];
    let line = before.matches('\n').count() + 1;
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    (line, before[line_start..].chars().count() + 1)
}

/// The nearest start of a character at or before a byte.
pub(super) fn floor_char(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}
