//! Boiling point against altitude, saturation pressure and latent heat.
//!
//! Source: IAPWS-95 (steam tables, computed with a general property library) on the standard atmosphere. Tolerances:
//! 0.05 K; 0.5 kJ/kg at 100 °C; 2 kJ/kg elsewhere up to 110 °C, the engine's stated validity, and 0.2 % beyond; 0.02 % of the pressure.

use crate::harness::Case;
use ovenfall_engine::water::{boiling_point_c, latent_heat_j_kg, saturation_pressure_pa, standard_pressure_pa};

/// Altitude (m), boiling point (°C).
const BOILING: [(f64, f64); 6] =
    [(0.0, 99.974), (500.0, 98.313), (1000.0, 96.649), (1500.0, 94.983), (2000.0, 93.315), (3000.0, 89.973)];
/// Temperature (°C), latent heat (kJ/kg).
const LATENT: [(f64, f64); 5] = [(20.0, 2453.5), (60.0, 2357.7), (80.0, 2308.0), (100.0, 2256.4), (120.0, 2202.1)];
/// Temperature (°C), saturation pressure (Pa).
const PRESSURE: [(f64, f64); 3] = [(60.0, 19946.0), (80.0, 47415.0), (100.0, 101_418.0)];

pub fn case() -> Case {
    let mut case = Case {
        name: "val_water",
        problem: "Boiling point of water at altitudes of the standard atmosphere, latent heat, saturation pressure.",
        source: "IAPWS-95 steam tables; ICAO standard atmosphere",
        tolerance_reason: "0.05 K; 0.5 kJ/kg at 100 °C, where pots spend their day; 2 kJ/kg elsewhere up to 110 °C, as the engine states, 0.2 % beyond; 0.02 % of the pressure",
        points: Vec::new(),
    };
    for (altitude_m, t_c) in BOILING {
        let found = boiling_point_c(standard_pressure_pa(altitude_m));
        case.expect(format!("boiling point at {altitude_m} m (°C)"), t_c, 0.05, found);
    }
    for (t_c, latent) in LATENT {
        let tolerance = match t_c {
            100.0 => 0.5,
            ..=110.0 => 2.0,
            _ => 0.002 * latent,
        };
        case.expect(format!("latent heat at {t_c} °C (kJ/kg)"), latent, tolerance, latent_heat_j_kg(t_c) / 1e3);
    }
    for (t_c, pressure) in PRESSURE {
        let found = saturation_pressure_pa(t_c);
        case.expect(format!("saturation pressure at {t_c} °C (Pa)"), pressure, 2e-4 * pressure, found);
    }
    case
}

#[test]
fn val_water() {
    case().check();
}
