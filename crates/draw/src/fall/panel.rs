//! A panel of one quantity with its spread; and the heat in store, which is one.

use super::FallPicture;
use super::frame::Frame;
use crate::axis::ValueAxis;
use crate::band::{Bands, Spread};
use crate::svg::{Anchor, Svg, Tag, Type, path_data};
use crate::text;
use crate::theme::Ink;
use crate::trim::{UNSEEN_PX, trimmed};

/// The paints of a spread.
pub(crate) struct Coat {
    pub ink: Ink,
    /// Pattern of the wide spread.
    pub pattern: &'static str,
}

/// Lines and figures of the value axis.
pub(crate) fn value_grid(svg: &mut Svg, frame: &Frame<'_>, axis: &ValueAxis) {
    let set = Type::plain(frame.font_px).anchor(Anchor::End);
    let level = |value: f64| ((frame.time.left_px, axis.y_px(value)), (frame.time.right_px, axis.y_px(value)));
    let ends: Vec<_> = axis.ticks().into_iter().map(level).collect();
    svg.lines(&ends, Ink::Grid, 1.0);
    for value in axis.ticks() {
        let y = axis.y_px(value);
        let words = text::figure(value, axis.decimals());
        svg.text(frame.time.left_px - 6.0, y + frame.font_px * 0.35, set, &words);
    }
}

/// The spread of 9 chances in 10, hatched and edged.
pub(crate) fn spread(svg: &mut Svg, frame: &Frame<'_>, axis: &ValueAxis, data: (&[f64], &Bands), coat: &Coat) {
    let (colour, pattern) = (svg.look().paint(coat.ink).into_owned(), svg.pattern_paint(coat.pattern));
    for run in data.1.runs(data.0.len()) {
        let points = |pick: fn(Spread) -> f64| curve(frame, axis, data, run.clone(), pick);
        let wide = ring(points(|s| s.p95), points(|s| s.p05));
        svg.leaf(Tag::new("path").set("d", &wide).set("fill", &pattern).stroke(&colour, 0.75));
    }
}

/// A line through the middles.
pub(crate) fn middle(
    svg: &mut Svg,
    frame: &Frame<'_>,
    axis: &ValueAxis,
    data: (&[f64], &Bands),
    pen: (Ink, f64, Option<&str>),
) {
    let colour = svg.look().paint(pen.0).into_owned();
    for run in data.1.runs(data.0.len()) {
        let d = path_data(&curve(frame, axis, data, run, |s| s.p50), false);
        let tag = Tag::new("path").set("d", &d).set("fill", "none").stroke(&colour, pen.1);
        let tag = tag.set("stroke-linejoin", "round");
        svg.leaf(match pen.2 {
            Some(dash) => tag.set("stroke-dasharray", dash),
            None => tag,
        });
    }
}

fn curve(
    frame: &Frame<'_>,
    axis: &ValueAxis,
    (times_min, bands): (&[f64], &Bands),
    run: std::ops::Range<usize>,
    pick: fn(Spread) -> f64,
) -> Vec<(f64, f64)> {
    let point = |i: usize| Some((frame.time.x_px(*times_min.get(i)?), axis.y_px(pick(bands.at(i)?))));
    trimmed(&run.filter_map(point).collect::<Vec<_>>(), UNSEEN_PX)
}

fn ring(mut upper: Vec<(f64, f64)>, lower: Vec<(f64, f64)>) -> String {
    upper.extend(lower.into_iter().rev());
    path_data(&upper, true)
}

/// All that shows of a band.
pub(crate) fn values<'a>(times_min: &'a [f64], bands: &'a Bands) -> impl Iterator<Item = f64> + 'a {
    (0..times_min.len()).filter_map(|i| bands.at(i)).flat_map(|s| [s.p05, s.p50, s.p95])
}

/// What stands at the end of the store's line.
pub(crate) fn store_end_label(picture: &FallPicture) -> Option<String> {
    let last = picture.store_kwh.last(picture.times_min.len())?;
    picture.store_kwh.at(last).map(|s| text::kwh(s.p50))
}

/// Most heat in store that the scale shows, kWh.
const MOST_KWH: f64 = 5000.0;

/// The heat in store; returns the bottom.
pub(crate) fn store(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    let Some(label) = store_end_label(picture) else { return top_px };
    let data = (picture.times_min.as_slice(), &picture.store_kwh);
    let head_px = top_px + 6.0 + frame.font_px;
    let above = text::celsius(picture.store_above_c);
    let words = format!("Heat in store above {above}, kWh");
    svg.text(12.0, head_px, Type::plain(frame.font_px).bold(), &words);
    let top = head_px + 12.0;
    let bottom = top + if frame.narrow { 68.0 } else { 78.0 };
    let zero = std::iter::once(0.0);
    // There is never less than nothing in store, and no oven holds more than its scale has room for.
    let sensible = values(data.0, data.1).map(|kwh| kwh.clamp(0.0, MOST_KWH));
    let axis = ValueAxis::covering(sensible.chain(zero), 3.0, top, bottom);
    frame.open_panel(svg, "fall-store");
    frame.ground(svg, top, bottom);
    svg.strip(top, bottom);
    value_grid(svg, frame, &axis);
    spread(svg, frame, &axis, data, &Coat { ink: Ink::Store, pattern: "store" });
    middle(svg, frame, &axis, data, (Ink::Store, 2.5, None));
    svg.close();
    if let Some(end) = data.1.last(data.0.len()).and_then(|i| data.1.at(i)) {
        let y = (axis.y_px(end.p50) + frame.font_px * 0.35).clamp(top + frame.font_px * 0.7, bottom);
        let set = Type::plain(frame.font_px).bold().ink(Ink::Store);
        svg.text(frame.time.right_px + 10.0, y, set, &label);
    }
    bottom
}
