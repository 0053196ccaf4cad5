//! A place that can be tapped: its target, its name, and what was read there last.

use super::{LEAST_TARGET_PX, TouchOven};
use crate::svg::{Anchor, Svg, Tag, Type, path_data, rect_tag};
use crate::text;
use crate::theme::Ink;

/// Size of a place's name, px.
pub(super) const NAME_PX: f64 = 16.0;
/// Size of what was read, px.
pub(super) const READ_PX: f64 = 14.0;
/// Between the edge of a target and its words, px.
const PAD_PX: f64 = 6.0;
/// Lines of what was read beyond these are cut: a target is for the finger first.
const MOST_LINES: usize = 3;

/// Spare height: a picture made for 366 px keeps its targets when a page shows it at 320 px.
const SPARE_PX: f64 = 10.0;

/// A place, and where the target lies.
pub(super) struct Place {
    pub name: &'static str,
    pub corner: (f64, f64),
    pub size: (f64, f64),
    /// The point of the oven that is meant, when it lies outside the target.
    pub points_at: Option<(f64, f64)>,
}

/// The words of a place in lines: name, and what was read.
struct Words {
    name: Vec<String>,
    read: Vec<String>,
}

impl Words {
    fn of(name: &str, shown: &TouchOven, wide_px: f64) -> Self {
        let room = wide_px - 2.0 * PAD_PX;
        let mut read = text::wrap_whole(shown.last_at(name).unwrap_or_default(), READ_PX, room);
        if read.len() > MOST_LINES {
            read.truncate(MOST_LINES);
            if let Some(last) = read.last_mut() {
                *last = text::shorten(&format!("{last} …"), READ_PX, room);
            }
        }
        Self { name: text::wrap_whole(name, NAME_PX * 1.1, room), read }
    }

    fn height_px(&self) -> f64 {
        let lines = |count: usize, size_px: f64| (0..count).fold(0.0, |sum, _| sum + size_px * 1.25);
        lines(self.name.len(), NAME_PX) + lines(self.read.len(), READ_PX)
    }
}

/// Height that the targets of these places need when they are so wide, px.
pub(super) fn height_px(names: &[&str], shown: &TouchOven, wide_px: f64) -> f64 {
    let needs = names.iter().map(|name| Words::of(name, shown, wide_px).height_px() + 2.0 * PAD_PX + 2.0);
    needs.fold(LEAST_TARGET_PX + SPARE_PX, f64::max).ceil()
}

/// Draws a place.
pub(super) fn draw(svg: &mut Svg, shown: &TouchOven, place: &Place) {
    let last = shown.last_at(place.name);
    let next = shown.next.as_deref() == Some(place.name);
    svg.open(opening(shown, place.name, last, next));
    let (text, paper) = (svg.look().paint(Ink::Text).into_owned(), svg.look().paint(Ink::Paper).into_owned());
    if let Some(to) = place.points_at {
        let from = (to.0.clamp(place.corner.0, place.corner.0 + place.size.0), nearest_y(place, to.1));
        svg.line(from, to, Ink::Text, 1.5, None);
        svg.leaf(Tag::new("circle").px("cx", to.0).px("cy", to.1).px("r", 4.0).set("fill", &text));
    }
    let target = rect_tag(place.corner, place.size).set("class", "draw-target").px("rx", 10.0).set("fill", &paper);
    svg.leaf(target.stroke(&text, if next { 4.5 } else { 1.75 }));
    words(svg, place, &Words::of(place.name, shown, place.size.0));
    if next {
        pointer(svg, place);
    }
    svg.close();
}

fn nearest_y(place: &Place, y: f64) -> f64 {
    y.clamp(place.corner.1, place.corner.1 + place.size.1)
}

/// The start of the link or button.
fn opening(shown: &TouchOven, name: &str, last: Option<&str>, next: bool) -> Tag {
    let mut label = name.to_owned();
    if let Some(last) = last {
        label.push_str(&format!(" {last}"));
    }
    let tag = match shown.address(name) {
        Some(address) => Tag::new("a").set("href", &address),
        None => Tag::new("g").set("role", "button").set("tabindex", "0"),
    };
    let tag = tag.set("class", "draw-spot").set("data-spot", name).set("aria-label", &label);
    if next { tag.set("aria-current", "step") } else { tag }
}

fn words(svg: &mut Svg, place: &Place, words: &Words) {
    let middle = place.corner.0 + place.size.0 / 2.0;
    let mut y = place.corner.1 + (place.size.1 - words.height_px()) / 2.0;
    let lines = words.name.iter().map(|l| (l, NAME_PX, true)).chain(words.read.iter().map(|l| (l, READ_PX, false)));
    for (line, size_px, bold) in lines {
        y += size_px * 1.25;
        let set = Type::plain(size_px).anchor(Anchor::Middle);
        svg.text(middle, y - size_px * 0.3, if bold { set.bold() } else { set }, line);
    }
}

/// A wedge in the corner of the place whose turn it is: the thick edge is not the only sign of it.
fn pointer(svg: &mut Svg, place: &Place) {
    let (x, y) = (place.corner.0 + 2.0, place.corner.1 + 2.0);
    let fill = svg.look().paint(Ink::Text).into_owned();
    let wedge = path_data(&[(x + 4.0, y + 4.0), (x + 16.0, y + 10.0), (x + 4.0, y + 16.0)], true);
    svg.leaf(Tag::new("path").set("d", &wedge).set("fill", &fill));
}
