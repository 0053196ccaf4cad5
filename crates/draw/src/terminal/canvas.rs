//! A field of characters that text is written into.

use crate::axis::ValueAxis;
use crate::band::Spread;
use crate::text;

/// Eighths of a block, for the end of a bar.
const EIGHTHS: [&str; 8] = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"];

/// Rows of characters; writing beyond the edge is left out.
pub(super) struct Canvas {
    rows: Vec<Vec<char>>,
}

impl Canvas {
    pub(super) fn new(columns: usize, rows: usize) -> Self {
        Self { rows: vec![vec![' '; columns]; rows] }
    }

    fn set(&mut self, column: usize, row: usize, glyph: char) {
        if let Some(cell) = self.rows.get_mut(row).and_then(|r| r.get_mut(column)) {
            *cell = glyph;
        }
    }

    /// Writes to the right from a column.
    pub(super) fn write(&mut self, column: usize, row: usize, words: &str) {
        for (i, glyph) in words.chars().enumerate() {
            self.set(column + i, row, glyph);
        }
    }

    /// The same glyph from top to bottom.
    pub(super) fn column(&mut self, column: usize, glyph: char) {
        for row in 0..self.rows.len() {
            self.set(column, row, glyph);
        }
    }

    /// The axis of values with its figures; `left` is the first column of the plot.
    pub(super) fn value_axis(&mut self, axis: &ValueAxis, left: usize) {
        self.column(left - 1, '│');
        for value in axis.ticks() {
            let row = (axis.y_px(value) as usize).min(self.rows.len().saturating_sub(1));
            let words = text::figure(value, 0);
            self.write(left.saturating_sub(2 + words.chars().count()), row, &words);
            self.set(left - 1, row, '┤');
        }
    }

    /// The shades of a spread in one column, and its middle as a half block.
    pub(super) fn spread(&mut self, column: usize, axis: &ValueAxis, spread: &Spread) {
        for row in 0..self.rows.len() {
            let middle = row as f64 + 0.5;
            let within = |high: f64, low: f64| axis.y_px(high) <= middle && middle <= axis.y_px(low);
            if within(spread.p75, spread.p25) {
                self.set(column, row, '▒');
            } else if within(spread.p95, spread.p05) {
                self.set(column, row, '░');
            }
        }
        let y = axis.y_px(spread.p50).max(0.0);
        let row = (y as usize).min(self.rows.len().saturating_sub(1));
        self.set(column, row, if y - (row as f64) < 0.5 { '▀' } else { '▄' });
    }

    /// A mark at a height.
    pub(super) fn mark(&mut self, column: usize, y: f64, glyph: char) {
        self.set(column, (y.max(0.0) as usize).min(self.rows.len().saturating_sub(1)), glyph);
    }

    /// The rows as lines without blanks at their ends.
    pub(super) fn lines(&self) -> String {
        let line = |row: &Vec<char>| format!("{}\n", row.iter().collect::<String>().trim_end());
        self.rows.iter().map(line).collect()
    }
}

/// A bar of a share of `room` columns, to an eighth; shaded when `light`.
pub(super) fn bar(share: f64, room: usize, light: bool) -> String {
    let eighths = (share.clamp(0.0, 1.0) * room as f64 * 8.0).round() as usize;
    if light {
        return "▒".repeat(eighths.div_ceil(8));
    }
    format!("{}{}", "█".repeat(eighths / 8), EIGHTHS[eighths % 8])
}
