//! Heat and air of wood.
//!
//! Sources: net calorific value of dry oak (C 50.2, H 6.0, O 43.3, N 0.1, ash 0.4 %) from its composition, brought to the
//! wood's moisture; air from the balance of atoms, computed here again with atomic masses; table for any species from a
//! calorific table that was read. Tolerances: 0.05 MJ/kg; 0.01 kg/kg; 1.5 % of the table, whose wood is another.

use crate::harness::Case;
use ovenfall_engine::fire::{net_calorific_value_mj_kg, stoichiometric_air_kg_kg};

const DRY_OAK_MJ_KG: f64 = 18.785;
/// Moisture (share of the whole), net calorific value of oak (MJ/kg).
const OAK: [(f64, f64); 6] = [(0.10, 16.66), (0.15, 15.60), (0.20, 14.54), (0.25, 13.48), (0.30, 12.42), (0.50, 8.17)];
/// Carbon, hydrogen, oxygen of dry oak, shares.
const COMPOSITION: [f64; 3] = [0.502, 0.060, 0.433];
const AIR_KG_KG: f64 = 5.966;
/// A calorific table for any species: dry 19.00 MJ/kg.
const TABLE: [(f64, f64); 3] = [(0.15, 15.79), (0.20, 14.72), (0.30, 12.58)];

pub fn case() -> Case {
    let mut case = Case {
        name: "val_fuel",
        problem: "Net calorific value of oak and of a calorific table's wood at their moisture; air to burn dry oak completely.",
        source: "composition of dry oak, ISO 17225-1 moisture form; atom balance; a heating primer's calorific table",
        tolerance_reason: "0.05 MJ/kg; 0.01 kg/kg of air; 1.5 % of the table, which is of another wood",
        points: Vec::new(),
    };
    for (moisture, ncv) in OAK {
        let found = net_calorific_value_mj_kg(DRY_OAK_MJ_KG, moisture);
        case.expect(format!("oak at {:.0} % water (MJ/kg)", 100.0 * moisture), ncv, 0.05, found);
    }
    for (moisture, ncv) in TABLE {
        let found = net_calorific_value_mj_kg(19.0, moisture);
        case.expect(format!("table at {:.0} % water (MJ/kg)", 100.0 * moisture), ncv, 0.015 * ncv, found);
    }
    let [carbon, hydrogen, oxygen] = COMPOSITION;
    case.expect("air for dry oak (kg/kg)", AIR_KG_KG, 0.01, stoichiometric_air_kg_kg(carbon, hydrogen, oxygen));
    case
}

#[test]
fn expected_values_are_those_of_the_composition() {
    // Gross value by the composition formula, less the heat of the water formed and held (2.447 MJ/kg).
    let gross = 0.3491 * 50.2 + 1.1783 * 6.0 - 0.0151 * 0.1 - 0.1034 * 43.3 - 0.0211 * 0.4;
    let dry = gross - 2.447 * 9.01 * 0.060;
    assert!((dry - DRY_OAK_MJ_KG).abs() < 0.0006, "{dry}");
    for (moisture, ncv) in OAK {
        let exact = gross * (1.0 - moisture) - 2.447 * moisture - 2.447 * 9.01 * 0.060 * (1.0 - moisture);
        assert!((exact - ncv).abs() < 0.006, "{moisture}: {exact}");
    }
    // Oxygen: C → CO2, H → H2O, less what the wood brings; 23.14 % of dry air by mass.
    let oxygen_kg = 31.998 * (0.502 / 12.011 + 0.060 / (4.0 * 1.008)) - 0.433;
    assert!((oxygen_kg / 0.2314 - AIR_KG_KG).abs() < 0.001, "{}", oxygen_kg / 0.2314);
}

#[test]
fn val_fuel() {
    case().check();
}
