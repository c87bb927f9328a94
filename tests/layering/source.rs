//! Source text without what is not code.

/// The text with comments and the inside of literals blanked; every line break stays in its place.
pub(crate) fn code_of(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    while at < chars.len() {
        let end = match literal_end(&chars, at) {
            Some(end) => end,
            None => {
                out.push(chars[at]);
                at += 1;
                continue;
            }
        };
        out.extend(chars[at..end].iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    out
}

/// Where the comment or literal that starts at `at` ends; `None` if none starts there.
fn literal_end(chars: &[char], at: usize) -> Option<usize> {
    let next = chars.get(at + 1).copied();
    match chars[at] {
        '/' if next == Some('/') => Some(find(chars, at, |i| chars[i] == '\n')),
        '/' if next == Some('*') => Some(block_end(chars, at)),
        '"' => Some(quoted_end(chars, at)),
        'r' if !in_word(chars, at) => raw_end(chars, at),
        '\'' if next == Some('\\') => Some(find(chars, at + 3, |i| chars[i] == '\'') + 1),
        '\'' if chars.get(at + 2) == Some(&'\'') => Some(at + 3),
        _ => None,
    }
}

fn find(chars: &[char], from: usize, wanted: impl Fn(usize) -> bool) -> usize {
    (from..chars.len()).find(|i| wanted(*i)).unwrap_or(chars.len())
}

fn block_end(chars: &[char], at: usize) -> usize {
    let mut depth = 0_usize;
    let mut i = at;
    while i + 1 < chars.len() {
        match (chars[i], chars[i + 1]) {
            ('/', '*') => (depth, i) = (depth + 1, i + 2),
            ('*', '/') => (depth, i) = (depth - 1, i + 2),
            _ => i += 1,
        }
        if depth == 0 {
            return i;
        }
    }
    chars.len()
}

fn quoted_end(chars: &[char], at: usize) -> usize {
    let mut i = at + 1;
    while i < chars.len() && chars[i] != '"' {
        i += if chars[i] == '\\' { 2 } else { 1 };
    }
    (i + 1).min(chars.len())
}

/// `b` and `c` may stand before the `r` of a raw literal; anything else makes it part of a name.
fn in_word(chars: &[char], at: usize) -> bool {
    let word = |i: usize| chars[i].is_alphanumeric() || chars[i] == '_';
    match at {
        0 => false,
        1 => word(0) && !matches!(chars[0], 'b' | 'c'),
        _ => word(at - 1) && (word(at - 2) || !matches!(chars[at - 1], 'b' | 'c')),
    }
}

fn raw_end(chars: &[char], at: usize) -> Option<usize> {
    let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
    if chars.get(at + 1 + hashes) != Some(&'"') {
        return None;
    }
    let closes = |i: usize| {
        chars[i] == '"' && chars[i + 1..].iter().take(hashes).filter(|c| **c == '#').count() == hashes
    };
    Some((find(chars, at + 2 + hashes, closes) + 1 + hashes).min(chars.len()))
}

/// The code without its `#[cfg(test)]` items.
pub(crate) fn without_tests(code: &str) -> String {
    const MARK: &str = "#[cfg(test)]";
    let mut out = String::new();
    let mut rest = code;
    while let Some(at) = rest.find(MARK) {
        out.push_str(&rest[..at]);
        let item = &rest[at + MARK.len()..];
        let end = item_end(item);
        out.push_str(&"\n".repeat(item[..end].matches('\n').count()));
        rest = &item[end..];
    }
    out + rest
}

/// Where an item ends: at its semicolon, or where its braces are closed again.
fn item_end(item: &str) -> usize {
    let (mut depth, mut inner) = (0_i32, 0_i32);
    for (at, c) in item.char_indices() {
        match c {
            '(' | '[' => inner += 1,
            ')' | ']' => inner -= 1,
            ';' if depth == 0 && inner == 0 => return at + 1,
            '{' => depth += 1,
            '}' => {
                depth -= 1;
                if depth <= 0 {
                    return at + 1;
                }
            }
            _ => {}
        }
    }
    item.len()
}

/// Names of functions with the lines from their `fn` to the brace that closes them.
pub(crate) fn functions(code: &str) -> Vec<(String, usize)> {
    let mut all = Vec::new();
    for (at, _) in code.match_indices("fn ") {
        let starts_word = !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
        let name: String = code[at + 3..]
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect();
        if starts_word && !name.is_empty() {
            let body = &code[at..];
            all.push((name, body[..item_end(body)].matches('\n').count() + 1));
        }
    }
    all
}

/// Every `crate::x` (or `lampwise::x`, or `super::…::x` out of a stage) of the code: the names `x`.
pub(crate) fn modules_used(file: &str, code: &str) -> Vec<String> {
    let tight: String = code
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" ::", "::")
        .replace(":: ", "::");
    // From a file of a stage, so many `super`s reach the root of the crate.
    let depth = file.split('/').count() - usize::from(file.ends_with("/mod.rs"));
    let to_root = "super::".repeat(depth);
    let mut all = Vec::new();
    for root in ["crate::", "lampwise::", to_root.as_str()] {
        for (at, _) in tight.match_indices(root) {
            let before = &tight[..at];
            let whole = !before.ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':');
            if whole {
                all.extend(first_names(&tight[at + root.len()..]));
            }
        }
    }
    all
}

/// The first name of each path in `x::y` or `{x::y, z::{a, b}}`.
fn first_names(path: &str) -> Vec<String> {
    let name = |text: &str| {
        text.trim()
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect::<String>()
    };
    let Some(group) = path.strip_prefix('{') else {
        return vec![name(path)];
    };
    let mut depth = 0;
    let mut names = Vec::new();
    let mut start = 0;
    for (at, c) in group.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                names.push(name(&group[start..at]));
                start = at + 1;
                if c == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty());
    names
}
