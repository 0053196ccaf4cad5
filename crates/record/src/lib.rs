//! Oven, day and pot files: read, check, print.
pub mod oven_file;
pub mod problem;
pub mod kitchen_units;
pub mod day;
pub mod day_file;
pub mod drive;
pub mod moment;
pub mod pots_file;
pub mod reading;
pub mod wording;
pub mod catalogue;
pub mod suggest;
pub mod toml_place;
pub mod pots;
pub mod vessels;
pub mod together;
