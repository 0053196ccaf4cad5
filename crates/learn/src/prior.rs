//! What a description leaves open: a distribution over the engine's parameters, one row of [`PRIOR`] a parameter.
//!
//! # Equation
//! A member is a vector z of independent standard normal coordinates, in the order of the rows. With m the engine's
//! default and σ the row's spread:
//!
//! - [`Kind::LogNormal`]  p = m exp(σ z)
//! - [`Kind::Normal`]     p = m + σ z
//! - [`Kind::Share`]      logit((p − low)/(high − low)) = logit((m − low)/(high − low)) + s z, with s such that dp/dz = σ
//!   at z = 0
//!
//! z = 0 is the oven exactly as described: the median of every parameter. All later learning works on z.
//!
//! # Validity
//! Rows are independent of each other before anything is read. Where the description or the day states a spread it
//! takes the place of the row's (see [`crate::spread`]); a stated spread of zero fixes the parameter.
//!
//! # Source
//! Each row carries its own. "Judgement" is ours, to be replaced by what ovens teach.

use crate::error::LearnError;
use crate::spread;
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::Drive;
use ovenfall_engine::parameters::Parameters;

/// Standard normal coordinates of one member, in the order of [`PRIOR`].
pub type Coordinates = Vec<f64>;

/// How a coordinate becomes a parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Median times exp(σ z); σ is relative.
    LogNormal,
    /// Median plus σ z; σ in the unit of the parameter.
    Normal,
    /// Between two limits; σ in the unit of the parameter, near the median.
    Share {
        /// Never reached from above.
        low: f64,
        /// Never reached from below.
        high: f64,
    },
}

/// Whether a parameter belongs to the oven or to one day of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// The same on every day of an oven.
    Oven,
    /// Drawn anew for each day.
    Day,
}

/// A spread stated by description or day.
type Stated = fn(&OvenDescription, &Drive) -> Option<f64>;

/// One parameter of the prior.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// The field of [`Parameters`].
    pub name: &'static str,
    /// Its unit; `1` for factors and shares.
    pub unit: &'static str,
    /// How a coordinate becomes a parameter.
    pub kind: Kind,
    /// Spread, in the sense of `kind`, where nothing states another.
    pub sigma: f64,
    /// Whether it belongs to the oven or to one day.
    pub scope: Scope,
    /// Where the spread comes from.
    pub source: &'static str,
    stated: Stated,
    get: fn(&Parameters) -> f64,
    set: fn(&mut Parameters, f64),
}

const fn not_stated(_: &OvenDescription, _: &Drive) -> Option<f64> {
    None
}

macro_rules! row {
    ($field:ident [$unit:literal] $kind:expr, $sigma:literal, $scope:ident, $source:literal) => {
        row!($field [$unit] $kind, $sigma, $scope, $source, not_stated)
    };
    ($field:ident [$unit:literal] $kind:expr, $sigma:literal, $scope:ident, $source:literal, $stated:path) => {
        Row {
            name: stringify!($field),
            unit: $unit,
            kind: $kind,
            sigma: $sigma,
            scope: Scope::$scope,
            source: $source,
            stated: $stated,
            get: |parameters| parameters.$field,
            set: |parameters, value| parameters.$field = value,
        }
    };
}

const FACTOR: Kind = Kind::LogNormal;
const ANY_SHARE: Kind = Kind::Share { low: 0.0, high: 1.0 };
const BELOW_0_99: Kind = Kind::Share { low: 0.0, high: 0.99 };

/// Number of coordinates.
pub const DIMENSION: usize = PRIOR.len();

/// The prior, one row a parameter.
pub const PRIOR: [Row; 29] = [
    row!(size["1"] FACTOR, 0.05, Oven,
        "judgement: a tape inside a hot dark dome is 3 to 8 % off; the description's own spread leads", spread::size),
    row!(dense_thickness["1"] FACTOR, 0.06, Oven,
        "judgement: 3 to 8 %; the description's own spread leads", spread::dense_thickness),
    row!(insulation_thickness["1"] FACTOR, 0.08, Oven,
        "judgement: 3 to 8 %, blanket is squeezed; the description's own spread leads", spread::insulation_thickness),
    row!(dome_conductivity["1"] FACTOR, 0.15, Oven,
        "judgement, within the design range of fireclay for stoves, 0.90 to 1.35 W/(m K) (EN 15544:2023, scope); \
         the material's own spread leads", spread::dome_conductivity),
    row!(floor_conductivity["1"] FACTOR, 0.15, Oven,
        "as dome_conductivity", spread::floor_conductivity),
    row!(insulation_conductivity["1"] FACTOR, 0.25, Oven,
        "judgement: blanket of 64 and 128 kg/m³ differ by about 35 % when hot, and insulation is often damp; \
         the material's own spread leads", spread::insulation_conductivity),
    row!(dense_capacity["1"] FACTOR, 0.05, Oven,
        "judgement: heat capacities of fired clays agree within a few per cent (VDI Heat Atlas, 2nd ed. 2010), density \
         adds the rest; the material's own spread leads", spread::dense_capacity),
    row!(insulation_capacity["1"] FACTOR, 0.15, Oven,
        "judgement: blanket is sold at +30/-15 % of its density (ASTM C892-00); the material's own spread leads",
        spread::insulation_capacity),
    row!(chamber_emissivity["1"] BELOW_0_99, 0.04, Oven,
        "judgement, between fireclay hot and clean (0.75 to 0.80) and soot (0.95), emissivity tables of infra-red \
         camera manuals"),
    row!(gap_area["1"] FACTOR, 0.47, Oven,
        "judgement: a factor of 1.6 either way; the description's own spread leads", spread::gap),
    row!(mouth_exchange["1"] FACTOR, 0.20, Oven, "judgement: discharge of a mouth with an arch, a flue and a draught"),
    row!(inner_convection["1"] FACTOR, 0.20, Oven,
        "judgement: correlations for plain plates and boxes are used in a chamber with pots"),
    row!(outer_convection["1"] FACTOR, 0.25, Oven, "judgement: wind and shelter"),
    row!(mouth_masonry["1"] FACTOR, 0.40, Oven, "judgement: the least known of the oven's losses"),
    row!(floor_rim["1"] FACTOR, 0.50, Oven, "judgement: a steady stand-in for what flows along the floor"),
    row!(wood_energy["1"] FACTOR, 0.076, Day,
        "judgement: 7.5 % common to the day (moisture, kind, scales) and 4 % a feed", spread::wood),
    row!(fire_radiant_share["1"] ANY_SHARE, 0.075, Oven, "judgement: a quarter of the default"),
    row!(fire_convection["1"] FACTOR, 0.30, Oven, "judgement"),
    row!(fire_side_share["1"] ANY_SHARE, 0.09, Oven, "judgement: a fifth of the default"),
    row!(char_share["1"] ANY_SHARE, 0.07, Oven, "judgement: a fifth of the default"),
    row!(combustion["1"] ANY_SHARE, 0.03, Oven, "judgement: smoke and carbon monoxide in an open fire"),
    row!(flaming_s["s"] FACTOR, 0.25, Oven, "judgement: how finely the wood is split"),
    row!(embers_s["s"] FACTOR, 0.25, Oven, "judgement"),
    row!(embers_left["1"] FACTOR, 0.50, Day, "judgement: how clean the floor is swept"),
    row!(pot_contact["1"] FACTOR, 0.30, Oven, "judgement: feet, warp and grit under a pot"),
    row!(evaporation["1"] FACTOR, 0.40, Oven, "judgement: lids fit badly and differently"),
    row!(ambient_offset_k["K"] Kind::Normal, 3.0, Day,
        "judgement; the description's own spread leads, 1.5 K when the day states a temperature", spread::ambient),
    row!(start_offset_k["K"] Kind::Normal, 2.0, Day,
        "judgement; the spread of the day's placings leads", spread::start),
    row!(probe_offset_k["K"] Kind::Normal, 1.25, Oven,
        "class 2 tolerance of ±2.5 °C up to 333 °C (IEC 60584-1:2013), taken as two sigma"),
];

fn logit(p: f64) -> f64 {
    libm::log(p / (1.0 - p))
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + libm::exp(-x))
}

impl Row {
    /// The parameter at coordinate `z`, with the spread `sigma`.
    fn value(&self, z: f64, sigma: f64) -> f64 {
        let median = self.median();
        match self.kind {
            Kind::LogNormal => median * libm::exp(sigma * z),
            Kind::Normal => median + sigma * z,
            Kind::Share { low, high } => {
                let width = high - low;
                let share = (median - low) / width;
                let slope = sigma / (width * share * (1.0 - share));
                low + width * logistic(logit(share) + slope * z)
            }
        }
    }

    /// The coordinate at which the parameter is `value`; not finite where no coordinate reaches it.
    fn coordinate(&self, value: f64, sigma: f64) -> f64 {
        let median = self.median();
        match self.kind {
            Kind::LogNormal => libm::log(value / median) / sigma,
            Kind::Normal => (value - median) / sigma,
            Kind::Share { low, high } => {
                let width = high - low;
                let share = (median - low) / width;
                let slope = sigma / (width * share * (1.0 - share));
                (logit((value - low) / width) - logit(share)) / slope
            }
        }
    }

    /// The median: the engine's default.
    #[must_use]
    pub fn median(&self) -> f64 {
        self.read(&Parameters::default())
    }

    /// This row's parameter of a member.
    #[must_use]
    pub fn read(&self, parameters: &Parameters) -> f64 {
        (self.get)(parameters)
    }
}

/// The prior of one oven on one day: [`PRIOR`] with the spreads that description and day state.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    sigmas: Vec<f64>,
}

impl Prior {
    /// The prior for a day of an oven: wood, outdoor temperature and placings of the day narrow or widen their rows.
    #[must_use]
    pub fn for_day(oven: &OvenDescription, drive: &Drive) -> Self {
        let sigmas = PRIOR.iter().map(|row| (row.stated)(oven, drive).unwrap_or(row.sigma));
        Self { sigmas: sigmas.collect() }
    }

    /// The prior of an oven before anything is known of the day.
    #[must_use]
    pub fn new(oven: &OvenDescription) -> Self {
        Self::for_day(oven, &Drive::default())
    }

    /// Spreads in force, in the order of [`PRIOR`], in the sense of each row's kind.
    #[must_use]
    pub fn sigmas(&self) -> &[f64] {
        &self.sigmas
    }

    /// The member at coordinates `z`.
    ///
    /// # Errors
    /// [`LearnError::Coordinates`] when `z` has not one coordinate for each row.
    pub fn parameters(&self, z: &[f64]) -> Result<Parameters, LearnError> {
        if z.len() != DIMENSION {
            return Err(LearnError::Coordinates { expected: DIMENSION, found: z.len() });
        }
        let mut parameters = Parameters::default();
        for ((row, &z), &sigma) in PRIOR.iter().zip(z).zip(&self.sigmas) {
            (row.set)(&mut parameters, row.value(z, sigma));
        }
        Ok(parameters)
    }

    /// The coordinates of a member; 0 for a parameter whose spread is zero.
    ///
    /// # Errors
    /// [`LearnError::OutsidePrior`] for a value that no coordinate reaches: a factor that is not positive, a share at
    /// or beyond its limits, a value off the median where the spread is zero.
    pub fn coordinates(&self, parameters: &Parameters) -> Result<Coordinates, LearnError> {
        let rows = PRIOR.iter().zip(&self.sigmas);
        rows.map(|(row, &sigma)| {
            let value = row.read(parameters);
            let at_median = (value - row.median()).abs() < 1e-12;
            let z = if at_median { 0.0 } else { row.coordinate(value, sigma) };
            let outside = LearnError::OutsidePrior { parameter: row.name, value };
            if z.is_finite() { Ok(z) } else { Err(outside) }
        })
        .collect()
    }
}
