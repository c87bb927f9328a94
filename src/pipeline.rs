//! The stages in their order.
