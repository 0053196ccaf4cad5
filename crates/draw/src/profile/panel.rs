//! The panels: one a wall, side by side where there is room, with their layers below.

use super::{LayerKind, ProfilePicture, Wall};
use crate::axis::{ValueAxis, round_step};
use crate::band::Spread;
use crate::svg::{Anchor, Svg, Tag, Type, path_data, rect_tag};
use crate::text;
use crate::theme::Ink;

/// How strongly the even chance is filled; the paper shows through.
const EVEN_OPACITY: f64 = 0.42;
const SWATCH_PX: f64 = 20.0;
/// Height of the strip of layers, px.
const STRIP_PX: f64 = 18.0;
const FIRE_SIDE_DASH: &str = "7 4";
const STORE_DASH: &str = "2 3";
/// From the top of a panel to its plot, in heights of the type: its name, the unit and half a label.
const HEAD_LINES: f64 = 3.9;

/// One panel's place and scales.
struct Panel<'a> {
    wall: &'a Wall,
    left_px: f64,
    right_px: f64,
    axis: ValueAxis,
    font_px: f64,
}

impl Panel<'_> {
    fn x_px(&self, depth_mm: f64) -> f64 {
        let share = (depth_mm / self.wall.thickness_mm()).clamp(0.0, 1.0);
        self.left_px + share * (self.right_px - self.left_px)
    }

    fn curve(&self, pick: fn(Spread) -> f64) -> Vec<(f64, f64)> {
        let at = |(i, depth): (usize, &f64)| {
            let spread = self.wall.temperature_c.at(i)?;
            Some((self.x_px(*depth), self.axis.y_px(pick(spread))))
        };
        self.wall.depths_mm.iter().enumerate().filter_map(at).collect()
    }
}

/// The key of lines and spreads; returns the bottom.
pub(super) fn key(svg: &mut Svg, picture: &ProfilePicture, top_px: f64) -> f64 {
    let (font_px, width_px) = (svg.look().font_px(), svg.look().width_px);
    let above = format!("heat above {} counts as in store", text::celsius(picture.store_above_c));
    let mut items = vec![
        (Swatch::Middle, "middle"),
        (Swatch::Even, "1 chance in 2"),
        (Swatch::Wide, "9 chances in 10"),
        (Swatch::FireSide, "fire's side, middle"),
        (Swatch::Store, above.as_str()),
    ];
    items.retain(|(swatch, _)| *swatch != Swatch::FireSide || picture.walls.iter().any(Wall::has_fire_side));
    let line_px = font_px * 1.5;
    let (mut x, mut y) = (12.0, top_px);
    for (kind, words) in items {
        let wide = SWATCH_PX + 6.0 + text::width_px(words, font_px);
        if x + wide > width_px - 6.0 && x > 12.0 {
            (x, y) = (12.0, y + line_px);
        }
        swatch(svg, kind, (x, y + line_px / 2.0));
        svg.text(x + SWATCH_PX + 6.0, y + line_px / 2.0 + font_px * 0.35, Type::plain(font_px), words);
        x += wide + 10.0;
    }
    y + line_px + 4.0
}

/// What stands before a word of the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Swatch {
    Middle,
    Even,
    Wide,
    FireSide,
    Store,
}

fn swatch(svg: &mut Svg, kind: Swatch, (x, middle): (f64, f64)) {
    let colour = svg.look().paint(Ink::Probe).into_owned();
    let tag = rect_tag((x, middle - 5.0), (SWATCH_PX, 10.0));
    let mut line = |ink, width_px, dash| svg.line((x, middle), (x + SWATCH_PX, middle), ink, width_px, dash);
    match kind {
        Swatch::Middle => line(Ink::Probe, 3.5, None),
        Swatch::FireSide => line(Ink::Text, 1.75, Some(FIRE_SIDE_DASH)),
        Swatch::Store => line(Ink::Store, 1.75, Some(STORE_DASH)),
        Swatch::Even => svg.leaf(tag.set("fill", &colour).num("fill-opacity", EVEN_OPACITY)),
        Swatch::Wide => svg.leaf(tag.set("fill", &svg.pattern_paint("wide")).stroke(&colour, 0.75)),
    }
}

/// All panels; returns the bottom.
pub(super) fn walls(svg: &mut Svg, picture: &ProfilePicture, top_px: f64) -> f64 {
    let (font_px, width_px, narrow) = (svg.look().font_px(), svg.look().width_px, svg.look().narrow());
    let count = picture.walls.iter().fold(0.0, |n, _| n + 1.0);
    let each_px = if narrow { width_px } else { width_px / count };
    let (mut x, mut y, mut bottom) = (0.0, top_px, top_px);
    let values = picture.values_c();
    for wall in &picture.walls {
        let top = y + HEAD_LINES * font_px;
        let all = values.iter().copied().chain([0.0, picture.store_above_c]);
        let axis = ValueAxis::covering(all, 5.0, top, top + if narrow { 180.0 } else { 230.0 });
        let (left_px, right_px) = (x + text::width_px("0000", font_px) + 12.0, x + each_px - 16.0);
        let panel = Panel { wall, left_px, right_px, axis, font_px };
        bottom = panel.draw(svg, picture.store_above_c, (x + 12.0, y)).max(bottom);
        (x, y) = if narrow { (x, bottom + 8.0) } else { (x + each_px, y) };
    }
    bottom
}

impl Panel<'_> {
    fn draw(&self, svg: &mut Svg, store_above_c: f64, (corner_px, top_px): (f64, f64)) -> f64 {
        let base = top_px + self.font_px * 1.3;
        let face = self.wall.temperature_c.at(0).map(|s| format!(": {} at the face", text::celsius(s.p50)));
        let face = face.unwrap_or_default();
        let room_px = self.right_px - corner_px - text::bold_width_px(&face, self.font_px);
        let name = format!("{}{face}", text::shorten(&self.wall.name, self.font_px * 1.1, room_px));
        svg.text(corner_px, base, Type::plain(self.font_px).bold(), &name);
        svg.text(corner_px, base + self.font_px * 1.35, Type::plain(self.font_px).ink(Ink::Soft), "°C");
        self.grid(svg);
        self.spread(svg);
        self.store_line(svg, store_above_c);
        let below = self.strip(svg);
        let bottom = self.depths(svg, below);
        self.layer_names(svg, corner_px, bottom)
    }

    fn grid(&self, svg: &mut Svg) {
        let set = Type::plain(self.font_px).anchor(Anchor::End);
        for value in self.axis.ticks() {
            let y = self.axis.y_px(value);
            svg.line((self.left_px, y), (self.right_px, y), Ink::Grid, 1.0, None);
            let words = text::figure(value, self.axis.decimals());
            svg.text(self.left_px - 6.0, y + self.font_px * 0.35, set, &words);
        }
        for layer in &self.wall.layers {
            let x = self.x_px(layer.to_mm);
            svg.line((x, self.axis.top_px), (x, self.axis.bottom_px), Ink::Soft, 1.0, Some("1 4"));
        }
        svg.line((self.left_px, self.axis.top_px), (self.left_px, self.axis.bottom_px), Ink::Text, 2.0, None);
    }

    fn spread(&self, svg: &mut Svg) {
        let colour = svg.look().paint(Ink::Probe).into_owned();
        let paper = svg.look().paint(Ink::Paper).into_owned();
        let pattern = svg.pattern_paint("wide");
        let ring = |high: fn(Spread) -> f64, low: fn(Spread) -> f64| {
            let mut upper = self.curve(high);
            upper.extend(self.curve(low).into_iter().rev());
            path_data(&upper, true)
        };
        let wide = ring(|s| s.p95, |s| s.p05);
        svg.leaf(Tag::new("path").set("d", &wide).set("fill", &pattern).stroke(&colour, 0.75));
        let even = ring(|s| s.p75, |s| s.p25);
        svg.leaf(Tag::new("path").set("d", &even).set("fill", &paper));
        svg.leaf(Tag::new("path").set("d", &even).set("fill", &colour).num("fill-opacity", EVEN_OPACITY));
        let middle = path_data(&self.curve(|s| s.p50), false);
        let line = |d: &str, colour: &str, width_px: f64| {
            let tag = Tag::new("path").set("d", d).set("fill", "none").stroke(colour, width_px);
            tag.set("stroke-linejoin", "round")
        };
        svg.leaf(line(&middle, &colour, 3.5));
        if self.wall.has_fire_side() {
            let side = self.wall.depths_mm.iter().zip(&self.wall.fire_side_c).filter(|(_, t)| t.is_finite());
            let side: Vec<(f64, f64)> = side.map(|(x, t)| (self.x_px(*x), self.axis.y_px(*t))).collect();
            let ink = svg.look().paint(Ink::Text).into_owned();
            svg.leaf(line(&path_data(&side, false), &ink, 1.75).set("stroke-dasharray", FIRE_SIDE_DASH));
        }
    }

    /// The temperature above which heat counts; the key names it, so that no word lies on a curve.
    fn store_line(&self, svg: &mut Svg, store_above_c: f64) {
        let y = self.axis.y_px(store_above_c);
        svg.line((self.left_px, y), (self.right_px, y), Ink::Store, 1.75, Some(STORE_DASH));
    }

    /// Layers as a strip below the panel; returns its bottom.
    fn strip(&self, svg: &mut Svg) -> f64 {
        let top = self.axis.bottom_px + 4.0;
        let mut from_mm = 0.0;
        for (number, layer) in self.wall.layers.iter().enumerate() {
            let (left, right) = (self.x_px(from_mm), self.x_px(layer.to_mm));
            let (part, ink) = match layer.kind {
                LayerKind::Dense => ("dense", Ink::Dense),
                LayerKind::Insulation => ("insulation", Ink::Insulation),
                LayerKind::Skin => ("skin", Ink::Skin),
            };
            let (fill, edge) = (svg.pattern_paint(part), svg.look().paint(ink).into_owned());
            let tag = rect_tag((left, top), (right - left, STRIP_PX)).set("fill", &fill);
            svg.leaf(tag.stroke(&edge, 1.25));
            let words = (number + 1).to_string();
            let wide = text::bold_width_px(&words, self.font_px) + 6.0;
            if right - left > wide {
                let paper = svg.look().paint(Ink::Paper).into_owned();
                let middle = f64::midpoint(left, right);
                svg.rect((middle - wide / 2.0, top + 1.5), (wide, STRIP_PX - 3.0), &paper);
                let set = Type::plain(self.font_px).bold().anchor(Anchor::Middle);
                svg.text(middle, top + STRIP_PX / 2.0 + self.font_px * 0.35, set, &words);
            }
            from_mm = layer.to_mm;
        }
        top + STRIP_PX
    }

    /// Depths below the strip; returns the bottom.
    fn depths(&self, svg: &mut Svg, top_px: f64) -> f64 {
        let thick_mm = self.wall.thickness_mm();
        let label_px = text::width_px("000 mm", self.font_px) + 8.0;
        let step = round_step(thick_mm * label_px / (self.right_px - self.left_px).max(1.0));
        let base = top_px + 5.0 + self.font_px;
        let at = |i: u32| f64::from(i) * step;
        for depth_mm in (1..=50).map(at).take_while(|d| *d <= thick_mm + 1e-9) {
            let x = self.x_px(depth_mm);
            svg.line((x, top_px), (x, top_px + 4.0), Ink::Text, 1.25, None);
            let last = x + label_px / 2.0 > self.right_px + 10.0;
            let set = Type::plain(self.font_px).anchor(if last { Anchor::End } else { Anchor::Middle });
            svg.text(x, base, set, &text::figure(depth_mm, 0));
        }
        let set = Type::plain(self.font_px);
        svg.text(self.left_px, base, set, "0 mm");
        let below = base + self.font_px * 1.3;
        svg.text(self.left_px, below, set.ink(Ink::Soft), "hot face");
        svg.text(self.right_px, below, set.ink(Ink::Soft).anchor(Anchor::End), "outside");
        below + 4.0
    }

    /// Names of the layers; returns the bottom.
    fn layer_names(&self, svg: &mut Svg, left_px: f64, top_px: f64) -> f64 {
        let names = self.wall.layers.iter().enumerate();
        let bound = |words: String| words.replace(' ', &text::BOUND.to_string());
        let names: Vec<String> = names.map(|(i, layer)| bound(format!("{} {}", i + 1, layer.name))).collect();
        let mut y = top_px;
        for line in text::wrap(&names.join(", "), self.font_px, self.right_px - left_px) {
            y += self.font_px * 1.35;
            svg.text(left_px, y, Type::plain(self.font_px), &line);
        }
        y + 6.0
    }
}
