//! Oven, day and pot files: read, check, print.
pub mod problem;
