//! The heat of a masonry oven: pure functions, no input or output.
#![forbid(unsafe_code)]

pub mod cavity;
pub mod conduction;
pub mod control;
pub mod convection;
pub mod day;
pub mod description;
pub mod drive;
pub mod elimination;
pub mod error;
pub mod fire;
pub mod flow;
pub mod geometry;
pub mod history;
pub mod ledger;
pub mod material;
pub mod model;
pub mod observe;
pub mod openings;
mod output;
pub mod pack;
pub mod parameters;
pub mod pot;
pub mod radiation;
pub mod simulate;
pub mod slope;
pub mod state;
pub mod step;
pub mod view_factors;
pub mod water;
