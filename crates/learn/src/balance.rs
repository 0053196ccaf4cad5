//! Where the heat went: the energy ledger of all members, in lines a cook can read.
//!
//! # Equation
//! On every member: wood = embers out + unburnt + mouth air + mouth radiation + dome + floor + door + mouth masonry +
//! steam + pots and food + fuel left + change in store. Pots and food are what is in them now and what left with them,
//! less what they brought in; steam carries its own latent heat and is a line of its own.
//!
//! # Validity
//! Quantiles are taken line by line: the medians of the parts do not add up to the median of the wood. Model error does
//! not enter.
//!
//! # Source
//! First law.

use crate::ensemble::{LANES, Run};
use crate::score::quantile;
use ovenfall_engine::ledger::{Account, Ledger};
use ovenfall_engine::pack::Lane;

const J_PER_KWH: f64 = 3.6e6;

/// A line of the balance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// Energy of the wood put on.
    Wood,
    /// Carried out with embers.
    EmbersOut,
    /// To one of the engine's accounts.
    To(Account),
    /// Into pots and food.
    PotsAndFood,
    /// Wood and embers not yet burnt.
    FuelLeft,
    /// Change of the heat in masonry, door and air.
    StoreChange,
}

impl Line {
    /// All lines: what came in, then where it went.
    pub const ALL: [Self; 14] = [
        Self::Wood,
        Self::EmbersOut,
        Self::To(Account::Unburnt),
        Self::To(Account::MouthAir),
        Self::To(Account::MouthRadiation),
        Self::To(Account::DomeOut),
        Self::To(Account::FloorOut),
        Self::To(Account::DoorOut),
        Self::To(Account::MouthMasonry),
        Self::To(Account::FloorRim),
        Self::To(Account::Steam),
        Self::PotsAndFood,
        Self::FuelLeft,
        Self::StoreChange,
    ];

    /// A short name in snake case, as key in files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Wood => "wood",
            Self::EmbersOut => "embers_out",
            Self::To(Account::Unburnt) => "unburnt",
            Self::To(Account::MouthAir) => "mouth_air",
            Self::To(Account::MouthRadiation) => "mouth_radiation",
            Self::To(Account::DomeOut) => "dome",
            Self::To(Account::FloorOut) => "floor",
            Self::To(Account::DoorOut) => "door",
            Self::To(Account::MouthMasonry) => "mouth_masonry",
            Self::To(Account::FloorRim) => "floor_rim",
            Self::To(Account::Steam) => "steam",
            Self::PotsAndFood => "pots_and_food",
            Self::FuelLeft => "fuel_left",
            Self::StoreChange => "store_change",
        }
    }

    /// This line of one member, J.
    #[must_use]
    pub fn of_j(self, ledger: &Ledger<Lane<LANES>>, lane: usize) -> f64 {
        let of = |lanes: Lane<LANES>| lanes.0[lane];
        match self {
            Self::Wood => of(ledger.wood_j),
            Self::EmbersOut => of(ledger.embers_out_j),
            Self::To(account) => {
                let row = Account::ALL.iter().position(|a| *a == account);
                row.map_or(0.0, |row| of(ledger.accounts_j[row]))
            }
            Self::PotsAndFood => of(ledger.pots_j) + of(ledger.taken_out_j) - of(ledger.placed_j),
            Self::FuelLeft => of(ledger.fuel_left_j),
            Self::StoreChange => of(ledger.masonry_change_j) + of(ledger.door_and_air_change_j),
        }
    }
}

/// One line with its spread, kWh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineBand {
    /// Which line.
    pub line: Line,
    /// 5 % of the members lie below, kWh.
    pub p05_kwh: f64,
    /// Median, kWh.
    pub p50_kwh: f64,
    /// 95 % of the members lie below, kWh.
    pub p95_kwh: f64,
}

/// All lines, summed from the start of the day to output time number `t`.
#[must_use]
pub fn balance(run: &Run, t: usize) -> Vec<LineBand> {
    let lines = Line::ALL.iter().map(|&line| {
        let mut kwh = run.each(|history, lane| {
            let ledger = history.ledgers.get(t);
            ledger.map_or(f64::NAN, |ledger| line.of_j(ledger, lane) / J_PER_KWH)
        });
        kwh.sort_unstable_by(f64::total_cmp);
        let at = |p| quantile(&kwh, p).unwrap_or(f64::NAN);
        LineBand { line, p05_kwh: at(0.05), p50_kwh: at(0.5), p95_kwh: at(0.95) }
    });
    lines.collect()
}
