//! Made-up walls: a floor that has cooled at its face, a dome that is still being heated, with a line of its fire's side.

use super::bands;
use ovenfall_draw::profile::{LayerKind, ProfilePicture, Wall, WallLayer};

fn layer(name: &str, to_mm: f64, kind: LayerKind) -> WallLayer {
    WallLayer { name: name.to_owned(), to_mm, kind }
}

fn depths_mm(thick_mm: f64) -> Vec<f64> {
    (0..=12).map(|i| thick_mm * f64::from(i) / 12.0).collect()
}

pub fn walls() -> ProfilePicture {
    let (floor_mm, dome_mm) = (depths_mm(140.0), depths_mm(190.0));
    let floor = Wall {
        name: "Floor".to_owned(),
        temperature_c: bands(&floor_mm, |x| 20.0 + 330.0 * (-((x - 30.0) / 60.0).powi(2)).exp(), |_| 8.0),
        depths_mm: floor_mm,
        fire_side_c: Vec::new(),
        layers: vec![
            layer("firebrick", 64.0, LayerKind::Dense),
            layer("calcium silicate board", 139.0, LayerKind::Insulation),
            layer("foil", 140.0, LayerKind::Skin),
        ],
    };
    let dome = Wall {
        name: "Crown".to_owned(),
        temperature_c: bands(&dome_mm, |x| 15.0 + 480.0 * (-x / 70.0).exp(), |x| 30.0 * (-x / 90.0).exp()),
        fire_side_c: dome_mm.iter().map(|x| 15.0 + 520.0 * (-x / 72.0).exp()).collect(),
        depths_mm: dome_mm,
        layers: vec![
            layer("firebrick", 114.0, LayerKind::Dense),
            layer("ceramic fibre blanket", 190.0, LayerKind::Insulation),
        ],
    };
    ProfilePicture {
        title: "Harbour bakehouse: heat in the walls, Saturday 13 June, 08:10, door open".to_owned(),
        sentences: vec!["About 27 kWh lie in the bricks above 100 °C.".to_owned()],
        walls: vec![floor, dome],
        store_above_c: 100.0,
        cautions: vec!["fire and embers give off carbon monoxide".to_owned()],
    }
}
