//! A vertical section of an oven, to scale, from its description.
//!
//! A dome is cut from mouth to back. A vault is cut twice: across, where it shows its arch, and from mouth to back.
//! Layers are hatched by what they do (dense: strokes; insulation: dots; skin: close strokes) and numbered; the list
//! beside or below names material and thickness. Sizes that nobody measured carry ≈.
//!
//! Walls are drawn as the description gives them: shells of even thickness from the floor up, a straight cut over the
//! mouth, no chimney, no stand.

mod drawing;
mod legend;
mod shape;

use crate::svg::{Svg, Type};
use crate::table::Table;
use crate::text;
use crate::theme::Look;
use drawing::Place;
use ovenfall_engine::description::{Form, Layer, OvenDescription, Quantity};
use shape::{Cut, cuts};

/// One numbered layer of the picture.
pub(crate) struct Numbered<'a> {
    pub number: usize,
    pub part: Part,
    pub layer: &'a Layer,
}

/// Where a layer belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    Dome,
    Floor,
    Door,
}

/// Layers of all parts, numbered from the hot face of the dome on.
pub(crate) fn numbered(oven: &OvenDescription) -> Vec<Numbered<'_>> {
    let parts = [(Part::Dome, &oven.dome), (Part::Floor, &oven.floor), (Part::Door, &oven.mouth.door)];
    let all = parts.into_iter().flat_map(|(part, layers)| layers.iter().map(move |l| (part, l))).enumerate();
    all.map(|(i, (part, layer))| Numbered { number: i + 1, part, layer }).collect()
}

/// The section as SVG.
#[must_use]
pub fn svg(oven: &OvenDescription, look: &Look) -> String {
    let mut svg = Svg::new(&look.in_range());
    let said = description(oven);
    let title = format!("{}, section", oven.name);
    let top = heading(&mut svg, &title);
    let cuts = cuts(oven);
    let bottom = if cuts.is_empty() {
        let font_px = svg.look().font_px();
        svg.text(12.0, top + font_px, Type::plain(font_px), "These sizes cannot be drawn to scale.");
        top + 2.0 * font_px
    } else {
        body(&mut svg, oven, &cuts, top)
    };
    svg.finish(bottom + 12.0, &title, &said)
}

fn heading(svg: &mut Svg, title: &str) -> f64 {
    let size_px = if svg.look().narrow() { 17.0 } else { 20.0 };
    let mut y = 10.0;
    for line in text::wrap(title, size_px * 1.1, svg.look().width_px - 24.0) {
        y += size_px * 1.25;
        svg.text(12.0, y, Type::plain(size_px).bold(), &line);
    }
    y + 12.0
}

/// Cuts, and the list below them on a narrow picture, beside them on a wide one. Two cuts stand side by side where
/// that makes them larger.
fn body(svg: &mut Svg, oven: &OvenDescription, cuts: &[Cut], top_px: f64) -> f64 {
    let layers = numbered(oven);
    legend::patterns(svg, &layers);
    let (width, narrow) = (svg.look().width_px, svg.look().narrow());
    let list_px = if narrow { 0.0 } else { (width * 0.3).clamp(240.0, 360.0) };
    let room = width - 16.0 - list_px;
    let beside = room / cuts.iter().fold(0.0, |n, _| n + 1.0);
    let stacked = drawing::px_per_m(cuts, room, true) >= drawing::px_per_m(cuts, beside, false);
    let each = if stacked { room } else { beside };
    let px_per_m = drawing::px_per_m(cuts, each, stacked);
    let (mut x, mut y, mut bottom) = (8.0, top_px, top_px);
    for cut in cuts {
        let place = Place { left_px: x, top_px: y, width_px: each, px_per_m, font_px: svg.look().font_px() };
        bottom = drawing::draw(svg, oven, cut, &layers, &place).max(bottom);
        (x, y) = if stacked { (x, bottom + 14.0) } else { (x + each, y) };
    }
    bottom = drawing::scale_bar(svg, (20.0, bottom + 12.0), each * 0.4, px_per_m);
    let corner = if narrow { (12.0, bottom + 10.0) } else { (width - list_px, top_px) };
    legend::list(svg, oven, &layers, corner).max(bottom)
}

/// What the picture says, in words.
#[must_use]
pub fn description(oven: &OvenDescription) -> String {
    let mut out = match oven.form {
        Form::Dome { inner_diameter_m, rise_m } => {
            format!("Dome, {} across inside, {} high.", cm(inner_diameter_m), cm(rise_m))
        }
        Form::Vault { width_m, length_m, rise_m } => {
            format!("Vault, {} wide and {} long inside, {} high.", cm(width_m), cm(length_m), cm(rise_m))
        }
    };
    out.push_str(&format!(" Mouth {} wide, {} high.", cm(oven.mouth.width_m), cm(oven.mouth.height_m)));
    for (name, layers) in [("Walls", &oven.dome), ("Floor", &oven.floor), ("Door", &oven.mouth.door)] {
        let words: Vec<String> = layers.iter().map(|l| format!("{} {}", l.material.name, mm(l.thickness_m))).collect();
        let words = if words.is_empty() { "none".to_owned() } else { words.join(", ") };
        out.push_str(&format!(" {name}, hot face first: {words}."));
    }
    out
}

/// Sizes and layers as tables.
#[must_use]
pub fn tables(oven: &OvenDescription) -> Vec<Table> {
    let mut sizes = Table::new("Sizes inside", &["what", "size"]);
    let (form, named) = match oven.form {
        Form::Dome { inner_diameter_m, rise_m } => {
            ("dome", vec![("floor across", inner_diameter_m), ("crown over the floor", rise_m)])
        }
        Form::Vault { width_m, length_m, rise_m } => {
            ("vault", vec![("floor wide", width_m), ("floor long", length_m), ("crown over the floor", rise_m)])
        }
    };
    let mouth = [("mouth wide", oven.mouth.width_m), ("mouth high", oven.mouth.height_m)];
    for (name, size) in named.into_iter().chain(mouth) {
        sizes.rows.push(vec![name.to_owned(), cm(size)]);
    }
    let mut layers = Table::new("Layers, hot face first", &["number", "part", "material", "thickness"]);
    for layer in numbered(oven) {
        let part = match layer.part {
            Part::Dome => form,
            Part::Floor => "floor",
            Part::Door => "door",
        };
        let material = layer.layer.material.name.replace('_', " ");
        layers.rows.push(vec![layer.number.to_string(), part.to_owned(), material, mm(layer.layer.thickness_m)]);
    }
    [sizes, layers].into_iter().filter(|t| !t.rows.is_empty()).collect()
}

/// A length of decimetres, with ≈ when it was not measured.
pub(crate) fn cm(q: Quantity) -> String {
    let value = q.value * 100.0;
    let whole = (value - value.round()).abs() < 0.05;
    format!("{}{}{}cm", about(q), text::figure(value, usize::from(!whole)), text::BOUND)
}

/// A thickness, with ≈ when it was not measured.
pub(crate) fn mm(q: Quantity) -> String {
    let value = q.value * 1000.0;
    let whole = (value - value.round()).abs() < 0.05;
    format!("{}{}{}mm", about(q), text::figure(value, usize::from(!whole)), text::BOUND)
}

const fn about(q: Quantity) -> &'static str {
    if q.stated { "" } else { "≈ " }
}
