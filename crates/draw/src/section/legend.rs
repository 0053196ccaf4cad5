//! The hatching of the layers and the list that names them.

use super::{Numbered, Part, cm, mm};
use crate::svg::{Svg, Tag, Type, rect_tag};
use crate::text;
use crate::theme::Ink;
use ovenfall_engine::description::{Form, OvenDescription, Under};
use ovenfall_engine::material::MaterialRole;

/// Name of a layer's pattern.
pub(super) fn pattern(layer: &Numbered<'_>) -> String {
    format!("layer{}", layer.number)
}

/// A pattern for each layer: by role, turned from one layer to the next so that neighbours differ.
pub(super) fn patterns(svg: &mut Svg, layers: &[Numbered<'_>]) {
    svg.open(Tag::new("defs"));
    for layer in layers {
        let (name, even) = (pattern(layer), layer.number % 2 == 0);
        match layer.layer.material.role {
            MaterialRole::Dense => svg.hatch(&name, Ink::Dense, 7.0, 1.6, if even { 45.0 } else { -45.0 }),
            MaterialRole::Insulation => dots(svg, &name, if even { 5.0 } else { 7.0 }),
            MaterialRole::Skin => svg.hatch(&name, Ink::Skin, 3.0, 1.2, if even { 0.0 } else { 90.0 }),
        }
    }
    svg.close();
}

fn dots(svg: &mut Svg, name: &str, pitch_px: f64) {
    let (id, colour) = (svg.id(name), svg.look().paint(Ink::Insulation).into_owned());
    let tag = Tag::new("pattern").set("id", &id).set("patternUnits", "userSpaceOnUse");
    svg.open(tag.num("width", pitch_px).num("height", pitch_px).set("patternTransform", "rotate(30)"));
    let middle = pitch_px / 2.0;
    svg.leaf(Tag::new("circle").num("cx", middle).num("cy", middle).num("r", 1.3).set("fill", &colour));
    svg.close();
}

/// The list of layers, the mouth, and what ≈ means; returns the bottom.
pub(super) fn list(svg: &mut Svg, oven: &OvenDescription, layers: &[Numbered<'_>], corner: (f64, f64)) -> f64 {
    let (left, mut y) = corner;
    let vaulted = matches!(oven.form, Form::Vault { .. });
    for (part, head) in [
        (Part::Dome, if vaulted { "Vault, hot face first" } else { "Dome, hot face first" }),
        (Part::Floor, "Floor, hot face first"),
        (Part::Door, "Door, hot face first"),
    ] {
        let rows: Vec<&Numbered<'_>> = layers.iter().filter(|l| l.part == part).collect();
        if !rows.is_empty() {
            y = said(svg, (left, y), head, true);
        }
        for layer in rows {
            y = row(svg, (left, y), layer);
        }
    }
    y = said(svg, (left, y + 4.0), &mouth_words(oven), false);
    y = said(svg, (left, y), under_words(oven), false);
    if all_stated(oven) { y } else { said(svg, (left, y), "≈ usual for this construction, not measured", false) }
}

/// Whether every size in the picture was measured by the owner.
fn all_stated(oven: &OvenDescription) -> bool {
    let chamber = match oven.form {
        Form::Dome { inner_diameter_m, rise_m } => inner_diameter_m.stated && rise_m.stated,
        Form::Vault { width_m, length_m, rise_m } => width_m.stated && length_m.stated && rise_m.stated,
    };
    let mut layers = oven.dome.iter().chain(&oven.floor).chain(&oven.mouth.door);
    chamber && oven.mouth.width_m.stated && oven.mouth.height_m.stated && layers.all(|layer| layer.thickness_m.stated)
}

fn mouth_words(oven: &OvenDescription) -> String {
    let mouth = &oven.mouth;
    let door = if mouth.door.is_empty() { "; no door" } else { "" };
    format!("Mouth {} wide, {} high{door}", cm(mouth.width_m), cm(mouth.height_m))
}

const fn under_words(oven: &OvenDescription) -> &'static str {
    match oven.under {
        Under::Air => "Below the floor: free air",
        Under::Ground => "Below the floor: ground or rubble",
    }
}

fn said(svg: &mut Svg, (left, top): (f64, f64), words: &str, bold: bool) -> f64 {
    let font_px = svg.look().font_px();
    let set = if bold { Type::plain(font_px).bold() } else { Type::plain(font_px) };
    let mut y = top + if bold { 4.0 } else { 0.0 };
    for line in text::wrap(words, font_px * if bold { 1.1 } else { 1.0 }, svg.look().width_px - left - 8.0) {
        y += font_px * 1.4;
        svg.text(left, y, set, &line);
    }
    y + 2.0
}

fn row(svg: &mut Svg, (left, top): (f64, f64), layer: &Numbered<'_>) -> f64 {
    let font_px = svg.look().font_px();
    let (ink, pattern) = (svg.look().paint(Ink::Text).into_owned(), svg.pattern_paint(&pattern(layer)));
    let set = Type::plain(font_px);
    let base = top + font_px * 1.4;
    svg.text(left, base, set.bold(), &layer.number.to_string());
    let swatch = rect_tag((left + 22.0, base - font_px * 0.95), (30.0, font_px * 1.2));
    svg.leaf(swatch.set("fill", &pattern).stroke(&ink, 1.0));
    let room = svg.look().width_px - left - 60.0 - 8.0;
    let words = format!("{}, {}", layer.layer.material.name.replace('_', " "), mm(layer.layer.thickness_m));
    let mut y = base;
    for (i, line) in text::wrap_whole(&words, font_px, room).iter().enumerate() {
        y = base + (0..i).fold(0.0, |sum, _| sum + font_px * 1.3);
        svg.text(left + 60.0, y, set, line);
    }
    y + font_px * 0.35
}
