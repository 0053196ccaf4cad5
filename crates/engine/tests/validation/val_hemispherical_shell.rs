//! Steady loss through a hemispherical dome of brick and insulation.
//!
//! Source: thermal resistances of concentric spheres in series, computed here again. Tolerance: 0.5 % of the loss; 0.1 K.

use crate::harness::Case;
use crate::transient::{Face, Run, constant_slab};
use ovenfall_engine::conduction::{Cuts, Metric};
use std::f64::consts::PI;

const RADII_M: [f64; 3] = [0.5, 0.6, 0.7];
const BRICK_W_MK: f64 = 1.1;
const INSULATION_W_MK: f64 = 0.12;
const FILM_W_M2K: f64 = 10.0;
const INSIDE_C: f64 = 400.0;
const OUTSIDE_C: f64 = 20.0;

/// Loss (W), joint (°C), skin (°C).
const EXPECTED: [f64; 3] = [958.40, 353.78, 51.13];

pub fn case() -> Case {
    let slabs = [constant_slab(0.1, BRICK_W_MK, 2150.0, 956.0), constant_slab(0.1, INSULATION_W_MK, 128.0, 1050.0)];
    let faces = [Face::held(INSIDE_C), Face::Film { film_w_m2k: FILM_W_M2K, ambient_c: OUTSIDE_C }];
    let cuts = Cuts::production(&slabs, 1);
    let mut run = Run::new(Metric::Sphere(RADII_M[0]), &slabs, &cuts, &[200.0, 200.0], faces);
    run.advance(60.0 * 86400.0);
    let mut case = Case {
        name: "val_hemispherical_shell",
        problem: "Half a sphere of 0.5 m inner radius, 100 mm of brick and 100 mm of insulation, 400 °C inside, 10 W/(m² K) to 20 °C outside; run to the steady state.",
        source: "thermal resistances of concentric spheres in series",
        tolerance_reason: "0.5 % of the loss; 0.1 K",
        points: Vec::new(),
    };
    let joint = cuts.shares[0].len();
    let area_m2 = 2.0 * PI * RADII_M[0] * RADII_M[0];
    case.expect("loss (W)", EXPECTED[0], 0.005 * EXPECTED[0], run.hot_flux_w_m2() * area_m2);
    case.expect("joint (°C)", EXPECTED[1], 0.1, run.node_c(joint));
    case.expect("skin (°C)", EXPECTED[2], 0.1, run.cold_c());
    case
}

#[test]
fn expected_values_are_those_of_the_resistances() {
    let [a, b, c] = RADII_M;
    let shell = |k: f64, from: f64, to: f64| (1.0 / from - 1.0 / to) / (2.0 * PI * k);
    let parts = [shell(BRICK_W_MK, a, b), shell(INSULATION_W_MK, b, c), 1.0 / (FILM_W_M2K * 2.0 * PI * c * c)];
    let loss = (INSIDE_C - OUTSIDE_C) / parts.iter().sum::<f64>();
    let exact = [loss, INSIDE_C - loss * parts[0], OUTSIDE_C + loss * parts[2]];
    for (exact, expected) in exact.iter().zip(EXPECTED) {
        assert!((exact - expected).abs() < 0.006, "{exact} {expected}");
    }
}

#[test]
fn val_hemispherical_shell() {
    case().check();
}
