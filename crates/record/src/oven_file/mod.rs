//! Oven files: an oven in words and centimetres, read into the description the engine works with.
//!
//! A file is read into an [`OvenSheet`] (what it says), checked, and made into an [`OvenFile`] (what it means), in which
//! every unknown carries the usual value of its construction with a wider spread.

mod check;
pub mod fields;
mod keys;
mod nearest_construction;
mod read;
mod resolve;
pub mod sheet;
pub mod usual;
mod values;

pub use sheet::{OvenSheet, Shape, SheetLayer};

use jiff::tz::TimeZone;
use ovenfall_engine::description::OvenDescription;

use crate::catalogue::Catalogue;
use crate::problem::{Problem, Severity};

/// The version of the format this reader reads and [`OvenSheet::to_toml`] prints.
pub const OVEN_FORMAT_VERSION: i64 = 1;

/// Largest oven file that is read, bytes: a thousand times what a description needs.
pub const MAX_OVEN_FILE_BYTES: usize = 1_000_000;

/// An oven file, read, checked and completed.
#[derive(Debug, Clone, PartialEq)]
pub struct OvenFile {
    /// What the file says.
    pub sheet: OvenSheet,
    /// The oven, every unknown filled in.
    pub description: OvenDescription,
    /// The construction unknown values were taken from.
    pub construction: String,
    /// Where the oven's clock is.
    pub time_zone: TimeZone,
    /// Emissivity the infra-red thermometer is set to.
    pub infrared_setting: f64,
    /// What looks wrong and what to be careful about.
    pub warnings: Vec<Problem>,
    /// What was filled in, in words.
    pub assumed: Vec<String>,
}

/// Reads the text of an oven file. `file_name` is only used to say where a problem is.
///
/// # Errors
/// Every problem found, warnings among them, in the order of the file, when at least one is an error.
pub fn read_oven(file_name: &str, text: &str) -> Result<OvenFile, Vec<Problem>> {
    let catalogue = Catalogue::built_in()?;
    let mut read = read::read_sheet(file_name, text, catalogue);
    check::check_sheet(&mut read, catalogue);
    finish(read, catalogue)
}

/// Makes a sheet into the oven it describes, without a file. Problems carry no line.
///
/// # Errors
/// Every problem found, as [`read_oven`].
pub fn resolve_sheet(name: &str, sheet: &OvenSheet) -> Result<OvenFile, Vec<Problem>> {
    read_oven(name, &sheet.to_toml())
        .map_err(|problems| problems.into_iter().map(|problem| Problem { line: 0, column: 0, ..problem }).collect())
}

/// Prints an oven file again: what it said, not what was filled in.
#[must_use]
pub fn write_oven(oven: &OvenFile) -> String {
    oven.sheet.to_toml()
}

fn finish(mut read: read::Read<'_>, catalogue: &Catalogue) -> Result<OvenFile, Vec<Problem>> {
    let resolved = if read.has_errors() { None } else { resolve::resolve(&mut read, catalogue) };
    let has_errors = read.has_errors();
    let mut problems = read.problems;
    problems.sort_by_key(|problem| (problem.line, problem.column));
    match resolved {
        Some(resolved) if !has_errors => Ok(OvenFile {
            sheet: read.sheet,
            description: resolved.description,
            construction: resolved.construction,
            time_zone: resolved.time_zone,
            infrared_setting: resolved.infrared_setting,
            warnings: problems,
            assumed: resolved.assumed,
        }),
        _ => Err(problems),
    }
}

impl read::Read<'_> {
    fn has_errors(&self) -> bool {
        self.problems.iter().any(|problem| problem.severity == Severity::Error)
    }
}
