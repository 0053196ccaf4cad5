//! What was done, on the axis of hours: wood and other work as ticks, the door as a strip.
//!
//! Where the words of all ticks of a lane find room under their ticks they stand there; where not, they stand over the
//! lane with their times, in order, so that no word is lost and none lies on another.

use super::{DoorStands, EntryKind, EntryMark, PastDayPicture};
use crate::fall::frame::Frame;
use crate::fall::head::Swatch;
use crate::fall::lanes::{BAR_PX, Lane, Words, draw, heading};
use crate::suits::Span;
use crate::svg::{Anchor, Svg, Tag, Type};
use crate::text;
use crate::theme::Ink;

/// Room between the words of two ticks, px.
const APART_PX: f64 = 8.0;

/// Name of a kind.
pub(super) const fn kind_name(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Wood { .. } => "Wood",
        EntryKind::Fire => "Fire",
        EntryKind::Door(_) => "Door",
        EntryKind::Other => "Work",
    }
}

/// How the door stood, from each time it was set to the next; nothing before the first.
pub(super) fn door_spans(picture: &PastDayPicture, from_min: f64, to_min: f64) -> Vec<(DoorStands, Span)> {
    let mut settings: Vec<(f64, DoorStands)> = Vec::new();
    for entry in picture.entries_within(f64::NEG_INFINITY, to_min) {
        if let EntryKind::Door(stands) = entry.kind {
            settings.push((entry.at_min, stands));
        }
    }
    let ends = settings.iter().skip(1).map(|(at, _)| *at).chain([to_min]);
    let spans = settings.iter().zip(ends).map(|((from, stands), to)| (*stands, from.max(from_min), to));
    let spans = spans.filter(|(_, from, to)| from < to);
    spans.map(|(stands, from_min, to_min)| (stands, Span { from_min, to_min })).collect()
}

/// Lanes of all kinds that occur; returns the bottom.
pub(super) fn lanes(svg: &mut Svg, picture: &PastDayPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    let (from, to) = (frame.time.from_min, frame.time.to_min);
    let all = picture.entries_within(from, to);
    let mut y = top_px;
    for kind in [EntryKind::Wood { mass_kg: None }, EntryKind::Fire, EntryKind::Other] {
        let name = kind_name(kind);
        let of: Vec<&EntryMark> = all.iter().filter(|e| kind_name(e.kind) == name).copied().collect();
        if !of.is_empty() {
            y = ticks(svg, frame, name, &of, y);
        }
    }
    let spans = door_spans(picture, from, to);
    if spans.is_empty() { y } else { door(svg, frame, &spans, y) }
}

/// A lane of ticks; returns the bottom.
fn ticks(svg: &mut Svg, frame: &Frame<'_>, name: &str, entries: &[&EntryMark], top_px: f64) -> f64 {
    let labels = labels(frame, entries);
    let listed = |e: &&EntryMark| format!("{} {}", frame.clock.hhmm(e.at_min), e.words).replace(' ', "\u{a0}");
    let about = match labels {
        Some(_) => sum(entries).unwrap_or_default(),
        None => {
            let list = entries.iter().map(listed).collect::<Vec<String>>().join(", ");
            sum(entries).map_or_else(|| list.clone(), |sum| format!("{sum}: {list}"))
        }
    };
    let bar = |svg: &mut Svg, top: f64| {
        let upright = |e: &&EntryMark| {
            let x = frame.time.x_px(e.at_min);
            ((x, top - 1.0), (x, top + BAR_PX + 1.0))
        };
        let ends: Vec<_> = entries.iter().map(upright).collect();
        svg.lines(&ends, Ink::Text, 3.0);
    };
    let lane = Lane { words: Words::of(frame, name, &about), bar: Box::new(bar) };
    let mut y = draw(svg, frame, "day-entries", &[lane], top_px);
    if let Some(labels) = labels {
        y += frame.font_px * 0.9;
        for (x, words) in labels {
            svg.text(x, y, Type::plain(frame.font_px).anchor(Anchor::Middle), words);
        }
        y += frame.font_px * 0.4;
    }
    y
}

/// Words with the middles they stand at, if all of them find room under their ticks.
fn labels<'a>(frame: &Frame<'_>, entries: &[&'a EntryMark]) -> Option<Vec<(f64, &'a str)>> {
    let mut free_px = 4.0;
    let mut out = Vec::new();
    for entry in entries {
        let half = text::width_px(&entry.words, frame.font_px) / 2.0;
        let x = frame.time.x_px(entry.at_min).max(half + 4.0).min(frame.width_px - half - 4.0);
        if x - half < free_px || (x - frame.time.x_px(entry.at_min)).abs() > half {
            return None;
        }
        free_px = x + half + APART_PX;
        out.push((x, entry.words.as_str()));
    }
    Some(out)
}

/// All wood together, where every mass is known.
fn sum(entries: &[&EntryMark]) -> Option<String> {
    let masses = entries.iter().map(|e| match e.kind {
        EntryKind::Wood { mass_kg } => mass_kg.filter(|m| m.is_finite()),
        _ => None,
    });
    let masses: Vec<f64> = masses.collect::<Option<_>>()?;
    let sum_kg = text::figure(masses.iter().sum(), 1);
    Some(if masses.len() == 1 {
        format!("{sum_kg}{}kg", text::BOUND)
    } else {
        format!("{sum_kg}{}kg in {}", text::BOUND, masses.len())
    })
}

/// The door as a strip; returns the bottom.
fn door(svg: &mut Svg, frame: &Frame<'_>, spans: &[(DoorStands, Span)], top_px: f64) -> f64 {
    let key = [(Swatch::DoorShut, "shut"), (Swatch::DoorAjar, "ajar"), (Swatch::DoorOpen, "open")];
    let top = heading(svg, frame, "Door", &key, top_px);
    let bar = |svg: &mut Svg, top: f64| {
        let edge = svg.look().paint(Ink::Soft).into_owned();
        for (stands, span) in spans {
            let fill = door_fill(svg, *stands);
            if let Some(tag) = frame.bar(span.from_min, span.to_min, top, BAR_PX) {
                svg.leaf(tag.set("fill", &fill).stroke(&edge, 1.0));
            }
        }
    };
    draw(svg, frame, "day-door", &[Lane { words: Words::none(), bar: Box::new(bar) }], top)
}

/// Hatching of a door ajar.
pub(super) fn patterns(svg: &mut Svg) {
    svg.open(Tag::new("defs"));
    svg.hatch("ajar", Ink::Soft, 4.0, 1.5, 45.0);
    svg.close();
}

/// Fill of a door that stands so: shut is solid, ajar hatched, open empty.
pub(crate) fn door_fill(svg: &Svg, stands: DoorStands) -> String {
    match stands {
        DoorStands::Shut => svg.look().paint(Ink::Soft).into_owned(),
        DoorStands::Ajar => svg.pattern_paint("ajar"),
        DoorStands::Open => svg.look().paint(Ink::Paper).into_owned(),
    }
}
