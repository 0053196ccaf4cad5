//! Oven, day and pot files: read, check, print.
pub mod catalogue;
pub mod day;
pub mod day_file;
pub mod drive;
pub mod kitchen_units;
pub mod moment;
pub mod oven_file;
pub mod pots;
pub mod pots_file;
pub mod problem;
pub mod reading;
pub mod suggest;
pub mod together;
pub mod toml_place;
pub mod vessels;
pub mod wording;
