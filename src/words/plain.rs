//! Text from outside, as it may be shown: names of files, and what a table says.

/// The text on one line, without what could move a terminal's cursor, colour what follows, or turn the direction of writing.
#[must_use]
pub fn one_line(text: &str) -> String {
    let shown = |c: char| {
        if c.is_control() || turns_writing(c) {
            ' '
        } else {
            c
        }
    };
    text.chars().map(shown).collect()
}

/// Whether a character does nothing but set the direction of writing (Unicode Standard Annex 9, Bidi_Control).
const fn turns_writing(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::one_line;

    #[rstest]
    #[case::letters("Läuft grün", "Läuft grün")]
    #[case::line("a\r\nb\tc", "a  b c")]
    #[case::escape("\u{1b}[31mred", " [31mred")]
    #[case::turned("clip\u{202e}4pm.exe", "clip 4pm.exe")]
    fn what_plays_with_a_terminal_is_taken_out(#[case] text: &str, #[case] shown: &str) {
        assert_eq!(one_line(text), shown);
    }
}
