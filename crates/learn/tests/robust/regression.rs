//! The linear update beside taking the reading in anew: the same day, one more probe reading.

use crate::synthetic::{Case, Fault, Prepared};
use ovenfall_learn::Regression;
use ovenfall_learn::observation::Target;

/// How far the mean felt at once may lie from that of readings taken in, as a share of the spread before.
const MEAN_SHARE: f64 = 0.3;
/// The same for the spread.
const SPREAD_SHARE: f64 = 0.15;

/// Mean and spread of a sample.
fn moments(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / (n - 1.0)).sqrt())
}

/// One probe reading with the door shut, where there was none before: it tells more than any other.
#[test]
fn linear_update_nears_the_full_one() {
    for seed in [4, 5, 6] {
        let day = Prepared::new(&Case { members: 128, probe_every_min: 150.0, ..Case::new(seed, Fault::None) });
        let mut readings = day.observations.clone();
        let (_, full) = day.forecast(readings.clone());
        let last = readings.iter().rposition(|o| o.target == Target::Probe).unwrap();
        let next = readings.remove(last);
        let (members, before) = day.forecast(readings);
        let regression = Regression::new(&day.shown_c(&members, &next), next.sigma_k).unwrap();
        let hours = before.members.probe_c.by_time().zip(full.members.probe_c.by_time());
        for (hour, (before_c, full_c)) in hours.enumerate() {
            let at_once_c = regression.updated(before_c, next.value_c);
            let (was, felt, full) = (moments(before_c), moments(&at_once_c), moments(full_c));
            println!("{seed}, {hour} h: before {was:.1?}, felt at once {felt:.1?}, taken in {full:.1?}");
            assert!((felt.0 - full.0).abs() < MEAN_SHARE * was.1, "{seed}, {hour} h");
            assert!((felt.1 - full.1).abs() < SPREAD_SHARE * was.1, "{seed}, {hour} h");
            assert!((regression.expected_sigma(before_c) - felt.1).abs() < 1e-9);
        }
    }
}
