//! Where in a text a byte stands, for messages about TOML values.

/// Line and column, both from 1, the column in characters. A place past the end is the end.
#[must_use]
pub fn line_and_column(text: &str, byte: usize) -> (usize, usize) {
    let mut end = byte.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = text.get(..end).unwrap_or_default();
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
    let column = before.get(line_start..).unwrap_or_default().chars().count() + 1;
    (line, column)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_lines_and_characters() {
        assert_eq!(line_and_column("", 0), (1, 1));
        assert_eq!(line_and_column("é = 1\nab", 3), (1, 3));
        assert_eq!(line_and_column("é = 1\nab", 8), (2, 2));
        assert_eq!(line_and_column("é", 1), (1, 1));
        assert_eq!(line_and_column("a", 99), (1, 2));
    }
}
