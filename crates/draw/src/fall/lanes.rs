//! Lanes on the shared axis: what is in the oven, and when the oven suits what is still wanted.

use super::frame::Frame;
use super::head::{Swatch, flow};
use super::{FallPicture, PlacingLane};
use crate::clock::Clock;
use crate::suits::{Span, Suits, Window};
use crate::svg::{Svg, Tag, Type, path_data};
use crate::text;
use crate::theme::Ink;

pub(crate) const BAR_PX: f64 = 8.0;
/// Room over and under a bar, px.
const BAR_MARGIN_PX: f64 = 2.5;
/// Where the words of a lane begin, px; as much is left free at their end.
const WORDS_LEFT_PX: f64 = 12.0;
/// Between a name and what is said of it, px.
const GAP_PX: f64 = 8.0;

/// What the core of a lane's words is.
const CORE_NOTE: &str = "core: at the end, 9 chances in 10";

/// Draws a bar, given its top, px.
pub(crate) type Bar<'a> = Box<dyn Fn(&mut Svg, f64) + 'a>;

/// A lane: its words, and how its bar is drawn.
pub(crate) struct Lane<'a> {
    pub words: Words,
    pub bar: Bar<'a>,
}

/// What stands over a bar, in lines; every line is a bold part and an ordinary one.
pub(crate) struct Words(Vec<(String, String)>);

impl Words {
    /// Name and what is said of it on one line where there is room, else each on lines of its own: a name is never cut.
    pub(crate) fn of(frame: &Frame<'_>, name: &str, about: &str) -> Self {
        let (font_px, room_px) = (frame.font_px, frame.width_px - 2.0 * WORDS_LEFT_PX);
        let whole = text::bold_width_px(name, font_px) + GAP_PX + text::width_px(about, font_px);
        if whole <= room_px {
            return Self(vec![(name.to_owned(), about.to_owned())]);
        }
        let names = text::wrap_whole(name, font_px * 1.1, room_px).into_iter().map(|line| (line, String::new()));
        let abouts = text::wrap_whole(about, font_px, room_px).into_iter().map(|line| (String::new(), line));
        Self(names.chain(abouts).collect())
    }

    /// A lane without words.
    pub(crate) const fn none() -> Self {
        Self(Vec::new())
    }

    fn height_px(&self, font_px: f64) -> f64 {
        self.0.iter().fold(3.0, |sum, _| sum + line_px(font_px))
    }

    /// Writes them on plain paper.
    fn draw(&self, svg: &mut Svg, frame: &Frame<'_>, top_px: f64) {
        let (paper, set) = (svg.look().paint(Ink::Paper).into_owned(), Type::plain(frame.font_px));
        let (left, wide) = (frame.time.left_px - 1.0, frame.time.right_px - frame.time.left_px + 2.0);
        svg.rect((left, top_px), (wide, self.height_px(frame.font_px)), &paper);
        let mut base = top_px + 1.5;
        for (bold, plain) in &self.0 {
            base += line_px(frame.font_px);
            let after = if bold.is_empty() { 0.0 } else { text::bold_width_px(bold, frame.font_px) + GAP_PX };
            for (x, set, words) in [(0.0, set.bold(), bold), (after, set, plain)] {
                if !words.is_empty() {
                    svg.text(WORDS_LEFT_PX + x, base - frame.font_px * 0.2, set, words);
                }
            }
        }
    }
}

fn line_px(font_px: f64) -> f64 {
    font_px * 1.25
}

/// Lanes from the top down; returns the bottom.
pub(crate) fn draw(svg: &mut Svg, frame: &Frame<'_>, class: &str, lanes: &[Lane<'_>], top_px: f64) -> f64 {
    let height = |lane: &Lane<'_>| lane.words.height_px(frame.font_px) + BAR_PX + 2.0 * BAR_MARGIN_PX;
    frame.open_panel(svg, class);
    frame.ground(svg, top_px, top_px + lanes.iter().map(height).sum::<f64>());
    let mut y = top_px;
    for lane in lanes {
        lane.words.draw(svg, frame, y);
        let bar_top = y + lane.words.height_px(frame.font_px) + BAR_MARGIN_PX;
        (lane.bar)(svg, bar_top);
        y += height(lane);
        svg.strip(bar_top - BAR_MARGIN_PX, y);
    }
    svg.close();
    y + 4.0
}

/// The placings as lanes; returns the bottom.
pub(crate) fn placings(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    if picture.placings.is_empty() {
        return top_px;
    }
    let key = [(Swatch::Done, frame.said.done), (Swatch::Planned, frame.said.later), (Swatch::Nothing, CORE_NOTE)];
    let shown = if picture.placings.iter().any(|p| p.core_c.is_some()) { 3 } else { 2 };
    let top = heading(svg, frame, "In the oven", &key[..shown], top_px);
    let lanes = picture.placings.iter().map(|placing| Lane {
        words: Words::of(frame, &placing.name, &placing_words(picture, placing)),
        bar: Box::new(|svg, top_px| placing_bar(svg, frame, placing, top_px)),
    });
    let lanes: Vec<Lane<'_>> = lanes.collect();
    draw(svg, frame, "fall-placings", &lanes, top)
}

/// When the oven reads right for each dish, as lanes; returns the bottom.
pub(crate) fn windows(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    windows_under(svg, picture, frame, "Reads right for", top_px)
}

/// Windows of dishes under a heading, as lanes; returns the bottom.
pub(crate) fn windows_under(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, head: &str, top_px: f64) -> f64 {
    if picture.windows.is_empty() {
        return top_px;
    }
    let key = [(Swatch::LaneNine, "9 in 10"), (Swatch::LaneEven, "1 in 2"), (Swatch::LanePossible, "perhaps")];
    let top = heading(svg, frame, head, &key, top_px);
    let about =
        |window: &Window| format!("{}: {}", degrees(window), window.reads_right.words(frame.clock, frame.time.to_min));
    let lanes = picture.windows.iter().map(|window| Lane {
        words: Words::of(frame, &window.dish, &about(window)),
        bar: Box::new(|svg, top_px| window_bars(svg, frame, &window.reads_right, top_px)),
    });
    let lanes: Vec<Lane<'_>> = lanes.collect();
    draw(svg, frame, "fall-windows", &lanes, top)
}

pub(crate) fn heading(svg: &mut Svg, frame: &Frame<'_>, head: &str, key: &[(Swatch, &str)], top_px: f64) -> f64 {
    let base = top_px + 6.0 + frame.font_px;
    svg.text(12.0, base, Type::plain(frame.font_px).bold(), head);
    let items: Vec<(Swatch, String)> = key.iter().map(|(s, w)| (*s, (*w).to_owned())).collect();
    let start = 12.0 + text::bold_width_px(head, frame.font_px) + 14.0;
    flow(svg, frame, &items, start, base - frame.font_px * 1.1) + 2.0
}

/// Times, and the coldest point at the end.
pub(crate) fn placing_words(picture: &FallPicture, placing: &PlacingLane) -> String {
    let clock = &picture.clock;
    let times = match placing.out_min {
        Some(out) => format!("{}–{}", clock.hhmm(placing.in_min), clock.hhmm(out)),
        None => format!("from {}", clock.hhmm(placing.in_min)),
    };
    match core_at_end(picture, placing) {
        Some((low, high)) => {
            let (low, high) = (text::figure(low, 0), text::figure(high, 0));
            let range = if low == high { low } else { format!("{low}–{high}") };
            format!("{times}, core {range}{}°C", text::BOUND)
        }
        None => times,
    }
}

/// 9 chances in 10 of the core at the last time it is known while inside, °C.
pub(crate) fn core_at_end(picture: &FallPicture, placing: &PlacingLane) -> Option<(f64, f64)> {
    let core = placing.core_c.as_ref()?;
    let out = placing.out_min.unwrap_or(f64::INFINITY);
    let times = &picture.times_min;
    let last = (0..times.len()).rev().find(|i| times[*i] <= out + 1e-6 && core.at(*i).is_some())?;
    core.at(last).map(|s| (s.p05, s.p95))
}

fn placing_bar(svg: &mut Svg, frame: &Frame<'_>, placing: &PlacingLane, top_px: f64) {
    let colour = svg.look().paint(Ink::Dish).into_owned();
    let out = placing.out_min.unwrap_or(f64::INFINITY);
    if let Some(tag) = frame.bar(placing.in_min, out.min(0.0), top_px, BAR_PX) {
        svg.leaf(tag.set("fill", &colour).stroke(&colour, 1.75));
    }
    if let Some(tag) = frame.bar(placing.in_min.max(0.0), out, top_px, BAR_PX) {
        svg.leaf(tag.set("fill", "none").stroke(&colour, 1.75));
    }
    if out > frame.time.to_min && placing.in_min < frame.time.to_min {
        let (x, middle) = (frame.time.right_px + 1.0, top_px + BAR_PX / 2.0);
        let head = [(x, middle - 6.0), (x + 8.0, middle), (x, middle + 6.0)];
        svg.leaf(Tag::new("path").set("d", &path_data(&head, true)).set("fill", &colour));
    }
}

/// The temperatures of a window.
pub(crate) fn degrees(window: &Window) -> String {
    let unit = text::BOUND;
    let range = format!("{}–{}{unit}°C", text::figure(window.low_c, 0), text::figure(window.high_c, 0));
    match window.judged_by {
        super::Trace::Probe => range,
        other => format!("{} {range}", other.name()),
    }
}

fn window_bars(svg: &mut Svg, frame: &Frame<'_>, suits: &Suits, top_px: f64) {
    let dish = svg.look().paint(Ink::Dish).into_owned();
    let (even, middle) = (svg.pattern_paint("even"), top_px + BAR_PX / 2.0);
    for span in &suits.possible {
        if let Some((from, to)) = frame.time.clip(span.from_min, span.to_min) {
            let ends = ((frame.time.x_px(from), middle), (frame.time.x_px(to), middle));
            svg.line(ends.0, ends.1, Ink::Dish, 1.75, Some("2 3"));
        }
    }
    let ground = svg.look().paint(Ink::Paper).into_owned();
    for (spans, fill) in [(&suits.even, &ground), (&suits.even, &even), (&suits.nine_in_ten, &dish)] {
        for Span { from_min, to_min } in spans {
            if let Some(tag) = frame.bar(*from_min, *to_min, top_px, BAR_PX) {
                svg.leaf(tag.set("fill", fill).stroke(&dish, 1.0));
            }
        }
    }
}

/// Clock times of a placing for a table: in and out.
pub(crate) fn placing_times(clock: &Clock, placing: &PlacingLane) -> (String, String) {
    let out = placing.out_min.map_or_else(|| "not planned".to_owned(), |t| clock.day_hhmm(t));
    (clock.day_hhmm(placing.in_min), out)
}
