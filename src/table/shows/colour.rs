//! Colours as people write them.

use crate::colour::ColourName;
use crate::table::fields::Text;
use crate::table::nearest::nearest;
use crate::table::problem::ProblemKind;
use crate::table::reader::Reader;

/// A colour by its name.
pub(in crate::table) fn colour(reader: &mut Reader<'_>, word: &Text<'_>) -> Option<ColourName> {
    let found = colour_named(word.value);
    if let Err(kind) = &found {
        reader.note(kind.clone(), word.at.clone());
    }
    found.ok()
}

/// What people write for some colours.
const OTHER_COLOURS: [(&str, ColourName); 10] = [
    ("orange", ColourName::Amber),
    ("warm-white", ColourName::WarmWhite),
    ("warmwhite", ColourName::WarmWhite),
    ("purple", ColourName::Violet),
    ("magenta", ColourName::Violet),
    ("pink", ColourName::Violet),
    ("turquoise", ColourName::Cyan),
    ("teal", ColourName::Cyan),
    ("lime", ColourName::Green),
    ("gold", ColourName::Yellow),
];

fn colour_named(word: &str) -> Result<ColourName, ProblemKind> {
    word.parse().map_err(|_| {
        let lower = word.trim().to_lowercase();
        let other = OTHER_COLOURS
            .iter()
            .find(|(name, _)| *name == lower)
            .map(|(_, colour)| *colour);
        let names = ColourName::ALL.map(ColourName::as_str);
        let near = || nearest(word, &names).and_then(|name| name.parse().ok());
        ProblemKind::UnknownColour {
            word: word.to_owned(),
            nearest: other.or_else(near),
        }
    })
}
