//! Where the data file is, and opening it.

use crate::arguments::DataArguments;
use crate::failure::Failure;
use etcetera::BaseStrategy;
use ovenfall_store::Store;
use std::path::PathBuf;

/// Its name in the user's data folder.
const NAME: &str = "ovenfall.db";

/// The data file that is meant: the one named, or the usual one, whose folder is made.
pub fn path(arguments: &DataArguments) -> Result<PathBuf, Failure> {
    if let Some(named) = &arguments.data {
        return Ok(named.clone());
    }
    let base = etcetera::choose_base_strategy().map_err(|error| Failure::NoDataFolder(error.to_string()))?;
    let folder = base.data_dir().join("ovenfall");
    std::fs::create_dir_all(&folder).map_err(|source| Failure::Write { path: folder.clone(), source })?;
    Ok(folder.join(NAME))
}

/// Opens the data file; it must be there already.
pub fn existing(arguments: &DataArguments) -> Result<Store, Failure> {
    let path = path(arguments)?;
    if !path.is_file() {
        return Err(Failure::Folder {
            path,
            what: "there is no data file".to_owned(),
            suggestion: "name it with --data, or make one: ovenfall serve",
        });
    }
    Ok(Store::open(&path)?)
}
