//! The file of a day: a CSV that a spreadsheet can write and read back. Format: `docs/formats.md`.
//!
//! Reading collects every problem; nothing here panics on any text.

pub mod cells;
mod checks;
mod columns;
mod kinds;
mod row;
mod write;

pub use columns::NAMES as FIELDS;
pub use write::{text_of_lines, write_day, write_line};

use crate::day::{Day, Entry};
use crate::problem::{Problem, Severity};
use columns::{Columns, SCHEMA_VERSION};

/// Largest file read, bytes. A year of one-minute readings is not a day.
pub const MAX_DAY_FILE_BYTES: usize = 8 * 1024 * 1024;

/// Most rows read: a reading a second for a day and more.
pub const MAX_ROWS: usize = 100_000;

/// Reads the file of a day.
///
/// # Errors
/// Every problem found, warnings among them, when at least one of them is an error.
pub fn read_day(file_name: &str, text: &str) -> Result<Day, Vec<Problem>> {
    let file = file_name;
    if text.len() > MAX_DAY_FILE_BYTES {
        return Err(vec![too_big(file, text.len())]);
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let delimiter = cells::delimiter_of(text);
    let rows = cells::cut(text, delimiter, MAX_ROWS + 1);
    let mut problems = Vec::new();
    if rows.more {
        return Err(vec![too_many_rows(file)]);
    }
    if let Some((line, column)) = rows.open_quote {
        problems.push(Problem {
            suggestion: Some("close the cell with another `\"`".into()),
            ..error_at(file, line, column, "this quote is never closed".into())
        });
    }
    let Some((header, body)) = rows.rows.split_first() else {
        problems.push(Problem {
            suggestion: Some(format!("start with a row `{}`", columns::NAMES.join(","))),
            ..error_at(file, 0, 0, "the file is empty".into())
        });
        return Err(problems);
    };
    columns::check_schema(file, &rows.comments, &mut problems);
    let columns = Columns::find(file, header, &mut problems);
    let mut entries = Vec::with_capacity(body.len());
    if let Some(columns) = columns {
        for cells in body {
            entries.extend(row::read_row(file, delimiter, &columns, cells, &mut problems));
        }
        checks::check_across(file, &entries, &mut problems);
    }
    problems.sort_by_key(|problem| (problem.line, problem.column));
    if problems.iter().any(|problem| problem.severity == Severity::Error) {
        return Err(problems);
    }
    Ok(Day { file: file.to_owned(), entries, warnings: problems })
}

/// What is wrong with one field of an entry that was not read from a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldProblem {
    /// Name of the field, as the day file's column has it.
    pub field: &'static str,
    /// What is wrong, and what to do.
    pub problem: Problem,
}

/// Reads one entry from its fields, in the order of [`FIELDS`]; an empty text is an empty cell. What only shows beside
/// other entries (ids, strikes, dishes) is not checked here.
///
/// # Errors
/// Every problem, with the field it is about.
pub fn read_entry(fields: &[&str; FIELDS.len()]) -> Result<Entry, Vec<FieldProblem>> {
    let cell = |(i, text): (usize, &&str)| cells::Cell { text: text.trim().to_owned(), line: 0, column: i + 1 };
    let row: Vec<cells::Cell> = fields.iter().enumerate().map(cell).collect();
    let mut problems = Vec::new();
    let entry = row::read_row("the entry", ',', &Columns::in_order(), &row, &mut problems);
    match entry {
        Some(entry) if problems.iter().all(|problem| problem.severity != Severity::Error) => Ok(entry),
        _ => {
            let field = |problem: &Problem| FIELDS.get(problem.column.saturating_sub(1)).copied().unwrap_or(FIELDS[0]);
            let of = |problem: Problem| FieldProblem {
                field: field(&problem),
                problem: Problem { column: 0, line: 0, ..problem },
            };
            Err(problems.into_iter().map(of).collect())
        }
    }
}

/// An error at a place, without limits or suggestion.
pub(crate) fn error_at(file: &str, line: usize, column: usize, what: String) -> Problem {
    Problem { severity: Severity::Error, file: file.to_owned(), line, column, what, limits: None, suggestion: None }
}

/// A warning at a place, without limits or suggestion.
pub(crate) fn warning_at(file: &str, line: usize, column: usize, what: String) -> Problem {
    Problem { severity: Severity::Warning, ..error_at(file, line, column, what) }
}

#[expect(clippy::cast_precision_loss, reason = "a size for a message")]
fn too_big(file: &str, bytes: usize) -> Problem {
    const MB: f64 = 1024.0 * 1024.0;
    Problem {
        limits: Some(format!("up to {:.0} MB", MAX_DAY_FILE_BYTES as f64 / MB)),
        suggestion: Some("keep one firing a file, and thin a logger's readings to one a minute".into()),
        ..error_at(file, 0, 0, format!("the file is {:.1} MB long", bytes as f64 / MB))
    }
}

fn too_many_rows(file: &str) -> Problem {
    Problem {
        limits: Some(format!("up to {MAX_ROWS} rows")),
        suggestion: Some("keep one firing a file, and thin a logger's readings to one a minute".into()),
        ..error_at(file, 0, 0, format!("the file has more than {MAX_ROWS} rows"))
    }
}

/// The version of the format this program writes.
#[must_use]
pub const fn schema_version() -> u32 {
    SCHEMA_VERSION
}
