//! Two made-up ovens with round sizes: a dome of cast refractory, and a long brick vault on the ground.

use ovenfall_engine::description::{DoorFit, FirePlace, Form, Layer, Mouth, OvenDescription, Probe, Quantity, Under};
use ovenfall_engine::material::{Material, MaterialRole};

fn layer(name: &str, role: MaterialRole, thickness_m: Quantity) -> Layer {
    let material = Material {
        name: name.to_owned(),
        density_kg_m3: 2000.0,
        conductivity_w_mk: [1.0, 0.0, 0.0],
        heat_capacity_j_kgk: [900.0, 0.0],
        emissivity: 0.9,
        valid_c: (0.0, 1000.0),
        conductivity_rel_sigma: 0.1,
        capacity_rel_sigma: 0.05,
        role,
        source: "made up for a drawing".to_owned(),
    };
    Layer { material, thickness_m }
}

fn measured(value: f64) -> Quantity {
    Quantity::stated(value, 0.02)
}

fn usual(value: f64) -> Quantity {
    Quantity::usual(value, 0.2)
}

pub fn dome() -> OvenDescription {
    use MaterialRole::{Dense, Insulation, Skin};
    OvenDescription {
        name: "Harbour bakehouse oven".to_owned(),
        form: Form::Dome { inner_diameter_m: measured(1.0), rise_m: measured(0.42) },
        dome: vec![
            layer("cast refractory", Dense, measured(0.06)),
            layer("ceramic fibre blanket", Insulation, usual(0.075)),
            layer("lime render", Skin, usual(0.015)),
        ],
        floor: vec![
            layer("firebrick", Dense, measured(0.064)),
            layer("calcium silicate board", Insulation, measured(0.1)),
            layer("concrete", Dense, usual(0.12)),
        ],
        under: Under::Air,
        mouth: Mouth {
            width_m: measured(0.48),
            height_m: measured(0.26),
            door: vec![
                layer("steel", Skin, measured(0.003)),
                layer("calcium silicate board", Insulation, measured(0.04)),
            ],
            fit: DoorFit::Ordinary,
            gap_m2: usual(0.002),
        },
        fire_place: FirePlace::Left,
        altitude_m: 4.0,
        ambient_c: 12.0,
        ambient_sigma_k: 3.0,
        wind_m_s: 2.0,
        new_or_damp: false,
        probe: Probe { diameter_m: 0.006, emissivity: 0.85 },
    }
}

pub fn vault() -> OvenDescription {
    let mut oven = dome();
    oven.name = "Old bakery vault".to_owned();
    oven.form = Form::Vault { width_m: measured(1.8), length_m: measured(2.4), rise_m: usual(0.45) };
    oven.under = Under::Ground;
    oven.mouth.door.clear();
    oven
}
