//! What can be wrong with a day's readings as a whole: a clock that is off, a probe that hangs in a pot, readings that
//! contradict each other.
//!
//! # Equation
//! All tests are made on the members before anything is learned. *Clock*: the evidence (`crate::misfit`) of readings taken at
//! t ± 1 h, all of them or those of the probe alone, each with the error it would then have, against that of the readings as
//! stamped. *Probe in a pot*: readings of the probe near or below boiling while a pot is in, against what all other readings say
//! it should show.
//!
//! # Validity
//! An hour is what a clock is off when it missed the change to or from summer time; other errors are not searched for. A shift is only
//! believed when no reading would then be later than the hour asked about, and when it explains the readings by far better.
//! Entries and readings that are late together make a day of their own, which nothing here can tell from a true one.
//!
//! # Source
//! Judgement; thresholds are set so that days without such a fault raise no alarm in the tests.

use crate::condition::{Known, moments, sided_sigma_k};
use crate::misfit::{Compared, Fit, fit};
use crate::model_error::boiling_c;
use crate::observation::{Circumstances, Observation, Target, sigma_k};

/// Shifts of the clock that are tried, s.
pub(crate) const SHIFTS_S: [f64; 2] = [-3600.0, 3600.0];
/// Evidence by which a shift must be better.
const DECISIVE: f64 = 40.0;
/// Fewest readings a clock can be judged by.
const FEWEST: usize = 6;
/// Fewest readings of the probe, one after the other, that make a pot of it.
const FEWEST_PROBE: usize = 3;
/// A probe in a pot shows at least this, °C.
const POT_FROM_C: f64 = 40.0;
/// What a probe in a pot may show above the boil, K.
const OVER_BOIL_K: f64 = 4.0;
/// Errors by which the chamber must be hotter than a probe that hangs in a pot.
const HOTTER_SIGMAS: f64 = 3.0;
/// The same in kelvin.
const HOTTER_K: f64 = 30.0;

/// What a clock stamps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// All readings, as against things done.
    Readings,
    /// Readings of the chamber probe, as against all else: a logger of its own.
    Probe,
}

impl Clock {
    const ALL: [Self; 2] = [Self::Readings, Self::Probe];

    fn stamps(self, o: &Observation) -> bool {
        self == Self::Readings || o.target == Target::Probe
    }
}

/// Something wrong with the readings as a whole.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// Readings fit by far better at other times than those they are stamped with.
    ClockOff {
        /// Whose times.
        clock: Clock,
        /// What is to be added to their times, s.
        by_s: f64,
    },
    /// The chamber probe shows what a pot would: it hangs in one, or lies against one. Its readings are not used.
    ProbeLikePot {
        /// The first of them, s after the start of the day.
        from_s: f64,
        /// Ids of the entries not used.
        ids: Vec<String>,
        /// How much hotter the chamber is by everything else, K.
        hotter_k: f64,
    },
    /// More readings contradict the others than not.
    Disagree {
        /// How many contradict.
        doubted: usize,
        /// Of how many.
        of: usize,
    },
}

impl Doubt {
    /// Whether the forecast as a whole is not to be trusted.
    #[must_use]
    pub fn spoils_the_answer(&self) -> bool {
        !matches!(self, Self::ProbeLikePot { .. })
    }

    /// Whether a reading is not used for it.
    pub(crate) fn is_of(&self, o: &Observation) -> bool {
        let Self::ProbeLikePot { ids, .. } = self else {
            return false;
        };
        o.ids.first().is_some_and(|id| ids.contains(id))
    }

    /// Numbers of the readings that are not used for it.
    pub(crate) fn not_used(&self, observations: &[Observation]) -> Vec<usize> {
        (0..observations.len()).filter(|&i| self.is_of(&observations[i])).collect()
    }
}

/// What is wrong: `predicted` at the readings' own times, `shifted` at those of [`SHIFTS_S`], one row a member.
pub(crate) fn of_readings(known: &Known<'_>, predicted: &[Vec<f64>], shifted: &[Vec<Vec<f64>>]) -> Vec<Doubt> {
    let pot = probe_like_pot(known, predicted);
    let without = pot.as_ref().map(|doubt| doubt.not_used(&known.observations)).unwrap_or_default();
    let clock = clock_off(known, predicted, shifted, &without);
    pot.into_iter().chain(clock).collect()
}

/// A clock that could be off: readings are read from `rows`, those it stamps `by_s` from their own time.
struct Tried<'a> {
    known: &'a Known<'a>,
    rows: &'a [Vec<f64>],
    clock: Clock,
    by_s: f64,
}

impl Tried<'_> {
    /// The reading as it would be at its time by the clock.
    fn observation(&self, i: usize) -> Observation {
        let (known, mut o) = (self.known, self.known.observations[i].clone());
        if self.clock.stamps(&o) && self.by_s.abs() > 0.0 {
            o.at_s += self.by_s;
            o.sigma_k = sigma_k(o.target, o.value_c, known.ambient_c, Circumstances::at(known.drive, o.at_s));
        }
        o
    }

    /// Whether a reading can be judged there: the probe tells nothing just after the door was set.
    fn tells(&self, i: usize) -> bool {
        let o = self.observation(i);
        let settled = o.target != Target::Probe || !Circumstances::at(self.known.drive, o.at_s).is_unsettled();
        settled && self.rows.iter().all(|row| row[i].is_finite())
    }

    fn fitted(&self, which: &[usize]) -> Option<Fit> {
        let error = |&i: &usize| sided_sigma_k(self.known, &self.observation(i), moments(self.rows, i).0);
        let sigmas_k: Vec<f64> = which.iter().map(error).collect();
        let values_c: Vec<f64> = which.iter().map(|&i| self.known.observations[i].value_c).collect();
        let picked: Vec<Vec<f64>> = self.rows.iter().map(|row| which.iter().map(|&i| row[i]).collect()).collect();
        fit(&Compared { predicted: &picked, values_c: &values_c, sigmas_k: &sigmas_k, inflation: 1.0 })
    }
}

fn clock_off(known: &Known<'_>, predicted: &[Vec<f64>], shifted: &[Vec<Vec<f64>>], without: &[usize]) -> Option<Doubt> {
    let tried = SHIFTS_S.iter().zip(shifted).flat_map(|(by_s, rows)| Clock::ALL.map(|clock| (clock, *by_s, rows)));
    let better = tried.filter_map(|(clock, by_s, rows)| {
        let rows = stamped(known, clock, predicted, rows);
        let gain = gain(&Tried { known, rows: &rows, clock, by_s }, predicted, without)?;
        (gain > DECISIVE).then_some((clock, by_s, gain))
    });
    let best = better.max_by(|a, b| a.2.total_cmp(&b.2));
    best.map(|(clock, by_s, _)| Doubt::ClockOff { clock, by_s })
}

/// Rows in which what the clock stamps is taken from `shifted`, all else from `predicted`.
fn stamped(known: &Known<'_>, clock: Clock, predicted: &[Vec<f64>], shifted: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let one = |(own, shifted): (&Vec<f64>, &Vec<f64>)| {
        let pick = |(i, o): (usize, &Observation)| if clock.stamps(o) { shifted[i] } else { own[i] };
        known.observations.iter().enumerate().map(pick).collect()
    };
    predicted.iter().zip(shifted).map(one).collect()
}

/// By how much the readings fit better when the clock is off so; `None` when that cannot be judged.
fn gain(tried: &Tried<'_>, predicted: &[Vec<f64>], without: &[usize]) -> Option<f64> {
    let known = tried.known;
    let stamps = |i: &usize| tried.clock.stamps(&known.observations[*i]);
    let last_s = (0..known.observations.len()).filter(stamps).map(|i| known.observations[i].at_s).fold(0.0, f64::max);
    let as_stamped = Tried { rows: predicted, by_s: 0.0, ..*tried };
    let seen = |i: &usize| !without.contains(i) && as_stamped.tells(*i) && tried.tells(*i);
    let which: Vec<usize> = (0..known.observations.len()).filter(seen).collect();
    if last_s + tried.by_s > known.at_s || which.iter().filter(|i| stamps(i)).count() < FEWEST {
        return None;
    }
    Some(as_stamped.fitted(&which)?.evidence - tried.fitted(&which)?.evidence)
}

fn probe_like_pot(known: &Known<'_>, predicted: &[Vec<f64>]) -> Option<Doubt> {
    let boil_c = boiling_c(known.oven.altitude_m);
    let beside_a_pot = |i: &usize| {
        let o = &known.observations[*i];
        o.target == Target::Probe && !known.drive.inside_at(o.at_s).is_empty()
    };
    let like_a_pot = |i: &usize| (POT_FROM_C..=boil_c + OVER_BOIL_K).contains(&known.observations[*i].value_c);
    let beside: Vec<usize> = (0..known.observations.len()).filter(beside_a_pot).collect();
    let before = beside.iter().take_while(|i| !like_a_pot(i)).count();
    let in_it = beside.into_iter().skip(before).collect::<Vec<usize>>();
    let like: Vec<usize> = in_it.iter().copied().take_while(like_a_pot).collect();
    if like.len() < FEWEST_PROBE {
        return None;
    }
    // A pot may boil dry: what the probe shows from then on is of the pot as well.
    let hotter_k = hotter_k(known, predicted, &like, &in_it)?;
    let from_s = known.observations[like[0]].at_s;
    let ids = in_it.iter().flat_map(|&i| known.observations[i].ids.clone()).collect();
    Some(Doubt::ProbeLikePot { from_s, ids, hotter_k })
}

/// By how much the chamber is hotter than the probe readings `like`, by all readings but those `in_it`, K; `None` when that is not clear.
fn hotter_k(known: &Known<'_>, predicted: &[Vec<f64>], like: &[usize], in_it: &[usize]) -> Option<f64> {
    // Readings not to be heard get an error no spread comes near to.
    const DEAF_K: f64 = 1e5;
    let error = |i: usize| {
        let o = &known.observations[i];
        if in_it.contains(&i) { DEAF_K } else { sided_sigma_k(known, o, moments(predicted, i).0) }
    };
    let sigmas_k: Vec<f64> = (0..known.observations.len()).map(error).collect();
    let values_c: Vec<f64> = known.observations.iter().map(|o| o.value_c).collect();
    let said = fit(&Compared { predicted, values_c: &values_c, sigmas_k: &sigmas_k, inflation: 1.0 })?;
    let gap = |&i: &usize| {
        let (o, spread) = (&known.observations[i], said.spread_k[i]);
        let gap_k = said.expected_c[i] - o.value_c;
        (gap_k > (HOTTER_SIGMAS * libm::hypot(spread, o.sigma_k)).max(HOTTER_K)).then_some(gap_k)
    };
    let gaps: Vec<f64> = like.iter().filter_map(gap).collect();
    (4 * gaps.len() >= 3 * like.len()).then(|| gaps.iter().sum::<f64>() / gaps.len() as f64)
}
