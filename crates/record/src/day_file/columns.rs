//! The header of a day's file: which column holds what, and the version of the format.

use super::cells::Cell;
use super::{error_at, warning_at};
use crate::problem::Problem;
use crate::suggest::nearest;
use crate::wording::{normal, short};

/// Version of the format.
pub const SCHEMA_VERSION: u32 = 1;

/// What the comment in the first row starts with.
pub const SCHEMA_WORDS: &str = "ovenfall day";

/// Names of the columns, in the order they are written.
pub const NAMES: [&str; 9] = ["id", "at", "written", "kind", "what", "value", "unit", "note", "strikes"];

/// One of the columns of [`NAMES`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    Id,
    At,
    Written,
    Kind,
    What,
    Value,
    Unit,
    Note,
    Strikes,
}

impl Column {
    /// The name in the header.
    pub const fn name(self) -> &'static str {
        NAMES[self as usize]
    }
}

/// Where each column stands in the rows.
#[derive(Debug, Clone, Default)]
pub struct Columns {
    places: [Option<usize>; NAMES.len()],
    /// How many cells the header has.
    pub width: usize,
}

impl Columns {
    /// All columns, in the order they are written.
    pub fn in_order() -> Self {
        Self { places: std::array::from_fn(Some), width: NAMES.len() }
    }

    /// Finds the columns in the header; `None` when one is missing without which no row can be read.
    pub fn find(file: &str, header: &[Cell], problems: &mut Vec<Problem>) -> Option<Self> {
        let mut columns = Self { width: header.len(), ..Self::default() };
        for (place, cell) in header.iter().enumerate().filter(|(_, cell)| !cell.text.is_empty()) {
            let name = normal(&cell.text);
            match NAMES.iter().position(|known| *known == name) {
                Some(column) if columns.places[column].is_some() => {
                    problems.push(error_at(file, cell.line, cell.column, format!("the column `{name}` is there twice")))
                }
                Some(column) => columns.places[column] = Some(place),
                None => problems.push(unknown_column(file, cell)),
            }
        }
        let first = header.first()?;
        let mut complete = true;
        for column in [Column::Id, Column::At, Column::Kind] {
            if columns.places[column as usize].is_none() {
                complete = false;
                problems.push(Problem {
                    suggestion: Some(format!("start with a row `{}`", NAMES.join(","))),
                    ..error_at(file, first.line, 0, format!("there is no column `{}`", column.name()))
                });
            }
        }
        complete.then_some(columns)
    }

    /// The cell of a column in a row, if the row reaches so far.
    pub fn cell<'a>(&self, row: &'a [Cell], column: Column) -> Option<&'a Cell> {
        self.places[column as usize].and_then(|place| row.get(place))
    }
}

fn unknown_column(file: &str, cell: &Cell) -> Problem {
    match nearest(&cell.text, NAMES) {
        Some(near) => Problem {
            suggestion: Some(format!("did you mean `{near}`?")),
            ..error_at(file, cell.line, cell.column, format!("unknown column `{}`", short(&cell.text)))
        },
        None => Problem {
            limits: Some(NAMES.join(", ")),
            ..warning_at(
                file,
                cell.line,
                cell.column,
                format!("unknown column `{}`; it is left out", short(&cell.text)),
            )
        },
    }
}

/// Looks for `# ovenfall day 1` among the comments.
pub fn check_schema(file: &str, comments: &[Vec<Cell>], problems: &mut Vec<Problem>) {
    let declared = comments.iter().filter_map(|row| row.first()).find_map(|cell| {
        let text = normal(cell.text.trim_start_matches('#'));
        text.strip_prefix(SCHEMA_WORDS).map(|version| (cell, version.trim().to_owned()))
    });
    let should = format!("# {SCHEMA_WORDS} {SCHEMA_VERSION}");
    match declared {
        None => problems.push(Problem {
            suggestion: Some(format!("put `{should}` above the header")),
            ..warning_at(file, 1, 0, format!("no version of the format is given; version {SCHEMA_VERSION} is assumed"))
        }),
        Some((_, version)) if version == SCHEMA_VERSION.to_string() => {}
        Some((cell, version)) => problems.push(Problem {
            limits: Some(format!("version {SCHEMA_VERSION}")),
            suggestion: Some(format!("a file of a later version needs a later program; otherwise write `{should}`")),
            ..error_at(
                file,
                cell.line,
                cell.column,
                format!("version `{}` of the format is not known", short(&version)),
            )
        }),
    }
}
