//! A pattern and a camera make a clip with known truth.
