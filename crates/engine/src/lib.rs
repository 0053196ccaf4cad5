//! The heat of a masonry oven: pure functions, no input or output.
#![forbid(unsafe_code)]
pub mod description;
pub mod drive;
pub mod error;
pub mod history;
pub mod ledger;
pub mod pack;
pub mod simulate;
pub mod material;
pub mod parameters;
