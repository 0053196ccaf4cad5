//! What was read, as the smoother takes it: thinned, and weighed by the circumstances it was read in.
//!
//! # Equation
//! Readings of the chamber probe are averaged over stretches of ten minutes, each within one state of door and fire;
//! of thermocouples and food probes that log every few minutes only every twentieth or thirtieth minute is taken.
//! Every reading has an error of its own, σ² = instrument² + (share · (T − T_ambient))², the share standing for how badly one
//! spot, one minute or a fire speaks for the patch the engine computes. What instruments and spots get wrong all day long is
//! not in here: it is an unknown with a coordinate of its own (see [`crate::instrument`]).
//!
//! A spot read over flames or embers errs upwards: the patch reflects what shines on it and the cone takes part of it in. Such
//! a reading has a further error of share · (T − T_ambient), counted only when it lies above what the members say.
//! A display over its range says "at least": it counts only against members that are below.
//!
//! # Validity
//! Only readings of the time up to the hour asked about that were written down by then. The first ten minutes of the
//! probe after the door was closed or opened are left out: a lag and a draught, not heat.
//!
//! # Source
//! Infra-red thermometers ± 2 K or 2 % (typical, from memory); thermocouples of class 2 ± 2.5 K or 0.75 % (IEC 60584-1).
//! Flames: brick at 350 °C of emissivity 0.90 that reflects a dome lit to 500 °C shows 366 °C; embers at 700 °C in a tenth or
//! a third of the cone add some 40 or 120 K at 350 °C (band 8–14 µm, computed with [`ovenfall_engine::observe`]); how often that
//! happens: judgement. Shares and the hand's scale: judgement; a count of five at a little under 200 °C: common practice, no source.

use jiff::Timestamp;
use ovenfall_engine::drive::{Action, Door, Drive};
use ovenfall_engine::state::Part;
use ovenfall_record::day::Day;
use ovenfall_record::reading::{Part as Masonry, Reading, Spot};

/// Stretch over which readings of the probe are averaged, s.
const STRETCH_S: f64 = 600.0;
/// Time after a change of the door in which the probe tells nothing, s.
const UNSETTLED_S: f64 = 600.0;
/// Time for which a surface keeps its heat after the door was opened, s.
const JUST_OPENED_S: f64 = 300.0;
/// Error of a hand's count, K.
const HAND_SIGMA_K: f64 = 35.0;

/// What a reading is of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// The probe hanging in the chamber.
    Probe,
    /// A surface, by infra-red.
    Spot(Spot),
    /// In the masonry.
    Masonry {
        /// Dome (taken at the crown) or floor.
        part: Part,
        /// Depth under the hot face, m.
        depth_m: f64,
    },
    /// Liquid of a placing, by its index.
    Liquid(usize),
    /// Middle of a piece in a placing, by its index.
    Core(usize),
    /// A hand held in.
    Hand,
}

/// One reading, or the mean of a stretch of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// Ids of the entries it comes from.
    pub ids: Vec<String>,
    /// The time it is about, s after the start of the day.
    pub at_s: f64,
    /// What it is of.
    pub target: Target,
    /// What was shown, °C.
    pub value_c: f64,
    /// Its own error, one sigma, K.
    pub sigma_k: f64,
    /// The display was over its range: the temperature is at least this.
    pub at_least: bool,
}

/// State of door and fire at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circumstances {
    /// A fire or embers are in.
    pub fire: bool,
    /// Embers lie spread over the floor.
    pub embers_on_floor: bool,
    /// The door is shut.
    pub shut: bool,
    /// Since the door was last set, s.
    pub since_door_s: f64,
    /// How many changes of door and fire came before.
    stretch: usize,
}

impl Circumstances {
    /// What the drive says of a time, s after the start of the day.
    #[must_use]
    pub fn at(drive: &Drive, t_s: f64) -> Self {
        let mut now =
            Self { fire: false, embers_on_floor: false, shut: false, since_door_s: f64::INFINITY, stretch: 0 };
        for event in drive.events.iter().take_while(|event| event.at_s <= t_s) {
            match event.action {
                Action::WoodOn(_) if !now.fire => {
                    now.fire = true;
                    now.stretch += 1;
                }
                Action::EmbersSpread => now.embers_on_floor = now.fire,
                Action::RakeOut => {
                    (now.fire, now.embers_on_floor) = (false, false);
                    now.stretch += 1;
                }
                Action::Door(door) => {
                    now.shut = matches!(door, Door::Shut);
                    now.since_door_s = t_s - event.at_s;
                    now.stretch += 1;
                }
                _ => {}
            }
        }
        now
    }

    /// Whether the probe tells nothing: a lag and a draught after the door was set.
    pub(crate) fn is_unsettled(&self) -> bool {
        !self.fire && self.since_door_s <= UNSETTLED_S
    }
}

/// One-sigma error of one reading of `target` that shows `value_c`, K, in its circumstances; the same for a reading taken
/// and for one not taken yet. What lasts all day (gain, spot, hand, offset) is not in it.
#[must_use]
pub fn sigma_k(target: Target, value_c: f64, ambient_c: f64, c: Circumstances) -> f64 {
    let over_k = (value_c - ambient_c).abs();
    match target {
        Target::Spot(spot) => error(libm::hypot(2.0, 0.02 * value_c), spot_share(spot, c), over_k),
        Target::Probe => error(0.7, probe_share(c), over_k),
        Target::Masonry { .. } => error(2.5, if c.fire { 0.06 } else { 0.03 }, over_k),
        // How fast a pot warms says more of the pot than of the oven; at the boil it hardly speaks of either.
        Target::Liquid(_) => error(4.0, 0.25, 100.0 - value_c),
        Target::Core(_) => error(6.0, 0.30, 100.0 - value_c),
        Target::Hand => HAND_SIGMA_K,
    }
}

/// Further one-sigma error of a reading that shows more than the members say, K: flames and embers make a spot read high,
/// never low. 0 for other readings and without a fire.
#[must_use]
pub fn above_k(target: Target, value_c: f64, ambient_c: f64, c: Circumstances) -> f64 {
    let share = match target {
        Target::Spot(Spot::FireSide) if c.fire => 0.30,
        Target::Spot(Spot::FloorBack | Spot::FloorCentre | Spot::FloorFront) if c.embers_on_floor => 0.30,
        Target::Spot(_) if c.fire => 0.15,
        _ => 0.0,
    };
    share * (value_c - ambient_c).max(0.0)
}

/// How badly a surface spot speaks for its patch, as a share of its height over the outdoor air. Cold air falls in over the
/// front of the floor.
fn spot_share(spot: Spot, c: Circumstances) -> f64 {
    if spot == Spot::FloorFront && !c.shut && c.since_door_s > JUST_OPENED_S {
        0.15
    } else if c.fire {
        0.08
    } else if c.shut || c.since_door_s <= JUST_OPENED_S {
        0.02
    } else {
        0.035
    }
}

fn probe_share(c: Circumstances) -> f64 {
    if c.fire {
        0.12
    } else if c.shut {
        0.004
    } else {
        0.08
    }
}

/// Chamber temperature at which a hand can be held in for a slow count, °C. Five is a little under 200; halving the
/// count goes with some 70 K more.
fn hand_c(count_s: f64) -> f64 {
    195.0 - 70.0 * libm::log(count_s.max(0.5) / 5.0) / std::f64::consts::LN_2
}

fn error(instrument_k: f64, share: f64, over_ambient_k: f64) -> f64 {
    libm::hypot(instrument_k, share * over_ambient_k)
}

/// Readings of one target closer together than this tell the same thing again: what is wrong with one is wrong with the
/// next. The later ones are left out.
fn spacing_s(target: Target) -> f64 {
    match target {
        Target::Masonry { .. } => 1200.0,
        Target::Liquid(_) | Target::Core(_) => 1800.0,
        Target::Probe | Target::Spot(_) | Target::Hand => 0.0,
    }
}

/// What is needed to read a day.
struct Reader<'a> {
    drive: &'a Drive,
    infrared_top_c: Option<f64>,
}

impl Reader<'_> {
    /// Target, value and whether it is over the range of its display; `None` for what tells nothing of the oven.
    fn of(&self, reading: &Reading, c: Circumstances) -> Option<(Target, f64, bool)> {
        let index = |dish: &str| self.drive.placings.iter().position(|placing| placing.name == dish);
        let target = match reading {
            Reading::Spot { spot, .. } => Target::Spot(*spot),
            Reading::Probe { .. } if c.is_unsettled() => return None,
            Reading::Probe { .. } => Target::Probe,
            Reading::Masonry { part, depth_mm, .. } => {
                let part = match part {
                    Masonry::Dome => Part::Crown,
                    Masonry::Floor => Part::Floor,
                };
                Target::Masonry { part, depth_m: depth_mm / 1000.0 }
            }
            Reading::Liquid { dish, .. } => Target::Liquid(index(dish)?),
            Reading::Core { dish, .. } => Target::Core(index(dish)?),
            Reading::HandCount { count_s } => return Some((Target::Hand, hand_c(*count_s), false)),
            Reading::Outdoor { .. } => return None,
        };
        let shown = reading.temperature()?;
        let top_c = if matches!(target, Target::Spot(_)) { self.infrared_top_c } else { None };
        Some((target, shown.c(), shown.at_least || top_c.is_some_and(|top_c| shown.c() >= top_c)))
    }
}

/// Observations of a day as known at an hour. `start` is the start of the drive; `ambient_c` the outdoor temperature;
/// spots of `infrared_top_c` or more mean "at least", as does a reading written so.
#[must_use]
pub fn observations(
    day: &Day,
    drive: &Drive,
    start: Timestamp,
    at: Timestamp,
    ambient_c: f64,
    infrared_top_c: Option<f64>,
) -> Vec<Observation> {
    let reader = Reader { drive, infrared_top_c };
    let mut all: Vec<Observation> = Vec::new();
    let mut open: Option<Stretch> = None;
    for (entry, reading) in day.readings_known_at(at) {
        let at_s = entry.at.seconds_since(start);
        if at_s < 0.0 {
            continue;
        }
        let c = Circumstances::at(drive, at_s);
        let Some((target, value_c, at_least)) = reader.of(reading, c) else {
            continue;
        };
        let sigma_k = sigma_k(target, value_c, ambient_c, c);
        let single = Observation { ids: vec![entry.id.clone()], at_s, target, value_c, sigma_k, at_least };
        if target != Target::Probe {
            let last = all.iter().rev().find(|o| o.target == target);
            if last.is_none_or(|o| at_s - o.at_s >= spacing_s(target)) {
                all.push(single);
            }
            continue;
        }
        let stretch = c.stretch;
        match &mut open {
            Some(s) if s.takes(stretch, at_s) => s.readings.push(single),
            _ => {
                all.extend(open.take().and_then(Stretch::mean));
                open = Some(Stretch { number: stretch, from_s: at_s, readings: vec![single] });
            }
        }
    }
    all.extend(open.take().and_then(Stretch::mean));
    all.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    all
}

/// Readings of the probe that become one.
struct Stretch {
    number: usize,
    from_s: f64,
    readings: Vec<Observation>,
}

impl Stretch {
    fn takes(&self, number: usize, at_s: f64) -> bool {
        self.number == number && at_s - self.from_s < STRETCH_S
    }

    /// The mean; its error is that of one reading, since what is wrong with one minute is wrong with the next.
    fn mean(self) -> Option<Observation> {
        let n = self.readings.len() as f64;
        let mean = |f: fn(&Observation) -> f64| self.readings.iter().map(f).sum::<f64>() / n;
        let (at_s, value_c) = (mean(|o| o.at_s), mean(|o| o.value_c));
        let sigma_k = mean(|o| o.sigma_k);
        let at_least = self.readings.iter().any(|o| o.at_least);
        let ids = self.readings.into_iter().flat_map(|o| o.ids).collect::<Vec<_>>();
        (!ids.is_empty()).then_some(Observation { ids, at_s, target: Target::Probe, value_c, sigma_k, at_least })
    }
}
