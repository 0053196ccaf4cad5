//! The file: opened, brought to the newest schema, with one writer and as many readers as are needed.

use crate::error::StoreError;
use crate::schema;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// How long a connection waits for another one, in seconds.
const PATIENCE: Duration = Duration::from_secs(5);
/// Readers that are kept for the next question.
const SPARE_READERS: usize = 8;

/// An open data file.
#[derive(Debug)]
pub struct Store {
    path: PathBuf,
    writer: Mutex<Connection>,
    readers: Mutex<Vec<Connection>>,
}

/// A panic in another thread leaves no half-written state behind: its transaction was rolled back.
fn hold<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Store {
    /// Opens a data file, or makes it.
    ///
    /// # Errors
    /// When the file cannot be opened, is none of ours, is damaged at its head, or comes from a later version.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        let mut writer = Connection::open(path)?;
        writer.busy_timeout(PATIENCE)?;
        // A file that is none of ours is refused before anything is set in it.
        schema::migrate(&mut writer, path)?;
        writer.pragma_update(None, "journal_mode", "WAL")?;
        // An answered write outlives a power cut, not only a killed process.
        writer.pragma_update(None, "synchronous", "FULL")?;
        writer.pragma_update(None, "foreign_keys", true)?;
        Ok(Self { path: path.to_owned(), writer: Mutex::new(writer), readers: Mutex::new(Vec::new()) })
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes in one transaction: all of it or nothing.
    pub(crate) fn write<T>(&self, f: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>) -> Result<T, StoreError> {
        let mut writer = hold(&self.writer);
        let transaction = writer.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let answer = f(&transaction)?;
        transaction.commit()?;
        Ok(answer)
    }

    /// Reads from one moment: what is written meanwhile is not seen.
    pub(crate) fn read<T>(&self, f: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>) -> Result<T, StoreError> {
        let spare = hold(&self.readers).pop();
        let mut reader = match spare {
            Some(reader) => reader,
            None => self.reader()?,
        };
        let answer = {
            let transaction = reader.transaction()?;
            f(&transaction)
        };
        let mut spare = hold(&self.readers);
        if spare.len() < SPARE_READERS {
            spare.push(reader);
        }
        answer
    }

    fn reader(&self) -> Result<Connection, StoreError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let reader = Connection::open_with_flags(&self.path, flags)?;
        reader.busy_timeout(PATIENCE)?;
        Ok(reader)
    }
}
