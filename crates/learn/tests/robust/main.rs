//! Forecasts from readings that are wrong in the ways readings are wrong, on synthetic days whose truth is known.

// What the tests share may unwrap as they do.
#![allow(clippy::unwrap_used)]
#![allow(clippy::print_stdout, reason = "figures of a study")]

#[path = "../forecast/day.rs"]
mod day;
mod faults;
mod recorded;
mod regression;
mod synthetic;
mod traps;
