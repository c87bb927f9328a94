//! Lampwise reads a device's status light from a phone clip or a photo and says what the light means.
//!
//! Data goes one way, one folder a stage:
//!
//! ```text
//! footage → frames → light → trace → meaning → advice → report
//!    file     YUV     where   signal   table     steps    text, JSON
//! ```
//!
//! [`pipeline`] is the only caller of the stages, in that order. A stage sees the types of the stages before
//! it and nothing of those after it. The stages are pure: the same input gives the same output, with no clock
//! and no hidden randomness.

pub mod advice;
pub mod case;
pub mod check;
pub mod colour;
pub mod footage;
pub mod learn;
pub mod light;
pub mod meaning;
pub mod report;
pub mod table;
pub mod trace;
pub mod words;

#[cfg(feature = "footage")]
pub mod cli;
#[cfg(feature = "footage")]
pub mod pipeline;
#[cfg(feature = "footage")]
pub mod render;
