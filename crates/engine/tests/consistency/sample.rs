//! An oven and days to try the engine on: invented, of ordinary size.

use ovenfall_engine::description::{DoorFit, FirePlace, Form, Layer, Mouth, OvenDescription, Probe, Quantity, Under};
use ovenfall_engine::drive::{Action, Contents, Door, Drive, Event, Piece, Placing, Pot, Wood};
use ovenfall_engine::material::{Material, MaterialRole};

pub fn material(name: &str, rho: f64, k: [f64; 3], c: [f64; 2], role: MaterialRole) -> Material {
    Material {
        name: name.to_owned(),
        density_kg_m3: rho,
        conductivity_w_mk: k,
        heat_capacity_j_kgk: c,
        emissivity: 0.9,
        valid_c: (0.0, 1000.0),
        conductivity_rel_sigma: 0.15,
        capacity_rel_sigma: 0.05,
        role,
        source: "test".to_owned(),
    }
}

pub fn firebrick() -> Material {
    material("firebrick", 2100.0, [0.95, 0.0004, 0.0], [870.0, 0.41], MaterialRole::Dense)
}

pub fn blanket() -> Material {
    material("blanket", 128.0, [0.036, 8e-5, 1.8e-7], [900.0, 0.2], MaterialRole::Insulation)
}

pub fn layer(material: Material, thickness_m: f64) -> Layer {
    Layer { material, thickness_m: Quantity::stated(thickness_m, 0.05) }
}

/// A dome of 80 cm with blanket and a steel-skinned door.
pub fn oven() -> OvenDescription {
    let steel = || material("steel", 7850.0, [45.0, 0.0, 0.0], [460.0, 0.3], MaterialRole::Skin);
    let concrete = material("concrete", 2250.0, [1.5, -0.0006, 0.0], [880.0, 0.3], MaterialRole::Dense);
    let board = material("board", 260.0, [0.058, 1e-4, 0.0], [850.0, 0.3], MaterialRole::Insulation);
    OvenDescription {
        name: "quay oven".to_owned(),
        form: Form::Dome { inner_diameter_m: Quantity::stated(0.8, 0.04), rise_m: Quantity::stated(0.38, 0.04) },
        dome: vec![layer(firebrick(), 0.075), layer(blanket(), 0.075)],
        floor: vec![layer(firebrick(), 0.064), layer(board, 0.1), layer(concrete, 0.12)],
        under: Under::Air,
        mouth: Mouth {
            width_m: Quantity::stated(0.36, 0.04),
            height_m: Quantity::stated(0.24, 0.04),
            door: vec![layer(steel(), 0.002), layer(blanket(), 0.04), layer(steel(), 0.0015)],
            fit: DoorFit::Tight,
            gap_m2: Quantity::usual(0.001, 0.47),
        },
        fire_place: FirePlace::Left,
        altitude_m: 0.0,
        ambient_c: 14.0,
        ambient_sigma_k: 3.0,
        wind_m_s: 1.0,
        new_or_damp: false,
        probe: Probe { diameter_m: 0.006, emissivity: 0.8 },
    }
}

pub fn pot(name: &str, liquid_kg: f64, solid_kg: f64, lid: bool, start_c: f64) -> Placing {
    Placing {
        name: name.to_owned(),
        pot: Pot {
            mass_kg: 4.5,
            heat_capacity_j_kgk: 480.0,
            emissivity: 0.9,
            lid,
            lid_gap: 0.02,
            diameter_m: 0.25,
            height_m: 0.14,
            contact_w_m2k: 50.0,
        },
        contents: Contents {
            liquid_kg,
            solid_kg,
            piece: Piece::Sphere,
            piece_m: 0.04,
            solid_water: 0.7,
            solid_conductivity_w_mk: 0.5,
            solid_heat_capacity_j_kgk: 3500.0,
            solid_density_kg_m3: 1050.0,
            start_c: Quantity::stated(start_c, 0.1),
        },
    }
}

pub fn at(minute: f64, action: Action) -> Event {
    Event { at_s: 60.0 * minute, action }
}

pub fn wood(mass_kg: f64) -> Action {
    Action::WoodOn(Wood { mass_kg, moisture: 0.18, dry_ncv_mj_kg: 18.785 })
}

/// A day of 24 h: fired for two hours and a half, raked out, evened out, three pots, a dozen entries after lighting.
pub fn day() -> Drive {
    let mut events: Vec<Event> = (0..7).map(|i| at(20.0 * f64::from(i), wood(1.9))).collect();
    events.extend([
        at(150.0, Action::EmbersSpread),
        at(170.0, Action::RakeOut),
        at(185.0, Action::Door(Door::Shut)),
        at(245.0, Action::Door(Door::Open)),
        at(246.0, Action::Place(0)),
        at(247.0, Action::Place(1)),
        at(248.0, Action::Place(2)),
        at(248.5, Action::Door(Door::Shut)),
        at(420.0, Action::Door(Door::Open)),
        at(421.0, Action::TakeOut(1)),
        at(422.0, Action::Door(Door::Shut)),
        at(600.0, Action::Door(Door::Ajar(0.1))),
        at(610.0, Action::Door(Door::Shut)),
    ]);
    Drive {
        placings: vec![
            pot("stew", 1.2, 1.9, true, 15.0),
            pot("roast", 0.3, 2.5, false, 9.0),
            pot("broth", 4.0, 0.0, true, 60.0),
        ],
        events,
        ambient_c: None,
        end_s: 86_400.0,
    }
}
