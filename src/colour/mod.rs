//! Colour: from coded samples to linear light, chromaticity and colour names.

mod decode;
mod hue_features;
mod locus;
mod name;
mod name_model;
mod naming;
mod read_from;
mod space;
mod transfer;

pub use decode::{Decoder, Linear};
pub use hue_features::{feature_names, features};
pub use locus::{HueLine, hue_line};
pub use name::{ColourName, NameBelief, UnknownColour};
pub use name_model::{FittedNames, HeldOut, NameModel, UnusableModel};
pub use naming::{name_by, name_colour};
pub use read_from::ReadFrom;
pub use space::{D65, uv, uv_of_xy};
pub use transfer::{Curve, to_linear, to_srgb};
