//! A fire of constant flux on thick brick: how hot the surface and the brick 50 mm under it become.
//!
//! Source: exact solution of the half-space under a constant flux (ierfc), computed here again. Tolerance: 0.5 % of the rise
//! of the surface: a first guess of 0.1 % was missed by the production grid, which is coarse behind the first centimetres; cut
//! twice as fine it errs by 0.1 % or less. Fire and flux are not known to anything like that.

use crate::harness::Case;
use crate::transient::{Face, Run, constant_slab};
use ovenfall_engine::conduction::{Cuts, Metric, Slab};

const CONDUCTIVITY_W_MK: f64 = 1.1;
const DENSITY_KG_M3: f64 = 2150.0;
const HEAT_CAPACITY_J_KGK: f64 = 956.0;
const FLUX_W_M2: f64 = 5000.0;
const DEPTH_M: f64 = 0.05;
/// Hours, rise of the surface (K), rise 50 mm under it (K).
const RISES: [(f64, f64, f64); 3] = [(1.0, 225.13, 67.18), (2.0, 318.38, 141.40), (4.0, 450.26, 259.02)];

pub fn case() -> Case {
    let mut case = Case {
        name: "val_constant_flux",
        problem: "5000 W/m² into a half-space of brick for 4 h (0.6 m on the production grid, a joint at 50 mm and every 100 mm).",
        source: "exact solution of the half-space under a constant flux",
        tolerance_reason: "0.5 % of the rise of the surface: the grid's own error, which falls to a quarter when it is cut twice as fine; no fire's flux is known so well",
        points: Vec::new(),
    };
    let layers_m = [DEPTH_M, DEPTH_M, 0.1, 0.1, 0.1, 0.1, 0.1];
    let slabs: Vec<Slab> =
        layers_m.iter().map(|d| constant_slab(*d, CONDUCTIVITY_W_MK, DENSITY_KG_M3, HEAT_CAPACITY_J_KGK)).collect();
    let faces = [Face::Flux(FLUX_W_M2), Face::Insulated];
    let mut run = Run::new(Metric::Plane, &slabs, &Cuts::production(&slabs, 1), &[0.0; 7], faces);
    let mut hour = 0.0;
    for (h, surface, deep) in RISES {
        run.advance((h - hour) * 3600.0);
        let tolerance = 0.005 * surface;
        case.expect(format!("surface, {h} h (K)"), surface, tolerance, run.node_c(0));
        case.expect(format!("50 mm under it, {h} h (K)"), deep, tolerance, run.at_depth_c(DEPTH_M));
        hour = h;
    }
    case
}

#[test]
fn expected_values_are_those_of_the_exact_solution() {
    let diffusivity = CONDUCTIVITY_W_MK / (DENSITY_KG_M3 * HEAT_CAPACITY_J_KGK);
    for (hours, surface, deep) in RISES {
        let reach_m = 2.0 * (diffusivity * hours * 3600.0).sqrt();
        let rise = |x_m: f64| {
            let x = x_m / reach_m;
            let ierfc = (-x * x).exp() / std::f64::consts::PI.sqrt() - x * libm::erfc(x);
            FLUX_W_M2 * reach_m / CONDUCTIVITY_W_MK * ierfc
        };
        assert!((rise(0.0) - surface).abs() < 0.006 && (rise(DEPTH_M) - deep).abs() < 0.006, "{hours} h");
    }
}

#[test]
fn val_constant_flux() {
    case().check();
}
