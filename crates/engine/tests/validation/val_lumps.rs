//! Lumps of food warming in a hot chamber, and a small metal ball: round, long and flat, heated and quenched.
//!
//! Sources: exact series of sphere, cylinder and slab under a film, computed here again (25 terms); ball: Incropera, 6th ed.,
//! example 5.5 (inputs from memory), exact series. Tolerances: 0.1 K on the grid of pots' contents; the ball on 50 even
//! cells, 1 K in the quench.

use crate::harness::Case;
use crate::transient::{Face, Run, constant_slab};
use ovenfall_engine::conduction::{Cuts, Metric};

const START_C: f64 = 5.0;
const CHAMBER_C: f64 = 120.0;
const FILM_W_M2K: f64 = 25.0;
const CONDUCTIVITY_W_MK: f64 = 0.5;
const DIFFUSIVITY_M2_S: f64 = 1.4e-7;

/// A shape with the distance from surface to centre (m) and the minutes until its centre is at 60, 75 and 90 °C.
const LUMPS: [(&str, f64, [f64; 3]); 3] = [
    ("sphere of 60 mm radius", 0.060, [92.20, 116.16, 149.48]),
    ("cylinder of 45 mm radius", 0.045, [84.22, 109.60, 145.25]),
    ("slab of 25 mm half thickness", 0.025, [66.97, 91.68, 126.50]),
];
/// Cells from face to centre, as many as pots' contents have.
const CELLS: usize = 10;
const CENTRES_C: [f64; 3] = [60.0, 75.0, 90.0];

/// Seconds in water until the ball's centre has gone from 335 to 50 °C; its surface then, °C.
const BALL: [f64; 2] = [2.979, 35.76];
const BALL_RADIUS_M: f64 = 0.005;
const BALL_CONDUCTIVITY_W_MK: f64 = 20.0;
const BALL_DIFFUSIVITY_M2_S: f64 = 6.66e-6;
const WATER_FILM_W_M2K: f64 = 6000.0;

fn metric(shape: &str, radius_m: f64) -> Metric {
    match shape.split(' ').next() {
        Some("sphere") => Metric::Sphere(-radius_m),
        Some("cylinder") => Metric::Cylinder(-radius_m),
        _ => Metric::Plane,
    }
}

fn quenched_ball() -> Run {
    let capacity_j_m3k = BALL_CONDUCTIVITY_W_MK / BALL_DIFFUSIVITY_M2_S;
    let slab = constant_slab(BALL_RADIUS_M, BALL_CONDUCTIVITY_W_MK, capacity_j_m3k, 1.0);
    let faces = [Face::Film { film_w_m2k: WATER_FILM_W_M2K, ambient_c: 20.0 }, Face::Insulated];
    let mut run = Run::new(Metric::Sphere(-BALL_RADIUS_M), &[slab], &Cuts::even(1, 50), &[335.0], faces);
    run.advance(BALL[0]);
    run
}

pub fn case() -> Case {
    let mut case = Case {
        name: "val_lumps",
        problem: "Round, long and flat food at 5 °C in a chamber of 120 °C with 25 W/(m² K), k 0.5 W/(m K), diffusivity 1.4e-7 m²/s: its centre at the minutes at which it should be at 60, 75 and 90 °C. Ten even cells, as in pots. A metal ball of 5 mm radius quenched in water from 335 °C (50 even cells).",
        source: "exact series of slab, cylinder and sphere under a film; ball: inputs of Incropera, 6th ed., example 5.5",
        tolerance_reason: "0.1 K on ten cells; the ball 1 K, since its time is given to a thousandth of a second at 130 K/s",
        points: Vec::new(),
    };
    for (shape, radius_m, minutes) in LUMPS {
        let slab = constant_slab(radius_m, CONDUCTIVITY_W_MK, CONDUCTIVITY_W_MK / DIFFUSIVITY_M2_S, 1.0);
        let faces = [Face::Film { film_w_m2k: FILM_W_M2K, ambient_c: CHAMBER_C }, Face::Insulated];
        let cuts = Cuts::even(1, CELLS);
        let mut run = Run::new(metric(shape, radius_m), &[slab], &cuts, &[START_C], faces);
        let mut done = 0.0;
        for (minute, centre_c) in minutes.iter().zip(CENTRES_C) {
            run.advance((minute - done) * 60.0);
            case.expect(format!("{shape}, {minute} min (°C)"), centre_c, 0.1, run.cold_c());
            done = *minute;
        }
    }
    let ball = quenched_ball();
    case.expect("ball, centre after 2.979 s in water (°C)", 50.0, 1.0, ball.cold_c());
    case.expect("ball, surface then (°C)", BALL[1], 1.0, ball.node_c(0));
    case
}

/// Bessel functions of the first kind, J0 and J1.
#[cfg(test)]
fn bessel(x: f64) -> (f64, f64) {
    (libm::j0(x), libm::j1(x))
}

/// Centre of a lump, share of the starting difference left, from the exact series.
#[cfg(test)]
fn centre_left(shape: &str, biot: f64, fourier: f64) -> f64 {
    use crate::roots::first_roots;
    type Curve = Box<dyn Fn(f64) -> f64>;
    let (equation, weight): (Curve, Curve) = match shape.split(' ').next() {
        Some("sphere") => (
            Box::new(move |z: f64| z.sin() - z * z.cos() - biot * z.sin()),
            Box::new(|z: f64| 4.0 * (z.sin() - z * z.cos()) / (2.0 * z - (2.0 * z).sin())),
        ),
        Some("cylinder") => (
            Box::new(move |z: f64| z * bessel(z).1 - biot * bessel(z).0),
            Box::new(|z: f64| 2.0 * bessel(z).1 / (z * (bessel(z).0.powi(2) + bessel(z).1.powi(2)))),
        ),
        _ => (
            Box::new(move |z: f64| z * z.sin() - biot * z.cos()),
            Box::new(|z: f64| 4.0 * z.sin() / (2.0 * z + (2.0 * z).sin())),
        ),
    };
    first_roots(25, 0.01, 0.01, equation).iter().map(|z| weight(*z) * (-z * z * fourier).exp()).sum()
}

#[test]
fn expected_times_are_those_of_the_series() {
    for (shape, radius_m, minutes) in LUMPS {
        let biot = FILM_W_M2K * radius_m / CONDUCTIVITY_W_MK;
        for (minute, centre_c) in minutes.iter().zip(CENTRES_C) {
            let fourier = DIFFUSIVITY_M2_S * minute * 60.0 / (radius_m * radius_m);
            let exact = CHAMBER_C + (START_C - CHAMBER_C) * centre_left(shape, biot, fourier);
            assert!((exact - centre_c).abs() < 0.006, "{shape} at {minute} min: {exact}");
        }
    }
    let biot = WATER_FILM_W_M2K * BALL_RADIUS_M / BALL_CONDUCTIVITY_W_MK;
    let fourier = BALL_DIFFUSIVITY_M2_S * BALL[0] / (BALL_RADIUS_M * BALL_RADIUS_M);
    let exact = 20.0 + 315.0 * centre_left("sphere", biot, fourier);
    assert!((exact - 50.0).abs() < 0.1, "{exact}");
}

#[test]
fn val_lumps() {
    case().check();
}
