//! The energy ledger: where the heat came from and where it went.
//!
//! # Equation
//! in = out + change in store. Every flow in the engine is an edge between two accounts, so the sum over all accounts
//! and stores is constant; [`Ledger::residual_j`] is what rounding leaves of that.
//!
//! # Validity
//! Energies are in joules since the start of the day. Enthalpies count from 0 °C; steam carries its latent heat.
//!
//! # Source
//! First law; Rosenbrock methods keep linear invariants when the Jacobian is exact (Hairer & Wanner, Solving Ordinary
//! Differential Equations II, IV.7).

use crate::pack::Real;

/// Accounts that only receive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Account {
    /// Unburnt in the flue gas.
    Unburnt,
    /// Warm gas through the mouth and the flue, and through the gaps of the door.
    MouthAir,
    /// Radiation out of the open mouth.
    MouthRadiation,
    /// Through dome or vault to the outside.
    DomeOut,
    /// Through the floor to what is under it.
    FloorOut,
    /// From the door's outside, and its inside while it stands aside.
    DoorOut,
    /// Through the masonry of the mouth.
    MouthMasonry,
    /// Through the rim of the floor, under the foot of the dome.
    FloorRim,
    /// Steam, with its latent heat.
    Steam,
}

impl Account {
    /// All accounts, in the order of their rows.
    pub const ALL: [Self; 9] = [
        Self::Unburnt,
        Self::MouthAir,
        Self::MouthRadiation,
        Self::DomeOut,
        Self::FloorOut,
        Self::DoorOut,
        Self::MouthMasonry,
        Self::FloorRim,
        Self::Steam,
    ];
}

/// Sums since the start of the day, J.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ledger<R> {
    /// Energy of the wood put on.
    pub wood_j: R,
    /// Embers and unburnt wood carried out.
    pub embers_out_j: R,
    /// Brought in with pots, their contents and what was topped up.
    pub placed_j: R,
    /// Carried out with pots and their contents.
    pub taken_out_j: R,
    /// What each of [`Account::ALL`] received.
    pub accounts_j: [R; Account::ALL.len()],
    /// Wood and embers not yet burnt.
    pub fuel_left_j: R,
    /// Change of the heat in the masonry, against the start.
    pub masonry_change_j: R,
    /// Change of the heat in door and air, against the start.
    pub door_and_air_change_j: R,
    /// Heat in pots and contents inside now (above 0 °C).
    pub pots_j: R,
}

impl<R: Real> Ledger<R> {
    /// What rounding leaves of in − out − change in store, J.
    #[must_use]
    pub fn residual_j(&self) -> R {
        let mut rest = self.wood_j + self.placed_j - self.embers_out_j - self.taken_out_j;
        for account in self.accounts_j {
            rest -= account;
        }
        rest - self.fuel_left_j - self.masonry_change_j - self.door_and_air_change_j - self.pots_j
    }

    /// What passed through, J: the scale the residual is held against.
    #[must_use]
    pub fn throughput_j(&self) -> R {
        self.wood_j + self.placed_j
    }
}
