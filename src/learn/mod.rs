//! Learn: from example clips of a known state, a row for the table, for its author to accept.
//!
//! Each clip is described on its own ([`describe`]); what the descriptions agree on becomes the row ([`learn`]). Clips
//! that disagree make no row: two states in one would be worse than none.

mod agree;
mod description;
mod error;
mod row;
mod states;

pub use agree::{Learnt, learn};
pub use description::{Description, Look, describe};
pub use error::LearnError;
pub use row::{RowHead, row_text};
