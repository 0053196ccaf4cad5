//! Hot brick over cold insulation, door shut: what is left at the inner face, hours later; and where the heat went.
//!
//! Source: exact eigenfunction series of the two-layer slab, computed here again (a finite-volume computation of its own
//! agreed to 1e-5). Tolerances: 0.1 K on the production grid, taken on a start of 100 K; 1 % of the slowest
//! time constant; energy to 0.1 %.

use crate::harness::Case;
use crate::roots::first_roots;
use crate::transient::{Face, Run, constant_slab};
use ovenfall_engine::conduction::{Cuts, Metric, Slab};

const BRICK: [f64; 4] = [0.100, 1.1, 2150.0, 956.0];
const INSULATION: [f64; 4] = [0.100, 0.12, 128.0, 1050.0];
const FILM_W_M2K: f64 = 10.0;
const START_K: f64 = 100.0;

/// Hours, inner face, joint: shares of the start, brick hot and insulation cold.
const HOT_BRICK: [(f64, f64, f64); 8] = [
    (0.5, 0.99646, 0.92211),
    (1.0, 0.98330, 0.92122),
    (2.0, 0.95974, 0.91195),
    (4.0, 0.92441, 0.88198),
    (8.0, 0.86094, 0.82155),
    (12.0, 0.80189, 0.76520),
    (24.0, 0.64794, 0.61830),
    (48.0, 0.42304, 0.40369),
];
/// Hours, inner face: both layers hot.
const BOTH_HOT: [(f64, f64); 4] = [(2.0, 0.98929), (4.0, 0.95687), (8.0, 0.89131), (24.0, 0.67080)];
/// Hours, inner face: brick alone under the same film.
const BRICK_ALONE: [(f64, f64); 4] = [(1.0, 0.957_978), (2.0, 0.850_419), (4.0, 0.653_164), (8.0, 0.383_860)];
const SLOWEST_H: f64 = 56.294;
const BRICK_ALONE_SLOWEST_H: f64 = 7.5248;

fn slab([thickness_m, conductivity_w_mk, density_kg_m3, heat_capacity_j_kgk]: [f64; 4]) -> Slab {
    constant_slab(thickness_m, conductivity_w_mk, density_kg_m3, heat_capacity_j_kgk)
}

fn shut(layers: &[[f64; 4]], start: &[f64]) -> Run {
    let slabs: Vec<Slab> = layers.iter().map(|layer| slab(*layer)).collect();
    let start_c: Vec<f64> = start.iter().map(|share| share * START_K).collect();
    let faces = [Face::Insulated, Face::Film { film_w_m2k: FILM_W_M2K, ambient_c: 0.0 }];
    Run::new(Metric::Plane, &slabs, &Cuts::production(&slabs, 1), &start_c, faces)
}

pub fn case() -> Case {
    let mut case = Case {
        name: "val_two_layer_door_shut",
        problem: "100 mm of brick over 100 mm of fibre, inner face adiabatic, 10 W/(m² K) to 0 °C outside; started with the brick at 100 °C and the fibre at 0 °C, with both at 100 °C, and as brick alone.",
        source: "exact eigenfunction series of the two-layer slab",
        tolerance_reason: "0.1 K on at most 50 cells, on a start of 100 K; 1 % of the slowest time constant; 0.1 % of the energy",
        points: Vec::new(),
    };
    let joint = Cuts::production(&[slab(BRICK)], 1).nodes() - 1;
    let mut run = shut(&[BRICK, INSULATION], &[1.0, 0.0]);
    let start = run.stored_j_m2();
    let (mut hour, mut last) = (0.0, f64::NAN);
    for (h, inner, at_joint) in HOT_BRICK {
        last = run.node_c(0);
        run.advance((h - hour) * 3600.0);
        case.expect(format!("hot brick, inner face, {h} h (°C)"), inner * START_K, 0.1, run.node_c(0));
        case.expect(format!("hot brick, joint, {h} h (°C)"), at_joint * START_K, 0.1, run.node_c(joint));
        hour = h;
    }
    let slowest = 24.0 / (last / run.node_c(0)).ln();
    case.expect("slowest time constant, from 24 to 48 h (h)", SLOWEST_H, 0.01 * SLOWEST_H, slowest);
    let missing = (start - run.left_j_m2() - run.stored_j_m2()) / start;
    case.expect("energy unaccounted for after 48 h (share)", 0.0, 0.001, missing);
    both_hot_and_brick_alone(&mut case);
    case
}

fn both_hot_and_brick_alone(case: &mut Case) {
    let mut run = shut(&[BRICK, INSULATION], &[1.0, 1.0]);
    let mut hour = 0.0;
    for (h, inner) in BOTH_HOT {
        run.advance((h - hour) * 3600.0);
        case.expect(format!("both hot, inner face, {h} h (°C)"), inner * START_K, 0.1, run.node_c(0));
        hour = h;
    }
    let mut run = shut(&[BRICK], &[1.0]);
    let (mut hour, mut last) = (0.0, f64::NAN);
    for (h, inner) in BRICK_ALONE {
        last = run.node_c(0);
        run.advance((h - hour) * 3600.0);
        case.expect(format!("brick alone, inner face, {h} h (°C)"), inner * START_K, 0.1, run.node_c(0));
        hour = h;
    }
    let slowest = 4.0 / (last / run.node_c(0)).ln();
    case.expect(
        "brick alone, time constant, from 4 to 8 h (h)",
        BRICK_ALONE_SLOWEST_H,
        0.01 * BRICK_ALONE_SLOWEST_H,
        slowest,
    );
}

/// One eigenfunction of the two layers: cosine in the brick, a phase-shifted wave in the insulation.
struct Mode {
    decay_per_s: f64,
    joint: f64,
    /// Weight of a start with the brick at one, and with both layers at one.
    weights: [f64; 2],
}

/// X in the insulation and its slope times the conductivity, at a depth below the joint, for a decay rate.
fn in_insulation(decay_per_s: f64, depth_m: f64) -> (f64, f64) {
    let wave = |[_, k, rho, c]: [f64; 4]| (decay_per_s * rho * c / k).sqrt();
    let (b, i) = (wave(BRICK), wave(INSULATION));
    let (cosine, sine) = ((b * BRICK[0]).cos(), -BRICK[1] * b * (b * BRICK[0]).sin() / (INSULATION[1] * i));
    let x = cosine * (i * depth_m).cos() + sine * (i * depth_m).sin();
    let flux = INSULATION[1] * i * (sine * (i * depth_m).cos() - cosine * (i * depth_m).sin());
    (x, flux)
}

fn modes(count: usize) -> Vec<Mode> {
    let outer = |root: f64| {
        let (x, flux) = in_insulation(root * root, INSULATION[0]);
        flux + FILM_W_M2K * x
    };
    // Roots in the square root of the decay rate; the first lies near 2.2e-3, the spacing of the rest is near 2e-2.
    first_roots(count, 1.0e-4, 1.0e-4, outer).into_iter().map(|root| mode(root * root)).collect()
}

/// Integrals of X and X² by Simpson's rule, fine enough for the fastest mode used.
fn mode(decay_per_s: f64) -> Mode {
    let capacity = |[_, _, rho, c]: [f64; 4]| rho * c;
    let wave = (decay_per_s * capacity(BRICK) / BRICK[1]).sqrt();
    let simpson = |length_m: f64, f: &dyn Fn(f64) -> f64| {
        let n = 4000;
        let h = length_m / f64::from(n);
        let inner: f64 = (1..n).map(|i| f(h * f64::from(i)) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
        h / 3.0 * (f(0.0) + inner + f(length_m))
    };
    let brick = |x: f64| (wave * x).cos();
    let insulation = |x: f64| in_insulation(decay_per_s, x).0;
    let norm = capacity(BRICK) * simpson(BRICK[0], &|x| brick(x).powi(2))
        + capacity(INSULATION) * simpson(INSULATION[0], &|x| insulation(x).powi(2));
    let first = capacity(BRICK) * simpson(BRICK[0], &brick);
    let second = capacity(INSULATION) * simpson(INSULATION[0], &insulation);
    Mode { decay_per_s, joint: brick(BRICK[0]), weights: [first / norm, (first + second) / norm] }
}

#[test]
fn expected_values_are_those_of_the_series() {
    let modes = modes(60);
    let series = |start: usize, hours: f64, at: &dyn Fn(&Mode) -> f64| -> f64 {
        modes.iter().map(|m| m.weights[start] * at(m) * (-m.decay_per_s * hours * 3600.0).exp()).sum()
    };
    for (hours, inner, joint) in HOT_BRICK {
        assert!((series(0, hours, &|_| 1.0) - inner).abs() < 6e-6, "inner face at {hours} h");
        assert!((series(0, hours, &|m| m.joint) - joint).abs() < 6e-6, "joint at {hours} h");
    }
    for (hours, inner) in BOTH_HOT {
        assert!((series(1, hours, &|_| 1.0) - inner).abs() < 6e-6, "both hot at {hours} h");
    }
    assert!((1.0 / (modes[0].decay_per_s * 3600.0) - SLOWEST_H).abs() < 6e-4);
}

#[test]
fn expected_values_of_brick_alone_are_those_of_the_series() {
    let [thickness_m, k, rho, c] = BRICK;
    let biot = FILM_W_M2K * thickness_m / k;
    let roots = first_roots(20, 0.01, 0.01, |z| z * z.sin() - biot * z.cos());
    let rate = |z: f64| z * z * k / (rho * c * thickness_m * thickness_m);
    for (hours, inner) in BRICK_ALONE {
        let weight = |z: f64| 4.0 * z.sin() / (2.0 * z + (2.0 * z).sin());
        let exact: f64 = roots.iter().map(|z| weight(*z) * (-rate(*z) * hours * 3600.0).exp()).sum();
        assert!((exact - inner).abs() < 6e-7, "{hours} h: {exact}");
    }
    assert!((1.0 / (rate(roots[0]) * 3600.0) - BRICK_ALONE_SLOWEST_H).abs() < 6e-5);
}

#[test]
fn val_two_layer_door_shut() {
    case().check();
}
