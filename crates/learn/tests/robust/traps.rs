//! Readings that are not what they seem: a display over its range, a patch under flames.

use crate::day::{HOUR_S, day, oven};
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};
use ovenfall_learn::observation::{Circumstances, Target, above_k};
use ovenfall_learn::{ConditionOptions, Conditioned, Known, ModelError, Observation, condition, observations};
use ovenfall_record::day_file::read_day;
use ovenfall_record::moment::Moment;
use ovenfall_record::reading::Spot;

/// The hour asked about: the fire is still in.
const AT_S: f64 = 2.8 * HOUR_S;

fn start() -> Timestamp {
    "2026-05-02T06:00:00Z".parse().unwrap()
}

/// A day file with one spot of the crown an hour and a half into the fire, as its display shows it.
fn taken(value: &str, infrared_top_c: Option<f64>) -> Vec<Observation> {
    let head = "# ovenfall day 1\nid,at,written,kind,what,value,unit,note,strikes\n";
    let at = "2026-05-02T07:30:00Z";
    let text = format!("{head}1,{at},{at},spot,crown,{value},C,,\n");
    let day_read = read_day("day.csv", &text).unwrap();
    let end = start() + SignedDuration::from_secs_f64(AT_S);
    assert_eq!(day_read.entries[0].at, Moment::new(at.parse().unwrap(), Offset::UTC));
    observations(&day_read, &day(), start(), end, oven().ambient_c, infrared_top_c)
}

fn conditioned(observations: Vec<Observation>) -> Conditioned {
    let (oven, drive) = (oven(), day());
    let ambient_c = oven.ambient_c;
    let known = Known { oven: &oven, drive: &drive, at_s: AT_S, observations, infrared_setting: None, ambient_c };
    let options = ConditionOptions { members: 64, seed: 3, model_error: ModelError::default(), end_s: AT_S + HOUR_S };
    condition(&known, &options).unwrap()
}

/// What the members say to the only reading, °C.
fn says_c(observations: Vec<Observation>) -> f64 {
    conditioned(observations).residuals[0].predicted_c
}

#[test]
fn over_its_range_is_at_least() {
    let over = taken(">550", None);
    assert!(over.len() == 1 && over[0].at_least && (over[0].value_c - 550.0).abs() < 1e-9);
    assert!(!taken("550", None)[0].at_least);
    assert!(taken("550", Some(550.0))[0].at_least, "the top of the range as the oven file has it");
    assert!(!taken("549", Some(550.0))[0].at_least);
}

/// A display that ends at 150 °C says nothing of an oven known to be hotter; the same number taken at its word would
/// pull every member down.
#[test]
fn at_least_does_not_pull_down() {
    let free_c = says_c(vec![Observation { sigma_k: 1e5, ..taken("150", None)[0].clone() }]);
    assert!(free_c > 250.0, "{free_c}");
    let over = conditioned(taken(">150", None));
    assert!(over.residuals[0].widened < 1.01 && over.doubts.is_empty());
    // Predictions beyond the range are cut off there, and the members are those of the prior.
    let prior = conditioned(Vec::new());
    let same = over.ensemble.members.iter().flatten().zip(prior.ensemble.members.iter().flatten());
    assert!(
        same.clone().all(|(a, b)| (a - b).abs() < 0.2),
        "{:?}",
        same.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
    );
}

/// It does pull up those that are below.
#[test]
fn at_least_pulls_up() {
    let free_c = says_c(vec![Observation { sigma_k: 1e5, ..taken("150", None)[0].clone() }]);
    let top = format!("{:.0}", free_c + 100.0);
    let over = conditioned(taken(&format!(">{top}"), None));
    let prior = conditioned(taken("150", Some(100.0)));
    let wood = |c: &Conditioned| c.ensemble.parameters.iter().map(|p| p.wood_energy).sum::<f64>();
    assert!(wood(&over) > wood(&prior), "{} {}", wood(&over), wood(&prior));
}

/// Flames make a patch read high, never low: 100 K too high over a fire moves the members less than 100 K too low.
#[test]
fn a_spot_over_the_fire_errs_upwards() {
    let spot = taken("150", None)[0].clone();
    let free_c = says_c(vec![Observation { sigma_k: 1e5, ..spot.clone() }]);
    let moved_k = |by_k: f64| says_c(vec![Observation { value_c: free_c + by_k, ..spot.clone() }]) - free_c;
    let (up_k, down_k) = (moved_k(100.0), -moved_k(-100.0));
    println!("100 K high moves {up_k:.0} K, 100 K low {down_k:.0} K");
    assert!(up_k > 0.0 && up_k < 0.9 * down_k, "{up_k} {down_k}");
}

#[test]
fn only_fire_and_embers_in_view_count() {
    let during = Circumstances::at(&day(), 1.5 * HOUR_S);
    let embers = Circumstances::at(&day(), 2.8 * HOUR_S);
    let after = Circumstances::at(&day(), 3.05 * HOUR_S);
    let floor = |c| above_k(Target::Spot(Spot::FloorCentre), 362.0, 12.0, c);
    assert!(floor(embers) > floor(during) && floor(during) > 0.0);
    assert_eq!(floor(after).to_bits(), 0.0_f64.to_bits());
    assert_eq!(above_k(Target::Probe, 362.0, 12.0, during).to_bits(), 0.0_f64.to_bits());
}
