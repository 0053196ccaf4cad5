//! The most useful next reading, held against what readings really bring.

use crate::{DAY, MEMBERS, now_at, situation_of, surveyed};
use ovenfall_engine::drive::Door;
use ovenfall_learn::next_reading::{Candidate, Effort, Gain, Question, Ranking, candidates, rank};
use ovenfall_learn::now::Likely;
use ovenfall_learn::observation::Target;
use ovenfall_record::reading::Spot;

fn ranking(day: &str, clock: &str, readings: bool) -> Ranking {
    let situation = situation_of(day, clock, readings);
    rank(&situation, &surveyed(&situation, &[]), Question::Store).unwrap()
}

fn of(ranking: &Ranking, target: Target) -> Gain {
    *ranking.gains.iter().find(|gain| gain.candidate.target == target && gain.candidate.after_min == 0.0).unwrap()
}

/// The day until 08:13, with one more line.
fn until_then(line: &str) -> String {
    let known: Vec<&str> = DAY.lines().take(11).collect();
    format!("{}\n{line}\n", known.join("\n"))
}

fn store_after(line: &str) -> Likely {
    let situation = situation_of(&until_then(line), "08:10", true);
    surveyed(&situation, &[]).now(&situation).store_kwh
}

#[test]
fn the_most_useful_comes_first_and_none_leaves_more_than_there_is() {
    for clock in ["08:10", "09:00", "16:30"] {
        let ranking = ranking(DAY, clock, true);
        assert!(ranking.gains.is_sorted_by(|a, b| a.left_share <= b.left_share), "{clock}");
        assert!(ranking.gains.iter().all(|gain| (0.0..=1.0).contains(&gain.left_share)), "{clock}");
        assert!(ranking.gains.iter().all(|gain| gain.candidate.after_min <= 60.0), "{clock}: within the hour");
    }
}

#[test]
fn a_reading_brings_on_average_what_was_expected_of_it() {
    let expected = ranking(&until_then(""), "08:10", true);
    let gain = of(&expected, Target::Spot(Spot::Crown));
    assert!(gain.left_share < 0.95, "a reading that tells something: {gain:?}");
    // The low, the middle and the high one of the values it would show.
    let shown = [gain.shows_c.p05, gain.shows_c.p50, gain.shows_c.p95];
    let widths = shown.map(|c| {
        let line = format!("90,2026-06-13T08:10:00+01:00,2026-06-13T08:10:00+01:00,spot,crown,{c:.0},C,,");
        store_after(&line).half_range()
    });
    let mean_kwh = widths.iter().sum::<f64>() / 3.0;
    let expected_kwh = expected.sought.half_range() * gain.left_share;
    assert!((mean_kwh / expected_kwh - 1.0).abs() < 0.15, "{widths:?}, expected {expected_kwh} of {expected:?}");
}

#[test]
fn the_same_again_brings_less() {
    let line = "90,2026-06-13T07:55:00+01:00,2026-06-13T07:55:00+01:00,spot,crown,480,C,,";
    let (fresh, again) = (ranking(&until_then(""), "08:10", true), ranking(&until_then(line), "08:10", true));
    let left = |ranking: &Ranking| of(ranking, Target::Spot(Spot::Crown)).left_share;
    assert!(left(&again) > left(&fresh) + 0.02, "{} and then {}", left(&fresh), left(&again));
    assert!(again.sought.half_range() < fresh.sought.half_range());
}

fn offered(clock: &str) -> Vec<Candidate> {
    let situation = situation_of(DAY, clock, true);
    candidates(&situation, &surveyed(&situation, &[]))
}

#[test]
fn only_what_can_be_read_is_offered() {
    let fire = offered("08:10");
    assert!(fire.iter().all(|c| c.target != Target::Hand), "no hand over a fire");
    assert!(fire.iter().all(|c| c.target != Target::Probe || c.effort == Effort::RakeOutAndShut));
    let opened = offered("09:45");
    assert!(opened.iter().all(|c| c.target != Target::Spot(Spot::Crown)), "it was read four minutes ago");
    assert!(opened.iter().any(|c| c.target == Target::Probe && c.effort == Effort::Shut));
    let loaded = offered("16:45");
    assert!(loaded.iter().any(|c| matches!(c.target, Target::Core(_)) && c.effort == Effort::OpenForAMoment));
    let (_, now) = now_at("16:45", true);
    assert_eq!(now.door, Door::Shut);
}

#[test]
fn a_question_nobody_looked_into_has_no_answer() {
    let situation = situation_of(DAY, "16:30", true);
    let survey = surveyed(&situation, &[]);
    let question = Question::Chamber { at_s: situation.driven.at_s + 600.0, low_c: 100.0, high_c: 200.0 };
    assert_eq!(rank(&situation, &survey, question), None);
    assert_eq!(situation.members.ensemble.members.len(), MEMBERS);
}
