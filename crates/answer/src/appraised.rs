//! What an oven weighs, holds and loses: of the oven as described, and of those it could be.

use crate::error::AnswerError;
use crate::placings::Range;
use ovenfall_engine::appraisal::{Built, LayerFigures, SteadyLoss, assembled, layers, steady_loss, warm_through};
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::{Door, Drive};
use ovenfall_engine::error::EngineError;
use ovenfall_engine::parameters::Parameters;
use ovenfall_learn::{Ensemble, Prior};

/// Temperature the oven is brought to, °C.
pub const HOT_C: f64 = 300.0;
/// Temperature that heat in store is counted above, °C.
pub const STORE_ABOVE_C: f64 = 100.0;
/// Temperatures of the hot face that losses are given for, °C.
pub const LOSSES_AT_C: [f64; 3] = [150.0, 200.0, 300.0];
/// Ovens it could be, for the ranges.
const MEMBERS: usize = 64;
/// What they are drawn with.
pub const SEED: u64 = 1;
pub(crate) const J_PER_KWH: f64 = 3.6e6;

/// Figures of one plausible oven.
#[derive(Debug)]
pub struct Figures {
    /// Heat to bring it from the outdoor temperature to [`HOT_C`], kWh.
    pub to_hot_kwh: f64,
    /// Of it, heat above [`STORE_ABOVE_C`], kWh.
    pub store_kwh: f64,
    /// What it loses shut, at each of [`LOSSES_AT_C`].
    pub shut: [SteadyLoss; 3],
    /// What it loses with the mouth open, at [`HOT_C`].
    pub open: SteadyLoss,
}

impl Figures {
    fn new(oven: &OvenDescription, parameters: &Parameters) -> Result<Self, EngineError> {
        let model = assembled(oven, parameters)?;
        let warm = warm_through(oven, &model, HOT_C)?;
        Ok(Self {
            to_hot_kwh: warm.heat_above_j(&model, model.ambient_c) / J_PER_KWH,
            store_kwh: warm.heat_above_j(&model, STORE_ABOVE_C) / J_PER_KWH,
            shut: LOSSES_AT_C.map(|hot_c| steady_loss(&model, hot_c, Door::Shut)),
            open: steady_loss(&model, HOT_C, Door::Open),
        })
    }
}

/// Figures of the oven as described, and of those it could be.
#[derive(Debug)]
pub struct Appraised {
    /// Its layers.
    pub layers: Vec<LayerFigures>,
    /// Figures of the oven as described.
    pub figures: Figures,
    /// Figures of ovens it could be.
    pub could_be: Vec<Figures>,
}

impl Appraised {
    /// Appraises an oven; `file` is what a failure calls it.
    ///
    /// # Errors
    /// When the engine cannot work with it.
    pub fn new(oven: &OvenDescription, file: &str) -> Result<Self, AnswerError> {
        let refused = |source| AnswerError::Oven { file: file.to_owned(), source };
        let described = Parameters::default();
        let model = assembled(oven, &described).map_err(refused)?;
        let figures = Figures::new(oven, &described).map_err(refused)?;
        let prior = Prior::for_day(oven, &Drive::default());
        let ensemble = Ensemble::draw(&prior, MEMBERS, SEED)?;
        // A member whose sizes make no oven says nothing about this one.
        let could_be = ensemble.parameters.iter().filter_map(|member| Figures::new(oven, member).ok()).collect();
        Ok(Self { layers: layers(oven, &model), figures, could_be })
    }

    /// The figure of the oven as described, with 9 chances in 10 of those it could be.
    pub fn range(&self, of: impl Fn(&Figures) -> f64) -> Range {
        let mut values: Vec<f64> = self.could_be.iter().map(&of).collect();
        values.sort_by(f64::total_cmp);
        let quantile = |p: f64| ovenfall_learn::score::quantile(&values, p).unwrap_or(f64::NAN);
        Range { p05: quantile(0.05), p50: of(&self.figures), p95: quantile(0.95) }
    }

    /// Layers without those of the door.
    pub fn masonry(&self) -> impl Iterator<Item = &LayerFigures> {
        self.layers.iter().filter(|layer| layer.part != Built::Door)
    }
}
