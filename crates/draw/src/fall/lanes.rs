//! Lanes on the shared axis: what is in the oven, and when the oven suits what is still wanted.

use super::frame::Frame;
use super::head::{Swatch, flow};
use super::{FallPicture, PlacingLane};
use crate::clock::Clock;
use crate::suits::{Span, Suits, Window};
use crate::svg::{Svg, Tag, Type, path_data};
use crate::text;
use crate::theme::Ink;

const BAR_PX: f64 = 8.0;

/// What the core of a lane's words is.
const CORE_NOTE: &str = "core: at the end, 9 chances in 10";

/// The placings as lanes; returns the bottom.
pub(super) fn placings(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    if picture.placings.is_empty() {
        return top_px;
    }
    let key = [(Swatch::Done, "up to now"), (Swatch::Planned, "planned"), (Swatch::Nothing, CORE_NOTE)];
    let shown = if picture.placings.iter().any(|p| p.core_c.is_some()) { 3 } else { 2 };
    let (top, lane) = (heading(svg, frame, "In the oven", &key[..shown], top_px), lane_px(frame));
    let count = picture.placings.iter().fold(0.0, |n, _| n + 1.0);
    frame.open_panel(svg, "fall-placings");
    frame.ground(svg, top, top + count * lane);
    let mut y = top;
    for placing in &picture.placings {
        let about = placing_words(picture, placing);
        let bar_top = words(svg, frame, y, &placing.name, &about);
        placing_bar(svg, frame, placing, bar_top);
        y += lane;
    }
    svg.close();
    y + 4.0
}

/// When the oven suits each dish, as lanes; returns the bottom.
pub(super) fn windows(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    if picture.windows.is_empty() {
        return top_px;
    }
    let key = [(Swatch::LaneNine, "9 in 10"), (Swatch::LaneEven, "1 in 2"), (Swatch::LanePossible, "perhaps")];
    let (top, lane) = (heading(svg, frame, "Reads right for", &key, top_px), lane_px(frame));
    let count = picture.windows.iter().fold(0.0, |n, _| n + 1.0);
    frame.open_panel(svg, "fall-windows");
    frame.ground(svg, top, top + count * lane);
    let mut y = top;
    for window in &picture.windows {
        let suits = &window.reads_right;
        let about = format!("{}: {}", degrees(window), suits.words(frame.clock, frame.time.to_min));
        let bar_top = words(svg, frame, y, &window.dish, &about);
        window_bars(svg, frame, suits, bar_top);
        y += lane;
    }
    svg.close();
    y + 4.0
}

fn lane_px(frame: &Frame<'_>) -> f64 {
    frame.font_px + BAR_PX + 9.0
}

fn heading(svg: &mut Svg, frame: &Frame<'_>, head: &str, key: &[(Swatch, &str)], top_px: f64) -> f64 {
    let base = top_px + 6.0 + frame.font_px;
    svg.text(12.0, base, Type::plain(frame.font_px).bold(), head);
    let items: Vec<(Swatch, String)> = key.iter().map(|(s, w)| (*s, (*w).to_owned())).collect();
    let start = 12.0 + text::bold_width_px(head, frame.font_px) + 14.0;
    flow(svg, frame, &items, start, base - frame.font_px * 1.1) + 2.0
}

/// Writes "name: about" over a lane, the name shortened where there is no room; returns the top of the bar.
fn words(svg: &mut Svg, frame: &Frame<'_>, top_px: f64, name: &str, about: &str) -> f64 {
    let left = frame.time.left_px + 4.0;
    let room = frame.width_px - left - 6.0;
    let about = text::shorten(about, frame.font_px, room * 0.8);
    let name = text::shorten(name, frame.font_px * 1.1, room - text::width_px(&about, frame.font_px) - 8.0);
    let width = text::bold_width_px(&name, frame.font_px) + 8.0 + text::width_px(&about, frame.font_px);
    let base = top_px + frame.font_px;
    let ground = svg.look().paint(Ink::Paper).into_owned();
    svg.rect((left - 3.0, top_px + 1.0), (width + 6.0, frame.font_px + 3.0), &ground);
    let set = Type::plain(frame.font_px);
    svg.text(left, base, set.bold(), &name);
    svg.text(left + text::bold_width_px(&name, frame.font_px) + 8.0, base, set, &about);
    base + 6.0
}

/// Times, and the coldest point at the end.
pub(super) fn placing_words(picture: &FallPicture, placing: &PlacingLane) -> String {
    let clock = &picture.clock;
    let times = match placing.out_min {
        Some(out) => format!("{}–{}", clock.hhmm(placing.in_min), clock.hhmm(out)),
        None => format!("from {}", clock.hhmm(placing.in_min)),
    };
    match core_at_end(picture, placing) {
        Some((low, high)) => {
            let (low, high) = (text::figure(low, 0), text::figure(high, 0));
            format!("{times}, core {low}–{high}{}°C", text::BOUND)
        }
        None => times,
    }
}

/// 9 chances in 10 of the core at the last time it is known while inside, °C.
pub(super) fn core_at_end(picture: &FallPicture, placing: &PlacingLane) -> Option<(f64, f64)> {
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
pub(super) fn degrees(window: &Window) -> String {
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
pub(super) fn placing_times(clock: &Clock, placing: &PlacingLane) -> (String, String) {
    let out = placing.out_min.map_or_else(|| "not planned".to_owned(), |t| clock.day_hhmm(t));
    (clock.day_hhmm(placing.in_min), out)
}
