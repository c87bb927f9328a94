//! Clips and photos made here, read back: stamps, samples, colour and faults against what went in.
#![cfg(feature = "footage")]
#![allow(clippy::unwrap_used, reason = "helpers of tests: a panic is the report")]
#![allow(clippy::print_stderr, reason = "a skipped case says so")]

#[path = "footage/clips.rs"]
mod clips;
#[path = "common/encode.rs"]
mod encode;
#[path = "footage/faults.rs"]
mod faults;
#[path = "footage/made.rs"]
mod made;
#[path = "footage/photos.rs"]
mod photos;
#[path = "footage/real.rs"]
mod real;
#[path = "footage/seen.rs"]
mod seen;
#[path = "footage/stamps.rs"]
mod stamps;
