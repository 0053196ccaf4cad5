//! Readings of a synthetic oven: its own truth is a member drawn from the same prior, read with known errors.

use crate::day::{day, oven};
use ovenfall_engine::pack::Lane;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};
use ovenfall_learn::observation::Target;
use ovenfall_learn::score::crps;
use ovenfall_learn::{
    ConditionOptions, Conditioned, Ensemble, Fall, FallOptions, Known, ModelError, Observation, Prior, condition, fall,
    fall_conditioned,
};

const MEMBERS: usize = 64;
const AHEAD_S: f64 = 4.0 * 3600.0;

/// A shut-door hour to ask at: the day's last door event before its middle, and an hour on.
fn hour_s() -> f64 {
    use ovenfall_engine::drive::{Action, Door};
    let shut = |e: &&ovenfall_engine::drive::Event| e.action == Action::Door(Door::Shut);
    day().events.iter().find(shut).unwrap().at_s + 3600.0
}

fn truth(seed: u64) -> (Parameters, Vec<f64>, Vec<f64>) {
    let prior = Prior::for_day(&oven(), &day());
    let member = Ensemble::draw(&prior, 1, seed).unwrap().parameters[0];
    let mut drive = day();
    drive.end_s = hour_s() + AHEAD_S;
    let times: Vec<f64> = (0..=4).map(|k| hour_s() + 3600.0 * f64::from(k)).collect();
    let mut all: Vec<f64> = readings_s();
    all.extend(&times);
    let options = Options { output_times_s: all, ..Options::default() };
    let h = simulate::<1>(&oven(), &[member], &drive, &options).unwrap();
    let probe: Vec<f64> = h.probe_c.iter().map(|t: &Lane<1>| t.0[0]).collect();
    let (seen, ahead) = probe.split_at(readings_s().len());
    (member, seen.to_vec(), ahead.to_vec())
}

/// Five probe readings with the door shut, before the hour.
fn readings_s() -> Vec<f64> {
    [2700.0, 2100.0, 1500.0, 900.0, 300.0].map(|before| hour_s() - before).to_vec()
}

fn observations(seen: &[f64], offsets_k: [f64; 5]) -> Vec<Observation> {
    let one = |(i, (at_s, t_c)): (usize, (f64, &f64))| Observation {
        ids: vec![format!("r{i}")],
        at_s,
        target: Target::Probe,
        value_c: t_c + offsets_k[i],
        sigma_k: 2.0,
        at_least: false,
    };
    readings_s().into_iter().zip(seen).enumerate().map(one).collect()
}

fn conditioned(observations: Vec<Observation>) -> (Conditioned, Fall, Fall) {
    let (oven, drive) = (oven(), day());
    let known = Known {
        oven: &oven,
        drive: &drive,
        at_s: hour_s(),
        observations,
        infrared_setting: None,
        ambient_c: oven.ambient_c,
    };
    let options =
        ConditionOptions { members: MEMBERS, seed: 3, model_error: ModelError::default(), end_s: hour_s() + AHEAD_S };
    let members = condition(&known, &options).unwrap();
    let options = FallOptions { members: MEMBERS, seed: 3, output_step_s: 3600.0, ..FallOptions::default() };
    let with = fall_conditioned(&members, &oven, &drive, hour_s(), AHEAD_S, &options).unwrap();
    let without = fall(&oven, &drive, hour_s(), AHEAD_S, &options).unwrap();
    (members, with, without)
}

fn mean_crps(fall: &Fall, truth: &[f64]) -> f64 {
    let rows = fall.members.probe_c.by_time().zip(truth).map(|(row, seen)| {
        let mut sorted = row.to_vec();
        sorted.sort_by(f64::total_cmp);
        crps(&sorted, *seen).unwrap()
    });
    rows.sum::<f64>() / truth.len() as f64
}

#[test]
fn readings_make_the_forecast_sharper_and_better() {
    let (mut with_sum, mut without_sum, mut inside, mut times) = (0.0, 0.0, 0, 0);
    for seed in [11, 12, 13, 14] {
        let (_, seen, ahead) = truth(seed);
        let (_, with, without) = conditioned(observations(&seen, [1.0, -1.5, 0.5, 0.0, -1.0]));
        with_sum += mean_crps(&with, &ahead);
        without_sum += mean_crps(&without, &ahead);
        let band = &with.ahead.probe_c;
        inside += ahead.iter().enumerate().filter(|(i, t)| (band.p05[*i]..=band.p95[*i]).contains(t)).count();
        times += ahead.len();
    }
    println!(
        "CRPS {:.1} K with readings, {:.1} K without; {inside} of {times} inside",
        with_sum / 4.0,
        without_sum / 4.0
    );
    assert!(with_sum < 0.5 * without_sum, "{with_sum} {without_sum}");
    assert!(inside * 10 >= times * 6, "{inside} of {times}");
}

#[test]
fn a_reading_far_off_is_named_and_counts_for_little() {
    let (_, seen, ahead) = truth(12);
    let (members, with, _) = conditioned(observations(&seen, [1.0, 140.0, 0.5, 0.0, -1.0]));
    let worst = members.doubted();
    assert_eq!(worst.first().map(|r| r.observation.ids.as_slice()), Some(["r1".to_owned()].as_slice()));
    assert!(members.is_trusted());
    let off = (with.ahead.probe_c.p50[1] - ahead[1]).abs();
    assert!(off < 20.0, "{off} K off in an hour");
}

#[test]
fn no_readings_leave_the_prior() {
    let (members, with, without) = conditioned(Vec::new());
    assert!(members.residuals.is_empty());
    let (a, b) = (&with.ahead.probe_c, &without.ahead.probe_c);
    assert!((a.p50[2] - b.p50[2]).abs() < 0.25 * (b.p95[2] - b.p05[2]));
}

#[test]
fn same_seed_same_bits() {
    let (_, seen, _) = truth(11);
    let run = || {
        conditioned(observations(&seen, [1.0, -1.5, 0.5, 0.0, -1.0]))
            .1
            .ahead
            .probe_c
            .p50
            .iter()
            .map(|t| t.to_bits())
            .collect::<Vec<_>>()
    };
    assert_eq!(run(), run());
}
