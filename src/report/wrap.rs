//! Text of a fixed width.

use crate::words::one_line;

/// Columns of the text report: the width of a plain terminal and of a printed page.
pub(super) const WIDTH: usize = 80;

/// Lays words out in lines of at most [`WIDTH`] characters. The first line starts with `first`, the others
/// with as many blanks. Control characters, which a table or a file name could smuggle to a terminal, become
/// blanks; a word that is longer than a line is broken.
pub(super) fn wrap(first: &str, text: &str) -> String {
    let indent = first.chars().count();
    let room = WIDTH.saturating_sub(indent).max(1);
    let clean = one_line(text);
    let mut lines: Vec<String> = vec![String::new()];
    for word in words(&clean) {
        for piece in pieces(&word, room) {
            let used = lines.last().map_or(0, |line| line.chars().count());
            if used > 0 && used + 1 + piece.chars().count() > room {
                lines.push(String::new());
            }
            if let Some(line) = lines.last_mut() {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(&piece);
            }
        }
    }
    let blanks = " ".repeat(indent);
    let mut out = String::new();
    for (index, line) in lines.iter().enumerate() {
        out.push_str(if index == 0 { first } else { &blanks });
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// Words; a per cent sign stays with its number.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(number) if word.starts_with('%') => {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

fn pieces(word: &str, room: usize) -> Vec<String> {
    let letters: Vec<char> = word.chars().collect();
    letters.chunks(room).map(|chunk| chunk.iter().collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn breaks_between_words_and_indents_the_rest() {
        let text = "one ".repeat(30);
        let wrapped = wrap("  1. ", &text);
        let lines: Vec<&str> = wrapped.lines().collect();
        assert_eq!(lines.len(), 2);
        assert!(lines[0].starts_with("  1. one one"));
        assert!(lines[1].starts_with("     one"));
    }

    #[test]
    fn keeps_a_per_cent_sign_with_its_number() {
        let wrapped = wrap("", &format!("{} 40 %).", "a".repeat(76)));
        assert_eq!(wrapped.lines().nth(1), Some("40 %)."));
    }

    #[test]
    fn lets_no_escape_sequence_through() {
        assert_eq!(wrap("", "red \u{1b}[31mlight\u{7}\n"), "red [31mlight\n");
    }

    proptest! {
        #[test]
        fn never_wider_than_the_page_and_loses_no_letter(text in "\\PC{0,400}", indent in 0_usize..20) {
            let wrapped = wrap(&" ".repeat(indent), &text);
            prop_assert!(wrapped.lines().all(|line| line.chars().count() <= WIDTH));
            let letters = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            prop_assert_eq!(letters(&wrapped), letters(&text));
        }
    }
}
