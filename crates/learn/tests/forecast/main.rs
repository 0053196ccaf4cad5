//! The prior, ensembles and the fall, on a described oven and a whole day of the real engine.

// What the tests share may unwrap as they do.
#![allow(clippy::unwrap_used)]

mod condition;
mod day;
mod ensemble;
mod fall;
mod prior;
