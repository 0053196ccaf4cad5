//! Thick ground or masonry that does not feel its far side: cooled by a film, and with its surface held cold.
//!
//! Sources: (a) Geankoplis, Transport Processes and Unit Operations, example 5.3-1, inputs and 267.982 K as quoted in a
//! public test file that was read; the value is the exact solution, computed here again. (b) Incropera, 6th ed., example
//! 5.6 (inputs from memory), exact solution. Tolerances: 0.05 K and 1 %.

use crate::harness::Case;
use crate::transient::{Face, Run, constant_slab};
use ovenfall_engine::conduction::{Cuts, Metric, Slab};

const CONDUCTIVITY_W_MK: f64 = 0.865;
const DIFFUSIVITY_M2_S: f64 = 4.65e-7;
const FILM_W_M2K: f64 = 11.36;
const START_C: f64 = 15.6;
const AIR_C: f64 = -17.8;
const COOLING_S: f64 = 5.0 * 3600.0;
const SURFACE_K: f64 = 267.982;

const SOIL_CONDUCTIVITY_W_MK: f64 = 0.52;
const SOIL_DENSITY_KG_M3: f64 = 2050.0;
const SOIL_HEAT_CAPACITY_J_KGK: f64 = 1840.0;
const SOIL_START_C: f64 = 20.0;
const SOIL_SURFACE_C: f64 = -15.0;
const FROST_S: f64 = 60.0 * 86400.0;
const FROST_DEPTH_M: f64 = 0.6766;

fn cooled_surface_k() -> f64 {
    // Six layers of 0.1 m, cut as an oven's would be: deep enough that five hours do not reach the far side.
    let capacity = CONDUCTIVITY_W_MK / DIFFUSIVITY_M2_S;
    let slabs: Vec<Slab> = vec![constant_slab(0.1, CONDUCTIVITY_W_MK, capacity, 1.0); 6];
    let faces = [Face::Film { film_w_m2k: FILM_W_M2K, ambient_c: AIR_C }, Face::Insulated];
    let mut run = Run::new(Metric::Plane, &slabs, &Cuts::production(&slabs, 1), &[START_C; 6], faces);
    run.advance(COOLING_S);
    run.node_c(0) + 273.15
}

fn frost_depth_m() -> f64 {
    let slab = constant_slab(4.0, SOIL_CONDUCTIVITY_W_MK, SOIL_DENSITY_KG_M3, SOIL_HEAT_CAPACITY_J_KGK);
    let faces = [Face::held(SOIL_SURFACE_C), Face::Insulated];
    let mut run = Run::new(Metric::Plane, &[slab], &Cuts::even(1, 50), &[SOIL_START_C], faces);
    run.advance(FROST_S);
    run.depth_of_m(0.0).unwrap_or(f64::NAN)
}

pub fn case() -> Case {
    let mut case = Case {
        name: "val_semi_infinite",
        problem: "A half-space at 15.6 °C cooled by air at -17.8 °C with 11.36 W/(m² K) for 5 h (six layers of 0.1 m on the production grid); depth of frost in soil 60 days after its surface went from 20 to -15 °C (4 m in 50 even cells).",
        source: "exact solutions (erfc); inputs and first value: Geankoplis, Transport Processes and Unit Operations, example 5.3-1; second: Incropera, 6th ed., example 5.6",
        tolerance_reason: "0.05 K, chosen as half of what a cook's probe could tell apart; 1 % of the depth, which is half a cell",
        points: Vec::new(),
    };
    case.expect("surface after 5 h (K)", SURFACE_K, 0.05, cooled_surface_k());
    case.expect("depth of 0 °C after 60 days (m)", FROST_DEPTH_M, 0.006_766, frost_depth_m());
    case
}

#[test]
fn expected_values_are_those_of_the_exact_solutions() {
    let reach = FILM_W_M2K * (DIFFUSIVITY_M2_S * COOLING_S).sqrt() / CONDUCTIVITY_W_MK;
    let share = 1.0 - (reach * reach).exp() * libm::erfc(reach);
    let surface_k = START_C + (AIR_C - START_C) * share + 273.15;
    assert!((surface_k - SURFACE_K).abs() < 0.0006, "{surface_k}");
    // erf(x / 2√(αt)) = (0 − Ts)/(T0 − Ts)
    let diffusivity = SOIL_CONDUCTIVITY_W_MK / (SOIL_DENSITY_KG_M3 * SOIL_HEAT_CAPACITY_J_KGK);
    let wanted = -SOIL_SURFACE_C / (SOIL_START_C - SOIL_SURFACE_C);
    let depth =
        crate::roots::first_roots(1, 0.01, 0.01, |x| libm::erf(x / (2.0 * (diffusivity * FROST_S).sqrt())) - wanted)[0];
    assert!((depth - FROST_DEPTH_M).abs() < 0.00006, "{depth}");
}

#[test]
fn val_semi_infinite() {
    case().check();
}
