//! One member's oven, assembled: columns, areas, coefficients. What does not change while the day goes on.
//!
//! # Equation
//! See `conduction`, `geometry`, `convection`, `openings`. The mouth's masonry is a steady path from the shell around the
//! mouth to the outside: G = Σ k d P/l over the layers of thickness d, the mouth's perimeter P and the length l of the arch.
//! The floor's rim likewise: its upper layer of thickness d runs on under the dome's foot (dome thickness t) to an edge with
//! film h, G = P / (t/(k d) + 1/(h d)) over the floor's perimeter P. Both are steady paths without storage of their own.
//!
//! # Validity
//! All members of a pack share the cuts of the described layers.
//!
//! # Source
//! l = 0.2 m: judgement. Ground under a floor: disc on a half-space, h = 4k/(πr), k 1.5 W/(m K) (Carslaw & Jaeger; k of
//! moist soil from EN ISO 10456). Wind film 3.8 v: the slope of Jürges's line as in McAdams (from memory).

use crate::conduction::{Column, Cuts, Metric, Slab};
use crate::convection::{TRAPPED_PLATE, UPRIGHT_PLATE, air_group};
use crate::description::{Layer, OvenDescription, Under};
use crate::error::{EngineError, positive, within};
use crate::geometry::Chamber;
use crate::material::MaterialRole;
use crate::openings::air_density_kg_m3;
use crate::parameters::Parameters;
use crate::water::{boiling_point_c, standard_pressure_pa};
use std::f64::consts::PI;

/// Share of the shell that counts as the fire's side.
pub const FIRE_SIDE_AREA_SHARE: f64 = 0.25;
const ARCH_LENGTH_M: f64 = 0.2;
/// Film on the outer edge of the floor, W/(m² K); judgement.
const RIM_FILM_W_M2K: f64 = 10.0;
const GROUND_CONDUCTIVITY_W_MK: f64 = 1.5;
const WIND_FILM_W_M2K_PER_M_S: f64 = 3.8;
/// Share of the wind that reaches the underside of the floor.
const WIND_UNDER: f64 = 0.3;

/// What the outside does to a cold face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outer {
    /// Film that does not depend on the difference (wind, ground), W/(m² K).
    pub film_w_m2k: f64,
    /// Coefficient of the quarter-power film, W/(m² K^1.25).
    pub natural: f64,
    /// Emissivity of the skin; 0 against ground.
    pub emissivity: f64,
}

/// A column with what is behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Wall {
    /// The layers.
    pub column: Column,
    /// The outside.
    pub outer: Outer,
}

/// One member's oven.
#[derive(Debug, Clone, PartialEq)]
pub struct OvenModel {
    /// Sizes.
    pub chamber: Chamber,
    /// Floor.
    pub floor: Wall,
    /// Dome or vault; crown and fire side are built alike.
    pub dome: Wall,
    /// Door.
    pub door: Wall,
    /// Air pressure, Pa.
    pub pressure_pa: f64,
    /// Boiling point, °C.
    pub boiling_point_c: f64,
    /// Free area around the shut door, m².
    pub gap_m2: f64,
    /// Conductance of the mouth's masonry, W/K.
    pub mouth_masonry_w_k: f64,
    /// Conductance of the floor's rim, W/K.
    pub floor_rim_w_k: f64,
    /// Usual outdoor temperature, °C.
    pub ambient_c: f64,
    /// Diameter of the probe's sheath, m.
    pub probe_diameter_m: f64,
    /// Emissivity of the probe's sheath.
    pub probe_emissivity: f64,
    /// The member's parameters.
    pub parameters: Parameters,
}

/// The cuts of all walls: the same for every member.
#[derive(Debug, Clone, PartialEq)]
pub struct WallCuts {
    /// Floor.
    pub floor: Cuts,
    /// Dome or vault.
    pub dome: Cuts,
    /// Door.
    pub door: Cuts,
}

fn slab(layer: &Layer, p: &Parameters, dense_conductivity: f64) -> Result<Slab, EngineError> {
    let m = &layer.material;
    let (thickness, k, c) = match m.role {
        MaterialRole::Dense => (p.dense_thickness, dense_conductivity, p.dense_capacity),
        MaterialRole::Insulation => (p.insulation_thickness, p.insulation_conductivity, p.insulation_capacity),
        MaterialRole::Skin => (1.0, 1.0, 1.0),
    };
    let thickness_m = layer.thickness_m.value * thickness;
    for (what, value) in [
        ("a layer's thickness (m)", thickness_m),
        ("a layer's conductivity (W/(m K))", m.conductivity_at_w_mk(20.0) * k),
        ("a layer's conductivity at 600 °C (W/(m K))", m.conductivity_at_w_mk(600.0) * k),
        ("a layer's heat capacity (J/(kg K))", m.heat_capacity_at_j_kgk(20.0) * c),
        ("a layer's heat capacity at 600 °C (J/(kg K))", m.heat_capacity_at_j_kgk(600.0) * c),
        ("a layer's density (kg/m³)", m.density_kg_m3),
    ] {
        positive(what, value)?;
    }
    Ok(Slab {
        thickness_m,
        conductivity_w_mk: m.conductivity_w_mk.map(|x| x * k),
        capacity_j_m3k: m.heat_capacity_j_kgk.map(|x| x * c * m.density_kg_m3),
    })
}

fn slabs(layers: &[Layer], part: &'static str, p: &Parameters, k: f64) -> Result<Vec<Slab>, EngineError> {
    if layers.is_empty() {
        return Err(EngineError::NoLayers { part });
    }
    layers.iter().map(|l| slab(l, p, k)).collect()
}

/// What closes a mouth without a door, when a day says it is shut: a 3 mm sheet of iron.
const SHEET: Slab =
    Slab { thickness_m: 0.003, conductivity_w_mk: [50.0, 0.0, 0.0], capacity_j_m3k: [450.0 * 7800.0, 0.0] };

fn door_slabs(oven: &OvenDescription, p: &Parameters) -> Result<Vec<Slab>, EngineError> {
    if oven.mouth.door.is_empty() { Ok(vec![SHEET]) } else { slabs(&oven.mouth.door, "door", p, 1.0) }
}

impl WallCuts {
    /// The production grid of a described oven, `refine` times finer.
    ///
    /// # Errors
    /// When a part has no layers or a layer makes no sense.
    pub fn production(oven: &OvenDescription, refine: usize) -> Result<Self, EngineError> {
        let p = Parameters::default();
        let cut = |layers: &[Layer], part| slabs(layers, part, &p, 1.0).map(|s| Cuts::production(&s, refine));
        Ok(Self {
            floor: cut(&oven.floor, "floor")?,
            dome: cut(&oven.dome, "dome")?,
            door: Cuts::production(&door_slabs(oven, &p)?, refine),
        })
    }
}

fn skin_emissivity(layers: &[Layer]) -> f64 {
    layers.last().map_or(0.9, |l| l.material.emissivity)
}

fn floor_outer(oven: &OvenDescription, chamber: &Chamber, p: &Parameters) -> Outer {
    let radius = (chamber.floor_m2 / PI).sqrt();
    match oven.under {
        Under::Air => Outer {
            film_w_m2k: p.outer_convection * WIND_FILM_W_M2K_PER_M_S * WIND_UNDER * oven.wind_m_s,
            natural: p.outer_convection * TRAPPED_PLATE * air_group(40.0) / (0.5 * radius).sqrt().sqrt(),
            emissivity: skin_emissivity(&oven.floor),
        },
        Under::Ground => {
            Outer { film_w_m2k: 4.0 * GROUND_CONDUCTIVITY_W_MK / (PI * radius), natural: 0.0, emissivity: 0.0 }
        }
    }
}

fn upright_outer(oven: &OvenDescription, layers: &[Layer], height_m: f64, p: &Parameters) -> Outer {
    Outer {
        film_w_m2k: p.outer_convection * WIND_FILM_W_M2K_PER_M_S * oven.wind_m_s,
        natural: p.outer_convection * UPRIGHT_PLATE * air_group(40.0) / height_m.sqrt().sqrt(),
        emissivity: skin_emissivity(layers),
    }
}

fn check(p: &Parameters) -> Result<(), EngineError> {
    let shares = [
        ("the chamber's emissivity", p.chamber_emissivity),
        ("the fire's radiant share", p.fire_radiant_share),
        ("the fire side's share", p.fire_side_share),
        ("the embers' share", p.char_share),
        ("the share burnt", p.combustion),
        ("the embers left behind", p.embers_left),
    ];
    for (what, value) in shares {
        if !(value > 0.0 && value < 1.0) {
            return Err(EngineError::OutOfRange { what, value, min: 0.0, max: 1.0 });
        }
    }
    let factors = [
        ("a factor on convection", p.inner_convection),
        ("a factor on convection", p.outer_convection),
        ("a factor on the gap", p.gap_area),
        ("a factor on the mouth's exchange", p.mouth_exchange),
        ("a factor on the mouth's masonry", p.mouth_masonry),
        ("a factor on the floor's rim", p.floor_rim),
        ("a factor on the wood's energy", p.wood_energy),
        ("a factor on the fire's convection", p.fire_convection),
        ("the flaming time (s)", p.flaming_s),
        ("the embers' time (s)", p.embers_s),
        ("a factor on the pot's contact", p.pot_contact),
        ("a factor on evaporation", p.evaporation),
    ];
    for (what, value) in factors {
        positive(what, value)?;
    }
    Ok(())
}

/// Assembles one member.
///
/// # Errors
/// When the description or the parameters make no sense; the error names the quantity and its value.
pub fn assemble(oven: &OvenDescription, p: &Parameters, cuts: &WallCuts) -> Result<OvenModel, EngineError> {
    check(p)?;
    for (what, value, min, max) in [
        ("the altitude (m)", oven.altitude_m, -500.0, 6000.0),
        ("the outdoor temperature (°C)", oven.ambient_c, -60.0, 60.0),
        ("the wind (m/s)", oven.wind_m_s, 0.0, 60.0),
        ("the probe's diameter (m)", oven.probe.diameter_m, 0.0005, 0.05),
        ("the gap around the door (m²)", oven.mouth.gap_m2.value, 1e-6, 1.0),
    ] {
        within(what, value, min, max)?;
    }
    let chamber = Chamber::new(oven, p.size)?;
    let metric =
        if chamber.spherical { Metric::Sphere(chamber.curvature_m) } else { Metric::Cylinder(chamber.curvature_m) };
    let floor = slabs(&oven.floor, "floor", p, p.floor_conductivity)?;
    let dome = slabs(&oven.dome, "dome", p, p.dome_conductivity)?;
    let door = door_slabs(oven, p)?;
    let pressure_pa = standard_pressure_pa(oven.altitude_m);
    let perimeter_m = chamber.mouth_width_m + 2.0 * chamber.mouth_height_m;
    // Layers side by side; insulation carries next to nothing lengthwise.
    let sheet_w_k: f64 = dome.iter().map(|s| s.conductivity_w_mk[0] * s.thickness_m).sum();
    let arch = sheet_w_k * perimeter_m / ARCH_LENGTH_M;
    let under_foot_m: f64 = dome.iter().map(|s| s.thickness_m).sum();
    let sheet = floor[0].conductivity_w_mk[0] * floor[0].thickness_m;
    let edge = RIM_FILM_W_M2K * floor[0].thickness_m;
    let rim = chamber.floor_perimeter_m / (under_foot_m / sheet + 1.0 / edge);
    Ok(OvenModel {
        floor: Wall { column: Column::new(Metric::Plane, &floor, &cuts.floor), outer: floor_outer(oven, &chamber, p) },
        dome: Wall {
            column: Column::new(metric, &dome, &cuts.dome),
            outer: upright_outer(oven, &oven.dome, chamber.rise_m, p),
        },
        door: Wall {
            column: Column::new(Metric::Plane, &door, &cuts.door),
            outer: upright_outer(oven, &oven.mouth.door, chamber.mouth_height_m, p),
        },
        boiling_point_c: boiling_point_c(pressure_pa),
        pressure_pa,
        gap_m2: oven.mouth.gap_m2.value * p.gap_area,
        mouth_masonry_w_k: arch * p.mouth_masonry,
        floor_rim_w_k: rim * p.floor_rim,
        ambient_c: oven.ambient_c,
        probe_diameter_m: oven.probe.diameter_m,
        probe_emissivity: oven.probe.emissivity,
        parameters: *p,
        chamber,
    })
}

impl OvenModel {
    /// Density of the outdoor air, kg/m³.
    #[must_use]
    pub fn air_density_kg_m3(&self, ambient_c: f64) -> f64 {
        air_density_kg_m3(self.pressure_pa, ambient_c)
    }

    /// Factor of natural convection for the air's pressure.
    #[must_use]
    pub fn pressure_factor(&self) -> f64 {
        (self.pressure_pa / 101_325.0).sqrt()
    }
}
