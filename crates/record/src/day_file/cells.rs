//! Cuts the text of a CSV file into cells that know their line and column.
//!
//! The `csv` crate writes; it does not read here, because it does not say in which column a cell stands, and a message
//! that points at the cell is worth these lines. Quoting follows RFC 4180; a stray quote inside a cell is kept.

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// Its text, trimmed.
    pub text: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// The rows of a file.
#[derive(Debug, Clone, Default)]
pub struct Rows {
    /// Rows that are neither blank nor comments.
    pub rows: Vec<Vec<Cell>>,
    /// Rows whose first cell starts with `#`.
    pub comments: Vec<Vec<Cell>>,
    /// Line and column of a quote that is never closed.
    pub open_quote: Option<(usize, usize)>,
    /// Whether there were more rows than asked for.
    pub more: bool,
}

/// Which character parts the cells: the one of `;`, tab and `,` met first in the first row that has any, `,` otherwise.
#[must_use]
pub fn delimiter_of(text: &str) -> char {
    let without_comments = text.lines().filter(|line| !line.trim_start_matches(['"', ' ']).starts_with('#'));
    let count = |line: &str, mark: char| line.matches(mark).count();
    for line in without_comments.filter(|line| !line.trim().is_empty()).take(1) {
        let best = [',', ';', '\t'].into_iter().max_by_key(|mark| (count(line, *mark), u8::from(*mark == ',')));
        if let Some(best) = best.filter(|mark| count(line, *mark) > 0) {
            return best;
        }
    }
    ','
}

/// Walks the characters, keeping line and column.
struct Walk<'a> {
    rest: std::iter::Peekable<std::str::Chars<'a>>,
    line: usize,
    column: usize,
}

impl Walk<'_> {
    /// The next character; CR LF and a lone CR come out as one LF.
    fn next(&mut self) -> Option<char> {
        let mut c = self.rest.next()?;
        if c == '\r' {
            self.rest.next_if_eq(&'\n');
            c = '\n';
        }
        if c == '\n' {
            self.line += 1;
            self.column = 1;
        } else {
            self.column += 1;
        }
        Some(c)
    }
}

/// Cuts `text` into at most `max_rows` rows.
#[must_use]
pub fn cut(text: &str, delimiter: char, max_rows: usize) -> Rows {
    let mut walk = Walk { rest: text.chars().peekable(), line: 1, column: 1 };
    let mut rows = Rows::default();
    let mut row: Vec<Cell> = Vec::new();
    while walk.rest.peek().is_some() {
        let (cell, end_of_row) = cut_cell(&mut walk, delimiter, &mut rows.open_quote);
        row.push(cell);
        if end_of_row {
            keep(std::mem::take(&mut row), &mut rows);
            if rows.rows.len() > max_rows {
                rows.more = true;
                return rows;
            }
        }
    }
    keep(row, &mut rows);
    rows
}

/// Reads one cell up to the delimiter or the end of its row.
fn cut_cell(walk: &mut Walk<'_>, delimiter: char, open_quote: &mut Option<(usize, usize)>) -> (Cell, bool) {
    let (line, column) = (walk.line, walk.column);
    let mut text = String::new();
    let mut quote_at = None;
    loop {
        let before = (walk.line, walk.column);
        let Some(c) = walk.next() else {
            *open_quote = open_quote.or(quote_at);
            return (finished(&text, line, column), true);
        };
        match (c, quote_at) {
            ('"', Some(_)) if walk.rest.next_if_eq(&'"').is_some() => {
                walk.column += 1;
                text.push('"');
            }
            ('"', Some(_)) => quote_at = None,
            ('"', None) if text.trim().is_empty() => {
                text.clear();
                quote_at = Some(before);
            }
            ('\n', None) => return (finished(&text, line, column), true),
            (c, None) if c == delimiter => return (finished(&text, line, column), false),
            (c, _) => text.push(c),
        }
    }
}

fn finished(text: &str, line: usize, column: usize) -> Cell {
    Cell { text: text.trim().to_owned(), line, column }
}

fn keep(row: Vec<Cell>, rows: &mut Rows) {
    if row.first().is_some_and(|cell| cell.text.starts_with('#')) {
        rows.comments.push(row);
    } else if row.iter().any(|cell| !cell.text.is_empty()) {
        rows.rows.push(row);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(row: &[Cell]) -> Vec<&str> {
        row.iter().map(|cell| cell.text.as_str()).collect()
    }

    #[test]
    fn quotes_lines_and_places() {
        let rows = cut("# c\r\na,\"b, \"\"x\"\"\r\nmore\",c\r\n\r\n,,\r\nd", ',', 10);
        assert_eq!(rows.comments.len(), 1);
        assert_eq!(texts(&rows.rows[0]), ["a", "b, \"x\"\nmore", "c"]);
        assert_eq!((rows.rows[0][1].line, rows.rows[0][1].column), (2, 3));
        assert_eq!((rows.rows[0][2].line, rows.rows[0][2].column), (3, 7));
        assert_eq!((texts(&rows.rows[1]), rows.rows[1][0].line), (vec!["d"], 6));
        assert_eq!(rows.open_quote, None);
    }

    #[test]
    fn an_open_quote_is_found_and_rows_are_counted() {
        assert_eq!(cut("a\nb,\"c\nd", ',', 10).open_quote, Some((2, 3)));
        assert!(cut("a\nb\nc\n", ',', 2).more);
        assert!(!cut("a\nb\n", ',', 2).more);
    }

    #[test]
    fn the_delimiter_is_guessed_from_the_header() {
        assert_eq!(delimiter_of("# ovenfall day 1;;\nid;at;written\n1,2;3;4"), ';');
        assert_eq!(delimiter_of("id,at,written"), ',');
        assert_eq!(delimiter_of("id\tat"), '\t');
        assert_eq!(delimiter_of(""), ',');
    }
}
