//! The figures of a picture as rows of text, for a screen reader, a page's table or a terminal.

/// A table of text: every row is as long as the head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// Names of the columns, with units.
    pub head: Vec<String>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    pub(crate) fn new(caption: &str, head: &[&str]) -> Self {
        Self { caption: caption.to_owned(), head: head.iter().map(|h| (*h).to_owned()).collect(), rows: Vec::new() }
    }

    /// Aligned columns, two spaces between, one line a row.
    #[must_use]
    pub fn to_text(&self) -> String {
        let lines: Vec<&Vec<String>> = std::iter::once(&self.head).chain(&self.rows).collect();
        let wide: Vec<usize> = (0..self.head.len())
            .map(|i| lines.iter().filter_map(|l| l.get(i)).map(|c| c.chars().count()).max().unwrap_or(0))
            .collect();
        let mut out = format!("{}\n", self.caption);
        for line in lines {
            let padded: Vec<String> = line.iter().zip(&wide).map(|(cell, w)| format!("{cell:<w$}")).collect();
            out.push_str(padded.join("  ").trim_end());
            out.push('\n');
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up() {
        let mut table = Table::new("Bread", &["loaf", "core °C"]);
        table.rows.push(vec!["tin loaf one".into(), "96".into()]);
        assert_eq!(table.to_text(), "Bread\nloaf          core °C\ntin loaf one  96\n");
    }
}
