//! What all panels of the fall share: the axis of hours, its lines, and the line of now.

use crate::axis::{HourTick, TimeAxis};
use crate::clock::Clock;
use crate::svg::{Anchor, Svg, Tag, Type, rect_tag};
use crate::text;
use crate::theme::{Ink, Mode};

/// What minute 0 is called, and what lies before and after it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Said {
    pub zero: &'static str,
    pub done: &'static str,
    pub later: &'static str,
}

/// A forecast made now.
pub(crate) const NOW: Said = Said { zero: "now", done: "up to now", later: "planned" };
/// A forecast made on a day that is over.
pub(crate) const THEN: Said = Said { zero: "forecast made", done: "before the forecast", later: "after it" };

/// The shared axis and sizes.
pub(crate) struct Frame<'a> {
    pub clock: &'a Clock,
    pub time: TimeAxis,
    pub ticks: Vec<HourTick>,
    pub font_px: f64,
    pub narrow: bool,
    pub width_px: f64,
    pub said: Said,
}

impl Frame<'_> {
    /// Ground of a panel: the hours behind us, the hours' lines, midnight, and now.
    pub(crate) fn ground(&self, svg: &mut Svg, top_px: f64, bottom_px: f64) {
        let time = self.time;
        if let Some((from, to)) = time.clip(f64::NEG_INFINITY, 0.0) {
            let fill = svg.look().paint(Ink::Past).into_owned();
            let (left, right) = (time.x_px(from), time.x_px(to));
            svg.rect((left, top_px), (right - left, bottom_px - top_px), &fill);
        }
        for (midnight, ink, width) in [(false, Ink::Grid, 1.0), (true, Ink::Soft, 1.25)] {
            let upright = |x: f64| ((x, top_px), (x, bottom_px));
            let ticks = self.ticks.iter().filter(|tick| tick.midnight == midnight);
            let ends: Vec<_> = ticks.map(|tick| upright(time.x_px(tick.at_min))).collect();
            svg.lines(&ends, ink, width);
        }
        if time.holds(0.0) {
            let x = time.x_px(0.0);
            svg.line((x, top_px), (x, bottom_px), Ink::Text, 1.75, Some("2 3"));
        }
    }

    /// Opens the group of a panel; it tells a page's script how minutes map to pixels.
    pub(crate) fn open_panel(&self, svg: &mut Svg, class: &str) {
        svg.open(self.axis_tag(class));
    }

    fn axis_tag(&self, class: &str) -> Tag {
        let time = self.time;
        let tag = Tag::new("g").set("class", class).num("data-from-min", time.from_min).num("data-to-min", time.to_min);
        tag.num("data-left-px", time.left_px).num("data-right-px", time.right_px)
    }

    /// The line under a finger, over every strip of the axis drawn so far. It waits hidden at the left edge until a
    /// page's script moves it; in pages only.
    pub(crate) fn cursor(&self, svg: &mut Svg) {
        if svg.look().mode != Mode::Page {
            return;
        }
        let ends: Vec<_> = svg.strips().iter().map(|(top, bottom)| ((0.0, *top), (0.0, *bottom))).collect();
        svg.open(self.axis_tag("draw-cursor").set("visibility", "hidden").set("pointer-events", "none"));
        svg.lines(&ends, Ink::Paper, 5.0);
        svg.lines(&ends, Ink::Text, 2.5);
        svg.close();
    }

    /// "now 17:20" over the line of now, kept inside the picture.
    pub(crate) fn now_label(&self, svg: &mut Svg, base_px: f64) {
        if !self.time.holds(0.0) {
            return;
        }
        let words = format!("{} {}", self.said.zero, self.clock.hhmm(0.0));
        let width = text::bold_width_px(&words, self.font_px);
        let last = self.width_px - width - 6.0;
        let x = (self.time.x_px(0.0) - width / 2.0).max(self.time.left_px).min(last);
        svg.text(x, base_px, Type::plain(self.font_px).bold(), &words);
    }

    /// The hours below a panel, days below their first hour; the last one names the zone. Returns the bottom.
    pub(crate) fn hour_labels(&self, svg: &mut Svg, top_px: f64, last: bool) -> f64 {
        let (mut first, mut strokes) = (true, Vec::new());
        for tick in &self.ticks {
            let x = self.time.x_px(tick.at_min);
            let Some(label) = &tick.label else { continue };
            strokes.push(((x, top_px), (x, top_px + 5.0)));
            let day = self.clock.day_name(tick.at_min).filter(|_| first || tick.midnight);
            self.hour_label(svg, (x, top_px + 5.0 + self.font_px), label, day);
            first = false;
        }
        svg.lines(&strokes, Ink::Text, 1.25);
        let two_lines = self.narrow && self.clock.weekday_monday0.is_some();
        let bottom = top_px + 9.0 + if two_lines { 2.0 } else { 1.0 } * self.font_px;
        if last { self.zone(svg, bottom) } else { bottom + 4.0 }
    }

    fn hour_label(&self, svg: &mut Svg, (x, base): (f64, f64), hour: &str, day: Option<&str>) {
        let set = Type::plain(self.font_px).anchor(Anchor::Middle);
        match day {
            Some(day) if self.narrow => {
                svg.text(x, base, set, hour);
                svg.text(x, base + 1.0 + self.font_px, set.bold(), day);
            }
            Some(day) => svg.text(x, base, set.bold(), &format!("{day} {hour}")),
            None => svg.text(x, base, set, hour),
        }
    }

    fn zone(&self, svg: &mut Svg, top_px: f64) -> f64 {
        let words = match self.clock.zone.trim() {
            "" => "clock time".to_owned(),
            zone => format!("clock time, {zone}"),
        };
        let words = text::shorten(&words, self.font_px, self.width_px - self.time.left_px - 8.0);
        svg.text(self.time.left_px, top_px + self.font_px, Type::plain(self.font_px).ink(Ink::Soft), &words);
        top_px + self.font_px + 4.0
    }

    /// A bar of a lane on the axis, if any of it shows.
    pub(crate) fn bar(&self, from_min: f64, to_min: f64, top_px: f64, height_px: f64) -> Option<Tag> {
        let (from, to) = self.time.clip(from_min, to_min)?;
        let (left, right) = (self.time.x_px(from), self.time.x_px(to));
        Some(rect_tag((left, top_px), (right - left, height_px)))
    }
}
