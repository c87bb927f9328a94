//! Text in a cell of a sheet that a spreadsheet will open.

/// The text, made harmless where a spreadsheet would take it for a formula: an apostrophe before it says that it is text
/// (OWASP, "CSV Injection").
pub(super) fn text_cell(text: String) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::text_cell;

    #[rstest]
    #[case::plain("shed 3/a.mp4", "shed 3/a.mp4")]
    #[case::formula("=HYPERLINK(\"x\")", "'=HYPERLINK(\"x\")")]
    #[case::minus("-1.mp4", "'-1.mp4")]
    #[case::nothing("", "")]
    fn no_cell_is_a_formula(#[case] text: &str, #[case] cell: &str) {
        assert_eq!(text_cell(text.to_owned()), cell);
    }
}
