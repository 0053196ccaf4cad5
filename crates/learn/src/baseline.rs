//! Three rules that need no physics, for a forecast to be held against.
//!
//! # Equation
//! Each gives the probe T at t seconds after the hour, towards the outdoor temperature T_out:
//! - *spots less a share*: T = T_out + (S − T_out) e^(−(t + age)/τ), S the mean of the last round of floor and wall spots
//!   (read within five minutes) less a share of its °C, age the time since that round.
//! - *fitted exponential*: a straight line through ln(T − T_out) of the settled shut-door probe readings of the latest
//!   stretch that has enough of them, at least three over at least 20 minutes; its time constant times a factor, at most
//!   100 h, also where the readings rise. A stretch ends when the door stays open for over five minutes or something is put
//!   in or taken out. With too few readings: the rule above with a tenth off and a time constant of its own.
//! - *last similar day*: the probe readings of an earlier day of the same oven, taken at the same time since shutting, joined by
//!   straight lines and carried on by an exponential of 12 h; moved so that it goes through today's latest settled
//!   shut-door reading, or where there is none (as at shutting) by what the rounds of spots of both days differ. Moved by a
//!   share λ as a factor on T − T_out and 1 − λ as a constant.
//!
//! Each is used with textbook constants, and with those that suit it best *in hindsight* over all the days scored (the least mean rms), which no
//! cook can know: it is given more than it is due.
//!
//! # Validity
//! The plan is not looked at: pots that go in later are unknown to all three. A rule that lacks its input gives nothing.
//!
//! # Source
//! A tenth off the spots: common practice, no source. 12 h: judgement for a shut, insulated oven.

use crate::minimum::minimum;
use crate::replay::{Point, Seen, score_curve};
use ovenfall_engine::drive::{Action, Door, Drive};
use ovenfall_record::day::Day;
use ovenfall_record::reading::{Reading, Spot};

/// Spots read within this time of the last one are of its round, s.
const ROUND_S: f64 = 300.0;
/// Fewest readings an exponential is fitted to.
const ENOUGH: usize = 3;
/// Shortest time they must span, s.
const ENOUGH_S: f64 = 1200.0;
/// A door open for longer ends a stretch, s.
const LONG_OPEN_S: f64 = 300.0;
/// Longest time constant, s.
const LONGEST_S: f64 = 360_000.0;
/// Time constant of a curve carried on, s.
const CARRIED_ON_S: f64 = 43_200.0;
/// What is taken off the spots where nothing else is said.
const TENTH: f64 = 0.1;

/// A rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Baseline {
    /// The mean of the spots less a share, then an exponential.
    SpotsLess,
    /// An exponential fitted to today's readings.
    Fitted,
    /// The oven's last similar day.
    SimilarDay,
}

/// A constant of a rule, in the unit its name ends with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constant {
    /// Its name, with the unit.
    pub name: &'static str,
    /// The textbook value.
    pub value: f64,
    /// Smallest tried.
    pub min: f64,
    /// Largest tried.
    pub max: f64,
}

const fn constant(name: &'static str, value: f64, min: f64, max: f64) -> Constant {
    Constant { name, value, min, max }
}

const SPOTS_LESS: &[Constant] =
    &[constant("taken off (share of °C)", TENTH, 0.0, 0.4), constant("time constant (h)", 12.0, 2.0, 100.0)];
const FITTED: &[Constant] = &[
    constant("factor on the fitted time constant", 1.0, 0.25, 6.0),
    constant("time constant where nothing can be fitted (h)", 12.0, 2.0, 100.0),
];
const SIMILAR_DAY: &[Constant] = &[constant("moved by a factor rather than by kelvins (share)", 1.0, 0.0, 1.0)];

/// What the rules are told at an hour.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// The hour, s after the start of the day.
    pub at_s: f64,
    /// Outdoor temperature, °C.
    pub ambient_c: f64,
    /// When the door was shut, s after the start of the day: what a similar day is lined up by.
    pub shut_s: f64,
    /// Settled shut-door readings of the probe since then, in order.
    pub since_shut: Vec<Point>,
    /// Settled shut-door readings of the latest stretch that has enough of them.
    pub stretch: Vec<Point>,
    /// The last round of spots on floor and walls: its time and mean.
    pub spots: Option<Point>,
    /// The similar day.
    pub earlier: Option<Earlier>,
}

/// What an earlier day leaves for today.
#[derive(Debug, Clone, PartialEq)]
pub struct Earlier {
    /// Outdoor temperature of that day, °C.
    pub ambient_c: f64,
    /// Settled shut-door readings of the probe; times count from its shutting.
    pub curve: Vec<Point>,
    /// Mean of the last round of spots up to its shutting, °C.
    pub spots_c: Option<f64>,
}

/// Settled shut-door probe readings of `day` known at an hour, in order of time.
fn settled_probe(day: &Day, drive: &Drive, start: jiff::Timestamp, at: jiff::Timestamp) -> Vec<Point> {
    let known = day.readings_known_at(at).into_iter();
    let points = known.filter_map(|(entry, reading)| match reading {
        Reading::Probe { temperature } => Some(Point { at_s: entry.at.seconds_since(start), value_c: temperature.c() }),
        _ => None,
    });
    points.filter(|p| crate::replay::settled(&drive.events, p.at_s)).collect()
}

/// The last round of floor and wall spots known at an hour.
fn last_round(day: &Day, start: jiff::Timestamp, at: jiff::Timestamp) -> Option<Point> {
    let spots: Vec<Point> = day
        .readings_known_at(at)
        .into_iter()
        .filter_map(|(entry, reading)| match reading {
            // The crown is neither floor nor wall.
            Reading::Spot { spot: Spot::Crown, .. } => None,
            Reading::Spot { temperature, .. } if !temperature.at_least => {
                Some(Point { at_s: entry.at.seconds_since(start), value_c: temperature.c() })
            }
            _ => None,
        })
        .collect();
    let last_s = spots.last()?.at_s;
    let round: Vec<&Point> = spots.iter().filter(|p| last_s - p.at_s <= ROUND_S).collect();
    let n = round.len() as f64;
    Some(Point {
        at_s: round.iter().map(|p| p.at_s).sum::<f64>() / n,
        value_c: round.iter().map(|p| p.value_c).sum::<f64>() / n,
    })
}

/// Times at which a stretch of even falling ends, in order, s.
fn breaks(drive: &Drive, until_s: f64) -> Vec<f64> {
    let mut opened: Option<f64> = None;
    let mut found = Vec::new();
    for event in drive.events.iter().take_while(|event| event.at_s <= until_s) {
        match event.action {
            Action::Door(Door::Shut) => {
                found.extend(opened.take().filter(|open_s| event.at_s - open_s > LONG_OPEN_S).map(|_| event.at_s));
            }
            Action::Door(_) => opened = opened.or(Some(event.at_s)),
            Action::Place(_) | Action::TakeOut(_) | Action::WoodOn(_) | Action::RakeOut => found.push(event.at_s),
            _ => {}
        }
    }
    found
}

/// The latest stretch with enough readings; empty when there is none.
fn latest_stretch(points: &[Point], breaks: &[f64]) -> Vec<Point> {
    let mut before_s = f64::INFINITY;
    for from_s in breaks.iter().rev().copied().chain([f64::NEG_INFINITY]) {
        let stretch: Vec<Point> = points.iter().filter(|p| p.at_s >= from_s && p.at_s < before_s).copied().collect();
        let spans_s = stretch.last().map_or(0.0, |last| last.at_s) - stretch.first().map_or(0.0, |first| first.at_s);
        if stretch.len() >= ENOUGH && spans_s >= ENOUGH_S {
            return stretch;
        }
        before_s = from_s;
    }
    Vec::new()
}

/// What was known at an hour. `drive` is the day as known then; `shut_s` is when the door was shut, `at_s` the hour, both
/// counted from `start`.
#[must_use]
pub fn told(
    day: &Day,
    drive: &Drive,
    start: jiff::Timestamp,
    at: jiff::Timestamp,
    shut_s: f64,
    ambient_c: f64,
) -> Told {
    let at_s = at.duration_since(start).as_secs_f64();
    let probe = settled_probe(day, drive, start, at);
    Told {
        at_s,
        ambient_c,
        shut_s,
        since_shut: probe.iter().filter(|p| p.at_s >= shut_s).copied().collect(),
        stretch: latest_stretch(&probe, &breaks(drive, at_s)),
        spots: last_round(day, start, at),
        earlier: None,
    }
}

/// What a whole earlier day leaves; `drive` is the day as it was in the end. `None` without shut-door readings after its
/// shutting.
#[must_use]
pub fn earlier(
    day: &Day,
    drive: &Drive,
    start: jiff::Timestamp,
    shut: jiff::Timestamp,
    ambient_c: f64,
) -> Option<Earlier> {
    let shut_s = shut.duration_since(start).as_secs_f64();
    let whole = settled_probe(day, drive, start, jiff::Timestamp::MAX);
    let after = whole.into_iter().filter(|p| p.at_s >= shut_s);
    let curve: Vec<Point> = after.map(|p| Point { at_s: p.at_s - shut_s, ..p }).collect();
    let spots_c = last_round(day, start, shut).map(|round| round.value_c);
    (!curve.is_empty()).then_some(Earlier { ambient_c, curve, spots_c })
}

/// An exponential towards a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Decay {
    from_s: f64,
    from_c: f64,
    towards_c: f64,
    time_constant_s: f64,
}

impl Decay {
    fn at_c(&self, at_s: f64) -> f64 {
        self.towards_c + (self.from_c - self.towards_c) * libm::exp((self.from_s - at_s) / self.time_constant_s)
    }
}

/// The straight line through ln(T − T_out): its value at the last reading, and its time constant. `None` when a reading
/// is not above the outdoor temperature.
fn fitted(points: &[Point], ambient_c: f64, factor: f64) -> Option<Decay> {
    let last_s = points.last()?.at_s;
    let logs: Vec<(f64, f64)> = points.iter().map(|p| (p.at_s - last_s, libm::log(p.value_c - ambient_c))).collect();
    if logs.iter().any(|(_, y)| !y.is_finite()) {
        return None;
    }
    let n = logs.len() as f64;
    let (mean_t, mean_y) = (logs.iter().map(|l| l.0).sum::<f64>() / n, logs.iter().map(|l| l.1).sum::<f64>() / n);
    let var: f64 = logs.iter().map(|(t, _)| (t - mean_t) * (t - mean_t)).sum();
    let cov: f64 = logs.iter().map(|(t, y)| (t - mean_t) * (y - mean_y)).sum();
    let slope = cov / var;
    if !slope.is_finite() {
        return None;
    }
    let time_constant_s = if slope < 0.0 { (-factor / slope).min(LONGEST_S) } else { LONGEST_S };
    let from_c = ambient_c + libm::exp(mean_y - slope * mean_t);
    Some(Decay { from_s: last_s, from_c, towards_c: ambient_c, time_constant_s })
}

fn spots_less(told: &Told, share: f64, time_constant_h: f64) -> Option<Decay> {
    let round = told.spots?;
    let from_c = round.value_c * (1.0 - share);
    let time_constant_s = time_constant_h * 3600.0;
    Some(Decay { from_s: round.at_s, from_c, towards_c: told.ambient_c, time_constant_s })
}

impl Earlier {
    /// Height over the outdoor temperature at a time since shutting, K.
    fn over_k(&self, since_s: f64) -> Option<f64> {
        let (first, last) = (self.curve.first()?, self.curve.last()?);
        let above = self.curve.partition_point(|p| p.at_s < since_s);
        if since_s > last.at_s {
            let over_k = last.value_c - self.ambient_c;
            return Some(over_k * libm::exp((last.at_s - since_s) / CARRIED_ON_S));
        }
        let Some(below) = above.checked_sub(1) else { return Some(first.value_c - self.ambient_c) };
        let (a, b) = (self.curve[below], self.curve[above]);
        let part = (since_s - a.at_s) / (b.at_s - a.at_s);
        Some(a.value_c + part * (b.value_c - a.value_c) - self.ambient_c)
    }

    /// Heights over the outdoor temperature of today and of that day that belong together, K.
    fn pair(&self, told: &Told) -> Option<(f64, f64)> {
        if let Some(last) = told.since_shut.last() {
            return Some((last.value_c - told.ambient_c, self.over_k(last.at_s - told.shut_s)?));
        }
        Some((told.spots?.value_c - told.ambient_c, self.spots_c? - self.ambient_c))
    }
}

fn similar_day(told: &Told, share: f64, at_s: f64) -> Option<f64> {
    let earlier = told.earlier.as_ref()?;
    let (today_k, then_k) = earlier.pair(told)?;
    let over_k = earlier.over_k(at_s - told.shut_s)?;
    let factor = if then_k > 1.0 { today_k / then_k } else { 1.0 };
    Some(told.ambient_c + share * over_k * factor + (1.0 - share) * (over_k + today_k - then_k))
}

impl Baseline {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::SpotsLess, Self::Fitted, Self::SimilarDay];

    /// Its constants.
    #[must_use]
    pub const fn constants(self) -> &'static [Constant] {
        match self {
            Self::SpotsLess => SPOTS_LESS,
            Self::Fitted => FITTED,
            Self::SimilarDay => SIMILAR_DAY,
        }
    }

    /// The textbook values of its constants.
    #[must_use]
    pub fn textbook(self) -> Vec<f64> {
        self.constants().iter().map(|constant| constant.value).collect()
    }

    /// The probe at times, s after the start of the day, °C; `None` where it lacks what it needs. `values` are its constants.
    #[must_use]
    pub fn forecast(self, told: &Told, values: &[f64], times_s: &[f64]) -> Option<Vec<f64>> {
        let decay = match (self, values) {
            (Self::SpotsLess, [share, time_constant_h]) => spots_less(told, *share, *time_constant_h),
            (Self::Fitted, [factor, time_constant_h]) => {
                fitted(&told.stretch, told.ambient_c, *factor).or_else(|| spots_less(told, TENTH, *time_constant_h))
            }
            (Self::SimilarDay, [share]) => {
                return times_s.iter().map(|at_s| similar_day(told, *share, *at_s)).collect();
            }
            _ => None,
        }?;
        Some(times_s.iter().map(|at_s| decay.at_c(*at_s)).collect())
    }

    /// Root mean square error against what came, K.
    #[must_use]
    pub fn rms_k(self, told: &Told, values: &[f64], seen: &[Seen]) -> Option<f64> {
        let times_s: Vec<f64> = seen.iter().map(|s| s.point.at_s).collect();
        score_curve(&self.forecast(told, values, &times_s)?, seen).map(|score| score.rms_k)
    }

    /// The constants with the least mean rms error over all rows, in hindsight (see [`crate::minimum`]). A mean, not a mean
    /// square: one day on which a rule fails altogether shall not set its constants for all. Rows it can say
    /// nothing about do not count; with none of them the textbook's.
    #[must_use]
    pub fn best(self, rows: &[(&Told, &[Seen])]) -> Vec<f64> {
        let bounds: Vec<(f64, f64)> = self.constants().iter().map(|c| (c.min, c.max)).collect();
        let textbook = self.textbook();
        if !rows.iter().any(|(told, seen)| self.rms_k(told, &textbook, seen).is_some()) {
            return textbook;
        }
        minimum(&bounds, |values| rows.iter().filter_map(|(told, seen)| self.rms_k(told, values, seen)).sum())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const OUT_C: f64 = 12.0;

    fn exact(at_s: f64, from_c: f64, time_constant_h: f64) -> f64 {
        OUT_C + (from_c - OUT_C) * libm::exp(-at_s / (3600.0 * time_constant_h))
    }

    fn points(times_s: impl Iterator<Item = u32>, from_c: f64, time_constant_h: f64) -> Vec<Point> {
        let point = |t_s: u32| Point { at_s: f64::from(t_s), value_c: exact(f64::from(t_s), from_c, time_constant_h) };
        times_s.map(point).collect()
    }

    fn seen(points: &[Point]) -> Vec<Seen> {
        points.iter().map(|point| Seen { point: *point, stands_for_s: 300.0 }).collect()
    }

    fn told() -> Told {
        Told { at_s: 3600.0, ambient_c: OUT_C, ..Told::default() }
    }

    #[test]
    fn an_exact_exponential_is_fitted_exactly() {
        let told = Told { stretch: points((600..=3600).step_by(300), 240.0, 9.0), ..told() };
        let times = [3600.0, 10_000.0, 30_000.0];
        let curve = Baseline::Fitted.forecast(&told, &[1.0, 12.0], &times).unwrap();
        for (t_s, t_c) in times.iter().zip(curve) {
            assert!((t_c - exact(*t_s, 240.0, 9.0)).abs() < 1e-9, "{t_s} {t_c}");
        }
    }

    #[test]
    fn readings_that_rise_are_held_by_the_longest_time_constant() {
        let rising = [(0.0, 150.0), (900.0, 151.0), (1800.0, 152.0)];
        let stretch = rising.map(|(at_s, value_c)| Point { at_s, value_c }).to_vec();
        let told = Told { stretch, ..told() };
        let curve = Baseline::Fitted.forecast(&told, &[1.0, 12.0], &[1800.0, 1800.0 + LONGEST_S]).unwrap();
        assert!((curve[0] - 152.0).abs() < 0.01);
        assert!((curve[1] - (OUT_C + 140.0 / std::f64::consts::E)).abs() < 0.01, "{curve:?}");
    }

    #[test]
    fn with_too_few_readings_the_spots_speak() {
        let told = Told { spots: Some(Point { at_s: 0.0, value_c: 300.0 }), ..told() };
        let curve = Baseline::Fitted.forecast(&told, &[1.0, 7.0], &[0.0, 25_200.0]).unwrap();
        assert!((curve[0] - 270.0).abs() < 1e-9, "a tenth off");
        assert!((curve[1] - exact(25_200.0, 270.0, 7.0)).abs() < 1e-9);
        assert_eq!(Baseline::Fitted.forecast(&Told::default(), &[1.0, 7.0], &[0.0]), None);
        assert_eq!(Baseline::SpotsLess.forecast(&Told::default(), &[0.1, 7.0], &[0.0]), None);
    }

    /// Constants that an exact curve was made with are found again.
    #[test]
    fn the_best_constants_are_those_of_the_curve() {
        let told = Told { spots: Some(Point { at_s: 0.0, value_c: 300.0 }), ..told() };
        let came = seen(&points((3900..=30_000).step_by(300), 300.0 * 0.83, 21.0));
        let best = Baseline::SpotsLess.best(&[(&told, &came)]);
        assert!((best[0] - 0.17).abs() < 1e-3 && (best[1] - 21.0).abs() < 0.1, "{best:?}");
        assert!(Baseline::SpotsLess.rms_k(&told, &best, &came).unwrap() < 0.02);
        assert!(Baseline::SpotsLess.rms_k(&told, &[0.1, 12.0], &came).unwrap() > 10.0);
        assert_eq!(Baseline::SimilarDay.best(&[(&told, &came)]), [1.0], "no earlier day: the textbook's");
    }

    /// A day 0.8 times as high over the air outdoors is the same curve times 0.8; a day 20 K lower is moved by 20 K.
    #[test]
    fn a_similar_day_is_moved_to_todays_reading() {
        let curve = points((600..=20_000).step_by(600), 260.0, 11.0);
        let earlier = Earlier { ambient_c: OUT_C, curve: curve.clone(), spots_c: Some(280.0) };
        let today = |of: &dyn Fn(f64) -> f64| {
            let since_shut = curve.iter().take(5).map(|p| Point { at_s: p.at_s + 1000.0, value_c: of(p.value_c) });
            Told { shut_s: 1000.0, since_shut: since_shut.collect(), earlier: Some(earlier.clone()), ..told() }
        };
        let at_s = 1000.0 + 9000.0;
        let then_c = exact(9000.0, 260.0, 11.0);
        let scaled = today(&|t_c| OUT_C + 0.8 * (t_c - OUT_C));
        let said = Baseline::SimilarDay.forecast(&scaled, &[1.0], &[at_s]).unwrap()[0];
        assert!((said - (OUT_C + 0.8 * (then_c - OUT_C))).abs() < 0.05, "{said}");
        let moved = Baseline::SimilarDay.forecast(&today(&|t_c| t_c - 20.0), &[0.0], &[at_s]).unwrap()[0];
        assert!((moved - (then_c - 20.0)).abs() < 0.05, "{moved}");
        let by_spots = Told { since_shut: Vec::new(), spots: Some(Point { at_s: 900.0, value_c: 280.0 }), ..scaled };
        let same = Baseline::SimilarDay.forecast(&by_spots, &[1.0], &[at_s]).unwrap()[0];
        assert!((same - then_c).abs() < 0.05, "spots as on that day: its curve");
    }

    #[test]
    fn a_curve_goes_on_where_its_readings_end() {
        let earlier =
            Earlier { ambient_c: OUT_C, curve: points((600..=6000).step_by(600), 260.0, 12.0), spots_c: None };
        let over_k = earlier.over_k(40_000.0).unwrap();
        assert!((over_k + OUT_C - exact(40_000.0, 260.0, 12.0)).abs() < 1e-6);
        assert!((earlier.over_k(0.0).unwrap() - (earlier.curve[0].value_c - OUT_C)).abs() < 1e-9);
    }

    #[test]
    fn a_stretch_ends_when_a_pot_goes_in_or_the_door_stays_open() {
        use ovenfall_engine::drive::Event;
        let events = [
            (0.0, Action::Door(Door::Shut)),
            (3600.0, Action::Door(Door::Open)),
            (3640.0, Action::Door(Door::Shut)),
            (7200.0, Action::Door(Door::Open)),
            (7300.0, Action::Place(0)),
            (7330.0, Action::Door(Door::Shut)),
        ];
        let events = events.map(|(at_s, action)| Event { at_s, action }).to_vec();
        let drive = Drive { events, ..Drive::default() };
        assert_eq!(breaks(&drive, 9e9), [7300.0], "a look inside ends nothing");
        let early = points((700..7200).step_by(600), 250.0, 10.0);
        let mut all = early.clone();
        all.extend(points((8000..9000).step_by(600), 200.0, 10.0));
        assert_eq!(latest_stretch(&all, &breaks(&drive, 9000.0)), early, "two readings are too few");
        assert!(latest_stretch(&early[..2], &[]).is_empty());
    }
}
