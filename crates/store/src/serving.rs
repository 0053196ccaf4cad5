//! That a server is at work on a data file: told to whoever would put another file in its place.

use crate::error::StoreError;
use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};

/// Held while a server is at work; let go when it ends, however it ends.
#[derive(Debug)]
pub struct Serving {
    _held: File,
}

fn beside(data: &Path) -> PathBuf {
    let mut name = data.file_name().unwrap_or_default().to_owned();
    name.push(".serving");
    data.with_file_name(name)
}

impl Serving {
    /// Claims a data file for a server, or for putting another file in its place.
    ///
    /// # Errors
    /// [`StoreError::InUse`] while a server is at work on it.
    pub fn claim(data: &Path) -> Result<Self, StoreError> {
        let path = beside(data);
        let failed = |source| StoreError::File { path: path.clone(), source };
        let held = OpenOptions::new().create(true).truncate(false).write(true).open(&path).map_err(failed)?;
        match held.try_lock() {
            Ok(()) => Ok(Self { _held: held }),
            Err(TryLockError::WouldBlock) => Err(StoreError::InUse { path: data.to_owned() }),
            Err(TryLockError::Error(source)) => Err(failed(source)),
        }
    }
}
