//! `ovenfall take-out` and `ovenfall bring-in`: an oven with its days as plain files in a folder.
//!
//! `oven.toml`, and for each day `days/ID.csv` and, where it has pots, `days/ID.pots.toml`.

use crate::arguments::{BringInArguments, TakeOutArguments};
use crate::data_file;
use crate::failure::Failure;
use crate::input_file;
use jiff::Timestamp;
use ovenfall_store::{Bundle, DayFiles, DayId, OvenId, Store};
use std::ffi::OsStr;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Who is said to have written what is brought in.
const WHO: &str = "";

fn written(path: &Path, text: &str) -> Result<(), Failure> {
    fs::write(path, text).map_err(|source| Failure::Write { path: path.to_owned(), source })
}

/// Writes an oven and its days into a folder that holds nothing yet.
pub fn take_out(arguments: &TakeOutArguments, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let bundle = data_file::existing(&arguments.data)?.take_out(&OvenId::new(&arguments.oven)?)?;
    let folder = &arguments.folder;
    let days = folder.join("days");
    if fs::read_dir(folder).is_ok_and(|mut held| held.next().is_some()) {
        let what = "the folder holds something already".to_owned();
        return Err(Failure::Folder { path: folder.clone(), what, suggestion: "name a new folder" });
    }
    fs::create_dir_all(&days).map_err(|source| Failure::Write { path: days.clone(), source })?;
    written(&folder.join("oven.toml"), &bundle.oven_toml)?;
    for day in &bundle.days {
        written(&days.join(format!("{}.csv", day.day)), &day.csv)?;
        if let Some(pots) = &day.pots_toml {
            written(&days.join(format!("{}.pots.toml", day.day)), pots)?;
        }
    }
    writeln!(out, "{}: the oven {} and {} of its days", folder.display(), bundle.oven, bundle.days.len())?;
    Ok(ExitCode::SUCCESS)
}

/// Brings an oven and its days in from a folder.
pub fn bring_in(arguments: &BringInArguments, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let folder = &arguments.folder;
    let named = || folder.canonicalize().ok()?.file_name().and_then(OsStr::to_str).map(str::to_owned);
    let id = arguments.oven.clone().or_else(named).unwrap_or_default();
    let bundle = Bundle {
        oven: OvenId::new(&id)?,
        oven_toml: text(&folder.join("oven.toml"))?,
        days: days(&folder.join("days"))?,
    };
    let new = Store::open(&data_file::path(&arguments.data)?)?.bring_in(&bundle, WHO, Timestamp::now())?;
    writeln!(out, "{}: {} days, {new} entries that were not there yet", bundle.oven, bundle.days.len())?;
    Ok(ExitCode::SUCCESS)
}

fn text(path: &Path) -> Result<String, Failure> {
    Ok(input_file::read(path).map_err(|problem| Failure::Problems(vec![problem]))?.text)
}

/// The days of a folder, by name; none where there is no such folder.
fn days(folder: &Path) -> Result<Vec<DayFiles>, Failure> {
    let Ok(held) = fs::read_dir(folder) else { return Ok(Vec::new()) };
    let mut paths: Vec<PathBuf> = held.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect();
    paths.sort();
    let mut days = Vec::new();
    for path in paths.iter().filter(|path| path.extension().is_some_and(|end| end == "csv")) {
        let name = path.file_stem().and_then(OsStr::to_str).unwrap_or_default();
        let pots = path.with_extension("pots.toml");
        let pots_toml = if pots.is_file() { Some(text(&pots)?) } else { None };
        days.push(DayFiles { day: DayId::new(name)?, csv: text(path)?, pots_toml });
    }
    Ok(days)
}
