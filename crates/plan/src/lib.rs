//! What may go in when: each dish of a menu put into the oven, on every oven it could be, at each of many hours.
//!
//! What an empty oven reads says little. One that reads too hot may be right once the cold pots are in; one that reads
//! right may be empty: its skin is hot, and with the pots in it falls out of the window before the dish is done. So
//! [`when()`] puts the dish in and looks. [`course`] says what else goes on meanwhile, [`judge`] what counts as suiting,
//! [`suits`] holds the answer, [`menu`] joins the menu to the pots of the day.
//!
//! No input or output, no clock: the same situation and options give the same bits on any number of threads.
#![forbid(unsafe_code)]

pub mod course;
pub mod error;
pub mod judge;
pub mod menu;
pub mod suits;
pub mod when;

pub use error::PlanError;
pub use menu::Menu;
pub use suits::{Answer, Bar, Chance, Held, Reading, Stretch, Suits};
pub use when::{WhenOptions, Wish, reaches_s, when};
