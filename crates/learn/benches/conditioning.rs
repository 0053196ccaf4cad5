//! What taking a day's readings in costs: 256 members with the demo and with a long evening, an hour after the door was shut.
//!
//! In the same run beside an earlier self, which ran the engine at the forecast's tolerance in every step and once more for the
//! residuals, and beside the linear update of one more reading. How far the final answers lie apart is printed before.
#![allow(clippy::print_stdout, reason = "a bench reports")]
#![allow(clippy::unwrap_used, reason = "a bench stops at the first fault")]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use jiff::{SignedDuration, Timestamp};
use ovenfall_learn::condition::{Precision, condition_with};
use ovenfall_learn::{
    ConditionOptions, Conditioned, Fall, FallOptions, Known, ModelError, Regression, fall_conditioned, observations,
};
use ovenfall_record::day_file::read_day;
use ovenfall_record::drive::{DayDrive, drive};
use ovenfall_record::oven_file::{OvenFile, read_oven};
use ovenfall_record::pots_file::read_pots;
use std::hint::black_box;

const MEMBERS: usize = 256;
const AHEAD_S: f64 = 12.0 * 3600.0;
/// Seeds of the comparison.
const SEEDS: [u64; 2] = [1, 2];

/// An earlier self.
const EARLIER: Precision = Precision { tolerance_k: 0.02, run_for_residuals: true };

/// A day as known at an hour.
struct Question {
    name: &'static str,
    oven: OvenFile,
    driven: DayDrive,
    known: Vec<ovenfall_learn::Observation>,
}

macro_rules! files {
    ($folder:literal) => {
        [
            include_str!(concat!("../../../data/", $folder, "/oven.toml")),
            include_str!(concat!("../../../data/", $folder, "/day.csv")),
            include_str!(concat!("../../../data/", $folder, "/pots.toml")),
        ]
    };
}

impl Question {
    fn new(name: &'static str, [oven, day, pots]: [&str; 3], shut: &str) -> Self {
        let at: Timestamp = shut.parse::<Timestamp>().unwrap() + SignedDuration::from_hours(1);
        let oven = read_oven("oven.toml", oven).unwrap();
        let (day, pots) = (read_day("day.csv", day).unwrap(), read_pots("pots.toml", pots).unwrap());
        let driven = drive(&day, &pots, at, AHEAD_S).unwrap();
        let ambient_c = driven.drive.ambient_c.unwrap_or(oven.description.ambient_c);
        let known = observations(&day, &driven.drive, driven.start, at, ambient_c, oven.sheet.infrared_top_c);
        Self { name, oven, driven, known }
    }

    fn condition(&self, seed: u64, precision: &Precision) -> Conditioned {
        let oven = &self.oven.description;
        let known = Known {
            oven,
            drive: &self.driven.drive,
            at_s: self.driven.at_s,
            observations: self.known.clone(),
            infrared_setting: self.oven.sheet.infrared_emissivity,
            ambient_c: self.driven.drive.ambient_c.unwrap_or(oven.ambient_c),
        };
        let end_s = self.driven.at_s + AHEAD_S;
        let options = ConditionOptions { members: MEMBERS, seed, model_error: ModelError::default(), end_s };
        condition_with(&known, &options, precision).unwrap()
    }

    fn fall(&self, seed: u64, members: &Conditioned) -> Fall {
        let (oven, driven) = (&self.oven.description, &self.driven);
        let options = FallOptions { members: MEMBERS, seed, ..FallOptions::default() };
        fall_conditioned(members, oven, &driven.drive, driven.at_s, AHEAD_S, &options).unwrap()
    }

    /// Largest distance between the answers of both: of the probe's median and band, K, and of the heat in store, as a share.
    fn apart(&self, seed: u64) -> (f64, f64, f64) {
        let own = self.fall(seed, &self.condition(seed, &Precision::default()));
        let earlier = self.fall(seed, &self.condition(seed, &EARLIER));
        let (a, b) = (&own.ahead.probe_c, &earlier.ahead.probe_c);
        // What is not a number must not pass for no distance.
        let larger = |most: f64, next: f64| if next.is_finite() { most.max(next) } else { f64::INFINITY };
        let most = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, larger);
        let share = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a / b - 1.0).abs()).fold(0.0, larger);
        let ends_k = most(&a.p05, &b.p05).max(most(&a.p95, &b.p95));
        let (store, was) = (&own.ahead.store_kwh.p50, &earlier.ahead.store_kwh.p50);
        // Late at night little is left above 100 degrees: the first hour counts.
        let first = own.ahead.probe_c.p50.len() / 12;
        (most(&a.p50, &b.p50), ends_k, share(&store[..first], &was[..first]))
    }
}

fn conditioning(c: &mut Criterion) {
    let questions = [
        Question::new("demo", files!("demo"), "2026-06-13T08:55:00+01:00"),
        Question::new("long evening", files!("days/B1"), "2026-01-10T19:52:00Z"),
    ];
    let mut group = c.benchmark_group("conditioning");
    group.sample_size(10);
    for question in &questions {
        println!("{}: {} readings", question.name, question.known.len());
        for seed in SEEDS {
            let (median_k, ends_k, store_share) = question.apart(seed);
            println!(
                "  seed {seed}: median {median_k:.3} K, ends of the band {ends_k:.3} K, store {:.3} %",
                100.0 * store_share
            );
        }
        let own = |precision: Precision| {
            move |b: &mut criterion::Bencher<'_>, q: &&Question| {
                b.iter(|| black_box(q.condition(1, &precision)));
            }
        };
        group.bench_with_input(BenchmarkId::new("own", question.name), &question, own(Precision::default()));
        group.bench_with_input(BenchmarkId::new("earlier self", question.name), &question, own(EARLIER));
        let fall = question.fall(1, &question.condition(1, &Precision::default()));
        let seen: Vec<f64> = fall.members.probe_c.by_time().next().unwrap().to_vec();
        group.bench_with_input(BenchmarkId::new("linear update", question.name), &fall, |b, fall| {
            b.iter(|| {
                let regression = Regression::new(&seen, 1.0).unwrap();
                black_box(regression.updated_series(&fall.members.probe_c, regression.expected() + 3.0))
            });
        });
    }
    group.finish();
}

criterion_group!(benches, conditioning);
criterion_main!(benches);
