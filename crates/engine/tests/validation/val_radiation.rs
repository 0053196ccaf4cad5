//! Shape factors and grey exchange: the faces of a cube, a dome over its floor, an open mouth.
//!
//! Sources: cube and parallel rectangles, standard shape factors (Howell, A Catalog of Radiation Heat Transfer
//! Configuration Factors), computed here again by integration; dome over floor, two-surface exchange; mouth, apparent
//! emissivity of an opening. Tolerances: 0.1 % of the exchange; 1e-6 of the factors, which are closed forms.

use crate::harness::Case;
use ovenfall_engine::radiation::{STEFAN_BOLTZMANN_W_M2K4, apparent_emissivity, exchange_areas_m2};
use ovenfall_engine::view_factors::{Sight, enclosure, parallel_rectangles, perpendicular_rectangles};
use std::f64::consts::PI;

const OPPOSITE: f64 = 0.199_825;
const ADJACENT: f64 = 0.200_044;
const PARALLEL_2_BY_1: f64 = 0.285_875;
const RADIUS_M: f64 = 0.5;
const EMISSIVITY: f64 = 0.9;
const DOME_C: f64 = 400.0;
const FLOOR_C: f64 = 300.0;
const EXCHANGE_W: f64 = 3718.6;
const BLACK_EXCHANGE_W: f64 = 4338.4;
const MOUTH_M2: f64 = 0.45 * 0.25;
const MOUTH_EMISSIVITY: f64 = 0.99446;
const MOUTH_W: f64 = 1255.7;

fn emission_w_m2(t_c: f64) -> f64 {
    STEFAN_BOLTZMANN_W_M2K4 * (t_c + 273.15).powi(4)
}

/// Net exchange of dome and floor through the engine's enclosure, W.
fn dome_to_floor_w(emissivity: f64) -> f64 {
    let floor_m2 = PI * RADIUS_M * RADIUS_M;
    let areas_m2 = [floor_m2, 2.0 * floor_m2];
    let factors = enclosure(&areas_m2, &[Sight::Floor, Sight::Shell]);
    let exchange = exchange_areas_m2(&areas_m2, &[emissivity; 2], &factors);
    exchange[1] * (emission_w_m2(DOME_C) - emission_w_m2(FLOOR_C))
}

/// The dome with the mouth as a black patch of it at the outside's temperature, floor and dome at 400 °C: what the walls
/// lose to the mouth, W. The wall area is such that the mouth takes the share it has in the source.
fn mouth_loss_w() -> f64 {
    let floor_m2 = PI * RADIUS_M * RADIUS_M;
    let areas_m2 = [floor_m2, 2.0 * floor_m2 - MOUTH_M2, MOUTH_M2];
    let factors = enclosure(&areas_m2, &[Sight::Floor, Sight::Shell, Sight::Flat]);
    let exchange = exchange_areas_m2(&areas_m2, &[EMISSIVITY, EMISSIVITY, 1.0], &factors);
    (exchange[2] + exchange[5]) * (emission_w_m2(400.0) - emission_w_m2(20.0))
}

pub fn case() -> Case {
    let mut case = Case {
        name: "val_radiation",
        problem: "Faces of a cube; a grey and a black hemisphere at 400 °C over its floor at 300 °C (radius 0.5 m, emissivity 0.9); a mouth of 0.45 by 0.25 m in it at 400 °C, outside 20 °C.",
        source: "closed forms of Howell's catalogue; two-surface enclosure; apparent emissivity of an opening",
        tolerance_reason: "closed forms to their last digit given; exchange 0.1 %; the mouth in the enclosure 0.2 %, because the opening's formula takes floor and dome as one even surface",
        points: Vec::new(),
    };
    let (opposite, adjacent) = (parallel_rectangles(1.0, 1.0, 1.0), perpendicular_rectangles(1.0, 1.0, 1.0));
    case.expect("cube, opposite face", OPPOSITE, 1e-6, opposite);
    case.expect("cube, adjacent face", ADJACENT, 1e-6, adjacent);
    case.expect("cube, all that a face sees", 1.0, 1e-9, opposite + 4.0 * adjacent);
    case.expect("2 by 1 m rectangles, 1 m apart", PARALLEL_2_BY_1, 1e-6, parallel_rectangles(2.0, 1.0, 1.0));
    case.expect("dome over floor, grey (W)", EXCHANGE_W, 0.001 * EXCHANGE_W, dome_to_floor_w(EMISSIVITY));
    case.expect("dome over floor, black (W)", BLACK_EXCHANGE_W, 0.001 * BLACK_EXCHANGE_W, dome_to_floor_w(1.0));
    let wall_m2 = 3.0 * PI * RADIUS_M * RADIUS_M - MOUTH_M2;
    case.expect(
        "mouth, apparent emissivity",
        MOUTH_EMISSIVITY,
        5e-5,
        apparent_emissivity(EMISSIVITY, MOUTH_M2, wall_m2),
    );
    case.expect("mouth, radiant loss of the enclosure (W)", MOUTH_W, 0.002 * MOUTH_W, mouth_loss_w());
    case
}

/// Shape factor between two parallel rectangles of `side_m` by 1 m, 1 m apart, by the midpoint rule with `n` points an edge.
#[cfg(test)]
fn by_integration(n: usize, side_m: f64) -> f64 {
    let mid = |i: usize| (i as f64 + 0.5) / n as f64;
    let mut sum = 0.0;
    for i in 0..n * n {
        for j in 0..n * n {
            let along = side_m * (mid(j / n) - mid(i / n));
            let across = mid(j % n) - mid(i % n);
            let square = along * along + across * across + 1.0;
            sum += 1.0 / (PI * square * square);
        }
    }
    sum * side_m / (n * n * n * n) as f64
}

#[test]
fn expected_factors_are_those_of_the_integrals() {
    // The midpoint rule errs with the square of the spacing; two spacings cancel that.
    let parallel = |side_m: f64| {
        let by = |n| by_integration(n, side_m);
        (4.0 * by(24) - by(12)) / 3.0
    };
    assert!((parallel(1.0) - OPPOSITE).abs() < 2e-6, "{}", parallel(1.0));
    assert!((parallel(2.0) - PARALLEL_2_BY_1).abs() < 2e-5, "{}", parallel(2.0));
    assert!((OPPOSITE + 4.0 * ADJACENT - 1.0).abs() < 2e-6, "closure gives the adjacent face");
}

#[test]
fn expected_exchange_is_that_of_two_surfaces() {
    let floor_m2 = PI * RADIUS_M * RADIUS_M;
    let own = (1.0 - EMISSIVITY) / EMISSIVITY;
    let resistance = own / (2.0 * floor_m2) + 1.0 / floor_m2 + own / floor_m2;
    let driving = 5.670_374_419e-8 * (673.15_f64.powi(4) - 573.15_f64.powi(4));
    assert!((driving / resistance - EXCHANGE_W).abs() < 0.06);
    assert!((driving * floor_m2 - BLACK_EXCHANGE_W).abs() < 0.06);
    let mouth = 5.670_374_419e-8 * (673.15_f64.powi(4) - 293.15_f64.powi(4)) * MOUTH_M2 * MOUTH_EMISSIVITY;
    assert!((mouth - MOUTH_W).abs() < 0.06, "{mouth}");
}

#[test]
fn val_radiation() {
    case().check();
}
