//! A bakehouse oven with a firebrick dome, and a day: a fire, two pots, a night with the door shut.

use ovenfall_engine::description::{DoorFit, FirePlace, Form, Layer, Mouth, OvenDescription, Probe, Quantity, Under};
use ovenfall_engine::drive::{Action, Contents, Door, Drive, Event, Piece, Placing, Pot, Wood};
use ovenfall_engine::material::{Material, MaterialRole};

pub const HOUR_S: f64 = 3600.0;
/// The door is shut over both pots here.
pub const SHUT_S: f64 = 3.6 * HOUR_S;

fn material(name: &str, role: MaterialRole, density: f64, k: [f64; 3], c: [f64; 2]) -> Material {
    Material {
        name: name.into(),
        density_kg_m3: density,
        conductivity_w_mk: k,
        heat_capacity_j_kgk: c,
        emissivity: 0.9,
        valid_c: (0.0, 800.0),
        conductivity_rel_sigma: 0.0,
        capacity_rel_sigma: 0.0,
        role,
        source: "test row near the VDI Heat Atlas and typical data sheets".into(),
    }
}

pub fn firebrick() -> Material {
    material("firebrick", MaterialRole::Dense, 2150.0, [0.95, 2.5e-4, 0.0], [870.0, 0.41])
}

pub fn blanket() -> Material {
    material("blanket", MaterialRole::Insulation, 128.0, [0.04, 1.0e-4, 1.2e-7], [1050.0, 0.0])
}

fn board() -> Material {
    material("calsil", MaterialRole::Insulation, 250.0, [0.055, 1.0e-4, 0.0], [1000.0, 0.0])
}

fn oak() -> Material {
    material("wood", MaterialRole::Skin, 600.0, [0.15, 0.0, 0.0], [1600.0, 0.0])
}

fn layer(material: Material, thickness_m: f64, rel_sigma: f64) -> Layer {
    Layer { material, thickness_m: Quantity::stated(thickness_m, rel_sigma) }
}

/// The oven: 0.8 m inside, 76 mm of firebrick, 75 mm of blanket.
pub fn oven() -> OvenDescription {
    OvenDescription {
        name: "bakehouse".into(),
        form: Form::Dome { inner_diameter_m: Quantity::stated(0.80, 0.03), rise_m: Quantity::stated(0.40, 0.06) },
        dome: vec![layer(firebrick(), 0.076, 0.04), layer(blanket(), 0.075, 0.07)],
        floor: vec![layer(firebrick(), 0.064, 0.05), layer(board(), 0.075, 0.05)],
        under: Under::Air,
        mouth: Mouth {
            width_m: Quantity::stated(0.40, 0.03),
            height_m: Quantity::stated(0.24, 0.03),
            door: vec![layer(oak(), 0.04, 0.05)],
            fit: DoorFit::Ordinary,
            gap_m2: Quantity::usual(6e-4, 0.47),
        },
        fire_place: FirePlace::Left,
        altitude_m: 40.0,
        ambient_c: 12.0,
        ambient_sigma_k: 4.0,
        wind_m_s: 1.0,
        new_or_damp: false,
        probe: Probe { diameter_m: 0.003, emissivity: 0.8 },
    }
}

fn placing(name: &str, liquid_kg: f64, solid_kg: f64) -> Placing {
    Placing {
        name: name.into(),
        pot: Pot {
            mass_kg: 4.0,
            heat_capacity_j_kgk: 500.0,
            emissivity: 0.9,
            lid: true,
            lid_gap: 0.01,
            diameter_m: 0.25,
            height_m: 0.15,
            contact_w_m2k: 60.0,
        },
        contents: Contents {
            liquid_kg,
            solid_kg,
            piece: Piece::Sphere,
            piece_m: 0.02,
            solid_water: 0.6,
            solid_conductivity_w_mk: 0.5,
            solid_heat_capacity_j_kgk: 3400.0,
            solid_density_kg_m3: 1080.0,
            start_c: Quantity::stated(80.0, 0.05),
        },
    }
}

fn wood(at_s: f64) -> Event {
    let feed = Wood { mass_kg: 2.5, moisture: 0.16, dry_ncv_mj_kg: 18.7 };
    Event { at_s, action: Action::WoodOn(feed) }
}

/// Six feeds over two and a half hours, raked out, two pots in, door shut.
pub fn day() -> Drive {
    let mut events: Vec<Event> = (0..6).map(|k| wood(f64::from(k) * 0.4 * HOUR_S)).collect();
    let mut then = |at_h: f64, action| events.push(Event { at_s: at_h * HOUR_S, action });
    then(2.7, Action::EmbersSpread);
    then(3.0, Action::RakeOut);
    then(3.1, Action::Door(Door::Shut));
    then(3.5, Action::Door(Door::Open));
    then(3.55, Action::Place(0));
    then(3.57, Action::Place(1));
    then(3.6, Action::Door(Door::Shut));
    Drive {
        placings: vec![placing("chickpeas", 2.0, 1.0), placing("lamb shoulder", 0.5, 2.0)],
        events,
        ambient_c: None,
        end_s: 24.0 * HOUR_S,
    }
}
