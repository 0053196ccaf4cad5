//! A steel pipe's wall, as a plane wall, suddenly washed by hot oil on one side; the other side is insulated.
//!
//! Source: Incropera, Fundamentals of Heat and Mass Transfer, 6th ed., example 5.4 (inputs, from memory); the expected
//! values are the exact series, computed here again. Tolerance: 0.1 K, below what a probe shows, on at most 50 cells.

use crate::harness::Case;
use crate::roots::first_roots;
use crate::transient::{Face, Run, constant_slab};
use ovenfall_engine::conduction::{Cuts, Metric};

const THICKNESS_M: f64 = 0.040;
const CONDUCTIVITY_W_MK: f64 = 63.9;
const DIFFUSIVITY_M2_S: f64 = 18.8e-6;
const FILM_W_M2K: f64 = 500.0;
const START_C: f64 = -20.0;
const OIL_C: f64 = 60.0;
const TIME_S: f64 = 480.0;

/// Insulated face (°C), washed face (°C), heat taken up over the most it can take up.
const EXPECTED: [f64; 3] = [43.017, 45.364, 0.7976];

pub fn case() -> Case {
    let capacity_j_m3k = CONDUCTIVITY_W_MK / DIFFUSIVITY_M2_S;
    let slab = constant_slab(THICKNESS_M, CONDUCTIVITY_W_MK, capacity_j_m3k, 1.0);
    let faces = [Face::Film { film_w_m2k: FILM_W_M2K, ambient_c: OIL_C }, Face::Insulated];
    let mut run = Run::new(Metric::Plane, &[slab], &Cuts::production(&[slab], 1), &[START_C], faces);
    let before = run.stored_j_m2();
    run.advance(TIME_S);
    let most = capacity_j_m3k * THICKNESS_M * (OIL_C - START_C);
    let mut case = Case {
        name: "val_plane_wall",
        problem: "Steel wall of 40 mm at -20 °C, one side washed by oil at 60 °C with 500 W/(m² K), the other insulated; after 480 s.",
        source: "exact series for the inputs of Incropera, Fundamentals of Heat and Mass Transfer, 6th ed., example 5.4",
        tolerance_reason: "0.1 K on at most 50 cells; for the heat the same share of the 80 K",
        points: Vec::new(),
    };
    case.expect("insulated face (°C)", EXPECTED[0], 0.1, run.cold_c());
    case.expect("washed face (°C)", EXPECTED[1], 0.1, run.node_c(0));
    case.expect("heat taken up over the most possible", EXPECTED[2], 0.00125, (run.stored_j_m2() - before) / most);
    case
}

#[test]
fn expected_values_are_those_of_the_series() {
    let biot = FILM_W_M2K * THICKNESS_M / CONDUCTIVITY_W_MK;
    let fourier = DIFFUSIVITY_M2_S * TIME_S / (THICKNESS_M * THICKNESS_M);
    // z tan z = Bi, multiplied by the cosine.
    let roots = first_roots(20, 0.01, 0.01, |z| z * z.sin() - biot * z.cos());
    let (mut centre, mut face, mut left) = (0.0, 0.0, 0.0);
    for z in roots {
        let term = 4.0 * z.sin() / (2.0 * z + (2.0 * z).sin()) * (-z * z * fourier).exp();
        centre += term;
        face += term * z.cos();
        left += term * z.sin() / z;
    }
    let temperature = |theta: f64| OIL_C + (START_C - OIL_C) * theta;
    let exact = [temperature(centre), temperature(face), 1.0 - left];
    for (exact, (expected, digits)) in exact.iter().zip(EXPECTED.iter().zip([0.0006, 0.0006, 0.00006])) {
        assert!((exact - expected).abs() < digits, "{exact} {expected}");
    }
}

#[test]
fn val_plane_wall() {
    case().check();
}
