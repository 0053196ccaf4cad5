//! What can go wrong in this crate.

use ovenfall_record::problem::Problem;
use std::path::PathBuf;

/// Why the store could not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// SQLite said no: disk full, file torn, no permission.
    #[error("the data file: {0}")]
    Sqlite(#[from] rusqlite::Error),
    /// The file system said no.
    #[error("{}: {source}", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file is not one of ours.
    #[error("{} is not an ovenfall data file", path.display())]
    NotOurs {
        /// The file.
        path: PathBuf,
    },
    /// The file was written by a later version.
    #[error("{} was written by a later version (schema {found}; this one knows up to {known})", path.display())]
    Later {
        /// The file.
        path: PathBuf,
        /// Its schema.
        found: u32,
        /// The newest this program knows.
        known: u32,
    },
    /// A server is at work on the file.
    #[error("{} is in use by a server", path.display())]
    InUse {
        /// The file.
        path: PathBuf,
    },
    /// The file is damaged.
    #[error("{} is damaged: {what}", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What the check said.
        what: String,
    },
    /// An id that cannot be one.
    #[error("`{given}` cannot be an id: 1 to {longest} letters, digits, `-`, `_` or `.`")]
    Id {
        /// What was given.
        given: String,
        /// Longest allowed.
        longest: usize,
    },
    /// Something that is not there.
    #[error("there is no {what} `{id}`")]
    Missing {
        /// What kind of thing.
        what: &'static str,
        /// Its id.
        id: String,
    },
    /// An id that something else has.
    #[error("{what} `{id}` is there already, and says something else")]
    Taken {
        /// What kind of thing.
        what: &'static str,
        /// Its id.
        id: String,
    },
    /// A text that does not read well.
    #[error("{} problem(s), the first: {}", .0.len(), .0.first().map_or_else(String::new, ToString::to_string))]
    Problems(Vec<Problem>),
}
