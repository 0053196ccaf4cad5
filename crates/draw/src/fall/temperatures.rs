//! The upper panel: probe with its spread, floor and crown, readings, names at the ends of the lines.

use super::frame::Frame;
use super::panel::{self, Coat};
use super::{FallPicture, ReadingMark, Trace};
use crate::axis::{ValueAxis, spread_apart};
use crate::svg::{Svg, Tag, Type, path_data, rect_tag};
use crate::text;
use crate::theme::Ink;

/// The traces drawn, the most important last so that it lies on top.
const DRAWN: [Trace; 3] = [Trace::Crown, Trace::Floor, Trace::Probe];

pub(crate) const fn ink(trace: Trace) -> Ink {
    match trace {
        Trace::Probe => Ink::Probe,
        Trace::Gas => Ink::Soft,
        Trace::Floor => Ink::Floor,
        Trace::Crown => Ink::Crown,
    }
}

const fn pen(trace: Trace) -> (Ink, f64, Option<&'static str>) {
    match trace {
        Trace::Probe => (Ink::Probe, 3.5, None),
        Trace::Gas => (Ink::Soft, 1.0, None),
        Trace::Floor => (Ink::Floor, 1.75, Some("8 4")),
        Trace::Crown => (Ink::Crown, 1.75, Some("2 3")),
    }
}

/// A name at the end of a line.
pub(crate) struct EndLabel {
    trace: Trace,
    at_min: f64,
    value_c: f64,
    pub words: String,
}

pub(crate) fn end_labels(picture: &FallPicture) -> Vec<EndLabel> {
    let label = |trace: Trace| {
        let bands = picture.trace(trace);
        let last = bands.last(picture.times_min.len())?;
        let (at_min, value_c) = (*picture.times_min.get(last)?, bands.at(last)?.p50);
        let words = format!("{} {}°", trace.name(), text::figure(value_c, 0));
        Some(EndLabel { trace, at_min, value_c, words })
    };
    DRAWN.into_iter().filter_map(label).collect()
}

/// Draws the panel; returns its bottom.
pub(crate) fn draw(svg: &mut Svg, picture: &FallPicture, frame: &Frame<'_>, top_px: f64) -> f64 {
    let base = top_px + 4.0 + frame.font_px;
    svg.text(12.0, base, Type::plain(frame.font_px).bold(), "°C");
    frame.now_label(svg, base);
    let (top, height) = (base + 8.0, if frame.narrow { 216.0 } else { 250.0 });
    let axis = axis(picture, top, top + height);
    frame.open_panel(svg, "fall-temperatures");
    frame.ground(svg, top, axis.bottom_px);
    svg.strip(top, axis.bottom_px);
    panel::value_grid(svg, frame, &axis);
    let times = picture.times_min.as_slice();
    let coat = Coat { ink: Ink::Probe, pattern: "wide" };
    panel::spread(svg, frame, &axis, (times, &picture.probe_c), &coat);
    for trace in DRAWN {
        panel::middle(svg, frame, &axis, (times, picture.trace(trace)), pen(trace));
    }
    marks(svg, frame, &axis, &picture.readings);
    svg.close();
    name_ends(svg, frame, &axis, &end_labels(picture));
    axis.bottom_px
}

fn axis(picture: &FallPicture, top_px: f64, bottom_px: f64) -> ValueAxis {
    let times = picture.times_min.as_slice();
    let read = picture.readings.iter().map(|r| r.value_c);
    let lines = [Trace::Floor, Trace::Crown].into_iter().flat_map(|t| {
        let bands = picture.trace(t);
        (0..times.len()).filter_map(|i| bands.at(i)).map(|s| s.p50)
    });
    let all = panel::values(times, &picture.probe_c).chain(lines).chain(read);
    ValueAxis::covering(all, 6.0, top_px, bottom_px)
}

/// Marks of one trace nearer than this are one mark: they could not be told apart.
const NEAREST_PX: f64 = 3.0;

/// What was read, a group of marks for each trace; of a dense log only as many marks as can be seen.
pub(crate) fn marks(svg: &mut Svg, frame: &Frame<'_>, axis: &ValueAxis, readings: &[ReadingMark]) {
    for trace in [Trace::Gas, Trace::Floor, Trace::Crown, Trace::Probe] {
        let of = readings.iter().filter(|r| r.what == trace);
        let mut points: Vec<(f64, f64)> = of.map(|r| (frame.time.x_px(r.at_min), axis.y_px(r.value_c))).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        points.dedup_by(|next, kept| (next.0 - kept.0).hypot(next.1 - kept.1) < NEAREST_PX);
        if !points.is_empty() {
            open_marks(svg, trace);
            points.into_iter().for_each(|at| mark(svg, trace, at));
            svg.close();
        }
    }
}

/// Opens the group that gives the marks of a trace their colour: floor and air are open shapes, into which the filled
/// ones of crown and probe fit, so that marks on the same place can be told apart.
pub(crate) fn open_marks(svg: &mut Svg, trace: Trace) {
    let (own, paper) = (svg.look().paint(ink(trace)).into_owned(), svg.look().paint(Ink::Paper).into_owned());
    let group = Tag::new("g");
    svg.open(match trace {
        Trace::Floor | Trace::Gas => group.set("fill", &paper).stroke(&own, 2.0),
        Trace::Probe | Trace::Crown => group.set("fill", &own).stroke(&paper, 1.0),
    });
}

/// A mark of a reading: a disc for the probe, a square for the floor, a triangle for the crown, a diamond for air.
pub(crate) fn mark(svg: &mut Svg, trace: Trace, (x, y): (f64, f64)) {
    let corners = |points: &[(f64, f64)]| {
        let moved: Vec<(f64, f64)> = points.iter().map(|(dx, dy)| (x + dx, y + dy)).collect();
        Tag::new("path").set("d", &path_data(&moved, true))
    };
    svg.leaf(match trace {
        Trace::Probe => Tag::new("circle").px("cx", x).px("cy", y).px("r", 5.0),
        Trace::Floor => rect_tag((x - 6.0, y - 6.0), (12.0, 12.0)),
        Trace::Crown => corners(&[(0.0, -5.0), (4.8, 4.0), (-4.8, 4.0)]),
        Trace::Gas => corners(&[(0.0, -7.5), (7.5, 0.0), (0.0, 7.5), (-7.5, 0.0)]),
    });
}

fn name_ends(svg: &mut Svg, frame: &Frame<'_>, axis: &ValueAxis, labels: &[EndLabel]) {
    let wanted: Vec<f64> = labels.iter().map(|l| axis.y_px(l.value_c)).collect();
    let half = frame.font_px * 0.6;
    let placed = spread_apart(&wanted, frame.font_px * 1.3, axis.top_px + half, axis.bottom_px - half);
    let x = frame.time.right_px + 10.0;
    for ((label, from), to) in labels.iter().zip(&wanted).zip(&placed) {
        let end = (frame.time.x_px(label.at_min), *from);
        svg.line(end, (x - 3.0, *to), ink(label.trace), 1.0, None);
        let set = Type::plain(frame.font_px).ink(ink(label.trace));
        let set = if label.trace == Trace::Probe { set.bold() } else { set };
        svg.text(x, to + frame.font_px * 0.35, set, &label.words);
    }
}
