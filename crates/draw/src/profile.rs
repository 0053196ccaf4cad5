//! How heat lies in the walls at an hour: temperature against depth, hot face on the left, one panel a wall.
//!
//! The spread is hatched, the even chance filled, the middle a heavy line; a dashed line is the fire's side. Below each panel stand
//! the layers, numbered and hatched by what they do. The line above which heat counts as in store is dotted.

mod panel;

use crate::band::Bands;
use crate::svg::{Svg, Tag, Type};
use crate::table::Table;
use crate::text;
use crate::theme::{Ink, Look};

/// What a layer does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LayerKind {
    /// Stores heat.
    Dense,
    /// Keeps heat in.
    Insulation,
    /// Neither to speak of.
    Skin,
}

/// A layer of a wall.
#[derive(Debug, Clone, PartialEq)]
pub struct WallLayer {
    /// Its material.
    pub name: String,
    /// Where it ends, from the hot face, mm.
    pub to_mm: f64,
    /// What it does.
    pub kind: LayerKind,
}

/// One wall.
#[derive(Debug, Clone, PartialEq)]
pub struct Wall {
    /// Its name.
    pub name: String,
    /// Distances from the hot face, rising, mm.
    pub depths_mm: Vec<f64>,
    /// Temperature at each of them, °C.
    pub temperature_c: Bands,
    /// Middle of the fire's side at each of them, °C; empty where it has none.
    pub fire_side_c: Vec<f64>,
    /// Layers, hot face first.
    pub layers: Vec<WallLayer>,
}

/// All that the picture shows.
#[derive(Debug, Clone, PartialEq)]
pub struct ProfilePicture {
    /// Title: the oven and the hour.
    pub title: String,
    /// What it says, in sentences.
    pub sentences: Vec<String>,
    /// Floor and dome.
    pub walls: Vec<Wall>,
    /// Temperature above which heat counts as in store, °C.
    pub store_above_c: f64,
    /// What to take care of, said below the picture.
    pub cautions: Vec<String>,
}

/// Temperatures outside are left out, °C.
const SANE_C: (f64, f64) = (-80.0, 2500.0);
/// Walls thicker than this are left out, mm.
const THICKEST_MM: f64 = 5000.0;

impl Wall {
    /// Only depths that rise and figures that can be drawn; `None` without two depths.
    fn cleaned(&self) -> Option<Self> {
        let mut deepest = f64::NEG_INFINITY;
        let rises = |i: &usize| {
            let x = self.depths_mm[*i];
            let rises = x.is_finite() && (0.0..=THICKEST_MM).contains(&x) && x > deepest;
            if rises {
                deepest = x;
            }
            rises
        };
        let keep: Vec<usize> = (0..self.depths_mm.len()).filter(rises).collect();
        let sane = |v: &f64| (SANE_C.0..=SANE_C.1).contains(v);
        let fire_side = |i: &usize| self.fire_side_c.get(*i).copied().filter(sane).unwrap_or(f64::NAN);
        let wall = Self {
            name: self.name.clone(),
            depths_mm: keep.iter().map(|i| self.depths_mm[*i]).collect(),
            temperature_c: self.temperature_c.picked(&keep, SANE_C),
            fire_side_c: keep.iter().map(fire_side).collect(),
            layers: self.layers.iter().filter(|l| l.to_mm.is_finite() && l.to_mm > 0.0).cloned().collect(),
        };
        let drawn = wall.temperature_c.last(wall.depths_mm.len());
        (wall.depths_mm.len() > 1 && drawn.is_some()).then_some(wall)
    }

    pub(crate) fn thickness_mm(&self) -> f64 {
        self.depths_mm.last().copied().unwrap_or(0.0)
    }

    /// Whether the fire's side has a line.
    pub(crate) fn has_fire_side(&self) -> bool {
        self.fire_side_c.iter().any(|v| v.is_finite())
    }
}

impl ProfilePicture {
    /// The same picture with only what can be drawn.
    pub(crate) fn cleaned(&self) -> Self {
        let sane = (SANE_C.0..=SANE_C.1).contains(&self.store_above_c);
        let store_above_c = if sane { self.store_above_c } else { f64::NAN };
        Self { walls: self.walls.iter().filter_map(Wall::cleaned).collect(), store_above_c, ..self.clone() }
    }

    /// All temperatures that show.
    pub(crate) fn values_c(&self) -> Vec<f64> {
        let of = |wall: &Wall| {
            let bands = (0..wall.depths_mm.len()).filter_map(|i| wall.temperature_c.at(i));
            let bands = bands.flat_map(|s| [s.p05, s.p25, s.p50, s.p75, s.p95]);
            bands.chain(wall.fire_side_c.iter().copied().filter(|v| v.is_finite())).collect::<Vec<f64>>()
        };
        self.walls.iter().flat_map(of).collect()
    }
}

/// The picture as SVG.
#[must_use]
pub fn svg(picture: &ProfilePicture, look: &Look) -> String {
    let picture = picture.cleaned();
    let mut svg = Svg::new(&look.in_range());
    let said = description(&picture);
    let mut y_px = head(&mut svg, &picture);
    if picture.walls.is_empty() {
        let font_px = svg.look().font_px();
        svg.text(12.0, y_px + font_px, Type::plain(font_px), "There is nothing to draw.");
        y_px += 2.0 * font_px;
    } else {
        patterns(&mut svg);
        y_px = panel::key(&mut svg, &picture, y_px);
        y_px = panel::walls(&mut svg, &picture, y_px);
    }
    y_px = foot(&mut svg, &picture, y_px);
    svg.finish(y_px + 10.0, &picture.title, &said)
}

fn patterns(svg: &mut Svg) {
    svg.open(Tag::new("defs"));
    svg.hatch("wide", Ink::Probe, 6.0, 1.0, -45.0);
    svg.hatch("dense", Ink::Dense, 6.0, 1.5, -45.0);
    svg.hatch("insulation", Ink::Insulation, 6.0, 1.0, 0.0);
    svg.hatch("skin", Ink::Skin, 3.0, 1.0, 90.0);
    svg.close();
}

/// Title and sentences; returns the bottom.
fn head(svg: &mut Svg, picture: &ProfilePicture) -> f64 {
    let (narrow, font_px, room) = (svg.look().narrow(), svg.look().font_px(), svg.look().width_px - 24.0);
    let size_px = if narrow { 17.0 } else { 20.0 };
    let mut y = 10.0;
    for line in text::wrap(&picture.title, size_px * 1.1, room) {
        y += size_px * 1.25;
        svg.text(12.0, y, Type::plain(size_px).bold(), &line);
    }
    y += 4.0;
    for line in picture.sentences.iter().flat_map(|words| text::wrap(words, font_px, room)) {
        y += font_px * 1.45;
        svg.text(12.0, y, Type::plain(font_px), &line);
    }
    y + 10.0
}

/// Cautions; returns the bottom.
fn foot(svg: &mut Svg, picture: &ProfilePicture, top_px: f64) -> f64 {
    let (font_px, room) = (svg.look().font_px(), svg.look().width_px - 24.0);
    let mut y = top_px;
    for caution in &picture.cautions {
        y += 4.0;
        for line in text::wrap(&format!("Take care: {caution}."), font_px * 1.1, room) {
            y += font_px * 1.4;
            svg.text(12.0, y, Type::plain(font_px).bold(), &line);
        }
    }
    y
}

/// What the picture says, in words.
#[must_use]
pub fn description(picture: &ProfilePicture) -> String {
    let picture = picture.cleaned();
    let mut out = picture.sentences.join(" ");
    for wall in &picture.walls {
        let ends = [0, wall.depths_mm.len() - 1].map(|i| wall.temperature_c.at(i).map(|s| text::celsius(s.p50)));
        if let [Some(face), Some(outside)] = ends {
            let thick = text::figure(wall.thickness_mm(), 0);
            out.push_str(&format!(
                " {}: {face} at the hot face, {outside} at the outside, {thick}{}mm further on.",
                wall.name,
                text::BOUND
            ));
        }
    }
    out.trim().to_owned()
}

/// The figures as tables, one a wall.
#[must_use]
pub fn tables(picture: &ProfilePicture) -> Vec<Table> {
    let table = |wall: &Wall| {
        let caption = format!("{}: middle value (9 chances in 10)", wall.name);
        let mut table = Table::new(&caption, &["depth mm", "°C"]);
        for (i, depth_mm) in wall.depths_mm.iter().enumerate() {
            if let Some(s) = wall.temperature_c.at(i) {
                let cell = format!("{} ({})", text::figure(s.p50, 0), text::range(s.p05, s.p95, 0));
                table.rows.push(vec![text::figure(*depth_mm, 0), cell]);
            }
        }
        table
    };
    picture.cleaned().walls.iter().map(table).collect()
}
