//! Title, the state now in words, and the key.

use super::frame::Frame;
use super::temperatures::{mark, open_marks};
use super::{FallPicture, Trace};
use crate::past_day::DoorStands;
use crate::past_day::entries::door_fill;
use crate::svg::{Svg, Type, rect_tag};
use crate::text;
use crate::theme::Ink;

/// Hatching of the spreads and of the lanes' even chance.
pub(crate) fn patterns(svg: &mut Svg) {
    svg.open(crate::svg::Tag::new("defs"));
    svg.hatch("wide", Ink::Probe, 6.0, 1.0, -45.0);
    svg.hatch("store", Ink::Store, 6.0, 1.0, -45.0);
    svg.hatch("even", Ink::Dish, 4.0, 1.75, 45.0);
    svg.close();
}

/// Title and state now; returns the bottom.
pub(crate) fn title(svg: &mut Svg, picture: &FallPicture, top_px: f64) -> f64 {
    if !svg.look().heading {
        return top_px;
    }
    let font_px = svg.look().font_px();
    let size_px = if svg.look().narrow() { 17.0 } else { 20.0 };
    let room = svg.look().width_px - 24.0;
    let mut y = top_px;
    for line in text::wrap(&picture.title, size_px * 1.1, room) {
        y += size_px * 1.25;
        svg.text(12.0, y, Type::plain(size_px).bold(), &line);
    }
    for line in state_now(picture).iter().flat_map(|words| text::wrap(words, font_px, room)) {
        y += font_px * 1.45;
        svg.text(12.0, y, Type::plain(font_px), &line);
    }
    y + 8.0
}

/// The state now in words.
pub(crate) fn state_now(picture: &FallPicture) -> Option<String> {
    let now = |b: &crate::band::Bands| b.at_min(&picture.times_min, 0.0).map(|s| s.p50);
    let probe = now(&picture.probe_c)?;
    let mut words = format!("Now {}: probe {}", picture.clock.day_hhmm(0.0), text::celsius(probe));
    for trace in [Trace::Floor, Trace::Crown] {
        if let Some(value) = now(picture.trace(trace)) {
            words.push_str(&format!(", {} {}", trace.name(), text::celsius(value)));
        }
    }
    if let Some(store) = now(&picture.store_kwh) {
        words.push_str(&format!(", {} in store", text::kwh(store)));
    }
    Some(words)
}

/// What a swatch of the key shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Swatch {
    Middle,
    Wide,
    Read(Trace),
    Done,
    Planned,
    LaneNine,
    LaneEven,
    LanePossible,
    DoorShut,
    DoorAjar,
    DoorOpen,
    /// Words without a swatch.
    Nothing,
}

/// The key of lines, spreads and marks; returns the bottom.
pub(crate) fn key(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    let mut items = vec![(Swatch::Middle, "probe".to_owned()), (Swatch::Wide, "9 chances in 10".to_owned())];
    for trace in [Trace::Probe, Trace::Floor, Trace::Crown, Trace::Gas] {
        if picture.readings.iter().any(|r| r.what == trace) {
            items.push((Swatch::Read(trace), format!("{}, read", trace.name())));
        }
    }
    flow(svg, frame, &items, 12.0, top_px)
}

const SWATCH_PX: f64 = 20.0;

/// Swatches with words from left to right, onto as many lines as they need; returns the bottom.
pub(crate) fn flow(svg: &mut Svg, frame: &Frame<'_>, items: &[(Swatch, String)], start_px: f64, top_px: f64) -> f64 {
    let line_px = frame.font_px * 1.5;
    let (mut x, mut y) = (start_px, top_px);
    for (swatch, words) in items {
        let swatch_px = if *swatch == Swatch::Nothing { 0.0 } else { SWATCH_PX + 6.0 };
        let width = swatch_px + text::width_px(words, frame.font_px);
        if x + width > frame.width_px - 6.0 && x > 12.0 {
            (x, y) = (12.0, y + line_px);
        }
        draw_swatch(svg, *swatch, x, y + line_px / 2.0);
        svg.text(x + swatch_px, y + line_px / 2.0 + frame.font_px * 0.35, Type::plain(frame.font_px), words);
        x += width + 10.0;
    }
    y + line_px
}

fn draw_swatch(svg: &mut Svg, swatch: Swatch, x: f64, middle: f64) {
    let (corner, size) = ((x, middle - 5.0), (SWATCH_PX, 10.0));
    let dish = svg.look().paint(Ink::Dish).into_owned();
    match swatch {
        Swatch::Nothing => {}
        Swatch::Middle => svg.line((x, middle), (x + SWATCH_PX, middle), Ink::Probe, 3.5, None),
        Swatch::Wide => {
            let tag = rect_tag(corner, size).set("fill", &svg.pattern_paint("wide"));
            let edge = svg.look().paint(Ink::Probe).into_owned();
            svg.leaf(tag.stroke(&edge, 0.75));
        }
        Swatch::Read(trace) => {
            open_marks(svg, trace);
            mark(svg, trace, (x + SWATCH_PX / 2.0, middle));
            svg.close();
        }
        Swatch::Done | Swatch::LaneNine => svg.rect(corner, size, &dish),
        Swatch::Planned => svg.leaf(rect_tag(corner, size).set("fill", "none").stroke(&dish, 1.75)),
        Swatch::LaneEven => {
            let tag = rect_tag(corner, size).set("fill", &svg.pattern_paint("even"));
            svg.leaf(tag.stroke(&dish, 1.0));
        }
        Swatch::DoorShut => door(svg, DoorStands::Shut, corner, size),
        Swatch::DoorAjar => door(svg, DoorStands::Ajar, corner, size),
        Swatch::DoorOpen => door(svg, DoorStands::Open, corner, size),
        Swatch::LanePossible => svg.line((x, middle), (x + SWATCH_PX, middle), Ink::Dish, 1.75, Some("2 3")),
    }
}

fn door(svg: &mut Svg, stands: DoorStands, corner: (f64, f64), size: (f64, f64)) {
    let (fill, edge) = (door_fill(svg, stands), svg.look().paint(Ink::Soft).into_owned());
    svg.leaf(rect_tag(corner, size).set("fill", &fill).stroke(&edge, 1.0));
}
