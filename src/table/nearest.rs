//! The known word that a mistyped one stands for.

/// The likeliest of `known`, or none if none is near.
///
/// Near means that at most a third of the letters differ, counting a swap of two neighbours as one difference.
pub(super) fn nearest<'k, W: AsRef<str>>(word: &str, known: &'k [W]) -> Option<&'k W> {
    // Longer words are no typing slips, and the distance costs the product of the lengths.
    if word.len() > 64 {
        return None;
    }
    let word = word.trim().to_lowercase();
    known
        .iter()
        .map(|candidate| {
            let letters = candidate.as_ref().chars().count().max(word.chars().count());
            let distance = strsim::damerau_levenshtein(&word, &candidate.as_ref().to_lowercase());
            (distance, letters, candidate)
        })
        .filter(|(distance, letters, _)| distance * 3 <= *letters)
        .min_by_key(|(distance, ..)| *distance)
        .map(|(.., candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("perod", Some("period"))]
    #[case("peroid", Some("period"))]
    #[case("Period", Some("period"))]
    #[case("farewell", None)]
    #[case("", None)]
    fn finds_slips_and_nothing_else(#[case] word: &str, #[case] expected: Option<&str>) {
        let found = nearest(word, &["period", "rate", "on"]).copied();
        assert_eq!(found, expected);
    }
}
