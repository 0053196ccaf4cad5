//! One file a verb.

pub mod backup;
pub mod bundle;
pub mod check;
pub mod demo;
pub mod fall;
pub mod now;
pub mod oven;
pub mod replay;
pub mod serve;
pub mod when;

use crate::failure::Failure;
use comfy_table::Table;
use serde::Serialize;
use std::io::Write;
use std::path::Path;

/// Writes a picture.
fn write_file(path: &Path, text: &str) -> Result<(), Failure> {
    std::fs::write(path, text).map_err(|source| Failure::Write { path: path.to_owned(), source })
}

/// Prints an answer as JSON, on one line.
fn print_json(out: &mut dyn Write, answer: &impl Serialize) -> Result<(), Failure> {
    writeln!(out, "{}", serde_json::to_string(answer)?)?;
    Ok(())
}

/// Prints a table without blanks at the ends of its lines.
fn print_table(table: &Table, out: &mut dyn Write) -> Result<(), Failure> {
    for line in table.lines() {
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}
