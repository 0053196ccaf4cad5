//! `ovenfall backup` and `ovenfall restore`: the data file copied whole, and put back.

use crate::arguments::{BackupArguments, RestoreArguments};
use crate::data_file;
use crate::failure::Failure;
use ovenfall_store::{Serving, Store};
use std::io::Write;
use std::process::ExitCode;

/// Copies the data file, also while a server is at work on it.
pub fn backup(arguments: &BackupArguments, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let store = data_file::existing(&arguments.data)?;
    store.backup(&arguments.to)?;
    writeln!(out, "{}: a whole copy of {}", arguments.to.display(), store.path().display())?;
    Ok(ExitCode::SUCCESS)
}

/// Puts a backup in the place of the data file.
pub fn restore(arguments: &RestoreArguments, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let to = data_file::path(&arguments.data)?;
    let _alone = Serving::claim(&to)?;
    let kept = Store::restore(&arguments.from, &to)?;
    writeln!(out, "{} is in place of {}", arguments.from.display(), to.display())?;
    if let Some(kept) = kept {
        writeln!(out, "What was there is kept: {}", kept.display())?;
    }
    Ok(ExitCode::SUCCESS)
}
