//! Backups: a whole, checked copy of the data file, taken while it is in use.

use crate::error::StoreError;
use crate::schema::APPLICATION_ID;
use crate::store::Store;
use rusqlite::backup::Backup;
use rusqlite::{Connection, ErrorCode, OpenFlags};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Pages copied between looks at whether somebody writes.
const PAGES_AT_ONCE: i32 = 512;
/// Pause between them.
const PAUSE: Duration = Duration::from_millis(2);

fn file_error(path: &Path) -> impl FnOnce(std::io::Error) -> StoreError + '_ {
    move |source| StoreError::File { path: path.to_owned(), source }
}

/// A name beside `path` for what is not finished.
fn unfinished(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    path.with_file_name(name)
}

/// Copies a data file page by page into a new file at `to`, checks the copy, and only then gives it its name.
fn copy(from: &Connection, to: &Path) -> Result<(), StoreError> {
    let part = unfinished(to);
    if part.exists() {
        fs::remove_file(&part).map_err(file_error(&part))?;
    }
    {
        let mut target = Connection::open(&part)?;
        Backup::new(from, &mut target)?.run_to_completion(PAGES_AT_ONCE, PAUSE, None)?;
        // One file is easier to carry than three.
        target.pragma_update(None, "journal_mode", "DELETE")?;
    }
    check(&part)?;
    fs::File::open(&part).and_then(|file| file.sync_all()).map_err(file_error(&part))?;
    fs::rename(&part, to).map_err(file_error(to))
}

/// Checks that a file is one of ours and whole.
///
/// # Errors
/// [`StoreError::NotOurs`] or [`StoreError::Damaged`] when it is not.
pub fn check(path: &Path) -> Result<(), StoreError> {
    let not_ours = || StoreError::NotOurs { path: path.to_owned() };
    let damaged = |what: String| StoreError::Damaged { path: path.to_owned(), what };
    let connection = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    let ours: Result<i32, _> = connection.pragma_query_value(None, "application_id", |row| row.get(0));
    match ours {
        Ok(APPLICATION_ID) => {}
        Ok(_) => return Err(not_ours()),
        Err(error) if error.sqlite_error_code() == Some(ErrorCode::NotADatabase) => return Err(not_ours()),
        Err(error) => return Err(damaged(error.to_string())),
    }
    let whole: Result<String, _> = connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0));
    match whole {
        Ok(said) if said == "ok" => Ok(()),
        Ok(said) => Err(damaged(said)),
        Err(error) => Err(damaged(error.to_string())),
    }
}

impl Store {
    /// Copies the data file to `to` while it is in use. A file of that name is replaced, and only by a whole copy.
    ///
    /// # Errors
    /// When the copy cannot be written or is not whole.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        let from = Connection::open_with_flags(self.path(), OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        copy(&from, to)
    }

    /// Puts a backup in the place of the data file at `to`. What was there is kept beside it with the ending
    /// `.before-restore`, and its path is the answer; `None` when there was nothing.
    ///
    /// # Errors
    /// When the backup is not whole or a file cannot be written; then nothing has changed.
    pub fn restore(backup: &Path, to: &Path) -> Result<Option<PathBuf>, StoreError> {
        check(backup)?;
        let mut kept = None;
        if to.exists() {
            // Through SQLite, so that what is still in the write-ahead log is in the copy.
            let mut name = to.file_name().unwrap_or_default().to_owned();
            name.push(".before-restore");
            let before = to.with_file_name(name);
            copy(&Connection::open(to)?, &before)?;
            kept = Some(before);
        }
        let from = Connection::open_with_flags(backup, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        let mut target = Connection::open(to)?;
        Backup::new(&from, &mut target)?.run_to_completion(PAGES_AT_ONCE, PAUSE, None)?;
        Ok(kept)
    }
}
