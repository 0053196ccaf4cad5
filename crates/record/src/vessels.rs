//! The table of vessels: what pots are made of, `data/vessels.toml`.

use serde::Deserialize;

/// One kind of vessel.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vessel {
    /// Name used in files.
    pub name: String,
    /// Other names for it.
    pub also: Vec<String>,
    /// Heat capacity of the material, J/(kg K).
    pub heat_capacity_j_kgk: f64,
    /// Usual range of it.
    pub heat_capacity_range_j_kgk: [f64; 2],
    /// Emissivity of the outside as used.
    pub emissivity: f64,
    /// Usual range of it.
    pub emissivity_range: [f64; 2],
    /// Contact with a brick floor, W/(m² K).
    pub contact_w_m2k: f64,
    /// Usual range of it.
    pub contact_range_w_m2k: [f64; 2],
    /// Width of the slit around a lid as it usually sits, mm; 0 where there is no lid.
    pub lid_slit_mm: f64,
    /// Mass of wall, base or lid a square metre, kg/m².
    pub wall_kg_m2: f64,
    /// Where the numbers come from.
    pub source: String,
    /// Under what terms they may be used.
    pub licence: String,
}

/// The whole table.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vessels {
    /// Contact of any vessel on a trivet, W/(m² K).
    pub trivet_contact_w_m2k: f64,
    /// Usual range of it.
    pub trivet_contact_range_w_m2k: [f64; 2],
    /// Where that comes from.
    pub trivet_source: String,
    /// The kinds of vessel.
    pub vessel: Vec<Vessel>,
}

/// Reads the table. A test sees to it that it can be read.
///
/// # Errors
/// What is wrong with the table, if it was built in broken.
pub fn vessels() -> Result<Vessels, toml::de::Error> {
    toml::from_str(include_str!("../../../data/vessels.toml"))
}

impl Vessels {
    /// The vessel of a name, upper and lower case alike.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<&Vessel> {
        let wanted = name.trim().to_lowercase();
        self.vessel.iter().find(|vessel| vessel.name == wanted || vessel.also.contains(&wanted))
    }
}

/// One-sigma relative spread of a usual range taken as two sigma to both sides.
#[must_use]
pub fn rel_sigma_of(range: [f64; 2]) -> f64 {
    (range[1] / range[0]).ln() / 4.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_reads_and_every_value_lies_in_its_range() {
        let table = vessels().unwrap();
        assert_eq!(table.vessel.len(), include_str!("../../../data/vessels.toml").matches("[[vessel]]").count());
        for vessel in &table.vessel {
            for (value, range) in [
                (vessel.heat_capacity_j_kgk, vessel.heat_capacity_range_j_kgk),
                (vessel.emissivity, vessel.emissivity_range),
                (vessel.contact_w_m2k, vessel.contact_range_w_m2k),
            ] {
                assert!(range[0] <= value && value <= range[1], "{}: {value} {range:?}", vessel.name);
                assert!(rel_sigma_of(range) > 0.0);
            }
            for name in std::iter::once(&vessel.name).chain(&vessel.also) {
                assert_eq!(table.named(name).map(|found| &found.name), Some(&vessel.name));
            }
        }
    }
}
