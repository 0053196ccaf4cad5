//! The fall: what the oven is forecast to do, on one axis of clock time.
//!
//! From the top: the temperatures (chamber probe with its spread, floor, crown, what was read today), the placings as
//! lanes, when the oven suits each dish, and the heat in store. All panels share the axis of hours. Nothing is told by
//! colour alone: lines differ in weight and dash, spreads in hatching, and each carries its name at its end.

mod figures;
pub(crate) mod frame;
pub(crate) mod head;
pub(crate) mod lanes;
pub(crate) mod panel;
pub(crate) mod temperatures;
pub(crate) mod touch;

use crate::axis::TimeAxis;
use crate::band::Bands;
use crate::clock::Clock;
use crate::suits::Window;
use crate::svg::{Svg, Type};
use crate::text;
use crate::theme::Look;
use frame::Frame;

pub use figures::{description, tables};
pub use touch::touch;

/// A temperature of the oven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trace {
    /// What the chamber probe reads.
    Probe,
    /// Air and gas in the chamber.
    Gas,
    /// The free floor.
    Floor,
    /// The crown.
    Crown,
}

impl Trace {
    /// Its name in pictures.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Probe => "probe",
            Self::Gas => "air",
            Self::Floor => "floor",
            Self::Crown => "crown",
        }
    }
}

/// Something in the oven, or planned to be.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacingLane {
    /// The dish or load.
    pub name: String,
    /// Put in, minutes after now.
    pub in_min: f64,
    /// Taken out, minutes after now; `None` while nobody knows.
    pub out_min: Option<f64>,
    /// Temperature at the coldest point, °C, on the picture's times.
    pub core_c: Option<Bands>,
}

/// A temperature that was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingMark {
    /// When, minutes after now.
    pub at_min: f64,
    /// What was read, °C.
    pub value_c: f64,
    /// Where.
    pub what: Trace,
}

/// All that the picture shows. Times are minutes after now; negative ones are behind us.
#[derive(Debug, Clone, PartialEq)]
pub struct FallPicture {
    /// Title, for example the oven and the day.
    pub title: String,
    /// What the clock says now.
    pub clock: Clock,
    /// Times of all bands, ascending, min after now.
    pub times_min: Vec<f64>,
    /// Reading of the chamber probe, °C.
    pub probe_c: Bands,
    /// Air and gas, °C; in the tables only.
    pub gas_c: Bands,
    /// Free floor, °C.
    pub floor_c: Bands,
    /// Crown, °C.
    pub crown_c: Bands,
    /// Heat in store, kWh.
    pub store_kwh: Bands,
    /// Temperature that the store is counted above, °C.
    pub store_above_c: f64,
    /// What is in the oven or planned to be.
    pub placings: Vec<PlacingLane>,
    /// Today's readings.
    pub readings: Vec<ReadingMark>,
    /// Windows of the dishes still wanted.
    pub windows: Vec<Window>,
}

/// Temperatures outside are taken for a mistake and left out, °C.
const SANE_C: (f64, f64) = (-80.0, 2500.0);
/// Heat in store outside is left out, kWh.
const SANE_KWH: (f64, f64) = (-1.0e5, 1.0e5);
/// Times further off are left out, min: two weeks.
const FURTHEST_MIN: f64 = 20_160.0;
/// More samples than this are thinned; a screen has no more columns to show.
const MOST_SAMPLES: usize = 600;

impl FallPicture {
    /// The bands of a temperature.
    #[must_use]
    pub const fn trace(&self, trace: Trace) -> &Bands {
        match trace {
            Trace::Probe => &self.probe_c,
            Trace::Gas => &self.gas_c,
            Trace::Floor => &self.floor_c,
            Trace::Crown => &self.crown_c,
        }
    }

    /// The same picture with times that ascend and only figures that can be drawn.
    pub(crate) fn cleaned(&self) -> Self {
        let keep = ascending(&self.times_min);
        let celsius = |b: &Bands| b.picked(&keep, SANE_C);
        let times_min: Vec<f64> = keep.iter().filter_map(|i| self.times_min.get(*i).copied()).collect();
        Self {
            title: self.title.clone(),
            clock: self.clock.clone(),
            probe_c: celsius(&self.probe_c),
            gas_c: celsius(&self.gas_c),
            floor_c: celsius(&self.floor_c),
            crown_c: celsius(&self.crown_c),
            store_kwh: self.store_kwh.picked(&keep, SANE_KWH),
            store_above_c: self.store_above_c,
            placings: self.placings.iter().filter_map(|p| p.cleaned(&keep)).collect(),
            readings: self.readings.iter().filter(|r| r.shows_on(&times_min)).copied().collect(),
            windows: self
                .windows
                .iter()
                .filter(|w| w.low_c < w.high_c && w.low_c >= SANE_C.0 && w.high_c <= SANE_C.1)
                .cloned()
                .collect(),
            times_min,
        }
    }

    /// First and last time, when there are two.
    pub(crate) fn ends_min(&self) -> Option<(f64, f64)> {
        let (first, last) = (self.times_min.first()?, self.times_min.last()?);
        (first < last).then_some((*first, *last))
    }
}

impl PlacingLane {
    fn cleaned(&self, keep: &[usize]) -> Option<Self> {
        let out_min = self.out_min.filter(|t| t.is_finite());
        let core_c = self.core_c.as_ref().map(|b| b.picked(keep, SANE_C));
        self.in_min.is_finite().then(|| Self { name: self.name.clone(), in_min: self.in_min, out_min, core_c })
    }
}

impl ReadingMark {
    fn shows_on(&self, times_min: &[f64]) -> bool {
        let (Some(first), Some(last)) = (times_min.first(), times_min.last()) else { return false };
        self.at_min >= *first && self.at_min <= *last && self.value_c >= SANE_C.0 && self.value_c <= SANE_C.1
    }
}

/// Indices of times that ascend, thinned to what can be shown; the last one stays.
fn ascending(times_min: &[f64]) -> Vec<usize> {
    let mut latest = f64::NEG_INFINITY;
    let rising: Vec<usize> = (0..times_min.len())
        .filter(|i| {
            let t = times_min[*i];
            let rises = t.is_finite() && t.abs() <= FURTHEST_MIN && t > latest;
            if rises {
                latest = t;
            }
            rises
        })
        .collect();
    let every = rising.len().div_ceil(MOST_SAMPLES).max(1);
    let last = rising.len().saturating_sub(1);
    rising.iter().enumerate().filter(|(n, _)| n % every == 0 || *n == last).map(|(_, i)| *i).collect()
}

/// The picture as SVG.
#[must_use]
pub fn svg(picture: &FallPicture, look: &Look) -> String {
    let picture = picture.cleaned();
    let mut svg = Svg::new(&look.in_range());
    let mut y_px = head::title(&mut svg, &picture, 10.0);
    let said = description(&picture);
    let Some(frame) = frame(&picture, &svg) else {
        let font_px = svg.look().font_px();
        svg.text(12.0, y_px + font_px, Type::plain(font_px), "There is no forecast to draw.");
        return svg.finish(y_px + 2.5 * font_px, &picture.title, &said);
    };
    head::patterns(&mut svg);
    y_px = head::key(&mut svg, &picture, &frame, y_px);
    y_px = temperatures::draw(&mut svg, &picture, &frame, y_px);
    y_px = frame.hour_labels(&mut svg, y_px, false);
    y_px = lanes::placings(&mut svg, &picture, &frame, y_px);
    y_px = lanes::windows(&mut svg, &picture, &frame, y_px);
    y_px = panel::store(&mut svg, &picture, &frame, y_px);
    frame.cursor(&mut svg);
    y_px = frame.hour_labels(&mut svg, y_px, true);
    svg.finish(y_px + 8.0, &picture.title, &said)
}

pub(crate) fn frame<'a>(picture: &'a FallPicture, svg: &Svg) -> Option<Frame<'a>> {
    let (from_min, to_min) = picture.ends_min()?;
    let look = svg.look();
    let font_px = look.font_px();
    let left_px = text::width_px("0000", font_px) + 10.0;
    let labels = temperatures::end_labels(picture).into_iter().map(|l| l.words);
    let widest = labels.chain(panel::store_end_label(picture)).map(|l| text::bold_width_px(&l, font_px));
    let right_px = look.width_px - widest.fold(text::width_px("Sun 00:00", font_px) / 2.0, f64::max) - 18.0;
    let time = TimeAxis { from_min, to_min, left_px, right_px };
    let label = if look.narrow() { "00:00" } else { "Sun 00:00" };
    let ticks = time.hours(&picture.clock, text::bold_width_px(label, font_px) + 4.0);
    let (narrow, width_px) = (look.narrow(), look.width_px);
    Some(Frame { clock: &picture.clock, time, ticks, font_px, narrow, width_px, said: frame::NOW })
}
