//! The figures of a picture as rows of text, for a screen reader, a page's table or a terminal.

use crate::svg::escaped;

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

    /// As an HTML table for a page: a caption, heads of columns, and the first cell of each row as its head.
    #[must_use]
    pub fn to_html(&self) -> String {
        let heads: String = self.head.iter().map(|h| format!("<th scope=\"col\">{}</th>", escaped(h))).collect();
        let mut out =
            format!("<table>\n<caption>{}</caption>\n<thead><tr>{heads}</tr></thead>\n", escaped(&self.caption));
        out.push_str("<tbody>\n");
        for row in &self.rows {
            let cells: String = row.iter().enumerate().map(|(i, cell)| html_cell(i, cell)).collect();
            out.push_str(&format!("<tr>{cells}</tr>\n"));
        }
        out.push_str("</tbody>\n</table>\n");
        out
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

fn html_cell(column: usize, cell: &str) -> String {
    let cell = escaped(cell);
    if column == 0 { format!("<th scope=\"row\">{cell}</th>") } else { format!("<td>{cell}</td>") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_gets_heads_for_columns_and_rows_and_nothing_unescaped() {
        let mut table = Table::new("Bread & more", &["loaf", "core °C"]);
        table.rows.push(vec!["<tin>".into(), "96".into()]);
        let html = table.to_html();
        assert!(
            html.starts_with("<table>\n<caption>Bread &amp; more</caption>\n<thead><tr><th scope=\"col\">loaf</th>")
        );
        assert!(html.contains("<tr><th scope=\"row\">&lt;tin&gt;</th><td>96</td></tr>"), "{html}");
    }

    #[test]
    fn columns_line_up() {
        let mut table = Table::new("Bread", &["loaf", "core °C"]);
        table.rows.push(vec!["tin loaf one".into(), "96".into()]);
        assert_eq!(table.to_text(), "Bread\nloaf          core °C\ntin loaf one  96\n");
    }
}
