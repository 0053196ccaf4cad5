//! `oven` as JSON, as documented in `docs/formats.md`.

use crate::appraised::{Appraised, HOT_C, SEED};
use crate::oven_words::{assumed, cautions, part_name};
use crate::placings::Range;
use ovenfall_engine::appraisal::{LayerFigures, SteadyLoss};
use ovenfall_record::oven_file::OvenFile;
use ovenfall_record::problem::Problem;
use serde::Serialize;

/// The figures of an oven.
#[derive(Debug, Serialize)]
pub struct OvenJson<'a> {
    name: &'a str,
    construction: &'a str,
    layers: Vec<LayerJson<'a>>,
    mass_kg: f64,
    heat_capacity_kj_k: f64,
    hot_c: f64,
    outdoor_c: f64,
    to_hot_kwh: SpreadJson,
    store_above_100_c_kwh: SpreadJson,
    loss_door_shut: Vec<LossJson>,
    loss_mouth_open: LossJson,
    assumed: Vec<String>,
    warnings: Vec<String>,
    cautions: Vec<String>,
    provenance: Provenance,
}

#[derive(Debug, Serialize)]
struct LayerJson<'a> {
    part: &'static str,
    material: &'a str,
    thickness_mm: f64,
    mass_kg: f64,
    heat_capacity_kj_k: f64,
}

#[derive(Debug, Serialize)]
struct SpreadJson {
    p05: f64,
    described: f64,
    p95: f64,
}

#[derive(Debug, Serialize)]
struct LossJson {
    hot_c: f64,
    dome_w: f64,
    floor_w: f64,
    door_w: f64,
    mouth_masonry_w: f64,
    floor_rim_w: f64,
    air_w: f64,
    radiation_w: f64,
    total_w: SpreadJson,
}

#[derive(Debug, Serialize)]
struct Provenance {
    version: &'static str,
    seed: u64,
    members: usize,
}

impl SpreadJson {
    const fn new(range: Range) -> Self {
        Self { p05: range.p05, described: range.p50, p95: range.p95 }
    }
}

impl LossJson {
    const fn new(loss: &SteadyLoss, total: Range) -> Self {
        Self {
            hot_c: loss.hot_c,
            dome_w: loss.dome_w,
            floor_w: loss.floor_w,
            door_w: loss.door_w,
            mouth_masonry_w: loss.mouth_masonry_w,
            floor_rim_w: loss.floor_rim_w,
            air_w: loss.air_w,
            radiation_w: loss.radiation_w,
            total_w: SpreadJson::new(total),
        }
    }
}

impl<'a> OvenJson<'a> {
    /// The JSON of an appraised oven.
    pub fn new(oven: &'a OvenFile, appraised: &'a Appraised) -> Self {
        let (description, figures) = (&oven.description, &appraised.figures);
        let layer = |layer: &'a LayerFigures| LayerJson {
            part: part_name(layer.part, &description.form),
            material: &layer.material,
            thickness_mm: layer.thickness_m * 1000.0,
            mass_kg: layer.mass_kg,
            heat_capacity_kj_k: layer.heat_capacity_j_k / 1000.0,
        };
        let shut = figures.shut.iter().enumerate();
        Self {
            name: &description.name,
            construction: &oven.construction,
            layers: appraised.layers.iter().map(layer).collect(),
            mass_kg: appraised.masonry().map(|layer| layer.mass_kg).sum(),
            heat_capacity_kj_k: appraised.masonry().map(|layer| layer.heat_capacity_j_k / 1000.0).sum(),
            hot_c: HOT_C,
            outdoor_c: description.ambient_c,
            to_hot_kwh: SpreadJson::new(appraised.range(|figures| figures.to_hot_kwh)),
            store_above_100_c_kwh: SpreadJson::new(appraised.range(|figures| figures.store_kwh)),
            loss_door_shut: shut
                .map(|(i, loss)| LossJson::new(loss, appraised.range(|figures| figures.shut[i].total_w())))
                .collect(),
            loss_mouth_open: LossJson::new(&figures.open, appraised.range(|figures| figures.open.total_w())),
            assumed: assumed(oven),
            warnings: oven.warnings.iter().map(Problem::to_string).collect(),
            cautions: cautions(description),
            provenance: Provenance {
                version: env!("CARGO_PKG_VERSION"),
                seed: SEED,
                members: appraised.could_be.len(),
            },
        }
    }
}
