//! Pictures of results: SVG for pages and paper, plain text for a terminal.
//!
//! Every picture is a pure function: figures in, `String` out. Nothing here computes heat; a picture shows what it is
//! given and says what it shows in words too, so that nobody needs colour, or eyes, to read it. Figures that are not
//! finite are left out of a picture; they never reach its text.
//!
//! Each picture is a module: `svg` draws it, `description` says it in words, `tables` gives its figures (a page shows
//! them with [`Table::to_html`]). Those on the axis of hours also have `touch`: values under a finger, see [`touch`].
//! Files and paper take [`theme::Mode::Light`], pages [`theme::Mode::Page`] with [`theme::page_css`].
#![forbid(unsafe_code)]

mod axis;
mod band;
mod clock;
mod suits;
mod svg;
mod table;
mod text;
mod trim;

pub mod fall;
pub mod ledger;
pub mod past_day;
pub mod profile;
pub mod section;
pub mod terminal;
pub mod theme;
pub mod touch;
pub mod touch_oven;
pub mod windows;

pub use band::Bands;
pub use clock::{Clock, ClockChange};
pub use suits::{Span, Suits, Window};
pub use table::Table;
