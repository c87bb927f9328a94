//! Colour: from coded samples to linear light, chromaticity and colour names.

mod decode;
mod locus;
mod name;
mod naming;
mod space;
mod transfer;

pub use decode::{Decoder, Linear};
pub use locus::{HueLine, hue_line};
pub use name::{ColourName, NameBelief, UnknownColour};
pub use naming::name_colour;
pub use space::{D65, uv, uv_of_xy};
pub use transfer::{Curve, to_linear};
