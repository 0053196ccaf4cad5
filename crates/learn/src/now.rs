//! What is in the oven at an hour: heat in store, how deep it is, how it lies in the walls, and where it evens out.
//!
//! # Equation
//! Heat in store above T₀ with the model error of [`crate::model_error`]: one factor a member, the same for every T₀. Depth
//! of heat: that store above 100 °C over what the member would hold if its faces were kept at their temperatures for ever
//! ([`kept_for_ever_j`]); above 1 where faces have cooled faster than what lies behind them.
//!
//! *Evened out*, fire out and door shut from this hour on, what is in left in: the first time from which on the chamber probe
//! changes by less than a tenth of its height above the outdoor air an hour, taken over ten minutes, and the door has been
//! shut for ten minutes; two hours at most. What is left then is the slow fall of the whole oven. Faces need not be equal: a
//! floor on good insulation stays apart from its crown all night, and one with cold pots on it too.
//!
//! # Validity
//! Walls are one-dimensional. Profiles are of the free floor, not of what lies under a pot. A member whose faces are
//! hardly above 100 °C has no depth of heat; where that is so in more than half of them there is none.
//!
//! # Source
//! Definitions of this project; the tenth, ten minutes and two hours are judgement.

use crate::ensemble::{LANES, PackHistory};
use crate::error::LearnError;
use crate::fall::{FallOptions, Way};
use crate::model_error::Paths;
use crate::observation::{Circumstances, Target};
use crate::random::Purpose;
use crate::reported::ambient_at_c;
use crate::score::quantile;
use crate::series::{Band, Series};
use crate::situation::{Assumption, Situation};
use ovenfall_engine::appraisal::{Faces, assembled, kept_for_ever_j};
use ovenfall_engine::description::{Layer, OvenDescription};
use ovenfall_engine::drive::{Action, Door, Drive, Event};
use ovenfall_engine::history::STORE_THRESHOLD_C;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::simulate::{Branch, Depth, Options};
use ovenfall_engine::state::Part;
use rayon::prelude::*;

/// Walls that are looked into.
pub const WALLS: [Part; 3] = [Part::Floor, Part::Crown, Part::FireSide];
/// Longest time for evening out, s.
pub const LONGEST_EVENING_S: f64 = 7200.0;
/// The door must have been shut for so long, s.
pub const SETTLED_S: f64 = 600.0;
/// Evened out, the probe changes by less than this share of its height above the outdoor air, 1/h.
const EVEN_SHARE_PER_H: f64 = 0.10;
/// In a cold oven by less than this, K/h.
const EVEN_K_PER_H: f64 = 1.0;
/// Distance of the times at which it is looked for, s.
const LOOK_EVERY_S: f64 = 120.0;
/// The change is taken over so many of them: ten minutes.
const CHANGE_STEPS: usize = 5;
/// Distances from the hot face, beside the joints of layers.
const DEPTHS: u32 = 12;
/// Distances closer than this are one, m.
const SAME_DEPTH_M: f64 = 0.001;
/// Faces that would hold less than this for ever tell no depth, J: 0.1 kWh.
const LEAST_KEPT_J: f64 = 3.6e5;
const J_PER_KWH: f64 = 3.6e6;

/// Three quantiles of one quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Likely {
    /// 5 % of the chances lie below.
    pub p05: f64,
    /// Middle.
    pub p50: f64,
    /// 95 % of the chances lie below.
    pub p95: f64,
}

impl Likely {
    /// Of values, those left out that are not numbers; `None` where none is left.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Self> {
        let mut sorted: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
        sorted.sort_unstable_by(f64::total_cmp);
        let at = |p: f64| quantile(&sorted, p);
        Some(Self { p05: at(0.05)?, p50: at(0.50)?, p95: at(0.95)? })
    }

    /// Half of the way from the one end to the other, in the unit of the quantity.
    #[must_use]
    pub fn half_range(&self) -> f64 {
        0.5 * (self.p95 - self.p05)
    }
}

/// Heat in store above a temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct StoreAbove {
    /// The temperature, °C.
    pub threshold_c: f64,
    /// Heat above it, kWh.
    pub store_kwh: Likely,
}

/// Temperature against distance from the hot face.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// The wall.
    pub part: Part,
    /// Distances from the hot face, rising from 0, m.
    pub depths_m: Vec<f64>,
    /// Temperature at each of them, °C.
    pub temperature_c: Band,
}

/// The oven once shut and evened out.
#[derive(Debug, Clone, PartialEq)]
pub struct EvenedOut {
    /// Time from this hour on, min; two hours where it has not evened out by then.
    pub after_min: Likely,
    /// What the chamber probe reads then, °C, without an error of its own.
    pub probe_c: Likely,
    /// Heat in store above 100 °C then, kWh.
    pub store_kwh: Likely,
    /// Share of the members in which it is evened out within two hours.
    pub within_two_hours_share: f64,
}

/// What is in the oven.
#[derive(Debug, Clone, PartialEq)]
pub struct Now {
    /// The hour, s after the start of the day.
    pub at_s: f64,
    /// How the door stands.
    pub door: Door,
    /// Whether fire or embers are in.
    pub fire_in: bool,
    /// Placings that are in, by index.
    pub inside: Vec<usize>,
    /// Chamber probe, °C, without an error of its own.
    pub probe_c: Likely,
    /// Face of the free floor, °C.
    pub floor_c: Likely,
    /// Face of the crown, °C.
    pub crown_c: Likely,
    /// Face on the fire's side, °C.
    pub fire_side_c: Likely,
    /// Heat in store above 100 °C, kWh.
    pub store_kwh: Likely,
    /// Heat in store above each temperature asked for, in that order.
    pub store_above: Vec<StoreAbove>,
    /// How deep the heat is, 1 where the walls are as warm behind as they would ever be; `None` in a cold oven.
    pub depth_of_heat: Option<Likely>,
    /// How it lies in floor, crown and fire side.
    pub profiles: Vec<Profile>,
    /// Shut from this hour on.
    pub evened_out: EvenedOut,
}

/// What is to be looked at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Looked {
    /// Temperatures above which the store is wanted, °C.
    pub store_above_c: Vec<f64>,
    /// A time of the plan at which something is wanted, s after the start of the day.
    pub planned_s: Option<f64>,
    /// Model error and seed; members and steps are not used.
    pub fall: FallOptions,
}

/// The members at the hour: as it is, shut from here on, and as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    pub(crate) looked: Looked,
    /// What happened, with the door as it really stands.
    pub(crate) drive: Drive,
    /// The same, and shut from here on.
    pub(crate) drive_shut: Drive,
    pub(crate) outputs: Options,
    pub(crate) as_it_is: Way,
    pub(crate) shut_times_s: Vec<f64>,
    pub(crate) shut: Way,
    pub(crate) planned: Option<Way>,
    at_s: f64,
}

/// Distances from the hot face to look at: closest at the face, and every joint of layers.
fn depths_m(layers: &[Layer]) -> Vec<f64> {
    let thick_m: Vec<f64> = layers.iter().map(|layer| layer.thickness_m.value).collect();
    depths_of(&thick_m)
}

fn depths_of(thick_m: &[f64]) -> Vec<f64> {
    let mut joints = vec![0.0];
    for thickness_m in thick_m {
        joints.push(joints.last().unwrap_or(&0.0) + thickness_m);
    }
    let whole_m = *joints.last().unwrap_or(&0.0);
    let graded = (1..DEPTHS).map(|i| {
        let share = f64::from(i) / f64::from(DEPTHS - 1);
        whole_m * share * share
    });
    let apart = |x: &f64| joints.iter().all(|joint| (joint - x).abs() > SAME_DEPTH_M);
    let mut all: Vec<f64> = graded.filter(apart).chain(joints.iter().copied()).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

fn places(oven: &OvenDescription) -> Vec<Depth> {
    let of = |part: Part| {
        let layers = if part == Part::Floor { &oven.floor } else { &oven.dome };
        depths_m(layers).into_iter().map(move |depth_m| Depth { part, depth_m })
    };
    WALLS.into_iter().flat_map(of).collect()
}

/// The day with the door as it stands: without the shutting that a forecast assumes.
fn as_it_is(situation: &Situation) -> Drive {
    let mut drive = situation.driven.drive.clone();
    let at_s = situation.driven.at_s;
    if situation.assumed.contains(&Assumption::DoorShutFromHere) {
        let assumed = Event { at_s, action: Action::Door(Door::Shut) };
        if let Some(place) = drive.events.iter().rposition(|event| *event == assumed) {
            drive.events.remove(place);
        }
    }
    drive
}

/// Runs the members to the hour and on, each way once.
///
/// # Errors
/// As [`Situation::ways`].
pub fn survey(situation: &Situation, looked: Looked) -> Result<Survey, LearnError> {
    let at_s = situation.driven.at_s;
    let drive = as_it_is(situation);
    let steps = (LONGEST_EVENING_S / LOOK_EVERY_S) as u32;
    let shut_times_s: Vec<f64> = (0..=steps).map(|k| at_s + f64::from(k) * LOOK_EVERY_S).collect();
    let standing: Vec<Event> =
        drive.events.iter().filter(|event| event.at_s.total_cmp(&at_s).is_eq()).copied().collect();
    let shut_now = situation.shut_now();
    let mut branches = vec![
        Branch { events: standing, end_s: at_s + 1.0, output_times_s: vec![at_s] },
        Branch { events: shut_now.clone(), end_s: at_s + LONGEST_EVENING_S, output_times_s: shut_times_s.clone() },
    ];
    branches.extend(looked.planned_s.map(|planned_s| Branch {
        events: situation.plan().into_iter().filter(|event| event.at_s <= planned_s).collect(),
        end_s: planned_s.max(at_s + 1.0),
        output_times_s: vec![planned_s],
    }));
    let mut places = places(&situation.oven);
    places.extend(masonry_read(situation));
    let outputs = Options { depths: places, store_above_c: looked.store_above_c.clone(), ..Options::default() };
    let mut ways = situation.ways(&branches, &outputs, &looked.fall).into_iter();
    let mut next = || ways.next().transpose();
    let (Some(as_it_is), Some(shut), planned) = (next()?, next()?, next()?) else {
        let what = "number of ways the day may go on";
        return Err(LearnError::OutOfRange { what, value: 0.0, min: 2.0, max: 3.0 });
    };
    let mut drive_shut = drive.clone();
    drive_shut.events.retain(|event| event.at_s < at_s);
    drive_shut.events.extend(shut_now);
    Ok(Survey { looked, drive, drive_shut, outputs, as_it_is, shut_times_s, shut, planned, at_s })
}

/// Depths at which a thermocouple was read today.
pub(crate) fn masonry_read(situation: &Situation) -> Vec<Depth> {
    let mut found: Vec<Depth> = Vec::new();
    for residual in &situation.members.residuals {
        if let Target::Masonry { part, depth_m } = residual.observation.target
            && !found.contains(&Depth { part, depth_m })
        {
            found.push(Depth { part, depth_m });
        }
    }
    found
}

/// Model error of one way's members at its output times.
struct Errors {
    temperature: Paths,
    store: Paths,
    temperature_share: f64,
    store_share: f64,
    ambient_c: f64,
}

impl Errors {
    fn new(situation: &Situation, survey: &Survey, way: &Way, times_s: &[f64]) -> Self {
        let error = survey.looked.fall.model_error;
        let of = |&j: &usize| situation.members.innovations.get(j).map(Vec::as_slice);
        let innovations: Vec<&[f64]> = way.used.iter().filter_map(of).collect();
        let seed = survey.looked.fall.seed;
        Self {
            temperature: Paths::of_innovations(&innovations, times_s, error.correlation_s),
            store: Paths::new(seed, Purpose::StoreError, &way.used, times_s, error.correlation_s),
            temperature_share: error.temperature_share,
            store_share: error.store_share,
            ambient_c: ambient_at_c(&situation.oven, &survey.drive, survey.at_s),
        }
    }

    fn reported_c(&self, t: usize, place: usize, t_c: f64) -> f64 {
        t_c + self.temperature_share * self.temperature.at(t, place) * (t_c - self.ambient_c)
    }

    fn store_factor(&self, t: usize, place: usize) -> f64 {
        libm::exp(self.store_share * self.store.at(t, place))
    }
}

/// Every member's value of one series at output time number `t`.
fn at(way: &Way, t: usize, of: impl Fn(&PackHistory) -> &[Lane<LANES>]) -> Vec<f64> {
    way.run.series(t..t + 1, of).by_time().next().unwrap_or_default().to_vec()
}

fn row(series: &Series, t: usize) -> Vec<f64> {
    series.by_time().nth(t).unwrap_or_default().to_vec()
}

const NOTHING: Likely = Likely { p05: f64::NAN, p50: f64::NAN, p95: f64::NAN };

fn likely(values: &[f64]) -> Likely {
    Likely::of(values).unwrap_or(NOTHING)
}

impl Survey {
    /// What is in the oven.
    #[must_use]
    pub fn now(&self, situation: &Situation) -> Now {
        let way = &self.as_it_is;
        let errors = Errors::new(situation, self, way, &[self.at_s]);
        let members = &way.members;
        let fire_side = at(way, 0, |history| &history.fire_side_c);
        let fire_side_c: Vec<f64> = fire_side.iter().enumerate().map(|(j, t)| errors.reported_c(0, j, *t)).collect();
        let (floor_c, crown_c, store_kwh) = (row(&members.floor_c, 0), row(&members.crown_c, 0), self.store_kwh());
        let faces: Vec<Faces> = (floor_c.iter().zip(&crown_c).zip(&fire_side_c))
            .map(|((floor_c, crown_c), fire_side_c)| Faces {
                floor_c: *floor_c,
                crown_c: *crown_c,
                fire_side_c: *fire_side_c,
            })
            .collect();
        Now {
            at_s: self.at_s,
            door: self.drive.door_at(self.at_s),
            fire_in: self.drive.fire_in_at(self.at_s),
            inside: self.drive.inside_at(self.at_s),
            probe_c: likely(&row(&members.probe_c, 0)),
            floor_c: likely(&floor_c),
            crown_c: likely(&crown_c),
            fire_side_c: likely(&fire_side_c),
            store_kwh: likely(&store_kwh),
            store_above: self.store_above(&errors),
            depth_of_heat: self.depth_of_heat(situation, &faces, &store_kwh),
            profiles: self.profiles(&errors),
            evened_out: self.evened_out(situation),
        }
    }

    /// Heat in store above 100 °C of every member, model error included, in the order of [`Way::used`].
    pub(crate) fn store_kwh(&self) -> Vec<f64> {
        row(&self.as_it_is.members.store_kwh, 0)
    }

    fn store_above(&self, errors: &Errors) -> Vec<StoreAbove> {
        let above = |(i, threshold_c): (usize, &f64)| {
            let raw = at(&self.as_it_is, 0, |history| history.store_above_kwh.get(i).map_or(&[], Vec::as_slice));
            let kwh: Vec<f64> = raw.iter().enumerate().map(|(j, kwh)| kwh * errors.store_factor(0, j)).collect();
            StoreAbove { threshold_c: *threshold_c, store_kwh: likely(&kwh) }
        };
        self.looked.store_above_c.iter().enumerate().map(above).collect()
    }

    fn depth_of_heat(&self, situation: &Situation, faces: &[Faces], store_kwh: &[f64]) -> Option<Likely> {
        let ambient_c = ambient_at_c(&situation.oven, &self.drive, self.at_s);
        let oven = OvenDescription { ambient_c, ..situation.oven.clone() };
        let all = self.as_it_is.used.par_iter().zip(faces).zip(store_kwh);
        let share = |((member, faces), store_kwh): ((&usize, &Faces), &f64)| {
            let parameters = situation.members.ensemble.parameters.get(*member)?;
            let kept_j = kept_for_ever_j(&assembled(&oven, parameters).ok()?, *faces, STORE_THRESHOLD_C);
            (kept_j > LEAST_KEPT_J).then(|| store_kwh * J_PER_KWH / kept_j)
        };
        let shares: Vec<f64> = all.filter_map(share).collect();
        if 2 * shares.len() > faces.len() { Likely::of(&shares) } else { None }
    }

    fn profiles(&self, errors: &Errors) -> Vec<Profile> {
        let wall = |part: Part| {
            let layers = self.outputs.depths.iter().enumerate().filter(|(_, depth)| depth.part == part);
            let mut found: Vec<(f64, Vec<f64>)> = layers
                .map(|(i, depth)| {
                    let raw = at(&self.as_it_is, 0, |h| h.depths_c.get(i).map_or(&[], Vec::as_slice));
                    let reported = raw.iter().enumerate().map(|(j, t)| errors.reported_c(0, j, *t));
                    (depth.depth_m, reported.collect())
                })
                .collect();
            found.sort_by(|a, b| a.0.total_cmp(&b.0));
            found.dedup_by(|a, b| a.0.total_cmp(&b.0).is_eq());
            let (depths_m, rows): (Vec<f64>, Vec<Vec<f64>>) = found.into_iter().unzip();
            let temperature_c = Series::new(self.as_it_is.used.len(), rows.concat()).band();
            Profile { part, depths_m, temperature_c }
        };
        WALLS.into_iter().map(wall).collect()
    }

    fn evened_out(&self, situation: &Situation) -> EvenedOut {
        let ambient_c = ambient_at_c(&situation.oven, &self.drive, self.at_s);
        let before = Circumstances::at(&self.drive, self.at_s);
        let shut_for_s = if before.shut { before.since_door_s } else { 0.0 };
        let settled = self.shut_times_s.partition_point(|t_s| t_s - self.at_s < SETTLED_S - shut_for_s - 1e-6);
        let last = self.shut_times_s.len() - 1;
        // Of the engine's probe: the model error wanders too, but nobody's oven does.
        let found: Vec<Option<usize>> = self.shut.run.each(|history, lane| {
            let probe_c: Vec<f64> = history.probe_c.iter().map(|lanes| lanes.0[lane]).collect();
            evened_from(&probe_c, ambient_c).map(|from| from.max(settled)).filter(|from| *from <= last)
        });
        let at: Vec<usize> = found.iter().map(|found| found.unwrap_or(last)).collect();
        let pick = |series: &Series| -> Vec<f64> {
            let of = |(j, t): (usize, &usize)| series.member(j).nth(*t).unwrap_or(f64::NAN);
            at.iter().enumerate().map(of).collect()
        };
        let after_min: Vec<f64> = at.iter().map(|t| (self.shut_times_s[*t] - self.at_s) / 60.0).collect();
        EvenedOut {
            after_min: likely(&after_min),
            probe_c: likely(&pick(&self.shut.members.probe_c)),
            store_kwh: likely(&pick(&self.shut.members.store_kwh)),
            within_two_hours_share: found.iter().flatten().count() as f64 / found.len().max(1) as f64,
        }
    }
}

/// Number of the first time from which on a probe read every [`LOOK_EVERY_S`] changes slowly.
fn evened_from(probe_c: &[f64], ambient_c: f64) -> Option<usize> {
    let over_h = LOOK_EVERY_S * CHANGE_STEPS as f64 / 3600.0;
    let slow = |change: &[f64]| match change {
        [from_c, .., to_c] => {
            let limit_k = (EVEN_SHARE_PER_H * (from_c - ambient_c)).max(EVEN_K_PER_H) * over_h;
            (to_c - from_c).abs() <= limit_k
        }
        _ => false,
    };
    let slow: Vec<bool> = probe_c.windows(CHANGE_STEPS + 1).map(slow).collect();
    let from = slow.iter().rposition(|slow| !slow).map_or(0, |fast| fast + 1);
    (from < slow.len()).then_some(from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const AMBIENT_C: f64 = 10.0;

    fn every_two_minutes(of: impl Fn(f64) -> f64) -> Vec<f64> {
        (0..=60).map(|k| of(f64::from(k) * LOOK_EVERY_S / 3600.0)).collect()
    }

    #[test]
    fn a_probe_that_turns_on_its_way_has_not_evened_out_at_the_top() {
        // Up for half an hour, flat at the top, down fast, then slowly.
        let turns = |h: f64| 300.0 - 400.0 * (h - 0.5).powi(2);
        let probe_c = every_two_minutes(|h| if h < 1.0 { turns(h) } else { turns(1.0) - 5.0 * (h - 1.0) });
        let from = evened_from(&probe_c, AMBIENT_C).expect("it evens out");
        assert!((25..=30).contains(&from), "{from}");
        assert_eq!(evened_from(&every_two_minutes(|h| 400.0 - 100.0 * h), AMBIENT_C), None);
        assert_eq!(evened_from(&every_two_minutes(|_| AMBIENT_C), AMBIENT_C), Some(0), "a cold oven");
        assert_eq!(evened_from(&[], AMBIENT_C), None);
    }

    proptest! {
        #[test]
        fn a_decay_evens_out_when_its_rate_says_so(height_k in 50.0..500.0_f64, per_h in 0.5..3.0_f64, base in 0.3..0.9_f64) {
            let at = |h: f64| height_k * (base + (1.0 - base) * (-per_h * h).exp());
            let rate = |h: f64| height_k * (1.0 - base) * per_h * (-per_h * h).exp() / at(h);
            let found = evened_from(&every_two_minutes(|h| AMBIENT_C + at(h)), AMBIENT_C);
            match found {
                // Ten minutes and one look are as exactly as it is told.
                Some(from) => {
                    let h = from as f64 * LOOK_EVERY_S / 3600.0;
                    prop_assert!(rate(h + 1.0 / 6.0) <= EVEN_SHARE_PER_H + 1e-9);
                    prop_assert!(from == 0 || rate(h - LOOK_EVERY_S / 3600.0) >= EVEN_SHARE_PER_H);
                }
                None => prop_assert!(rate(1.5) > EVEN_SHARE_PER_H),
            }
        }

        #[test]
        fn depths_rise_from_the_face_to_the_outside(thick_m in prop::collection::vec(0.002..0.3_f64, 1..5)) {
            let depths = depths_of(&thick_m);
            prop_assert!(depths[0] == 0.0 && depths.windows(2).all(|pair| pair[1] > pair[0]));
            prop_assert!((depths[depths.len() - 1] - thick_m.iter().sum::<f64>()).abs() < 1e-9);
        }
    }
}
