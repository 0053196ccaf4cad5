//! Where did the heat go: a bar for each way, with its energy and its share.
//!
//! Shares are of the sum of all positive rows. A negative row (masonry that gave back more than it took) is drawn to
//! the left of the line, hatched, and has no share.

use crate::svg::{Anchor, Svg, Tag, Type, rect_tag};
use crate::table::Table;
use crate::text;
use crate::theme::{Ink, Look};

/// One way that heat went.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerRow {
    /// Where it went.
    pub label: String,
    /// How much, kWh; negative when it came back.
    pub energy_kwh: f64,
}

/// All that the picture shows.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerPicture {
    /// Title, for example "Where the heat went".
    pub title: String,
    /// What came in, in words and figures, for example "12.4 kg of wood, 51.2 kWh"; empty for none.
    pub source: String,
    /// The rows, in the order shown; largest first reads best. Rows that are not finite are left out.
    pub rows: Vec<LedgerRow>,
}

/// A row and its share of the positive sum, 0 to 1.
pub(crate) type Share<'a> = (&'a LedgerRow, Option<f64>);

impl LedgerPicture {
    /// Rows that can be shown, with their share of the positive sum.
    pub(crate) fn shares(&self) -> Vec<Share<'_>> {
        let sound = || self.rows.iter().filter(|r| r.energy_kwh.is_finite() && r.energy_kwh.abs() < 1e9);
        let sum: f64 = sound().map(|r| r.energy_kwh.max(0.0)).sum();
        let share = |r: &LedgerRow| (sum > 0.0 && r.energy_kwh >= 0.0).then(|| r.energy_kwh / sum);
        sound().map(|r| (r, share(r))).collect()
    }
}

/// A row's figures: energy, and share where it has one.
pub(crate) fn figures(row: &LedgerRow, share: Option<f64>) -> String {
    let energy = text::kwh(row.energy_kwh.abs());
    match share {
        Some(share) if share > 0.0 && share < 0.005 => format!("{energy}, under 1{}%", text::BOUND),
        Some(share) => format!("{energy}, {}{}%", text::figure(share * 100.0, 0), text::BOUND),
        None => format!("{energy} came back"),
    }
}

/// The picture as SVG.
#[must_use]
pub fn svg(picture: &LedgerPicture, look: &Look) -> String {
    let mut svg = Svg::new(&look.in_range());
    svg.open(Tag::new("defs"));
    svg.hatch("back", Ink::Store, 5.0, 1.75, 45.0);
    svg.close();
    let shares = picture.shares();
    let mut y = heading(&mut svg, picture);
    let scale = Scale::of(&svg, &shares);
    for (row, share) in &shares {
        y = bar(&mut svg, &scale, row, &figures(row, *share), y);
    }
    svg.finish(y + 10.0, &picture.title, &description(picture))
}

/// What the picture says, in words.
#[must_use]
pub fn description(picture: &LedgerPicture) -> String {
    let rows: Vec<String> =
        picture.shares().iter().map(|(row, share)| format!("{}: {}", row.label, figures(row, *share))).collect();
    let source = if picture.source.is_empty() { String::new() } else { format!("{}. ", picture.source) };
    if rows.is_empty() { "There is no heat to show.".to_owned() } else { format!("{source}{}.", rows.join("; ")) }
}

/// The figures as a table.
#[must_use]
pub fn table(picture: &LedgerPicture) -> Table {
    let mut table = Table::new(&picture.title, &["where", "kWh", "%"]);
    for (row, share) in picture.shares() {
        let percent = share.map_or_else(|| "came back".to_owned(), |s| text::figure(s * 100.0, 1));
        table.rows.push(vec![row.label.clone(), text::figure(row.energy_kwh, 2), percent]);
    }
    table
}

/// The same as a list of tables, as the other pictures have; none without rows.
#[must_use]
pub fn tables(picture: &LedgerPicture) -> Vec<Table> {
    let table = table(picture);
    if table.rows.is_empty() { Vec::new() } else { vec![table] }
}

fn heading(svg: &mut Svg, picture: &LedgerPicture) -> f64 {
    let (font_px, room) = (svg.look().font_px(), svg.look().width_px - 24.0);
    let size_px = if svg.look().narrow() { 17.0 } else { 20.0 };
    let mut y = 10.0;
    for line in text::wrap(&picture.title, size_px * 1.1, room) {
        y += size_px * 1.25;
        svg.text(12.0, y, Type::plain(size_px).bold(), &line);
    }
    for line in text::wrap(&picture.source, font_px, room) {
        y += font_px * 1.45;
        svg.text(12.0, y, Type::plain(font_px), &line);
    }
    y + 14.0
}

/// Where bars begin and how long a kilowatt-hour is.
struct Scale {
    label_px: f64,
    zero_px: f64,
    px_per_kwh: f64,
    figures_px: f64,
}

impl Scale {
    /// Narrow: words over the bar. Wide: words left of it.
    fn of(svg: &Svg, shares: &[Share<'_>]) -> Self {
        let (look, font_px) = (svg.look(), svg.look().font_px());
        let widest = |words: fn(&Share<'_>) -> String| {
            shares.iter().map(|s| text::width_px(&words(s), font_px)).fold(0.0, f64::max)
        };
        let figures_px = widest(|s| figures(s.0, s.1)) * 1.1 + 10.0;
        let label_px = if look.narrow() { 0.0 } else { widest(|s| s.0.label.clone()).min(look.width_px * 0.3) + 12.0 };
        let (least, most) = shares
            .iter()
            .fold((0.0, 0.0), |(low, high), (r, _)| (f64::min(low, r.energy_kwh), f64::max(high, r.energy_kwh)));
        let px_per_kwh = (look.width_px - 24.0 - label_px - figures_px) / f64::max(most - least, 1e-9);
        Self { label_px, zero_px: 12.0 + label_px - least * px_per_kwh, px_per_kwh, figures_px }
    }
}

fn bar(svg: &mut Svg, scale: &Scale, row: &LedgerRow, figures: &str, top_px: f64) -> f64 {
    let (font_px, narrow) = (svg.look().font_px(), svg.look().narrow());
    let set = Type::plain(font_px);
    let room = if narrow { svg.look().width_px - 24.0 } else { scale.label_px - 10.0 };
    let label = text::shorten(&row.label, font_px, room);
    let (bar_top, height) = if narrow { (top_px + font_px + 6.0, 16.0) } else { (top_px, 20.0) };
    let base = bar_top + height / 2.0 + font_px * 0.35;
    if narrow {
        svg.text(12.0, top_px + font_px, set, &label);
    } else {
        svg.text(scale.zero_px.min(12.0 + scale.label_px) - 10.0, base, set.anchor(Anchor::End), &label);
    }
    let end = scale.zero_px + row.energy_kwh * scale.px_per_kwh;
    let (left, width) = (end.min(scale.zero_px), (end - scale.zero_px).abs());
    let paint = svg.look().paint(Ink::Store).into_owned();
    let fill = if row.energy_kwh < 0.0 { svg.pattern_paint("back") } else { paint.clone() };
    svg.leaf(rect_tag((left, bar_top), (width, height)).set("fill", &fill).stroke(&paint, 1.0));
    svg.line((scale.zero_px, bar_top - 3.0), (scale.zero_px, bar_top + height + 3.0), Ink::Text, 1.25, None);
    let x = (end.max(scale.zero_px) + 8.0).min(svg.look().width_px - scale.figures_px - 2.0);
    svg.text(x, base, set.bold(), figures);
    bar_top + height + if narrow { 9.0 } else { 10.0 }
}
