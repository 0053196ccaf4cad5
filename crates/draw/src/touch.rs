//! The values of a picture under a finger, a mouse or the arrow keys.
//!
//! A page shows a picture in [`crate::theme::Mode::Page`] with its figures beside it and loads [`TOUCH_JS`] once, from
//! its own address (`<script src=… defer>`). [`Touch::html`] writes the whole:
//!
//! ```html
//! <figure data-draw-touch tabindex="0" role="group" aria-label="…">
//!   <div class="draw-narrow"><svg …>…</svg></div>   <!-- shown below 700 px, by page_css -->
//!   <div class="draw-wide"><svg …>…</svg></div>     <!-- shown from 700 px on, and on paper -->
//!   <p data-draw-readout="hint" aria-live="polite">hint</p>
//!   <script type="application/json" data-draw-figures>{"head":…,"rows":…,"lanes":…}</script>
//! </figure>
//! ```
//!
//! In the picture waits `<g class="draw-cursor" visibility="hidden">` with `data-from-min`, `data-to-min` (the ends of
//! the axis, minutes after now) and `data-left-px`, `data-right-px` (where they lie in the view box). The script
//! moves it to the time touched, and writes that time and its values into the readout outside the picture. A finger
//! drawn across, a mouse, and with the figure in focus Left, Right (a column), Page Up, Page Down (six), Home, End and
//! Escape work. The chosen column stands in `data-draw-at` of the figure.
//!
//! The figures: `head` is a list of `[name, unit]`; a row is `[minutes after now, time in words, a cell for each of the
//! head]`, an empty cell where nothing is known; a lane is `{"label", "spans": [[name, from, to]]}`, and its names are
//! read out while the time lies in their span. One block of figures serves every width of the picture.
//!
//! The block is data, not a program, so it may stand in a page whose policy is `default-src 'self'`. The script sets
//! attributes and text only, never styles or markup.

use crate::clock::Clock;
use crate::svg::escaped;
use std::fmt::Write as _;

/// The script, about a hundred lines; it needs nothing else.
pub const TOUCH_JS: &str = include_str!("touch.js");

/// What the readout says before anything is touched.
pub const HINT: &str = "Touch the picture, or use the arrow keys, to read values. In brackets: 9 chances in 10.";

/// Most columns of a picture.
pub const MOST_COLUMNS: usize = 100;

/// A quantity of the readout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TouchHead {
    /// Its name.
    pub name: String,
    /// Its unit.
    pub unit: String,
}

/// The values at a time.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchRow {
    /// When, minutes after now.
    pub at_min: f64,
    /// When, on the clock.
    pub time: String,
    /// A rounded figure for each quantity, with its range; empty where nothing is known.
    pub cells: Vec<String>,
}

/// Something that lasts from one time to another.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchSpan {
    /// What.
    pub name: String,
    /// Beginning, minutes after now.
    pub from_min: f64,
    /// End, minutes after now.
    pub to_min: f64,
}

/// Things of one kind that last.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchLane {
    /// What they are.
    pub label: String,
    /// The things.
    pub spans: Vec<TouchSpan>,
}

/// The figures of a picture for [`TOUCH_JS`]; the picture itself says where its axis lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Touch {
    /// The quantities.
    pub head: Vec<TouchHead>,
    /// Times, ascending, at most [`MOST_COLUMNS`].
    pub rows: Vec<TouchRow>,
    /// What lasts.
    pub lanes: Vec<TouchLane>,
}

impl Touch {
    /// The figures as JSON that may stand in a `<script type="application/json">`.
    #[must_use]
    pub fn json(&self) -> String {
        let head: Vec<String> =
            self.head.iter().map(|h| format!("[{},{}]", quoted(&h.name), quoted(&h.unit))).collect();
        let rows: Vec<String> = self.rows.iter().map(TouchRow::json).collect();
        let lanes: Vec<String> = self.lanes.iter().map(TouchLane::json).collect();
        format!("{{\"head\":[{}],\"rows\":[{}],\"lanes\":[{}]}}", head.join(","), rows.join(","), lanes.join(","))
    }

    /// The whole figure for a page: the picture for narrow screens, the one for wide screens and paper if there is one,
    /// the readout and the figures. `label` names it to a screen reader.
    #[must_use]
    pub fn html(&self, label: &str, narrow_svg: &str, wide_svg: Option<&str>) -> String {
        let pictures = match wide_svg {
            Some(wide) => {
                format!("<div class=\"draw-narrow\">{narrow_svg}</div>\n<div class=\"draw-wide\">{wide}</div>")
            }
            None => narrow_svg.to_owned(),
        };
        let (label, hint, json) = (escaped(label), escaped(HINT), self.json());
        format!(
            "<figure data-draw-touch tabindex=\"0\" role=\"group\" aria-label=\"{label}\">\n{pictures}\n\
             <p data-draw-readout=\"{hint}\" aria-live=\"polite\">{hint}</p>\n\
             <script type=\"application/json\" data-draw-figures>{json}</script>\n</figure>\n"
        )
    }
}

impl TouchRow {
    fn json(&self) -> String {
        let mut out = format!("[{},{}", number(self.at_min), quoted(&self.time));
        for cell in &self.cells {
            let _ = write!(out, ",{}", quoted(cell));
        }
        out.push(']');
        out
    }
}

impl TouchLane {
    fn json(&self) -> String {
        let span = |s: &TouchSpan| format!("[{},{},{}]", quoted(&s.name), number(s.from_min), number(s.to_min));
        let spans: Vec<String> = self.spans.iter().map(span).collect();
        format!("{{\"label\":{},\"spans\":[{}]}}", quoted(&self.label), spans.join(","))
    }
}

/// Times that are read out: round ones on the clock, as close as [`MOST_COLUMNS`] allows, the ends, and now. Also how
/// far apart they are, min.
pub(crate) fn columns(clock: &Clock, from_min: f64, to_min: f64) -> (Vec<f64>, f64) {
    let room = (MOST_COLUMNS - 4) as f64;
    let fits = |step: &f64| (to_min - from_min) / step <= room;
    let step = [5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 360.0].into_iter().find(fits).unwrap_or(1440.0);
    let first = from_min + (step - clock.wall_min(from_min).rem_euclid(step)).rem_euclid(step);
    let inner = (0..MOST_COLUMNS as u32).map(|i| first + f64::from(i) * step).take_while(|t| *t < to_min);
    let ends = [from_min, to_min, 0.0].into_iter().filter(|t| (from_min..=to_min).contains(t));
    let mut times: Vec<f64> = inner.chain(ends).collect();
    times.sort_by(f64::total_cmp);
    times.dedup_by(|a, b| (*a - *b).abs() < 0.5);
    (times, step)
}

/// A number of JSON, to a tenth; what is endless lies far off.
fn number(value: f64) -> String {
    let value = if value.is_nan() { 0.0 } else { value.clamp(-1e9, 1e9) };
    crate::svg::rounded(value, 1)
}

/// A string of JSON that cannot end the element it stands in.
fn quoted(raw: &str) -> String {
    let mut out = String::from("\"");
    for c in raw.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() || "<>&\u{2028}\u{2029}".contains(c) => {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clock() -> Clock {
        Clock { now_of_day_min: 9.0 * 60.0 + 25.0, weekday_monday0: None, zone: String::new(), change: None }
    }

    #[test]
    fn columns_are_round_on_the_clock_and_few() {
        for (from, to) in [(-240.0, 720.0), (0.0, 60.0), (-3.0, 20_000.0), (-7.0, 433.0), (30.0, 90.0)] {
            let (times, step) = columns(&clock(), from, to);
            assert!(times.len() <= MOST_COLUMNS && times.len() > 2, "{}", times.len());
            assert!(times.windows(2).all(|w| w[0] < w[1]));
            assert!((times[0] - from).abs() < 0.5 && (times[times.len() - 1] - to).abs() < 0.5);
            assert_eq!(times.iter().any(|t| t.abs() < 0.5), from <= 0.0);
            let round = |t: &f64| clock().wall_min(*t).rem_euclid(step) < 1e-9;
            assert!(times.iter().filter(|t| !round(t)).count() <= 3);
        }
    }

    #[test]
    fn strings_cannot_leave_their_element() {
        assert_eq!(quoted("a\"b\\c</script>\n"), r#""a\"b\\c\u003c/script\u003e\u000a""#);
        assert_eq!(number(f64::INFINITY), "1000000000");
        assert_eq!(number(f64::NAN), "0");
    }
}
