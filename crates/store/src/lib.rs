//! Ovens, days and their entries in one SQLite file.
//!
//! Entries are the only truth, so they are only ever added: a mistake is struck by a later entry, and triggers in the
//! file itself refuse every change. An oven's description and a day's pots are texts; a correction is a further text.
//! Computed results are kept with what they were computed from, and may be thrown away.
//!
//! One connection writes; readers have their own and see the last finished write (write-ahead log). A write that was
//! answered is on the disk. This is the only crate that knows SQL; it reads no clock: times are arguments.
#![forbid(unsafe_code)]

pub mod backup;
pub mod bundle;
pub mod days;
pub mod entries;
pub mod error;
pub mod id;
pub mod ovens;
pub mod results;
pub mod schema;
pub mod screens;
pub mod serving;
pub mod store;

pub use bundle::{Bundle, DayFiles};
pub use days::DaySummary;
pub use entries::{Appended, Kept};
pub use error::StoreError;
pub use id::{DayId, OvenId};
pub use ovens::OvenText;
pub use results::{Provenance, StoredResult};
pub use screens::{Screen, TokenHash};
pub use serving::Serving;
pub use store::Store;
