//! The page of what rows look like: nothing gets in, nothing moves unasked, nothing is said by colour alone.

use lampwise::report::preview;
use lampwise::table::{LightTable, parse};
use rstest::rstest;

use super::showing;

fn shipped(name: &str) -> LightTable {
    let path = format!("{}/models/tables/{name}", env!("CARGO_MANIFEST_DIR"));
    lampwise::table::load(path.as_ref()).expect("a shipped table").0
}

#[test]
fn what_a_table_says_cannot_become_markup() {
    let evil = "<script>alert(1)</script>\\\"><img src=x onerror=y>{}*{color:red}</style>";
    let text = showing("{ flashing = \"red\", period = \"1 s\" }")
        .replace("\"Starting up\"", &format!("\"{evil}\""))
        .replace("\"Test valve\"", &format!("\"{evil}\""))
        .replace("\"the round lamp\"", &format!("\"{evil}\""));
    let table = parse("evil.toml", &text).unwrap();
    assert!(table.meanings[0].title.contains("<script>"), "it is in the table");
    let page = preview(&table);
    assert!(
        !page.contains("<script") && !page.contains("<img") && !page.contains("onerror=y>"),
        "{page}"
    );
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(page.contains("&lt;script&gt;"), "it is shown as what it is");
}

#[rstest]
#[case("orchard-valve.toml")]
#[case("cold-store-logger.toml")]
#[case("cia-303-3.toml")]
fn the_page_is_whole_in_itself(#[case] name: &str) {
    let table = shipped(name);
    let page = preview(&table);
    for outside in ["http:", "https:", "<script", "<link", "@import", "src="] {
        assert!(!page.contains(outside), "{outside} is in the page");
    }
    for meaning in &table.meanings {
        let at = page
            .find(&format!("id=\"row-{}\"", meaning.id))
            .expect("every row is there");
        let article = &page[at..at + page[at..].find("</article>").unwrap()];
        for show in &meaning.shows {
            let label = &table.lights[show.light].label;
            assert!(article.contains(label.as_str()), "{}: {label}", meaning.id);
            assert!(article.contains("<svg class=\"strip\""), "{}", meaning.id);
        }
        for colour in meaning.shows.iter().flat_map(|show| colours(&show.pattern)) {
            assert!(
                article.contains(colour),
                "{}: {colour} is said in words",
                meaning.id
            );
        }
    }
}

fn colours(pattern: &lampwise::table::Pattern) -> Vec<&'static str> {
    use lampwise::table::{Pattern, Shade};
    let of = |shade: &Shade| match shade {
        Shade::Lit(colour, _) => Some(colour.as_str()),
        Shade::Dark => None,
    };
    match pattern {
        Pattern::Constant(shade) => of(shade).into_iter().collect(),
        Pattern::Cycle(cycle) => cycle.phases.iter().filter_map(|phase| of(&phase.from)).collect(),
        Pattern::Sequence(parts) => parts.iter().flat_map(|part| colours(&part.pattern)).collect(),
    }
}

#[test]
fn nothing_moves_unasked_or_against_the_wish_for_less_motion() {
    let page = preview(&shipped("orchard-valve.toml"));
    let style = &page[page.find("<style>").unwrap()..page.find("</style>").unwrap()];
    let mut rules = 0;
    for (at, _) in style.match_indices("animation:") {
        let rule = style[..at]
            .rfind(['}', '{'])
            .map(|_| &style[style[..at].rfind('}').unwrap()..at])
            .unwrap();
        assert!(rule.contains(":checked)"), "started by a tick: {rule}");
        let media = style[..at].rfind("@media").expect("under a media rule");
        assert!(
            style[media..at].starts_with("@media (prefers-reduced-motion:no-preference)"),
            "{rule}"
        );
        rules += 1;
    }
    assert!(rules >= 8, "rows that move have rules: {rules}");
    assert!(!page.contains(" checked"), "no box is ticked from the start");
}

/// WCAG 2.2, 2.3.1: more than three flashes a second. CiA flickering is ten a second; colours of 120 ms in turn are
/// over four; the logger's quickest is 200 ms in turn, two and a half a second.
#[rstest]
#[case("cia-303-3.toml", true)]
#[case("orchard-valve.toml", true)]
#[case("cold-store-logger.toml", false)]
fn fast_flashes_carry_a_caution_and_are_slowed(#[case] name: &str, #[case] fast: bool) {
    let page = preview(&shipped(name));
    assert_eq!(page.contains("Caution: photosensitivity."), fast);
    assert_eq!(page.contains("times slower"), fast);
    assert_eq!(page.contains("<details class=\"real\">"), fast);
}
