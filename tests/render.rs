//! The renderer against what is known without it: hand-worked and published figures, and slow references.

#![cfg(feature = "footage")]
#![allow(
    clippy::unwrap_used,
    reason = "a panic is a test's report, in its helpers too"
)]

mod render {
    mod course;
    mod fixtures;
    mod pictures;
    mod times;
}
