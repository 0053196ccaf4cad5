//! The smoother beside a long Markov chain of a general sampler, on a small problem that is not linear: a cooling slab with
//! unknown conductivity, heat capacity, soak depth and loss. `long_chain/long_chain.py` states problem and formula, and made
//! `long_chain/long_chain.txt`.

use crate::page;
use ovenfall_learn::random::{self, Purpose};
use ovenfall_learn::smoother::{Readings, Step, update};
use std::f64::consts::PI;
use std::fmt::Write;

const VALUES: &str = include_str!("long_chain/long_chain.txt");
const THICKNESS_M: f64 = 0.10;
const AIR_C: f64 = 20.0;
const HOT_K: f64 = 400.0;
const TRUE_Z: [f64; 4] = [0.9, -0.7, 0.8, -0.8];
/// Steps of the smoother, as conditioning takes.
const STEPS: usize = 4;

/// Conductivity, capacity, soak depth, loss.
fn slab(z: &[f64]) -> [f64; 4] {
    let k = (0.25 * z[0]).exp();
    let c = 2.0e6 * (0.15 * z[1]).exp();
    let s = THICKNESS_M * (0.05 + 0.90 / (1.0 + (0.4 - 0.9 * z[2]).exp()));
    let g = 25.0 * (0.30 * z[3]).exp();
    [k, c, s, g]
}

fn face_c(z: &[f64], hour: f64) -> f64 {
    let ([k, c, s, g], t_s) = (slab(z), 3600.0 * hour);
    let term = |n: i32| {
        let n_pi = f64::from(n) * PI;
        let b = HOT_K * 2.0 * (n_pi * s / THICKNESS_M).sin() / n_pi;
        b * (-(n_pi / THICKNESS_M).powi(2) * k / c * t_s).exp()
    };
    AIR_C + (-g / c * t_s).exp() * (HOT_K * s / THICKNESS_M + (1..=60).map(term).sum::<f64>())
}

fn store_kwh_m2(z: &[f64], hour: f64) -> f64 {
    let [_, c, s, g] = slab(z);
    HOT_K * c * s * (-g / c * 3600.0 * hour).exp() / 3.6e6
}

/// The numbers after a name in the file of values.
fn values(name: &str) -> Vec<f64> {
    let line = VALUES.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(' '));
    line.unwrap_or_else(|| panic!("no `{name}`")).split(' ').map(|x| x.parse().unwrap()).collect()
}

/// A sampled quantity: its name in the file, and its value on a member.
type Quantity = (&'static str, fn(&[f64]) -> f64);

const QUANTITIES: [Quantity; 6] = [
    ("z1", |z| z[0]),
    ("z2", |z| z[1]),
    ("z3", |z| z[2]),
    ("z4", |z| z[3]),
    ("store_8h_kwh_m2", |z| store_kwh_m2(z, 8.0)),
    ("face_16h_c", |z| face_c(z, 16.0)),
];

fn smoothed(members: usize, taper: bool, seed: u64) -> Vec<Vec<f64>> {
    smoothed_with(STEPS, STEPS as f64, members, taper, seed)
}

fn smoothed_with(steps: usize, inflation: f64, members: usize, taper: bool, seed: u64) -> Vec<Vec<f64>> {
    let (hours, sigma_k) = (values("hours"), values("sigma_k")[0]);
    let readings = Readings { values: values("readings_c"), sigmas: vec![sigma_k; hours.len()] };
    let draw = |j| {
        let generator = &mut random::generator(seed, Purpose::Members, j);
        (0..4).map(|_| random::standard_normal(generator)).collect()
    };
    let mut all: Vec<Vec<f64>> = (0..members).map(draw).collect();
    for number in 0..steps {
        let predict = |z: &Vec<f64>| hours.iter().map(|&h| face_c(z, h)).collect();
        let predicted: Vec<Vec<f64>> = all.iter().map(predict).collect();
        assert!(update(&mut all, &predicted, &readings, &Step { inflation, taper, seed, number }));
    }
    all
}

/// How an ensemble lies beside the chain.
#[derive(Debug, Clone, Copy)]
struct Beside {
    /// Difference of the means, in spreads of the chain.
    off: f64,
    /// Spread over that of the chain.
    spread: f64,
}

/// Means over `seeds` ensembles of how each quantity lies beside the chain.
fn beside(members: usize, taper: bool, seeds: u64) -> Vec<Beside> {
    let ensembles: Vec<Vec<Vec<f64>>> = (0..seeds).map(|seed| smoothed(members, taper, 700 + seed)).collect();
    let of = |(name, value): &Quantity| {
        let chain = values(name);
        let (mean, spread) = (chain[0], chain[1]);
        let one = |ensemble: &Vec<Vec<f64>>| {
            let n = ensemble.len() as f64;
            let own = ensemble.iter().map(|z| value(z)).sum::<f64>() / n;
            let square = ensemble.iter().map(|z| (value(z) - own).powi(2)).sum::<f64>() / (n - 1.0);
            ((own - mean) / spread, square / (spread * spread))
        };
        let sums = ensembles.iter().map(one).fold((0.0, 0.0), |(a, b), (off, square)| (a + off, b + square));
        Beside { off: sums.0 / seeds as f64, spread: (sums.1 / seeds as f64).sqrt() }
    };
    QUANTITIES.iter().map(of).collect()
}

#[test]
fn both_programs_have_the_same_slab() {
    for (hour, theirs) in values("hours").into_iter().zip(values("face_c_at_true_z")) {
        assert!((face_c(&TRUE_Z, hour) - theirs).abs() < 1e-6, "{hour} h");
    }
}

/// Ensembles as compared: members, taper, number of ensembles averaged over.
const CASES: [(usize, bool, u64); 4] = [(4000, false, 8), (4000, true, 8), (256, false, 64), (256, true, 64)];

fn table(all: &[Vec<Beside>]) -> String {
    let mut out = String::from("| quantity | chain: mean ± spread |");
    for (members, taper, _) in CASES {
        write!(out, " {members}, {} |", if taper { "taper" } else { "no taper" }).unwrap();
    }
    out.push_str("\n|---|---|---|---|---|---|\n");
    for (q, (name, _)) in QUANTITIES.iter().enumerate() {
        let chain = values(name);
        write!(out, "| {name} | {:.3} ± {:.3} |", chain[0], chain[1]).unwrap();
        for case in all {
            write!(out, " {:+.2}, × {:.2} |", case[q].off, case[q].spread).unwrap();
        }
        out.push('\n');
    }
    out
}

/// Sampling errors of the averages are below 0.02 spreads (32 000 and 16 000 members in all), the chain's below 0.005. What
/// is left is the smoother's own: its steps are linear, the slab is not, and a shift of a quarter of a spread is what that is
/// known to leave. The limits: a mean within 0.3 spreads of the chain's, a spread between 0.85 and 1.3 of it. Too narrow would
/// be worse than too wide.
#[test]
fn the_smoother_lies_near_a_long_chain() {
    let all = CASES.map(|(members, taper, seeds)| beside(members, taper, seeds));
    page::part("long chain", &table(&all));
    for (case, besides) in CASES.iter().zip(&all) {
        for ((name, _), b) in QUANTITIES.iter().zip(besides) {
            assert!(b.off.abs() < 0.3, "{case:?} {name}: {b:?}");
            assert!((0.85..1.3).contains(&b.spread), "{case:?} {name}: {b:?}");
        }
    }
}

/// The comparison can fail: members that took nothing in are far off, and so are members that took each reading in as
/// though it had been made four times.
#[test]
fn the_limits_tell_right_from_wrong() {
    let face = |ensemble: &[Vec<f64>], q: usize| {
        let chain = values(QUANTITIES[q].0);
        let values: Vec<f64> = ensemble.iter().map(|z| QUANTITIES[q].1(z)).collect();
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len() as f64).sqrt() / chain[1]
    };
    let untouched = smoothed_with(0, 1.0, 2000, false, 5);
    let twice_as_sure = smoothed_with(STEPS, 1.0, 2000, false, 5);
    assert!(face(&untouched, 5) > 1.3, "{}", face(&untouched, 5));
    assert!(face(&twice_as_sure, 5) < 0.85, "{}", face(&twice_as_sure, 5));
}
