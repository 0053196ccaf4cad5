//! The two drawings under the targets: the chamber from the mouth, and the floor from above.

use super::places::{Place, draw, height_px};
use super::{MOST_HIGH_PX, TouchOven};
use crate::svg::{Anchor, Svg, Tag, Type, path_data};
use crate::text;
use crate::theme::Ink;
use ovenfall_engine::description::{FirePlace, Form, OvenDescription};
use std::f64::consts::PI;

/// Free at both sides of the picture, px.
const EDGE_PX: f64 = 8.0;
/// Between targets, px.
const GAP_PX: f64 = 8.0;
/// Points on a curve.
const POINTS: u32 = 48;
/// The drawings do not grow with a wide screen: fingers do not either.
const WIDEST_PX: f64 = 420.0;
/// Sizes that cannot be drawn are taken for this, m.
const ODD_M: f64 = 1.0;

/// Inner sizes, m: across, from mouth to back, up to the crown, the mouth.
struct Sizes {
    wide_m: f64,
    long_m: f64,
    rise_m: f64,
    mouth_m: f64,
    round: bool,
}

impl Sizes {
    fn of(oven: &OvenDescription) -> Self {
        let (wide, long, rise, round) = match oven.form {
            Form::Dome { inner_diameter_m, rise_m } => (inner_diameter_m, inner_diameter_m, rise_m, true),
            Form::Vault { width_m, length_m, rise_m } => (width_m, length_m, rise_m, false),
        };
        let sound = |v: f64| if v > 0.02 && v < 30.0 { v } else { ODD_M };
        let [wide_m, long_m, rise_m] = [wide, long, rise].map(|q| sound(q.value));
        Self { wide_m, long_m, rise_m, mouth_m: sound(oven.mouth.width_m.value).min(wide_m * 0.95), round }
    }

    /// Radius of the arch through both feet and the crown, and its centre's height over the floor.
    fn arch_m(&self) -> (f64, f64) {
        let (half, rise) = (self.wide_m / 2.0, self.rise_m);
        let radius = (half * half + rise * rise) / (2.0 * rise);
        (radius, rise - radius)
    }

    /// Greatest width over the floor: a steep arch is wider than its feet.
    fn widest_m(&self) -> f64 {
        let (radius, centre) = self.arch_m();
        if centre > 0.0 { 2.0 * radius } else { self.wide_m }
    }
}

/// Left edge and width of the drawings, px.
fn room(svg: &Svg) -> (f64, f64) {
    let wide = (svg.look().width_px - 2.0 * EDGE_PX).min(WIDEST_PX);
    ((svg.look().width_px - wide) / 2.0, wide)
}

/// Lesser text, in lines; returns the bottom.
fn caption(svg: &mut Svg, (left, top): (f64, f64), room_px: f64, words: &str) -> f64 {
    let font_px = svg.look().font_px();
    let mut y = top;
    for line in text::wrap(words, font_px, room_px) {
        y += font_px * 1.3;
        svg.text(left, y, Type::plain(font_px).ink(Ink::Soft), &line);
    }
    y + font_px * 0.4
}

/// A place whose target points at where it is meant, if it does not lie there.
fn place(name: &'static str, corner: (f64, f64), size: (f64, f64), meant: (f64, f64)) -> Place {
    let within = |from: f64, by: f64, v: f64| (from..=from + by).contains(&v);
    let inside = within(corner.0, size.0, meant.0) && within(corner.1, size.1, meant.1);
    Place { name, corner, size, points_at: (!inside).then_some(meant) }
}

/// The chamber from the mouth; returns the bottom.
pub(super) fn chamber(svg: &mut Svg, oven: &OvenDescription, shown: &TouchOven, top_px: f64) -> f64 {
    let (sizes, (left, wide)) = (Sizes::of(oven), room(svg));
    let each = ((wide - 2.0 * GAP_PX) / 3.0).floor();
    let upper = height_px(&["crown", "probe"], shown, each);
    let lower = height_px(&["fire side", "back wall", "far side"], shown, each);
    let per_m = ((wide - 4.0) / sizes.widest_m()).min(MOST_HIGH_PX / sizes.rise_m);
    let high = sizes.rise_m * per_m;
    let top = caption(svg, (left, top_px), wide, "looking in from the mouth");
    let base = top + (upper + GAP_PX + lower + GAP_PX).max(high + 2.0);
    let arch = arch(&sizes, per_m, (left + wide / 2.0, base));
    wall(svg, &arch);
    let row = base - GAP_PX - lower;
    let over = (row - GAP_PX - upper).min(base - high + GAP_PX);
    let column = |i: f64| left + i * (each + GAP_PX);
    let (size, half_high) = ((each, lower), base - (high / 2.0).min(lower / 2.0));
    let sides = on_the_arch(&arch, half_high);
    let [on_left, on_right] = sides_named(oven.fire_place);
    let middle = left + wide / 2.0;
    let all = [
        place("crown", (column(1.0), over), (each, upper), (middle, base - high)),
        Place { name: "probe", corner: (column(2.0), over), size: (each, upper), points_at: None },
        place(on_left, (column(0.0), row), size, (sides.0, half_high)),
        place("back wall", (column(1.0), row), size, (middle, half_high)),
        place(on_right, (column(2.0), row), size, (sides.1, half_high)),
    ];
    all.iter().for_each(|place| draw(svg, shown, place));
    base + 4.0
}

/// Names of the walls on the left and on the right, seen from the mouth.
pub(super) const fn sides_named(fire: FirePlace) -> [&'static str; 2] {
    match fire {
        FirePlace::Right => ["far side", "fire side"],
        FirePlace::Left | FirePlace::Back | FirePlace::Centre => ["fire side", "far side"],
    }
}

/// The hot face across the chamber, from the left foot over the crown to the right one.
fn arch(sizes: &Sizes, per_m: f64, (middle, base): (f64, f64)) -> Vec<(f64, f64)> {
    let (radius, centre) = sizes.arch_m();
    let foot = (-centre / radius).clamp(-1.0, 1.0).acos();
    let angle = |i: u32| foot * (f64::from(i) * 2.0 / f64::from(POINTS) - 1.0);
    let point = |a: f64| (middle + radius * a.sin() * per_m, base - (centre + radius * a.cos()) * per_m);
    (0..=POINTS).map(angle).map(point).collect()
}

/// Where the arch is at a height, on the left and on the right.
fn on_the_arch(arch: &[(f64, f64)], y: f64) -> (f64, f64) {
    let crown = arch.len() / 2;
    let nearest = |points: &[(f64, f64)]| {
        points.iter().min_by(|a, b| (a.1 - y).abs().total_cmp(&(b.1 - y).abs())).map_or(0.0, |point| point.0)
    };
    (nearest(&arch[..crown]), nearest(&arch[crown..]))
}

fn wall(svg: &mut Svg, outline: &[(f64, f64)]) {
    let (line, ground) = (svg.look().paint(Ink::Text).into_owned(), svg.look().paint(Ink::Past).into_owned());
    let tag = Tag::new("path").set("d", &path_data(outline, true)).set("fill", &ground).stroke(&line, 3.0);
    svg.leaf(tag.set("stroke-linejoin", "round"));
}

/// Wide enough for the longest name.
const FLOOR_TARGET_PX: f64 = 156.0;
/// Names of the floor's places from the back to the mouth, and how far from the mouth they are, as a share.
const FLOOR: [(&str, f64); 3] = [("floor back", 5.0 / 6.0), ("floor centre", 0.5), ("floor front", 1.0 / 6.0)];

/// The floor from above; returns the bottom.
pub(super) fn floor(svg: &mut Svg, oven: &OvenDescription, shown: &TouchOven, top_px: f64) -> f64 {
    let (sizes, (left, wide)) = (Sizes::of(oven), room(svg));
    let each = height_px(&FLOOR.map(|(name, _)| name), shown, FLOOR_TARGET_PX);
    let stack = 3.0 * each + 2.0 * GAP_PX;
    let per_m = ((wide - 4.0) / sizes.wide_m).min(MOST_HIGH_PX.max(stack) / sizes.long_m);
    let (high, half) = (sizes.long_m * per_m, sizes.wide_m * per_m / 2.0);
    let top = caption(svg, (left, top_px), wide, "the floor from above");
    let (middle, centre) = (left + wide / 2.0, top + high.max(stack) / 2.0);
    outline(svg, &sizes, (middle, centre), (half, high / 2.0));
    fire(svg, oven.fire_place, (middle, centre), half);
    let front = centre + high / 2.0;
    let mouth_half = sizes.mouth_m * per_m / 2.0;
    let behind = if sizes.round { centre + (half * half - mouth_half * mouth_half).max(0.0).sqrt() } else { front };
    mouth(svg, (middle, front), mouth_half, behind);
    for (i, (name, share)) in FLOOR.into_iter().enumerate() {
        let y = centre - stack / 2.0 + (0..i).fold(0.0, |sum, _| sum + each + GAP_PX);
        let meant = (middle, front - share * high);
        draw(svg, shown, &place(name, (middle - FLOOR_TARGET_PX / 2.0, y), (FLOOR_TARGET_PX, each), meant));
    }
    let bottom = front.max(centre + stack / 2.0) + 8.0 + svg.look().font_px();
    let set = Type::plain(svg.look().font_px()).bold().anchor(Anchor::Middle);
    svg.text(middle, bottom, set, "mouth");
    bottom + 4.0
}

fn outline(svg: &mut Svg, sizes: &Sizes, (x, y): (f64, f64), (half, deep): (f64, f64)) {
    let around = |i: u32| 2.0 * PI * f64::from(i) / f64::from(POINTS);
    let points: Vec<(f64, f64)> = if sizes.round {
        (0..POINTS).map(around).map(|a| (x + half * a.sin(), y + deep * a.cos())).collect()
    } else {
        vec![(x - half, y - deep), (x + half, y - deep), (x + half, y + deep), (x - half, y + deep)]
    };
    wall(svg, &points);
}

/// The opening: the floor runs out between two jambs, from where the wall ends.
fn mouth(svg: &mut Svg, (x, front): (f64, f64), half: f64, behind: f64) {
    let ground = svg.look().paint(Ink::Past).into_owned();
    svg.rect((x - half, behind - 3.0), (2.0 * half, front + 8.0 - behind + 3.0), &ground);
    let jamb = |side: f64| ((x + side * half, behind - 1.0), (x + side * half, front + 8.0));
    svg.lines(&[jamb(-1.0), jamb(1.0)], Ink::Text, 3.0);
}

/// Where the fire lies, beside the targets; one at the back or in the middle would lie under them.
fn fire(svg: &mut Svg, place: FirePlace, (middle, y): (f64, f64), half: f64) {
    let side = match place {
        FirePlace::Left => -1.0,
        FirePlace::Right => 1.0,
        FirePlace::Back | FirePlace::Centre => return,
    };
    let font_px = svg.look().font_px();
    let label = text::bold_width_px("fire", font_px) + 8.0;
    let inside = half - FLOOR_TARGET_PX / 2.0 > label;
    let off = if inside { (half + FLOOR_TARGET_PX / 2.0) / 2.0 } else { half.max(FLOOR_TARGET_PX / 2.0) + label / 2.0 };
    let (x, ink) = (middle + side * off, svg.look().paint(Ink::Probe).into_owned());
    let flame = [(0.0, -26.0), (9.0, -10.0), (7.0, 0.0), (-7.0, 0.0), (-9.0, -10.0)];
    let flame: Vec<(f64, f64)> = flame.iter().map(|(dx, dy)| (x + dx, y + dy)).collect();
    svg.leaf(Tag::new("path").set("d", &path_data(&flame, true)).set("fill", "none").stroke(&ink, 2.0));
    let set = Type::plain(font_px).bold().ink(Ink::Probe).anchor(Anchor::Middle);
    svg.text(x, y + font_px * 1.3, set, "fire");
}
