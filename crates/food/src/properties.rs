//! Thermal properties of food from what it is made of.
//!
//! # Equation
//! Each component has density ρᵢ, heat capacity cᵢ and conductivity kᵢ as a polynomial a + b t + c t² in °C. With mass
//! shares xᵢ and volume shares φᵢ = (xᵢ/ρᵢ) / Σ(xⱼ/ρⱼ):
//!
//! - density          ρ = 1 / Σ(xᵢ/ρᵢ), without pores
//! - heat capacity    c = Σ xᵢ cᵢ
//! - conductivity     along the components k∥ = Σ φᵢ kᵢ; across them k⊥ = 1 / Σ(φᵢ/kᵢ)
//!
//! # Validity
//! 0 to 150 °C, unfrozen. Pores thin the density out; in bread and dough water evaporates on the hot side of a pore and
//! condenses on the cold side, which conducts far better than the components do: the table carries a value for it.
//!
//! # Source
//! Choi and Okos (1986), the coefficients as carried by the incompressible fluids of `CoolProp` 8.0.0 (read there). The
//! slope of the conductivity of fat is −2.7604e−4; several printings carry e−3.

use serde::Deserialize;

/// Coefficients a, b, c of one property of one component.
type Curve = [f64; 3];

/// Properties of one component: conductivity W/(m K), density kg/m³, heat capacity kJ/(kg K).
struct Component {
    conductivity: Curve,
    density: Curve,
    heat_capacity: Curve,
}

/// In the order of [`Composition::shares`]: water, protein, fat, carbohydrate, fibre, ash.
const COMPONENTS: [Component; 6] = [
    Component {
        conductivity: [0.57109, 1.7625e-3, -6.7036e-6],
        density: [997.18, 3.1439e-3, -3.7574e-3],
        heat_capacity: [4.1289, -9.0864e-5, 5.4731e-6],
    },
    Component {
        conductivity: [0.17881, 1.1958e-3, -2.7178e-6],
        density: [1329.9, -0.5184, 0.0],
        heat_capacity: [2.0082, 1.2089e-3, -1.3129e-6],
    },
    Component {
        conductivity: [0.18071, -2.7604e-4, -1.7749e-7],
        density: [925.59, -0.41757, 0.0],
        heat_capacity: [1.9842, 1.4733e-3, -4.8008e-6],
    },
    Component {
        conductivity: [0.20141, 1.3874e-3, -4.3312e-6],
        density: [1599.1, -0.31046, 0.0],
        heat_capacity: [1.5488, 1.9625e-3, -5.9399e-6],
    },
    Component {
        conductivity: [0.18331, 1.2497e-3, -3.1683e-6],
        density: [1311.5, -0.36589, 0.0],
        heat_capacity: [1.8459, 1.8306e-3, -4.6509e-6],
    },
    Component {
        conductivity: [0.32962, 1.4011e-3, -2.9069e-6],
        density: [2423.8, -0.28063, 0.0],
        heat_capacity: [1.0926, 1.8896e-3, -3.6817e-6],
    },
];

/// Temperatures the curves hold over for unfrozen food, °C.
pub const VALID_C: (f64, f64) = (0.0, 150.0);

/// What a food is made of, as shares of its mass that sum to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composition {
    shares: [f64; 6],
}

/// Properties of a food at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Properties {
    /// Density without pores, kg/m³.
    pub density_kg_m3: f64,
    /// Heat capacity, J/(kg K).
    pub heat_capacity_j_kgk: f64,
    /// Conductivity with the components side by side: the upper bound, W/(m K).
    pub conductivity_parallel_w_mk: f64,
    /// Conductivity with the components one behind the other: the lower bound, W/(m K).
    pub conductivity_series_w_mk: f64,
}

impl Composition {
    /// A composition from percents of the mass: water, protein, fat, carbohydrate without fibre, fibre, ash. They are
    /// scaled to sum to 1.
    ///
    /// `None` when one is negative or not a number, or when they do not sum to 90 to 110 %.
    #[must_use]
    pub fn from_percent(percent: [f64; 6]) -> Option<Self> {
        let sum: f64 = percent.iter().sum();
        let legal = percent.iter().all(|part| *part >= 0.0) && (90.0..=110.0).contains(&sum);
        legal.then(|| Self { shares: percent.map(|part| part / sum) })
    }

    /// Shares of the mass: water, protein, fat, carbohydrate without fibre, fibre, ash.
    #[must_use]
    pub const fn shares(&self) -> [f64; 6] {
        self.shares
    }

    /// Share of water.
    #[must_use]
    pub const fn water_share(&self) -> f64 {
        self.shares[0]
    }

    /// Properties at `t_c` °C; outside [`VALID_C`] those at its nearer end.
    #[must_use]
    pub fn properties_at(&self, t_c: f64) -> Properties {
        let t = t_c.max(VALID_C.0).min(VALID_C.1);
        let at = |curve: &Curve| curve[0] + t * (curve[1] + t * curve[2]);
        let (mut volume, mut heat, mut along, mut across) = (0.0, 0.0, 0.0, 0.0);
        for (share, component) in self.shares.iter().zip(&COMPONENTS) {
            let part = share / at(&component.density);
            let conductivity = at(&component.conductivity);
            volume += part;
            heat += share * at(&component.heat_capacity);
            along += part * conductivity;
            across += part / conductivity;
        }
        Properties {
            density_kg_m3: 1.0 / volume,
            heat_capacity_j_kgk: 1000.0 * heat,
            conductivity_parallel_w_mk: along / volume,
            conductivity_series_w_mk: volume / across,
        }
    }
}

/// How far a row of data can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Mark {
    /// Read in the source named.
    Read,
    /// Recalled.
    Memory,
}

/// One food of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Food {
    /// Name used in files.
    pub name: String,
    /// Other names for it.
    pub also: Vec<String>,
    /// What it is made of.
    pub composition: Composition,
    /// One-sigma spread of its water between samples, percent of the whole.
    pub spread_percent_of_water: f64,
    /// Share of the volume that is gas while it is in the oven.
    pub pore_share: f64,
    /// Conductivity while vapour moves through the pores, where that carries most of the heat, W/(m K).
    pub baking_conductivity_w_mk: Option<f64>,
    /// How far the row can be trusted.
    pub mark: Mark,
    /// Where the row comes from.
    pub source: String,
    /// Under what terms it may be used.
    pub licence: String,
}

impl Food {
    /// Properties in the oven at `t_c` °C: those of the composition, thinned by the pores, with the conductivity of baking
    /// where there is one.
    #[must_use]
    pub fn properties_at(&self, t_c: f64) -> Properties {
        let solid = self.composition.properties_at(t_c);
        let conductivity = |computed: f64| self.baking_conductivity_w_mk.unwrap_or(computed);
        Properties {
            density_kg_m3: solid.density_kg_m3 * (1.0 - self.pore_share),
            conductivity_parallel_w_mk: conductivity(solid.conductivity_parallel_w_mk),
            conductivity_series_w_mk: conductivity(solid.conductivity_series_w_mk),
            ..solid
        }
    }
}

#[derive(Deserialize)]
struct Table {
    food: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    also: Vec<String>,
    water_percent: f64,
    protein_percent: f64,
    fat_percent: f64,
    carbohydrate_percent: f64,
    fiber_percent: f64,
    ash_percent: f64,
    spread_percent_of_water: f64,
    #[serde(default)]
    pores_percent: f64,
    baking_conductivity_w_mk: Option<f64>,
    baking_source: Option<String>,
    mark: Mark,
    source: String,
    licence: String,
}

/// The table of foods, `data/foods.toml`. Rows whose parts do not sum to about 100 % are left out; a test sees to it
/// that there are none.
#[must_use]
pub fn foods() -> Vec<Food> {
    let table: Result<Table, _> = toml::from_str(include_str!("../../../data/foods.toml"));
    let rows = table.map_or_else(|_| Vec::new(), |table| table.food);
    rows.into_iter()
        .filter_map(|row| {
            let composition = Composition::from_percent([
                row.water_percent,
                row.protein_percent,
                row.fat_percent,
                row.carbohydrate_percent,
                row.fiber_percent,
                row.ash_percent,
            ])?;
            Some(Food {
                name: row.name,
                also: row.also,
                composition,
                spread_percent_of_water: row.spread_percent_of_water,
                pore_share: row.pores_percent / 100.0,
                baking_conductivity_w_mk: row.baking_conductivity_w_mk,
                mark: row.mark,
                source: row.baking_source.map_or(row.source.clone(), |more| format!("{}; {more}", row.source)),
                licence: row.licence,
            })
        })
        .collect()
}

/// The food of a name, upper and lower case alike.
#[must_use]
pub fn food_named<'a>(foods: &'a [Food], name: &str) -> Option<&'a Food> {
    let wanted = name.trim().to_lowercase();
    foods.iter().find(|food| food.name == wanted || food.also.contains(&wanted))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(value: f64, expected: f64, relative: f64) {
        assert!((value / expected - 1.0).abs() < relative, "{value} is not near {expected}");
    }

    /// Computed independently from the same correlations: lean raw pork shoulder at 20, 60 and 90 °C, with the ash as
    /// measured (1.02 %) and the parts scaled to their sum.
    #[test]
    fn lean_pork_shoulder() {
        let pork = Composition::from_percent([72.63, 19.55, 7.14, 0.0, 0.0, 1.02]).unwrap();
        for (t_c, density, heat, along, across) in [
            (20.0, 1045.6, 3539.4, 0.50574, 0.39994),
            (60.0, 1032.0, 3561.8, 0.54795, 0.43181),
            (90.0, 1015.5, 3585.6, 0.56860, 0.44534),
        ] {
            let properties = pork.properties_at(t_c);
            near(properties.density_kg_m3, density, 1e-3);
            near(properties.heat_capacity_j_kgk, heat, 1e-3);
            near(properties.conductivity_parallel_w_mk, along, 1e-3);
            near(properties.conductivity_series_w_mk, across, 1e-3);
        }
    }

    #[test]
    fn boiled_kidney_beans_and_pure_fat() {
        let foods = foods();
        let beans = food_named(&foods, "kidney beans").unwrap().composition.properties_at(90.0);
        near(beans.density_kg_m3, 1080.1, 1e-3);
        near(beans.heat_capacity_j_kgk, 3398.8, 1e-3);
        near(beans.conductivity_parallel_w_mk, 0.57505, 1e-3);
        let fat = Composition::from_percent([0.0, 0.0, 100.0, 0.0, 0.0, 0.0]).unwrap().properties_at(20.0);
        near(fat.conductivity_parallel_w_mk, 0.17512, 1e-4);
    }

    #[test]
    fn every_row_is_used_and_its_names_are_its_own() {
        let rows = include_str!("../../../data/foods.toml").matches("[[food]]").count();
        let foods = foods();
        assert_eq!(foods.len(), rows);
        for food in &foods {
            for name in std::iter::once(&food.name).chain(&food.also) {
                assert_eq!(food_named(&foods, name).map(|found| &found.name), Some(&food.name), "{name}");
            }
        }
    }

    #[test]
    fn bread_is_light_and_steam_carries_its_heat() {
        let foods = foods();
        let dough = food_named(&foods, "dough").unwrap();
        let (baking, solid) = (dough.properties_at(60.0), dough.composition.properties_at(60.0));
        assert!((400.0..600.0).contains(&baking.density_kg_m3), "{baking:?}");
        near(baking.heat_capacity_j_kgk, solid.heat_capacity_j_kgk, 1e-12);
        // Long cylinder 0.1 m thick, its skin at 100 °C: the first term of the series brings the middle from 26 to 95 °C.
        let diffusivity = baking.conductivity_parallel_w_mk / baking.density_kg_m3 / baking.heat_capacity_j_kgk;
        let fourier = (1.602 / 0.07_f64).ln() / 5.783;
        let minutes = fourier * 0.05 * 0.05 / diffusivity / 60.0;
        assert!((35.0..70.0).contains(&minutes), "{minutes}");
        assert_eq!(food_named(&foods, "lamb").unwrap().baking_conductivity_w_mk, None);
    }

    #[test]
    fn nonsense_is_no_composition() {
        assert!(Composition::from_percent([50.0, 0.0, 0.0, 0.0, 0.0, 0.0]).is_none());
        assert!(Composition::from_percent([120.0, -20.0, 0.0, 0.0, 0.0, 0.0]).is_none());
        assert!(Composition::from_percent([f64::NAN; 6]).is_none());
    }
}
