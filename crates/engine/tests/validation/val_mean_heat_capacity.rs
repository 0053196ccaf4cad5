//! The heat that fireclay brick takes up: guards against reading a handbook's mean heat capacities as local ones.
//!
//! Source: VDI Heat Atlas, 2nd ed. (2010), mean heat capacity of fireclay brick from ambient to 400 and 600 °C (956 and
//! 997 J/(kg K)), as carried by a reference library. The row tested is the one ovens are computed with. Tolerance: 1 %.

use crate::harness::Case;
use ovenfall_engine::material::{Material, MaterialRole};

const MATERIALS: &str = include_str!("../../../../data/materials.toml");
/// From 20 °C to this (°C), heat (kJ/kg).
const HEAT: [(f64, f64); 2] = [(400.0, 363.3), (600.0, 578.3)];

/// The row of a material, with the two properties this case is about.
fn row(name: &str) -> Option<Material> {
    let file: toml::Table = MATERIALS.parse().ok()?;
    let rows = file.get("material")?.as_array()?;
    let row = rows.iter().find(|row| row.get("name").and_then(toml::Value::as_str) == Some(name))?;
    let number = |value: &toml::Value| value.as_float().or_else(|| value.as_integer().map(|i| i as f64));
    let pair = |key: &str| -> Option<[f64; 2]> {
        let list: Vec<f64> = row.get(key)?.as_array()?.iter().filter_map(number).collect();
        list.try_into().ok()
    };
    let [from, to] = pair("valid_c")?;
    Some(Material {
        name: name.into(),
        density_kg_m3: row.get("density_kg_m3").and_then(number)?,
        conductivity_w_mk: [f64::NAN; 3],
        heat_capacity_j_kgk: pair("heat_capacity_j_kgk")?,
        emissivity: f64::NAN,
        valid_c: (from, to),
        conductivity_rel_sigma: f64::NAN,
        capacity_rel_sigma: f64::NAN,
        role: MaterialRole::Dense,
        source: String::new(),
    })
}

pub fn case() -> Case {
    let mut case = Case {
        name: "val_mean_heat_capacity",
        problem: "Heat to take 1 kg of firebrick, as the table of materials has it, from 20 °C to 400 and 600 °C.",
        source: "VDI Heat Atlas, 2nd ed. (2010), mean heat capacities of fireclay brick",
        tolerance_reason: "1 %; taking the means for local values misses by 8 to 13 %",
        points: Vec::new(),
    };
    let brick = row("firebrick");
    for (t_c, heat) in HEAT {
        let found = brick.as_ref().map_or(f64::NAN, |b| (b.enthalpy_j_kg(t_c) - b.enthalpy_j_kg(20.0)) / 1e3);
        case.expect(format!("firebrick, 20 to {t_c} °C (kJ/kg)"), heat, 0.01 * heat, found);
    }
    case
}

#[test]
fn expected_values_are_those_of_the_means() {
    for ((t_c, heat), mean) in HEAT.iter().zip([956.0, 997.0]) {
        assert!((mean * (t_c - 20.0) / 1e3 - heat).abs() < 0.06);
    }
}

#[test]
fn val_mean_heat_capacity() {
    case().check();
}
