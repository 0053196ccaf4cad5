//! What the answers as JSON have in common: numbers, spreads, hours.

use jiff::ZonedDateTime;
use ovenfall_learn::now::Likely;
use serde::Serialize;

/// Middle and ends of 9 chances in 10.
#[derive(Debug, Serialize)]
pub struct Spread {
    p05: Option<f64>,
    p50: Option<f64>,
    p95: Option<f64>,
}

impl Spread {
    /// From 5 %, middle and 95 %, in the unit of the field.
    pub fn new(p05: f64, p50: f64, p95: f64) -> Self {
        Self { p05: rounded(p05), p50: rounded(p50), p95: rounded(p95) }
    }
}

impl From<Likely> for Spread {
    fn from(likely: Likely) -> Self {
        Self::new(likely.p05, likely.p50, likely.p95)
    }
}

/// To a thousandth: finer than anything is known. Nothing for what is no number, which JSON does not have.
pub fn rounded(value: f64) -> Option<f64> {
    value.is_finite().then(|| (value * 1e3).round() / 1e3)
}

/// A time with its offset.
pub fn time(at: &ZonedDateTime) -> String {
    at.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}
