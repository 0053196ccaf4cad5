//! What an infra-red thermometer shows inside an oven.
//!
//! Source: Planck's law integrated over 8 to 14 µm, computed here again. Tolerance: 0.2 K, a tenth of the best hand-held
//! instrument's.

use crate::harness::Case;
use ovenfall_engine::observe::infrared_reading_c;

/// True temperature (°C), emissivity, reflected temperature (°C), reading at a setting of one (°C).
const READINGS: [[f64; 4]; 5] = [
    [350.0, 0.90, 20.0, 327.05],
    [350.0, 0.90, 500.0, 366.15],
    [200.0, 0.75, 20.0, 166.72],
    [400.0, 0.85, 600.0, 432.17],
    [300.0, 0.95, 300.0, 300.00],
];

pub fn case() -> Case {
    let mut case = Case {
        name: "val_infrared",
        problem: "Reading of an 8 to 14 µm infra-red thermometer set to emissivity one, for a surface that reflects its surroundings.",
        source: "Planck's law integrated over the band",
        tolerance_reason: "0.2 K, a tenth of the error of a good hand-held instrument",
        points: Vec::new(),
    };
    for [true_c, emissivity, reflected_c, reading_c] in READINGS {
        let what = format!("{true_c} °C, emissivity {emissivity}, reflecting {reflected_c} °C (°C)");
        case.expect(what, reading_c, 0.2, infrared_reading_c(true_c, emissivity, reflected_c, 1.0));
    }
    case
}

/// Radiance of a black body between 8 and 14 µm up to a constant, by Simpson's rule.
#[cfg(test)]
fn band(t_c: f64) -> f64 {
    let radiance = |um: f64| um.powi(-5) / ((14_387.77 / (um * (t_c + 273.15))).exp() - 1.0);
    let n = 600;
    let h = 6.0 / f64::from(n);
    let inner: f64 = (1..n).map(|i| radiance(8.0 + h * f64::from(i)) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
    h / 3.0 * (radiance(8.0) + inner + radiance(14.0))
}

#[test]
fn expected_readings_are_those_of_the_band_integral() {
    for [true_c, emissivity, reflected_c, reading_c] in READINGS {
        let seen = emissivity * band(true_c) + (1.0 - emissivity) * band(reflected_c);
        let exact = crate::roots::first_roots(1, -50.0, 1.0, |t_c| band(t_c) - seen)[0];
        assert!((exact - reading_c).abs() < 0.006, "{true_c}: {exact}");
    }
}

#[test]
fn val_infrared() {
    case().check();
}
