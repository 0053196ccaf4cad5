//! One cut, to scale: layers, numbers, sizes, and the bar that gives the scale.

use super::legend::pattern;
use super::shape::Cut;
use super::{Numbered, Part, cm};
use crate::axis::spread_apart;
use crate::svg::{Anchor, Svg, Tag, Type, path_data};
use crate::text;
use crate::theme::Ink;
use ovenfall_engine::description::{OvenDescription, Quantity, Under};

/// Where a cut is drawn.
pub(super) struct Place {
    pub left_px: f64,
    pub top_px: f64,
    pub width_px: f64,
    pub px_per_m: f64,
    pub font_px: f64,
}

/// Room for the mouth's size on the left and for numbers on the right, px.
const LEFT_PX: f64 = 74.0;
const RIGHT_PX: f64 = 40.0;
/// How far below the floor the chamber's width stands, px.
const SPAN_PX: f64 = 20.0;

/// The largest scale at which cuts, each `width_px` wide, fit; `stacked` ones share the height of a screen.
pub(super) fn px_per_m(cuts: &[Cut], width_px: f64, stacked: bool) -> f64 {
    let height = |c: &Cut| c.extent_m().2 + c.floor_thickness_m();
    let join = if stacked { |a: f64, b: f64| a + b } else { f64::max };
    let high = cuts.iter().map(height).fold(0.0, join);
    let wide = cuts.iter().map(|c| c.extent_m().1 - c.extent_m().0).fold(0.0, f64::max);
    ((width_px - LEFT_PX - RIGHT_PX) / wide).min(500.0 / high).min(600.0)
}

/// The cut in pixels.
struct View<'a> {
    cut: &'a Cut,
    place: &'a Place,
    origin_px: (f64, f64),
}

impl View<'_> {
    fn px(&self, (x_m, y_m): (f64, f64)) -> (f64, f64) {
        (self.origin_px.0 + x_m * self.place.px_per_m, self.origin_px.1 - y_m * self.place.px_per_m)
    }

    fn outline(&self, points_m: &[(f64, f64)]) -> String {
        let points: Vec<(f64, f64)> = points_m.iter().map(|p| self.px(*p)).collect();
        path_data(&points, true)
    }

    /// The right edge of the walls, px.
    fn right_px(&self) -> f64 {
        self.px((self.cut.extent_m().1, 0.0)).0
    }
}

/// Draws a cut; returns its bottom.
pub(super) fn draw(svg: &mut Svg, oven: &OvenDescription, cut: &Cut, layers: &[Numbered<'_>], place: &Place) -> f64 {
    let (from, to, height) = cut.extent_m();
    let base = place.top_px + place.font_px;
    let name = text::shorten(cut.name, place.font_px, place.width_px - 12.0);
    svg.text(place.left_px + 4.0, base, Type::plain(place.font_px).ink(Ink::Soft), &name);
    let room = place.width_px - LEFT_PX - RIGHT_PX - (to - from) * place.px_per_m;
    let x = place.left_px + LEFT_PX + room / 2.0 - from * place.px_per_m;
    let view = View { cut, place, origin_px: (x, base + 14.0 + height * place.px_per_m) };
    let shapes = shapes(cut, layers);
    for (layer, outline, _) in &shapes {
        let (ink, fill) = (svg.look().paint(Ink::Text).into_owned(), svg.pattern_paint(&pattern(layer)));
        let tag = Tag::new("path").set("d", &view.outline(outline)).set("fill", &fill);
        svg.leaf(tag.stroke(&ink, 1.25).set("stroke-linejoin", "round"));
    }
    if cut.mouth_m.is_none() {
        mouth_outline(svg, oven, &view);
    }
    sizes(svg, oven, &view);
    let lowest = numbers(svg, &view, &shapes);
    let bottom = view.px((0.0, -cut.floor_thickness_m())).1;
    ground(svg, oven, &view, bottom);
    lowest.max(bottom + SPAN_PX + place.font_px * 0.7)
}

type Shape<'a> = (&'a Numbered<'a>, Vec<(f64, f64)>, (f64, f64));

/// Layers with their outlines and the point that a number points at, m.
fn shapes<'a>(cut: &Cut, layers: &'a [Numbered<'a>]) -> Vec<Shape<'a>> {
    let of = |part: Part| layers.iter().filter(move |l| l.part == part);
    let mut out: Vec<Shape<'a>> = Vec::new();
    for (layer, faces) in of(Part::Dome).zip(cut.wall_m.windows(2)) {
        out.push((layer, cut.wall_layer(faces[0], faces[1]), cut.shoulder((faces[0] + faces[1]) / 2.0)));
    }
    let half = cut.half_foot_m();
    for (layer, faces) in of(Part::Floor).zip(cut.floor_m.windows(2)) {
        let outline = vec![(-half, -faces[0]), (half, -faces[0]), (half, -faces[1]), (-half, -faces[1])];
        out.push((layer, outline, (half * 0.92, -(faces[0] + faces[1]) / 2.0)));
    }
    if let Some(height) = cut.mouth_m {
        let hot = -cut.span_m.value / 2.0;
        for (layer, faces) in of(Part::Door).zip(cut.door_m.windows(2)) {
            let (a, b) = (hot - faces[0], hot - faces[1]);
            out.push((layer, vec![(a, 0.0), (a, height), (b, height), (b, 0.0)], ((a + b) / 2.0, height * 0.7)));
        }
    }
    out
}

/// Numbers with leaders: those of walls and floor to the right, those of the door into the chamber.
fn numbers(svg: &mut Svg, view: &View<'_>, shapes: &[Shape<'_>]) -> f64 {
    let (door, outer): (Vec<_>, Vec<_>) = shapes.iter().partition(|s| s.0.part == Part::Door);
    let x = view.right_px() + 22.0;
    let lowest = leaders(svg, view, &outer, x);
    leaders(svg, view, &door, view.px((-view.cut.span_m.value / 2.0, 0.0)).0 + 26.0);
    lowest
}

fn leaders(svg: &mut Svg, view: &View<'_>, shapes: &[&Shape<'_>], x: f64) -> f64 {
    let ends: Vec<(f64, f64)> = shapes.iter().map(|s| view.px(s.2)).collect();
    let wanted: Vec<f64> = ends.iter().map(|e| e.1).collect();
    let font_px = view.place.font_px;
    let placed = spread_apart(&wanted, font_px * 1.35, view.place.top_px + font_px, f64::INFINITY);
    let paint = svg.look().paint(Ink::Text).into_owned();
    for ((shape, end), y) in shapes.iter().zip(&ends).zip(&placed) {
        svg.leaf(Tag::new("circle").num("cx", end.0).num("cy", end.1).num("r", 2.5).set("fill", &paint));
        svg.line(*end, (x - 4.0, *y), Ink::Text, 1.0, None);
        svg.text(x, y + font_px * 0.35, Type::plain(font_px).bold(), &shape.0.number.to_string());
    }
    placed.iter().fold(0.0, |low, y| f64::max(low, *y)) + font_px * 0.5
}

/// Width and height of the chamber, height of the mouth.
fn sizes(svg: &mut Svg, oven: &OvenDescription, view: &View<'_>) {
    let cut = view.cut;
    let (half, rise, font_px) = (cut.span_m.value / 2.0, cut.rise_m.value, view.place.font_px);
    let set = Type::plain(font_px);
    let (foot, crown) = (view.px((0.0, 0.0)), view.px((0.0, rise)));
    measure(svg, (foot.0, foot.1 - 3.0), (crown.0, crown.1 + 3.0));
    // High up there is room beside the line in a tall chamber; a low arch is widest at its foot.
    let high_up = ((foot.1 + crown.1) / 2.0).min(crown.1 + font_px * 1.5) + font_px * 0.35;
    let rise_base = if foot.1 - crown.1 < font_px * 7.0 { foot.1 - 5.0 } else { high_up };
    on_ground(svg, (foot.0 + 8.0, rise_base), set, &cm(cut.rise_m));
    let span_y = view.px((0.0, -cut.floor_thickness_m())).1 + SPAN_PX;
    measure(svg, (view.px((-half, 0.0)).0, span_y), (view.px((half, 0.0)).0, span_y));
    let words = cm(cut.span_m);
    let start = foot.0 - text::width_px(&words, font_px) / 2.0;
    on_ground(svg, (start, span_y + font_px * 0.35), set, &words);
    if let Some(height) = cut.mouth_m {
        let x = view.px((cut.extent_m().0, 0.0)).0 - 10.0;
        let (low, high) = (view.px((0.0, 0.0)).1, view.px((0.0, height)).1);
        measure(svg, (x, low), (x, high));
        let (middle, end) = ((low + high) / 2.0, set.anchor(Anchor::End));
        svg.text(x - 6.0, middle - 2.0, end, "mouth");
        svg.text(x - 6.0, middle + font_px, end, &cm(oven.mouth.height_m));
    }
}

/// Words on a piece of paper, so that lines behind do not run through them.
fn on_ground(svg: &mut Svg, (x, base): (f64, f64), set: Type, words: &str) {
    let paper = svg.look().paint(Ink::Paper).into_owned();
    let size = (text::width_px(words, set.size_px) + 6.0, set.size_px + 2.0);
    svg.rect((x - 3.0, base - set.size_px * 0.9), size, &paper);
    svg.text(x, base, set, words);
}

/// A line with a stroke across each end.
fn measure(svg: &mut Svg, from: (f64, f64), to: (f64, f64)) {
    let length = (to.0 - from.0).hypot(to.1 - from.1).max(1e-9);
    let (dx, dy) = (4.0 * (to.1 - from.1) / length, 4.0 * (to.0 - from.0) / length);
    svg.line(from, to, Ink::Soft, 1.0, None);
    for (x, y) in [from, to] {
        svg.line((x - dx, y - dy), (x + dx, y + dy), Ink::Soft, 1.5, None);
    }
}

/// The mouth behind the cut, dashed.
fn mouth_outline(svg: &mut Svg, oven: &OvenDescription, view: &View<'_>) {
    let half = oven.mouth.width_m.value.min(view.cut.span_m.value) / 2.0;
    let height = oven.mouth.height_m.value.min(view.cut.rise_m.value);
    let ink = svg.look().paint(Ink::Soft).into_owned();
    let d = view.outline(&[(-half, 0.0), (-half, height), (half, height), (half, 0.0)]);
    let tag = Tag::new("path").set("d", &d).set("fill", "none").stroke(&ink, 1.25);
    svg.leaf(tag.set("stroke-dasharray", "5 3"));
}

/// What is under the floor: strokes for ground, nothing for air.
fn ground(svg: &mut Svg, oven: &OvenDescription, view: &View<'_>, top_px: f64) {
    if oven.under == Under::Air {
        return;
    }
    let half = view.cut.half_foot_m();
    let (left, right) = (view.px((-half, 0.0)).0, view.px((half, 0.0)).0);
    for i in 0..=16_u32 {
        let x = left + (right - left) * f64::from(i) / 16.0;
        svg.line((x, top_px), (x - 7.0, top_px + 9.0), Ink::Soft, 1.25, None);
    }
}

/// A bar of a round length no longer than `widest_px`; returns the bottom.
pub(super) fn scale_bar(svg: &mut Svg, (left, top): (f64, f64), widest_px: f64, px_per_m: f64) -> f64 {
    let fits = |m: &&f64| **m * px_per_m <= widest_px;
    let length_m = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0].iter().rfind(fits).copied().unwrap_or(0.1);
    let font_px = svg.look().font_px();
    let right = left + length_m * px_per_m;
    measure(svg, (left, top + 6.0), (right, top + 6.0));
    let words = cm(Quantity::stated(length_m, 0.0));
    svg.text(right + 10.0, top + 6.0 + font_px * 0.35, Type::plain(font_px), &words);
    top + 6.0 + font_px
}
