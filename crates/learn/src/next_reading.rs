//! The most useful next reading: among those a cook could take within the hour, which would narrow an answer most.
//!
//! # Equation
//! Every member has its answer (heat in store; a temperature a dish is judged by, at its planned time) and, for each reading
//! not taken yet, what it would show and with what error: [`crate::regression`] says how wide the answer would be after it. A
//! dish's chance is the share of members in its window; what it would become is that share after a low or a high reading, one
//! spread off the middle.
//!
//! # Validity
//! A reading that is taken as the day's entries would be: its error is independent of earlier ones. Where the same place was
//! read a short while ago that is not so, and it is left out. What a spread becomes does not depend on what the reading shows;
//! that holds for answers that are nearly linear in it.
//!
//! # Source
//! As in [`crate::regression`]; errors of readings: [`crate::observation`].

use crate::condition::Known;
use crate::fall::Way;
use crate::now::{Likely, Survey, masonry_read};
use crate::observation::{Circumstances, Target, above_k, sigma_k};
use crate::operator::predicted;
use crate::regression::Regression;
use crate::situation::Situation;
use ovenfall_engine::drive::{Door, Drive};
use ovenfall_engine::simulate::Depth;
use ovenfall_record::reading::Spot;

/// After shutting, the probe is read at these times, s.
const PROBE_AFTER_S: [f64; 3] = [1200.0, 2400.0, 3600.0];
/// Door shut for so long, the probe can be read at once, s.
const PROBE_FOLLOWS_S: f64 = 600.0;
/// The same place is not read again within this time, s.
const READ_AGAIN_S: f64 = 600.0;
/// The same for what changes slowly, s: in food and masonry.
const SLOW_AGAIN_S: f64 = 1800.0;
/// Less liquid is not probed, kg.
const LEAST_LIQUID_KG: f64 = 0.05;
/// Fewer members make no regression.
const FEWEST_MEMBERS: usize = 8;

/// What is to be known better. Limits of a window are included; times are s after the start of the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Question {
    /// Heat in store above 100 °C at this hour.
    Store,
    /// Whether the coldest point of a placing is at least so warm at its planned time.
    Core {
        /// Index of the placing.
        placing: usize,
        /// When.
        at_s: f64,
        /// Least temperature, °C.
        least_c: f64,
    },
    /// Whether the chamber probe lies in a window at a planned time.
    Chamber {
        /// When.
        at_s: f64,
        /// Cool end, °C.
        low_c: f64,
        /// Hot end, °C.
        high_c: f64,
    },
    /// Whether the floor lies in a window at a planned time.
    Floor {
        /// When.
        at_s: f64,
        /// Cool end, °C.
        low_c: f64,
        /// Hot end, °C.
        high_c: f64,
    },
}

impl Question {
    /// The planned time it is about, s after the start of the day; the survey must look at it.
    #[must_use]
    pub const fn planned_s(&self) -> Option<f64> {
        match self {
            Self::Store => None,
            Self::Core { at_s, .. } | Self::Chamber { at_s, .. } | Self::Floor { at_s, .. } => Some(*at_s),
        }
    }

    /// Whether the answer is yes; `None` where it is not a yes or no.
    fn holds(&self, value: f64) -> Option<bool> {
        match self {
            Self::Store => None,
            Self::Core { least_c, .. } => Some(value >= *least_c),
            Self::Chamber { low_c, high_c, .. } | Self::Floor { low_c, high_c, .. } => {
                Some(*low_c <= value && value <= *high_c)
            }
        }
    }

    /// Share of the members in which it is yes.
    fn chance_share(&self, values: &[f64]) -> Option<f64> {
        let answers: Option<Vec<bool>> = values.iter().map(|value| self.holds(*value)).collect();
        let answers = answers.filter(|answers| !answers.is_empty())?;
        Some(answers.iter().filter(|yes| **yes).count() as f64 / answers.len() as f64)
    }
}

/// What has to be done for a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// Nothing: oven and door are as they must be.
    Nothing,
    /// The door comes off for a moment.
    OpenForAMoment,
    /// The door stays shut until then.
    KeepShut,
    /// The door is shut, and stays shut until then.
    Shut,
    /// The fire is raked out, then the door is shut, and stays shut until then.
    RakeOutAndShut,
}

/// A reading not taken yet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// What would be read.
    pub target: Target,
    /// When, min after this hour.
    pub after_min: f64,
    /// What has to be done for it.
    pub effort: Effort,
}

/// What a reading would bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// The reading.
    pub candidate: Candidate,
    /// What it would show, its own error included, °C.
    pub shows_c: Likely,
    /// Share of the answer's spread that would be left.
    pub left_share: f64,
    /// Chance of a yes after a low and after a high reading, the smaller first.
    pub chance_shares: Option<(f64, f64)>,
}

/// Readings in order of what they bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranking {
    /// What is to be known better.
    pub question: Question,
    /// The answer as it is known now: kWh for the store, °C for a temperature.
    pub sought: Likely,
    /// Chance of a yes as it is known now.
    pub chance_share: Option<f64>,
    /// The most useful first.
    pub gains: Vec<Gain>,
}

/// Values of members by their index; not a number for one that did not run.
fn by_member(way: &Way, values: &[f64], members: usize) -> Vec<f64> {
    let mut all = vec![f64::NAN; members];
    for (member, value) in way.used.iter().zip(values) {
        if let Some(place) = all.get_mut(*member) {
            *place = *value;
        }
    }
    all
}

/// Chamber temperature above which nobody is sent to hold a hand in, °C: less than a slow count of two; judgement.
const HAND_UP_TO_C: f64 = 280.0;

/// Whether the chamber may be too hot for a hand.
fn too_hot_for_a_hand(survey: &Survey) -> bool {
    let now = survey.as_it_is.members.probe_c.by_time().next().unwrap_or_default();
    let hot = now.iter().filter(|t_c| **t_c > HAND_UP_TO_C).count();
    // One oven in twenty is enough.
    20 * hot > now.len()
}

/// Readings that can be taken within the hour, as the day stands.
#[must_use]
pub fn candidates(situation: &Situation, survey: &Survey) -> Vec<Candidate> {
    let at_s = situation.driven.at_s;
    let (drive, c) = (&survey.drive, Circumstances::at(&survey.drive, at_s));
    let shut = drive.door_at(at_s) == Door::Shut;
    let fire = drive.fire_in_at(at_s);
    let reach = if shut { Effort::OpenForAMoment } else { Effort::Nothing };
    let now = |target: Target, effort: Effort| Candidate { target, after_min: 0.0, effort };
    let mut all: Vec<Candidate> = Spot::NAMES.iter().map(|(spot, _)| now(Target::Spot(*spot), reach)).collect();
    if shut && c.since_door_s >= PROBE_FOLLOWS_S {
        all.push(now(Target::Probe, Effort::Nothing));
    }
    // Nobody is sent to hold a hand over a fire, or into a chamber that gives no time to count.
    if !fire && !too_hot_for_a_hand(survey) {
        all.push(now(Target::Hand, reach));
    }
    all.extend(probed(situation).into_iter().map(|target| now(target, reach)));
    let thermocouples = masonry_read(situation).into_iter();
    let masonry = thermocouples.map(|Depth { part, depth_m }| Target::Masonry { part, depth_m });
    all.extend(masonry.map(|target| now(target, Effort::Nothing)));
    all.retain(|candidate| !read_lately(situation, candidate.target));
    let effort = match (fire, shut) {
        (true, _) => Effort::RakeOutAndShut,
        (false, true) => Effort::KeepShut,
        (false, false) => Effort::Shut,
    };
    let later = |after_s: f64| Candidate { target: Target::Probe, after_min: after_s / 60.0, effort };
    all.extend(PROBE_AFTER_S.map(later));
    all
}

/// What a food probe can be put into.
fn probed(situation: &Situation) -> Vec<Target> {
    let drive = &situation.driven.drive;
    let of = |i: usize| {
        let contents = drive.placings.get(i).map(|placing| placing.contents);
        let solid = contents.is_some_and(|c| c.solid_kg > 0.0).then_some(Target::Core(i));
        let liquid = contents.is_some_and(|c| c.liquid_kg > LEAST_LIQUID_KG).then_some(Target::Liquid(i));
        solid.into_iter().chain(liquid)
    };
    drive.inside_at(situation.driven.at_s).into_iter().flat_map(of).collect()
}

fn read_lately(situation: &Situation, target: Target) -> bool {
    let again_s = match target {
        Target::Masonry { .. } | Target::Liquid(_) | Target::Core(_) => SLOW_AGAIN_S,
        Target::Probe | Target::Spot(_) | Target::Hand => READ_AGAIN_S,
    };
    let since_s = situation.driven.at_s - again_s;
    let read = situation.members.residuals.iter().map(|residual| &residual.observation);
    read.into_iter().any(|observation| observation.target == target && observation.at_s > since_s)
}

/// What a reading would show on every member, by index, and the error it would have, K.
fn readable(situation: &Situation, survey: &Survey, candidate: &Candidate) -> Option<(Vec<f64>, f64)> {
    let at_s = situation.driven.at_s + candidate.after_min * 60.0;
    let now = candidate.after_min == 0.0;
    let (way, drive, times_s): (&Way, &Drive, Vec<f64>) = if now {
        (&survey.as_it_is, &survey.drive, vec![situation.driven.at_s])
    } else {
        (&survey.shut, &survey.drive_shut, survey.shut_times_s.clone())
    };
    let t = times_s.iter().position(|time_s| (time_s - at_s).abs() < 1.0)?;
    let mut outputs = survey.outputs.clone();
    outputs.output_times_s = times_s;
    let known = Known {
        oven: &situation.oven,
        drive,
        at_s: situation.driven.at_s,
        observations: Vec::new(),
        infrared_setting: situation.infrared_setting,
        ambient_c: situation.ambient_c,
    };
    let error = survey.looked.fall.model_error;
    let shown_c = predicted(&way.run, &outputs, &known, &situation.members, error, (t, candidate.target));
    let middle_c = Likely::of(&shown_c)?.p50;
    let c = Circumstances::at(drive, at_s);
    let own_k = sigma_k(candidate.target, middle_c, situation.ambient_c, c);
    // It counts on one side only: half of its variance.
    let above_k = above_k(candidate.target, middle_c, situation.ambient_c, c) * std::f64::consts::FRAC_1_SQRT_2;
    Some((by_member(way, &shown_c, members(situation)), libm::hypot(own_k, above_k)))
}

fn members(situation: &Situation) -> usize {
    situation.members.ensemble.members.len()
}

/// The answer on every member, by index.
fn sought(situation: &Situation, survey: &Survey, question: Question) -> Option<Vec<f64>> {
    let values = match question {
        Question::Store => return Some(by_member(&survey.as_it_is, &survey.store_kwh(), members(situation))),
        Question::Core { placing, .. } => &survey.planned.as_ref()?.members.placings.get(placing)?.core_c,
        Question::Chamber { .. } => &survey.planned.as_ref()?.members.probe_c,
        Question::Floor { .. } => &survey.planned.as_ref()?.members.floor_c,
    };
    let way = survey.planned.as_ref()?;
    Some(by_member(way, values.by_time().next()?, members(situation)))
}

/// Readings within the hour in order of what they would bring to a question; `None` where the question has no answer now
/// (a placing that is not in at that time, a survey that did not look at it).
#[must_use]
pub fn rank(situation: &Situation, survey: &Survey, question: Question) -> Option<Ranking> {
    let answer = sought(situation, survey, question)?;
    let known: Vec<f64> = answer.iter().copied().filter(|value| value.is_finite()).collect();
    let gain = |candidate: Candidate| {
        let (shown_c, sigma_k) = readable(situation, survey, &candidate)?;
        let pairs = answer.iter().zip(&shown_c).filter(|(a, y)| a.is_finite() && y.is_finite());
        let (answers, shown_c): (Vec<f64>, Vec<f64>) = pairs.map(|(a, y)| (*a, *y)).unzip();
        of_reading(question, candidate, &answers, (&shown_c, sigma_k))
    };
    let mut gains: Vec<Gain> = candidates(situation, survey).into_iter().filter_map(gain).collect();
    gains.sort_by(|a, b| a.left_share.total_cmp(&b.left_share));
    Some(Ranking { question, sought: Likely::of(&known)?, chance_share: question.chance_share(&known), gains })
}

/// What a reading with the error `sigma_k` would bring, from answers and what it would show in the same members.
fn of_reading(
    question: Question,
    candidate: Candidate,
    answers: &[f64],
    (shown_c, sigma_k): (&[f64], f64),
) -> Option<Gain> {
    if answers.len() < FEWEST_MEMBERS {
        return None;
    }
    let regression = Regression::new(shown_c, sigma_k)?;
    let before = 2.0 * Likely::of(answers)?.half_range();
    let left = if before > 0.0 { regression.expected_width(answers) / before } else { 1.0 };
    // A kelvin off is so many spreads of the reading, members and error together.
    let one_off_k = 1.0 / regression.surprise(regression.expected() + 1.0);
    let after = |off_k: f64| question.chance_share(&regression.updated(answers, regression.expected() + off_k));
    let chances = after(-one_off_k).zip(after(one_off_k));
    Some(Gain {
        candidate,
        shows_c: with_error(shown_c, one_off_k, sigma_k)?,
        left_share: left.min(1.0),
        chance_shares: chances.map(|(a, b)| (a.min(b), a.max(b))),
    })
}

/// What a reading would show: the members' values, widened to a spread of `one_off_k` by its own error.
fn with_error(shown_c: &[f64], one_off_k: f64, sigma_k: f64) -> Option<Likely> {
    let shown = Likely::of(shown_c)?;
    let members_k = (one_off_k * one_off_k - sigma_k * sigma_k).max(0.0).sqrt();
    let wider = if members_k > 1e-6 * sigma_k { one_off_k / members_k } else { 1.0 };
    let off = |end: f64| shown.p50 + wider * (end - shown.p50);
    Some(Likely { p05: off(shown.p05), p50: shown.p50, p95: off(shown.p95) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const PROBE: Candidate = Candidate { target: Target::Probe, after_min: 20.0, effort: Effort::Shut };

    fn brings(question: Question, answers: &[f64], shown: &[f64], sigma: f64) -> Option<Gain> {
        of_reading(question, PROBE, answers, (shown, sigma))
    }

    fn normal(n: u32) -> Vec<f64> {
        (0..n).map(|i| crate::normal::quantile((f64::from(i) + 0.5) / f64::from(n))).collect()
    }

    #[test]
    fn a_reading_of_the_answer_itself_leaves_what_its_error_leaves() {
        let answers = normal(400);
        let left = |sigma: f64| brings(Question::Store, &answers, &answers, sigma).expect("members").left_share;
        // Prior variance 1, error variance 1: half of the variance is left.
        assert!((left(1.0) - 0.5_f64.sqrt()).abs() < 0.01, "{}", left(1.0));
        assert!(left(0.01) < 0.05);
        let same = brings(Question::Store, &answers, &[3.0; 400], 1.0).expect("members");
        assert!((same.left_share - 1.0).abs() < 1e-12, "what shows the same on all tells nothing");
        assert!(brings(Question::Store, &answers[..4], &answers[..4], 1.0).is_none());
    }

    /// Half of the members are over the limit. A reading one spread off the middle, nine tenths of whose variance is the
    /// answer's: mean ±√0.9, spread √0.1, so the chance is Φ(∓3).
    #[test]
    fn a_good_reading_decides_a_chance() {
        let answers = normal(400);
        let question = Question::Core { placing: 0, at_s: 0.0, least_c: 0.0 };
        let (low, high) = brings(question, &answers, &answers, (1.0_f64 / 9.0).sqrt())
            .expect("members")
            .chance_shares
            .expect("yes or no");
        assert!(low < 0.01 && high > 0.99, "{low} {high}");
        let (low, high) =
            brings(question, &answers, &answers, 30.0).expect("members").chance_shares.expect("yes or no");
        assert!(low > 0.45 && high < 0.55, "{low} {high}");
        assert_eq!(brings(Question::Store, &answers, &answers, 1.0).expect("members").chance_shares, None);
    }

    proptest! {
        #[test]
        fn a_better_instrument_never_leaves_more(
            pairs in prop::collection::vec((0.0..40.0_f64, 0.0..500.0_f64), 8..64), sigma in 0.1..50.0_f64, worse in 1.0..5.0_f64,
        ) {
            let (answers, shown): (Vec<f64>, Vec<f64>) = pairs.into_iter().unzip();
            let spread = |sigma: f64| Regression::new(&shown, sigma).expect("members").expected_sigma(&answers);
            prop_assert!(spread(sigma) <= spread(sigma * worse) + 1e-9);
            let left = brings(Question::Store, &answers, &shown, sigma).expect("members").left_share;
            prop_assert!((0.0..=1.0).contains(&left));
        }

        #[test]
        fn what_it_shows_is_wider_than_what_is_there(shown in prop::collection::vec(0.0..500.0_f64, 8..64), sigma in 0.1..50.0_f64) {
            let bare = Likely::of(&shown).expect("numbers");
            let seen = brings(Question::Store, &shown, &shown, sigma).expect("members").shows_c;
            prop_assert!(seen.p05 <= bare.p05 + 1e-9 && seen.p95 >= bare.p95 - 1e-9);
        }
    }
}
