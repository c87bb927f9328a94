//! Photos of every form and colour space against what was painted, and several photos of one device together.
#![cfg(feature = "footage")]
#![allow(clippy::unwrap_used, reason = "helpers of tests: a panic is the report")]
#![allow(clippy::print_stderr, reason = "a skipped case says so")]

#[path = "photos/boxes.rs"]
mod boxes;
#[expect(dead_code, reason = "photos have no sound")]
#[path = "common/encode.rs"]
mod encode;
#[path = "photos/forms.rs"]
mod forms;
#[path = "photos/icc.rs"]
mod icc;
#[path = "photos/lamp.rs"]
mod lamp;
#[path = "photos/several.rs"]
mod several;
#[path = "photos/spaces.rs"]
mod spaces;
#[path = "photos/turned.rs"]
mod turned;
#[path = "photos/write.rs"]
mod write;
