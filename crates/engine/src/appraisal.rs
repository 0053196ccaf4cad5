//! What an oven weighs, holds and loses: figures of the assembled oven, without a day.
//!
//! # Equation
//! Mass of a layer: ρ A₀ ∫ A(x)/A₀ dx. Steady wall: one flow q per hot-face area through all stretches of
//! [`crate::conduction`] in series and out of the cold face, q = (T_hot − T_out)/(Σ 1/c_j + 1/(h r)), with the
//! stretches' conductances c_j and the outer film h at the temperatures they lead to (repeated until these stay).
//! Warm through: layers in front of the first insulation at T, what lies behind on its steady profile; a wall without
//! insulation on its steady profile from the hot face. Heat: Σ A (H_j(T_j) − H_j(T₀)). Steady chamber: floor and shell
//! held at T; gas and the door's hot face settle where the balances of [`crate::cavity`] vanish.
//!
//! # Validity
//! Dry masonry, no fire, no pots. One-dimensional walls, as in the engine. Long after closing: a day never gets there in
//! the insulation.
//!
//! # Source
//! Steady conduction in layers: Carslaw & Jaeger. Everything else as in the modules named.

use crate::cavity::{Cavity, Setting};
use crate::conduction::{Cuts, Metric};
use crate::convection::outer_loss;
use crate::description::{Layer, OvenDescription};
use crate::drive::Door;
use crate::error::EngineError;
use crate::fire::Lie;
use crate::flow::RateSink;
use crate::ledger::Account;
use crate::material::MaterialRole;
use crate::model::{FIRE_SIDE_AREA_SHARE, OvenModel, Wall, WallCuts, assemble};
use crate::pack::Lane;
use crate::parameters::Parameters;
use crate::step::Exchange;

/// Temperature at which heat capacities are taken, °C: the middle of a falling day.
pub const CAPACITY_AT_C: f64 = 200.0;
/// Temperatures of a steady wall are found to this, K.
const SETTLED_K: f64 = 1e-9;
/// Most rounds of a steady wall.
const MOST_ROUNDS: usize = 500;
/// Halvings of a bracket: from a thousand kelvin to below a nanokelvin.
const HALVINGS: usize = 40;

/// A part of the oven that is made of layers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Built {
    /// Dome or vault.
    Dome,
    /// Floor.
    Floor,
    /// Door.
    Door,
}

/// One layer's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerFigures {
    /// The part it belongs to.
    pub part: Built,
    /// Name of the material.
    pub material: String,
    /// Thickness, m.
    pub thickness_m: f64,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Heat capacity at [`CAPACITY_AT_C`], J/K.
    pub heat_capacity_j_k: f64,
}

/// Temperatures of every node of dome and floor, °C.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmOven {
    /// Dome or vault, from the hot face out.
    pub dome_c: Vec<f64>,
    /// Floor, from the hot face down.
    pub floor_c: Vec<f64>,
}

/// What a chamber kept at one temperature loses, W.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyLoss {
    /// Temperature floor and shell are kept at, °C.
    pub hot_c: f64,
    /// Through dome or vault.
    pub dome_w: f64,
    /// Through the floor.
    pub floor_w: f64,
    /// Through the shut door; nothing while it stands open.
    pub door_w: f64,
    /// Through the masonry of the mouth.
    pub mouth_masonry_w: f64,
    /// Through the rim of the floor, under the foot of the dome.
    pub floor_rim_w: f64,
    /// With air through the gaps of the shut door, or through the open mouth.
    pub air_w: f64,
    /// Radiated out of the open mouth.
    pub radiation_w: f64,
}

impl SteadyLoss {
    /// All of it, W.
    #[must_use]
    pub fn total_w(&self) -> f64 {
        let walls_w = self.dome_w + self.floor_w + self.door_w;
        walls_w + self.mouth_masonry_w + self.floor_rim_w + self.air_w + self.radiation_w
    }
}

/// Assembles one oven on the production grid.
///
/// # Errors
/// When description or parameters make no sense.
pub fn assembled(oven: &OvenDescription, parameters: &Parameters) -> Result<OvenModel, EngineError> {
    assemble(oven, parameters, &WallCuts::production(oven, 1)?)
}

fn dome_metric(model: &OvenModel) -> Metric {
    let radius_m = model.chamber.curvature_m;
    if model.chamber.spherical { Metric::Sphere(radius_m) } else { Metric::Cylinder(radius_m) }
}

/// Figures of every layer, as described, hot face first: dome, floor, door.
#[must_use]
pub fn layers(oven: &OvenDescription, model: &OvenModel) -> Vec<LayerFigures> {
    let chamber = &model.chamber;
    let mut figures = Vec::new();
    for (part, list, metric, area_m2) in [
        (Built::Dome, &oven.dome, dome_metric(model), chamber.dome_m2),
        (Built::Floor, &oven.floor, Metric::Plane, chamber.floor_m2),
        (Built::Door, &oven.mouth.door, Metric::Plane, chamber.mouth_m2),
    ] {
        let mut from_m = 0.0;
        for layer in list {
            let (thickness_m, material) = (layer.thickness_m.value, &layer.material);
            let to_m = from_m + thickness_m;
            let mass_kg = material.density_kg_m3 * area_m2 * metric.volume_m(from_m, to_m);
            figures.push(LayerFigures {
                part,
                material: material.name.clone(),
                thickness_m,
                mass_kg,
                heat_capacity_j_k: mass_kg * material.heat_capacity_at_j_kgk(CAPACITY_AT_C),
            });
            from_m = to_m;
        }
    }
    figures
}

/// The steady wall behind node `first` kept at `hot_c`: temperatures of all nodes from there on, °C, and the flow per
/// hot-face area, W/m².
fn steady(wall: &Wall, first: usize, hot_c: f64, ambient_c: f64) -> (Vec<f64>, f64) {
    let stretches = wall.column.conductance.get(first..).unwrap_or_default();
    let ratio = wall.column.cold_face_ratio;
    let mut t_c = vec![hot_c; stretches.len() + 1];
    let mut flow_w_m2 = 0.0;
    for _ in 0..MOST_ROUNDS {
        let conductances = stretches.iter().zip(t_c.windows(2)).map(|(g, ends)| mean_conductance(g, ends[0], ends[1]));
        let conductances: Vec<f64> = conductances.collect();
        let film = outer_film_w_m2k(wall, t_c[stretches.len()], ambient_c) * ratio;
        let resistance = conductances.iter().map(|c| 1.0 / c).sum::<f64>() + 1.0 / film;
        flow_w_m2 = (hot_c - ambient_c) / resistance;
        let mut change_k: f64 = 0.0;
        for (j, conductance) in conductances.iter().enumerate() {
            let next_c = t_c[j] - flow_w_m2 / conductance;
            change_k = change_k.max((next_c - t_c[j + 1]).abs());
            t_c[j + 1] = next_c;
        }
        if change_k < SETTLED_K {
            break;
        }
    }
    (t_c, flow_w_m2)
}

/// The flow between two nodes over their difference, W/(m² K): the mean of the conductivity polynomial between them.
fn mean_conductance(g: &[f64; 3], warm_c: f64, cool_c: f64) -> f64 {
    let sum = warm_c + cool_c;
    (g[0] + g[1] * sum + g[2] * (sum * sum - warm_c * cool_c)).max(f64::MIN_POSITIVE)
}

/// The outer face's loss over its difference to the air, W/(m² K).
fn outer_film_w_m2k(wall: &Wall, face_c: f64, ambient_c: f64) -> f64 {
    // At the outdoor temperature itself a difference of a millikelvin gives the limit.
    let face_c = if (face_c - ambient_c).abs() < 1e-3 { ambient_c + 1e-3 } else { face_c };
    let outer = &wall.outer;
    let (film, natural) = (Lane([outer.film_w_m2k]), Lane([outer.natural]));
    let loss = outer_loss(Lane([face_c]), Lane([ambient_c]), film, natural, outer.emissivity);
    (loss.value.0[0] / (face_c - ambient_c)).max(1e-6)
}

/// Number of the node where the first insulation begins, 0 when there is none.
fn insulation_begins(layers: &[Layer], cuts: &Cuts) -> usize {
    let ahead = layers.iter().position(|layer| layer.material.role == MaterialRole::Insulation);
    ahead.map_or(0, |ahead| cuts.shares.iter().take(ahead).map(Vec::len).sum())
}

/// The oven warmed through to `hot_c`: dense layers ahead of the insulation at that temperature right through, what is
/// behind on its steady profile; a wall without insulation on its steady profile.
///
/// # Errors
/// When description or model make no sense.
pub fn warm_through(oven: &OvenDescription, model: &OvenModel, hot_c: f64) -> Result<WarmOven, EngineError> {
    let cuts = WallCuts::production(oven, 1)?;
    let ambient_c = model.ambient_c + model.parameters.ambient_offset_k;
    let wall = |wall: &Wall, layers: &[Layer], cuts: &Cuts| {
        let first = insulation_begins(layers, cuts);
        let mut t_c = vec![hot_c; first];
        t_c.extend(steady(wall, first, hot_c, ambient_c).0);
        t_c
    };
    Ok(WarmOven {
        dome_c: wall(&model.dome, &oven.dome, &cuts.dome),
        floor_c: wall(&model.floor, &oven.floor, &cuts.floor),
    })
}

impl WarmOven {
    /// Heat in dome and floor above a temperature, J: Σ max(0, H(T) − H(T₀)).
    #[must_use]
    pub fn heat_above_j(&self, model: &OvenModel, threshold_c: f64) -> f64 {
        let wall = |wall: &Wall, t_c: &[f64], area_m2: f64| {
            let column = &wall.column;
            let over = |(j, t): (usize, &f64)| column.enthalpy_j_m2(j, *t) - column.enthalpy_j_m2(j, threshold_c);
            area_m2 * t_c.iter().enumerate().map(over).map(|over| over.max(0.0)).sum::<f64>()
        };
        wall(&model.dome, &self.dome_c, model.chamber.dome_m2)
            + wall(&model.floor, &self.floor_c, model.chamber.floor_m2)
    }
}

/// Temperatures of the hot faces, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Faces {
    /// Floor.
    pub floor_c: f64,
    /// Dome or vault away from the fire.
    pub crown_c: f64,
    /// Dome or vault on the fire's side.
    pub fire_side_c: f64,
}

/// Heat above `threshold_c` that the masonry would hold if its faces were kept at these temperatures for ever, J: every
/// wall on its steady profile.
#[must_use]
pub fn kept_for_ever_j(model: &OvenModel, faces: Faces, threshold_c: f64) -> f64 {
    let ambient_c = model.ambient_c + model.parameters.ambient_offset_k;
    let held = |wall: &Wall, face_c: f64, area_m2: f64| {
        let over = |(j, t): (usize, &f64)| {
            (wall.column.enthalpy_j_m2(j, *t) - wall.column.enthalpy_j_m2(j, threshold_c)).max(0.0)
        };
        area_m2 * steady(wall, 0, face_c, ambient_c).0.iter().enumerate().map(over).sum::<f64>()
    };
    let (floor_m2, dome_m2) = (model.chamber.floor_m2, model.chamber.dome_m2);
    held(&model.floor, faces.floor_c, floor_m2)
        + held(&model.dome, faces.crown_c, dome_m2 * (1.0 - FIRE_SIDE_AREA_SHARE))
        + held(&model.dome, faces.fire_side_c, dome_m2 * FIRE_SIDE_AREA_SHARE)
}

/// What the empty chamber loses when floor and shell are kept at `hot_c` for good. `door` is shut, or anything else for
/// an open mouth with the door aside.
#[must_use]
pub fn steady_loss(model: &OvenModel, hot_c: f64, door: Door) -> SteadyLoss {
    let ambient_c = model.ambient_c + model.parameters.ambient_offset_k;
    let setting = Setting { door, lie: Lie::OnItsSide, inside: Vec::new(), ambient_c: vec![ambient_c] };
    let chamber =
        Chamber { cavity: Cavity::new(std::slice::from_ref(model), &setting, &[], &[], &[]), hot_c, ambient_c };
    let shut = door == Door::Shut;
    let door_flow = |door_c: f64| steady(&model.door, 0, door_c, ambient_c).1 * model.chamber.mouth_m2;
    let door_c = if shut {
        let gain = |door_c: f64| chamber.door_gain_w(door_c) - door_flow(door_c);
        root(ambient_c, hot_c, gain)
    } else {
        ambient_c
    };
    let rates = chamber.rates_w(door_c, chamber.gas_c(door_c));
    let account = |account: Account| rates.get(chamber.cavity.rows.len + account as usize).map_or(0.0, |r| r.0[0]);
    SteadyLoss {
        hot_c,
        dome_w: steady(&model.dome, 0, hot_c, ambient_c).1 * model.chamber.dome_m2,
        floor_w: steady(&model.floor, 0, hot_c, ambient_c).1 * model.chamber.floor_m2,
        door_w: if shut { door_flow(door_c) } else { 0.0 },
        mouth_masonry_w: account(Account::MouthMasonry),
        floor_rim_w: account(Account::FloorRim),
        air_w: account(Account::MouthAir),
        radiation_w: account(Account::MouthRadiation),
    }
}

/// A chamber with floor and shell kept at one temperature.
struct Chamber {
    cavity: Cavity<Lane<1>>,
    hot_c: f64,
    ambient_c: f64,
}

impl Chamber {
    /// What every node and account gains, W.
    fn rates_w(&self, door_c: f64, gas_c: f64) -> Vec<Lane<1>> {
        let rows = &self.cavity.rows;
        let mut x = vec![Lane([0.0]); rows.len];
        let [floor, crown, fire_side, door] = rows.parts;
        for (row, value_c) in [(floor, self.hot_c), (crown, self.hot_c), (fire_side, self.hot_c), (door, door_c)] {
            x[row] = Lane([value_c]);
        }
        (x[rows.gas], x[rows.probe]) = (Lane([gas_c]), Lane([gas_c]));
        let mut rates = vec![Lane([0.0]); rows.len + Account::ALL.len()];
        self.cavity.flows(&x, &mut RateSink(&mut rates));
        rates
    }

    /// The gas temperature at which the gas gains nothing, °C.
    fn gas_c(&self, door_c: f64) -> f64 {
        root(self.ambient_c, self.hot_c, |gas_c| self.rates_w(door_c, gas_c)[self.cavity.rows.gas].0[0])
    }

    fn door_gain_w(&self, door_c: f64) -> f64 {
        self.rates_w(door_c, self.gas_c(door_c))[self.cavity.rows.parts[3]].0[0]
    }
}

/// Where a falling function passes zero between two ends.
fn root(low: f64, high: f64, falling: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if falling(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::description::{DoorFit, FirePlace, Form, Mouth, Probe, Quantity, Under};
    use crate::material::Material;
    use std::f64::consts::PI;

    fn layer(role: MaterialRole, thickness_m: f64, k_w_mk: f64) -> Layer {
        let material = Material {
            name: "made up".to_owned(),
            density_kg_m3: 2000.0,
            conductivity_w_mk: [k_w_mk, 0.0, 0.0],
            heat_capacity_j_kgk: [1000.0, 0.0],
            emissivity: 0.9,
            valid_c: (0.0, 1000.0),
            conductivity_rel_sigma: 0.1,
            capacity_rel_sigma: 0.05,
            role,
            source: "made up for a test".to_owned(),
        };
        Layer { material, thickness_m: Quantity::stated(thickness_m, 0.02) }
    }

    /// A hemisphere of 0.5 m inside.
    fn oven(dome: Vec<Layer>) -> OvenDescription {
        let size = |value: f64| Quantity::stated(value, 0.02);
        OvenDescription {
            name: "round".to_owned(),
            form: Form::Dome { inner_diameter_m: size(1.0), rise_m: size(0.5) },
            dome,
            floor: vec![layer(MaterialRole::Dense, 0.06, 1.0), layer(MaterialRole::Insulation, 0.1, 0.1)],
            under: Under::Air,
            mouth: Mouth {
                width_m: size(0.4),
                height_m: size(0.25),
                door: vec![layer(MaterialRole::Insulation, 0.04, 0.1)],
                fit: DoorFit::Ordinary,
                gap_m2: size(0.001),
            },
            fire_place: FirePlace::Left,
            altitude_m: 0.0,
            ambient_c: 20.0,
            ambient_sigma_k: 2.0,
            wind_m_s: 1.0,
            new_or_damp: false,
            probe: Probe { diameter_m: 0.003, emissivity: 0.8 },
        }
    }

    fn insulated() -> (OvenDescription, OvenModel) {
        let oven = oven(vec![layer(MaterialRole::Dense, 0.1, 1.0), layer(MaterialRole::Insulation, 0.1, 0.1)]);
        let model = assembled(&oven, &Parameters::default()).unwrap();
        (oven, model)
    }

    #[test]
    fn a_shell_weighs_what_its_volume_says() {
        let (oven, model) = insulated();
        let figures = layers(&oven, &model);
        let less_mouth = 1.0 - 0.1 / (2.0 * PI * 0.25);
        let shell_m3 = 2.0 / 3.0 * PI * (0.6_f64.powi(3) - 0.5_f64.powi(3)) * less_mouth;
        assert!((figures[0].mass_kg / (2000.0 * shell_m3) - 1.0).abs() < 1e-9, "{figures:?}");
        assert!((figures[0].heat_capacity_j_k / figures[0].mass_kg - 1000.0).abs() < 1e-9);
        let floor = &figures[2];
        assert!((floor.mass_kg - 2000.0 * PI * 0.25 * 0.06).abs() < 1e-9);
        assert_eq!(figures.len(), 5);
    }

    #[test]
    fn a_steady_shell_loses_what_the_exact_solution_says() {
        let (_, model) = insulated();
        let (t_c, flow) = steady(&model.dome, 0, 300.0, 20.0);
        let cold_c = *t_c.last().unwrap();
        // Spherical layers in series: q r₁² (1/k (1/r₁ − 1/r₂) + …) = T_hot − T_cold.
        let resistance = 0.25 * ((1.0 / 0.5 - 1.0 / 0.6) / 1.0 + (1.0 / 0.6 - 1.0 / 0.7) / 0.1);
        assert!((flow * resistance - (300.0 - cold_c)).abs() < 1e-6, "{flow} {cold_c}");
        let film = outer_film_w_m2k(&model.dome, cold_c, 20.0);
        assert!((flow - film * (cold_c - 20.0) * (0.7_f64 / 0.5).powi(2)).abs() < 1e-6);
    }

    #[test]
    fn dense_layers_are_warm_through_and_insulation_is_not() {
        let (oven, model) = insulated();
        let warm = warm_through(&oven, &model, 300.0).unwrap();
        let joint = insulation_begins(&oven.dome, &WallCuts::production(&oven, 1).unwrap().dome);
        assert!((model.dome.column.depth_m[joint] - 0.1).abs() < 1e-12);
        assert!(warm.dome_c[..=joint].iter().all(|t| (t - 300.0).abs() < 1e-9));
        assert!(*warm.dome_c.last().unwrap() < 80.0);
        let heat = warm.heat_above_j(&model, 20.0);
        let dense = layers(&oven, &model)[0].heat_capacity_j_k + layers(&oven, &model)[2].heat_capacity_j_k;
        assert!(heat > dense * 280.0, "the insulation takes some as well");
        assert!(warm.heat_above_j(&model, 100.0) < heat);
    }

    #[test]
    fn a_wall_without_insulation_is_on_its_steady_profile() {
        let oven = oven(vec![layer(MaterialRole::Dense, 0.1, 1.0)]);
        let model = assembled(&oven, &Parameters::default()).unwrap();
        let warm = warm_through(&oven, &model, 300.0).unwrap();
        assert!((warm.dome_c[0] - 300.0).abs() < 1e-9 && warm.dome_c[1] < 300.0);
    }

    #[test]
    fn gas_and_door_are_in_balance() {
        let (_, model) = insulated();
        let loss = steady_loss(&model, 300.0, Door::Shut);
        assert!(loss.radiation_w.abs() < 1e-12 && loss.door_w > 0.0 && loss.air_w > 0.0, "{loss:?}");
        // The door cannot lose more than a face at 300 °C would.
        assert!(loss.door_w < steady(&model.door, 0, 300.0, 20.0).1 * model.chamber.mouth_m2);
        let open = steady_loss(&model, 300.0, Door::Open);
        assert!(open.door_w.abs() < 1e-12 && open.radiation_w > 0.0 && open.total_w() > 2.0 * loss.total_w());
        assert!((open.dome_w - loss.dome_w).abs() < 1e-9);
    }

    #[test]
    fn nothing_is_lost_at_the_outdoor_temperature() {
        let (_, model) = insulated();
        assert!(steady_loss(&model, 20.0, Door::Shut).total_w().abs() < 1e-6);
    }
}
