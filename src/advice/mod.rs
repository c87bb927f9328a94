//! Advice.
