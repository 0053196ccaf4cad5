//! A fall as JSON, as documented in `docs/formats.md`. What is not a number is null.

use crate::cautions;
use crate::forecast::Forecast;
use crate::json_parts::{Spread, rounded, time};
use crate::placings::stays;
use ovenfall_food::dish::Dish;
use ovenfall_learn::{Band, LineBand};
use serde::Serialize;
use std::collections::BTreeMap;

/// A fall.
#[derive(Debug, Serialize)]
pub struct FallJson {
    at: String,
    t_min: Vec<f64>,
    probe_c: BandJson,
    gas_c: BandJson,
    floor_c: BandJson,
    crown_c: BandJson,
    store_kwh: BandJson,
    placings: Vec<PlacingJson>,
    ledger_kwh: BTreeMap<&'static str, LineJson>,
    trusted: bool,
    assumed: Vec<String>,
    cautions: Vec<String>,
    provenance: Provenance,
}

#[derive(Debug, Serialize)]
struct BandJson {
    p05: Vec<Option<f64>>,
    p25: Vec<Option<f64>>,
    p50: Vec<Option<f64>>,
    p75: Vec<Option<f64>>,
    p95: Vec<Option<f64>>,
}

#[derive(Debug, Serialize)]
struct PlacingJson {
    name: String,
    in_min: f64,
    out_min: Option<f64>,
    liquid_kg: BandJson,
    liquid_c: BandJson,
    core_c: BandJson,
}

#[derive(Debug, Serialize)]
struct LineJson {
    until_at: Spread,
    until_end: Spread,
}

#[derive(Debug, Serialize)]
struct Provenance {
    version: &'static str,
    input_sha256: String,
    seed: u64,
    members: usize,
    members_used: usize,
    readings_used: usize,
}

impl BandJson {
    /// A band; where `shown` is false, null.
    fn new(band: &Band, shown: impl Fn(usize) -> bool) -> Self {
        let line = |values: &[f64]| {
            values.iter().enumerate().map(|(i, value)| if shown(i) { rounded(*value) } else { None }).collect()
        };
        Self {
            p05: line(&band.p05),
            p25: line(&band.p25),
            p50: line(&band.p50),
            p75: line(&band.p75),
            p95: line(&band.p95),
        }
    }

    fn all(band: &Band) -> Self {
        Self::new(band, |_| true)
    }
}

fn kwh(line: &LineBand) -> Spread {
    Spread::new(line.p05_kwh, line.p50_kwh, line.p95_kwh)
}

impl FallJson {
    /// The JSON of a forecast.
    pub fn new(forecast: &Forecast, dishes: &[Dish]) -> Self {
        let (fall, ahead) = (&forecast.fall, &forecast.fall.ahead);
        let lines = fall.balance_at.iter().zip(&fall.balance_end);
        Self {
            at: time(&forecast.at),
            t_min: fall.t_min.iter().filter_map(|t| rounded(*t)).collect(),
            probe_c: BandJson::all(&ahead.probe_c),
            gas_c: BandJson::all(&ahead.gas_c),
            floor_c: BandJson::all(&ahead.floor_c),
            crown_c: BandJson::all(&ahead.crown_c),
            store_kwh: BandJson::all(&ahead.store_kwh),
            placings: placings(forecast),
            ledger_kwh: lines
                .map(|(at, end)| (at.line.key(), LineJson { until_at: kwh(at), until_end: kwh(end) }))
                .collect(),
            trusted: forecast.situation.members.is_trusted(),
            assumed: forecast.assumed.clone(),
            cautions: cautions::of_forecast(forecast, dishes),
            provenance: Provenance {
                version: env!("CARGO_PKG_VERSION"),
                input_sha256: forecast.inputs.sha256.clone(),
                seed: fall.seed,
                members: forecast.members,
                members_used: fall.used.len(),
                readings_used: forecast.situation.members.residuals.iter().map(|r| r.observation.ids.len()).sum(),
            },
        }
    }
}

/// Every stay that reaches into the forecast.
fn placings(forecast: &Forecast) -> Vec<PlacingJson> {
    let stays = stays(forecast).into_iter().filter(|stay| stay.out_min.is_none_or(|out| out >= 0.0));
    let json = stays.filter_map(|stay| {
        let seen = forecast.fall.ahead.placings.get(stay.placing)?;
        let until = stay.out_min.unwrap_or(f64::INFINITY);
        let inside = |i: usize| forecast.fall.t_min.get(i).is_some_and(|t| (stay.in_min..=until).contains(t));
        Some(PlacingJson {
            name: seen.name.clone(),
            in_min: rounded(stay.in_min)?,
            out_min: stay.out_min.and_then(rounded),
            liquid_kg: BandJson::new(&seen.liquid_kg, inside),
            liquid_c: BandJson::new(&seen.liquid_c, inside),
            core_c: BandJson::new(&seen.core_c, inside),
        })
    });
    json.collect()
}
