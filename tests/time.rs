//! Time: what is measured of lights whose courses are known, against bounds and references from outside.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "time/bound.rs"]
mod bound;
#[path = "time/caveats.rs"]
mod caveats;
#[path = "time/flashes.rs"]
mod flashes;
#[path = "time/reference.rs"]
mod reference;
#[path = "time/signal.rs"]
mod signal;
