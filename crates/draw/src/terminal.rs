//! The fall and the ledger as plain text for a terminal: no colour, no control codes.
//!
//! The probe's middle is a line of half blocks (two steps a row) in a field of dark shade (1 chance in 2) and light
//! shade (9 chances in 10). Columns are clock time; placings, windows and the store stand below on the same columns.

mod canvas;
mod profile;

use crate::axis::{TimeAxis, ValueAxis};
use crate::band::Bands;
use crate::fall::{FallPicture, Trace};
use crate::ledger::{LedgerPicture, figures};
use crate::suits::Span;
use crate::text;
use canvas::Canvas;

pub use profile::profile;

/// Columns left of the plot: a figure and the axis.
const LEFT: usize = 6;
/// Columns right of the plot: a name and a figure.
const RIGHT: usize = 12;
/// Rows of the temperature plot.
const ROWS: usize = 18;
const BARS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// The fall in so many columns (kept between 48 and 200); every line ends with a line feed.
#[must_use]
pub fn fall(picture: &FallPicture, columns: usize) -> String {
    let picture = picture.cleaned();
    let columns = columns.clamp(48, 200);
    let Some((from_min, to_min)) = picture.ends_min() else {
        return format!("{}\nThere is no forecast to draw.\n", plain(&picture.title));
    };
    let (left_px, right_px) = (LEFT as f64, (columns - RIGHT) as f64);
    let time = TimeAxis { from_min, to_min, left_px, right_px };
    let mut out = head(&picture, columns);
    out.push_str(&temperatures(&picture, &time, columns));
    out.push_str(&hours(&picture, &time, columns));
    out.push_str(&placings(&picture, &time, columns));
    out.push_str(&windows(&picture, &time, columns));
    out.push_str(&store(&picture, &time, columns));
    out
}

/// The ledger as a list of bars in so many columns (kept between 48 and 200).
#[must_use]
pub fn ledger(picture: &LedgerPicture, columns: usize) -> String {
    let columns = columns.clamp(48, 200);
    let shares = picture.shares();
    let words: Vec<String> = shares.iter().map(|(row, share)| plain(&figures(row, *share))).collect();
    let figures_wide = words.iter().map(|w| w.chars().count()).max().unwrap_or(0);
    let label_wide = shares.iter().map(|(row, _)| row.label.chars().count()).max().unwrap_or(0).min(columns * 2 / 5);
    let room = columns.saturating_sub(label_wide + figures_wide + 3).max(8);
    let most = shares.iter().map(|(row, _)| row.energy_kwh.abs()).fold(1e-9, f64::max);
    let mut out = format!("{}\n", cut(&plain(&picture.title), columns));
    if !picture.source.is_empty() {
        out.push_str(&format!("{}\n", cut(&plain(&picture.source), columns)));
    }
    for ((row, _), words) in shares.iter().zip(&words) {
        let bar = canvas::bar(row.energy_kwh.abs() / most, room, row.energy_kwh < 0.0);
        let label = cut(&plain(&row.label), label_wide);
        out.push_str(format!("{label:<label_wide$} {bar:<room$} {words:>figures_wide$}").trim_end());
        out.push('\n');
    }
    out
}

fn head(picture: &FallPicture, columns: usize) -> String {
    let mut out = format!("{}\n", cut(&plain(&picture.title), columns));
    let shades = "▀▄ probe, middle   ▒ 1 chance in 2   ░ 9 chances in 10";
    out.push_str(&format!("{}\n", cut(shades, columns)));
    let marks = [(Trace::Probe, "● probe read"), (Trace::Floor, "■ floor read"), (Trace::Crown, "▲ crown read")];
    let read = |trace: Trace| picture.readings.iter().any(|r| r.what == trace);
    let shown: Vec<&str> = marks.into_iter().filter(|(trace, _)| read(*trace)).map(|(_, words)| words).collect();
    let now = if picture.times_min.first().is_some_and(|t| *t < 0.0) { "┊ now " } else { "now " };
    let shown =
        [vec![format!("{now}{}", picture.clock.day_hhmm(0.0))], shown.iter().map(|s| (*s).to_owned()).collect()];
    out.push_str(&format!("{}\n", cut(&shown.concat().join("   "), columns)));
    out
}

/// The minute in the middle of a column, if the column is on the axis.
fn column_min(time: &TimeAxis, column: usize) -> Option<f64> {
    let share = (column as f64 + 0.5 - time.left_px) / (time.right_px - time.left_px);
    (0.0..=1.0).contains(&share).then_some(time.from_min + share * (time.to_min - time.from_min))
}

fn column_of(time: &TimeAxis, at_min: f64) -> Option<usize> {
    time.holds(at_min).then(|| time.x_px(at_min).min(time.right_px - 1.0) as usize)
}

fn temperatures(picture: &FallPicture, time: &TimeAxis, columns: usize) -> String {
    let times = picture.times_min.as_slice();
    let spread = (0..times.len()).filter_map(|i| picture.probe_c.at(i)).flat_map(|s| [s.p05, s.p50, s.p95]);
    let read = picture.readings.iter().map(|r| r.value_c);
    let shown: Vec<f64> = spread.chain(read).collect();
    let axis = ValueAxis::covering(shown.iter().copied(), 6.0, 0.0, ROWS as f64).tightened(shown.into_iter(), 4.0);
    let mut canvas = Canvas::new(columns, ROWS);
    canvas.value_axis(&axis, LEFT);
    if let Some(column) = column_of(time, 0.0) {
        canvas.column(column, '┊');
    }
    for column in LEFT..columns {
        let at = column_min(time, column).and_then(|t| picture.probe_c.at_min(times, t));
        if let Some(spread) = at {
            canvas.spread(column, &axis, &spread);
        }
    }
    for reading in &picture.readings {
        if let Some(column) = column_of(time, reading.at_min) {
            canvas.mark(column, axis.y_px(reading.value_c), mark(reading.what));
        }
    }
    name_ends(&mut canvas, picture, &axis, columns);
    canvas.lines()
}

const fn mark(trace: Trace) -> char {
    match trace {
        Trace::Probe => '●',
        Trace::Floor => '■',
        Trace::Crown => '▲',
        Trace::Gas => '◆',
    }
}

/// The three last values in the right margin, apart from each other.
fn name_ends(canvas: &mut Canvas, picture: &FallPicture, axis: &ValueAxis, columns: usize) {
    let traces = [Trace::Floor, Trace::Probe, Trace::Crown];
    let last = |trace: Trace| {
        let bands = picture.trace(trace);
        bands.last(picture.times_min.len()).and_then(|i| bands.at(i)).map(|s| (trace, s.p50))
    };
    let ends: Vec<(Trace, f64)> = traces.into_iter().filter_map(last).collect();
    let wanted: Vec<f64> = ends.iter().map(|(_, v)| axis.y_px(*v).floor()).collect();
    let placed = crate::axis::spread_apart(&wanted, 1.0, 0.0, ROWS as f64 - 1.0);
    for ((trace, value), row) in ends.iter().zip(placed) {
        let words = format!("{} {}°", trace.name(), text::figure(*value, 0));
        canvas.write(columns - RIGHT + 1, row as usize, &words);
    }
}

fn hours(picture: &FallPicture, time: &TimeAxis, columns: usize) -> String {
    let mut canvas = Canvas::new(columns, 3);
    canvas.write(LEFT - 1, 0, &format!("└{}", "─".repeat(columns - RIGHT - LEFT)));
    let mut first = true;
    for tick in time.hours(&picture.clock, 7.0) {
        let (Some(column), Some(label)) = (column_of(time, tick.at_min), tick.label) else { continue };
        canvas.write(column, 0, "┴");
        canvas.write(column.saturating_sub(2), 1, &label);
        if let (true, Some(day)) = (first || tick.midnight, picture.clock.day_name(tick.at_min)) {
            canvas.write(column.saturating_sub(2), 2, day);
        }
        first = false;
    }
    canvas.write(columns - RIGHT + 4, 1, "clock");
    canvas.lines()
}

/// A lane: glyphs over stretches, words beside them.
fn lane(time: &TimeAxis, columns: usize, layers: &[(&[Span], char)], words: &str) -> String {
    let mut canvas = Canvas::new(columns, 1);
    let (mut least, mut most) = (usize::MAX, 0);
    for (spans, glyph) in layers {
        for span in *spans {
            let ends = time
                .clip(span.from_min, span.to_min)
                .and_then(|(a, b)| Some((column_of(time, a)?, column_of(time, b)?)));
            let Some((from, to)) = ends else { continue };
            (least, most) = (least.min(from), most.max(to));
            canvas.write(from, 0, &glyph.to_string().repeat(to - from + 1));
        }
    }
    let wide = words.chars().count();
    match (least > most, most + 2 + wide <= columns, wide < least) {
        (true, _, _) => canvas.write(LEFT, 0, words),
        (false, true, _) => canvas.write(most + 2, 0, words),
        (false, false, true) => canvas.write(least - wide - 1, 0, words),
        _ => return format!("{}{}\n{}", " ".repeat(LEFT), cut(words, columns - LEFT), canvas.lines()),
    }
    canvas.lines()
}

fn placings(picture: &FallPicture, time: &TimeAxis, columns: usize) -> String {
    if picture.placings.is_empty() {
        return String::new();
    }
    let mut out = "In the oven (█ up to now, ▒ planned)\n".to_owned();
    for placing in &picture.placings {
        let to_min = placing.out_min.unwrap_or(f64::INFINITY);
        let done = [Span { from_min: placing.in_min, to_min: to_min.min(0.0) }];
        let planned = [Span { from_min: placing.in_min.max(0.0), to_min }];
        let clock = &picture.clock;
        let until = placing.out_min.map_or_else(String::new, |t| format!("–{}", clock.hhmm(t)));
        let words = format!("{} {}{until}", plain(&placing.name), clock.hhmm(placing.in_min));
        out.push_str(&lane(time, columns, &[(&planned, '▒'), (&done, '█')], &words));
    }
    out
}

fn windows(picture: &FallPicture, time: &TimeAxis, columns: usize) -> String {
    if picture.windows.is_empty() {
        return String::new();
    }
    let mut out = "Reads right for (█ 9 in 10, ▒ 1 in 2, · perhaps)\n".to_owned();
    for window in &picture.windows {
        let suits = &window.reads_right;
        let words = format!("{}: {}", plain(&window.dish), suits.words(&picture.clock, time.to_min));
        let layers: [(&[Span], char); 3] = [(&suits.possible, '·'), (&suits.even, '▒'), (&suits.nine_in_ten, '█')];
        out.push_str(&lane(time, columns, &layers, &words));
    }
    out
}

/// The middle of the store as a row of bars, from nothing to the most in view.
fn store(picture: &FallPicture, time: &TimeAxis, columns: usize) -> String {
    let (times, bands): (&[f64], &Bands) = (&picture.times_min, &picture.store_kwh);
    let middle = |i: Option<usize>| i.and_then(|i| bands.at(i)).map(|s| s.p50);
    let (Some(last), Some(most)) = (middle(bands.last(times.len())), highest(times, bands)) else {
        return String::new();
    };
    let now = bands.at_min(times, 0.0).map_or_else(String::new, |s| format!(", now {}", text::kwh(s.p50)));
    let head = format!("Heat in store above {}{now}", text::celsius(picture.store_above_c));
    let mut canvas = Canvas::new(columns, 1);
    for column in LEFT..columns {
        let at = column_min(time, column).and_then(|t| bands.at_min(times, t));
        if let Some(spread) = at {
            let step = (spread.p50 / most * 8.0).round().clamp(0.0, 8.0);
            canvas.write(column, 0, &BARS[step as usize].to_string());
        }
    }
    canvas.write(columns - RIGHT + 1, 0, &text::kwh(last));
    plain(&format!("{}\n{}", cut(&head, columns), canvas.lines()))
}

fn highest(times_min: &[f64], bands: &Bands) -> Option<f64> {
    let most = (0..times_min.len()).filter_map(|i| bands.at(i)).map(|s| s.p50).fold(0.0, f64::max);
    (most > 0.0).then_some(most)
}

/// Ordinary spaces and no control characters but the line feed.
fn plain(words: &str) -> String {
    words.replace(text::BOUND, " ").chars().filter(|c| !c.is_control() || *c == '\n').collect()
}

/// At most so many characters, the last one an ellipsis where some are left out.
fn cut(words: &str, most: usize) -> String {
    if words.chars().count() <= most {
        return words.to_owned();
    }
    let kept: String = words.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}
