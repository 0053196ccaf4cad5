//! From what is in the oven to what its picture shows.

use crate::oven_now::OvenNow;
use crate::{cautions, now_words};
use ovenfall_draw::Bands;
use ovenfall_draw::profile::{LayerKind, ProfilePicture, Wall, WallLayer};
use ovenfall_engine::description::Layer;
use ovenfall_engine::material::MaterialRole;
use ovenfall_engine::state::Part;
use ovenfall_learn::now::Profile;

fn layers(layers: &[Layer]) -> Vec<WallLayer> {
    let mut to_mm = 0.0;
    let of = |layer: &Layer| {
        to_mm += layer.thickness_m.value * 1000.0;
        WallLayer {
            name: layer.material.name.clone(),
            to_mm,
            kind: match layer.material.role {
                MaterialRole::Dense => LayerKind::Dense,
                MaterialRole::Insulation => LayerKind::Insulation,
                MaterialRole::Skin => LayerKind::Skin,
            },
        }
    };
    layers.iter().map(of).collect()
}

fn wall(name: &str, profile: &Profile, fire_side: Option<&Profile>, built: &[Layer]) -> Wall {
    let t = &profile.temperature_c;
    let lines = [&t.p05, &t.p25, &t.p50, &t.p75, &t.p95].map(Clone::clone);
    let [p05, p25, p50, p75, p95] = lines;
    Wall {
        name: name.to_owned(),
        depths_mm: profile.depths_m.iter().map(|m| m * 1000.0).collect(),
        temperature_c: Bands { p05, p25, p50, p75, p95 },
        fire_side_c: fire_side.map_or_else(Vec::new, |side| side.temperature_c.p50.clone()),
        layers: layers(built),
    }
}

/// How heat lies in floor and dome.
pub fn profile(answer: &OvenNow) -> ProfilePicture {
    let oven = &answer.situation.oven;
    let of = |part: Part| answer.now.profiles.iter().find(|profile| profile.part == part);
    let floor = of(Part::Floor).map(|floor| wall("Floor", floor, None, &oven.floor));
    let dome = of(Part::Crown).map(|crown| wall("Crown", crown, of(Part::FireSide), &oven.dome));
    let fire = if answer.now.fire_in { vec![cautions::FIRE.to_owned()] } else { Vec::new() };
    ProfilePicture {
        title: format!("{}: heat in the walls, {}", oven.name, now_words::state(answer)),
        sentences: now_words::sentences(answer),
        walls: floor.into_iter().chain(dome).collect(),
        store_above_c: 100.0,
        cautions: fire,
    }
}
