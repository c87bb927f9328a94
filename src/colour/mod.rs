//! Colour: from coded samples to linear light, chromaticity and colour names.

mod name;

pub use name::{ColourName, NameBelief, UnknownColour};
