//! The renderer against what is known without it: hand-worked and published figures, and slow references.

#![cfg(feature = "footage")]
#![allow(
    clippy::unwrap_used,
    reason = "a panic is a test's report, in its helpers too"
)]

mod render {
    mod bare;
    mod course;
    mod files;
    mod fixtures;
    mod flicker;
    mod moves;
    mod pictures;
    mod refused;
    mod times;
}
