//! What dishes and foods need of an oven and are made of, as data: no input or output.
#![forbid(unsafe_code)]

pub mod dish;
pub mod error;
pub mod properties;
pub mod suits;
