//! A forecast that was made once, against what came: the band it gave, what was read, and what was done meanwhile.
//!
//! From the top: the temperatures as forecast with everything that was read, before and after; wood and other work as
//! ticks, the door as a strip, what was in the oven as lanes. Everything shares the axis of hours. Minute 0 is the hour
//! at which the forecast was made; what lies before it was known to it.

pub(crate) mod entries;
mod figures;
mod score;

use crate::band::Bands;
use crate::clock::Clock;
use crate::fall::head::{Swatch, flow};
use crate::fall::{FallPicture, PlacingLane, ReadingMark, Trace};
use crate::fall::{frame, head, lanes, temperatures};
use crate::svg::{Svg, Type};
use crate::text;
use crate::theme::Look;

pub use figures::{description, tables, touch};

/// How the door stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DoorStands {
    /// Open.
    Open,
    /// Ajar.
    Ajar,
    /// Shut.
    Shut,
}

impl DoorStands {
    /// Its name in pictures.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Ajar => "ajar",
            Self::Shut => "shut",
        }
    }
}

/// What an entry is about; entries of one kind share a lane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EntryKind {
    /// Wood put on, and how much of it where that is known, kg.
    Wood {
        /// Its mass, kg.
        mass_kg: Option<f64>,
    },
    /// Fire and embers: moved, spread, raked out.
    Fire,
    /// The door was set.
    Door(DoorStands),
    /// Any other work that belongs into the picture.
    Other,
}

/// Something that was done.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryMark {
    /// When, minutes after the forecast was made.
    pub at_min: f64,
    /// What it is about.
    pub kind: EntryKind,
    /// What was done in a word or two, for example `3.5 kg`, `raked out`.
    pub words: String,
}

/// All that the picture shows. Times are minutes after the forecast was made; negative ones lie before it.
#[derive(Debug, Clone, PartialEq)]
pub struct PastDayPicture {
    /// Title, for example the oven and the day.
    pub title: String,
    /// What the clock said when the forecast was made.
    pub clock: Clock,
    /// Times of all bands, ascending, min.
    pub times_min: Vec<f64>,
    /// The chamber probe as forecast, °C.
    pub probe_c: Bands,
    /// The free floor as forecast, °C.
    pub floor_c: Bands,
    /// The crown as forecast, °C.
    pub crown_c: Bands,
    /// Everything that was read.
    pub readings: Vec<ReadingMark>,
    /// What was done, wood, fire and door.
    pub entries: Vec<EntryMark>,
    /// What was in the oven.
    pub placings: Vec<PlacingLane>,
}

/// Most entries that are drawn.
const MOST_ENTRIES: usize = 400;

impl PastDayPicture {
    /// The forecast as the picture of a fall, which has the same panels; only what can be drawn.
    fn as_fall(&self) -> FallPicture {
        let picture = FallPicture {
            title: self.title.clone(),
            clock: self.clock.clone(),
            times_min: self.times_min.clone(),
            probe_c: self.probe_c.clone(),
            gas_c: Bands::default(),
            floor_c: self.floor_c.clone(),
            crown_c: self.crown_c.clone(),
            store_kwh: Bands::default(),
            store_above_c: 0.0,
            placings: self.placings.clone(),
            readings: self.readings.clone(),
            windows: Vec::new(),
        };
        picture.cleaned()
    }

    /// Entries between two times, in order.
    fn entries_within(&self, from_min: f64, to_min: f64) -> Vec<&EntryMark> {
        let within = |e: &&EntryMark| e.at_min >= from_min && e.at_min <= to_min;
        let mut out: Vec<&EntryMark> = self.entries.iter().filter(within).take(MOST_ENTRIES).collect();
        out.sort_by(|a, b| a.at_min.total_cmp(&b.at_min));
        out
    }
}

/// The picture as SVG.
#[must_use]
pub fn svg(picture: &PastDayPicture, look: &Look) -> String {
    let fall = picture.as_fall();
    let mut svg = Svg::new(&look.in_range());
    let mut y_px = heading(&mut svg, picture, &fall);
    let said = description(picture);
    let Some(mut frame) = crate::fall::frame(&fall, &svg) else {
        let font_px = svg.look().font_px();
        svg.text(12.0, y_px + font_px, Type::plain(font_px), "There is no forecast to draw.");
        return svg.finish(y_px + 2.5 * font_px, &picture.title, &said);
    };
    frame.said = frame::THEN;
    head::patterns(&mut svg);
    entries::patterns(&mut svg);
    y_px = key(&mut svg, &fall, &frame, y_px);
    y_px = temperatures::draw(&mut svg, &fall, &frame, y_px);
    y_px = frame.hour_labels(&mut svg, y_px, false);
    y_px = entries::lanes(&mut svg, picture, &frame, y_px);
    y_px = lanes::placings(&mut svg, &fall, &frame, y_px);
    frame.cursor(&mut svg);
    y_px = frame.hour_labels(&mut svg, y_px, true);
    svg.finish(y_px + 8.0, &picture.title, &said)
}

fn heading(svg: &mut Svg, picture: &PastDayPicture, fall: &FallPicture) -> f64 {
    if !svg.look().heading {
        return 10.0;
    }
    let (narrow, font_px, room) = (svg.look().narrow(), svg.look().font_px(), svg.look().width_px - 24.0);
    let size_px = if narrow { 17.0 } else { 20.0 };
    let mut y = 10.0;
    for line in text::wrap(&picture.title, size_px * 1.1, room) {
        y += size_px * 1.25;
        svg.text(12.0, y, Type::plain(size_px).bold(), &line);
    }
    for line in text::wrap(&score::sentences(fall), font_px, room) {
        y += font_px * 1.45;
        svg.text(12.0, y, Type::plain(font_px), &line);
    }
    y + 8.0
}

fn key(svg: &mut Svg, fall: &FallPicture, frame: &frame::Frame<'_>, top_px: f64) -> f64 {
    let mut items = vec![(Swatch::Middle, "probe, forecast".to_owned()), (Swatch::Wide, "9 chances in 10".to_owned())];
    for trace in [Trace::Probe, Trace::Floor, Trace::Crown, Trace::Gas] {
        if fall.readings.iter().any(|r| r.what == trace) {
            items.push((Swatch::Read(trace), format!("{}, read", trace.name())));
        }
    }
    flow(svg, frame, &items, 12.0, top_px)
}
