//! Where everything is kept: the state vector of a pack and its layout.
//!
//! # Equation
//! States are enthalpies (columns per hot-face area in J/m², everything else in J), masses (kg), the energy of the fire (J), the
//! probe's own temperature (°C), and the ledger's accounts (J).
//!
//! # Validity
//! One layout for a whole day: placings keep their room whether they are in the oven or not.
//!
//! # Source
//! Not applicable.

use crate::conduction::PackedColumn;
use crate::ledger::Account;
use crate::pack::Real;

/// Columns of the envelope.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Free floor.
    Floor,
    /// Dome or vault away from the fire.
    Crown,
    /// Dome or vault on the fire's side.
    FireSide,
    /// Door.
    Door,
}

impl Part {
    /// All parts, in order of the layout.
    pub const ALL: [Self; 4] = [Self::Floor, Self::Crown, Self::FireSide, Self::Door];
}

/// Room of one placing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlacingRoom {
    /// Shell enthalpy.
    pub shell: usize,
    /// Lid enthalpy.
    pub lid: usize,
    /// Liquid enthalpy.
    pub liquid: usize,
    /// Liquid mass.
    pub water: usize,
    /// Water left in the solids.
    pub solid_water: usize,
    /// Floor column under the pot: first node.
    pub under: usize,
    /// Column of the solids: first node and number of nodes (0 without solids).
    pub solid: (usize, usize),
}

/// The layout of a day's state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// Energy of flames.
    pub flames: usize,
    /// Energy of embers.
    pub embers: usize,
    /// Enthalpy of the gas.
    pub gas: usize,
    /// Temperature of the probe.
    pub probe: usize,
    /// First node and number of nodes of each part.
    pub parts: [(usize, usize); 4],
    /// Placings.
    pub placings: Vec<PlacingRoom>,
    /// First account.
    pub accounts: usize,
    /// Length of the vector.
    pub len: usize,
}

impl Layout {
    /// Lays out a day: nodes of each part and, for each placing, of its solids.
    #[must_use]
    pub fn new(part_nodes: [usize; 4], solid_nodes: &[usize]) -> Self {
        let mut next = 4;
        let mut take = |n: usize| {
            next += n;
            next - n
        };
        let parts = part_nodes.map(|n| (take(n), n));
        let floor_nodes = part_nodes[0];
        let placings = solid_nodes
            .iter()
            .map(|&n| PlacingRoom {
                shell: take(1),
                lid: take(1),
                liquid: take(1),
                water: take(1),
                solid_water: take(1),
                under: take(floor_nodes),
                solid: (take(n), n),
            })
            .collect();
        let accounts = take(Account::ALL.len());
        Self { flames: 0, embers: 1, gas: 2, probe: 3, parts, placings, accounts, len: next }
    }

    /// The states of a part.
    #[must_use]
    pub fn part<'a, R>(&self, y: &'a [R], part: Part) -> &'a [R] {
        let (first, n) = self.parts[part as usize];
        &y[first..first + n]
    }

    /// The states of the floor under a placing.
    #[must_use]
    pub fn under<'a, R>(&self, y: &'a [R], placing: usize) -> &'a [R] {
        let first = self.placings[placing].under;
        &y[first..first + self.parts[0].1]
    }

    /// The states of a placing's solids.
    #[must_use]
    pub fn solid<'a, R>(&self, y: &'a [R], placing: usize) -> &'a [R] {
        let (first, n) = self.placings[placing].solid;
        &y[first..first + n]
    }
}

/// Enthalpy of a column per hot-face area, J/m².
pub fn column_enthalpy_j_m2<R: Real>(h: &[R]) -> R {
    let mut sum = R::splat(0.0);
    for x in h {
        sum += *x;
    }
    sum
}

/// Heat of a column above `threshold_c` per hot-face area, J/m²: Σ max(0, H(T) − H(T₀)).
pub fn column_store_j_m2<R: Real>(column: &PackedColumn<R>, h: &[R], threshold_c: f64) -> R {
    let mut sum = R::splat(0.0);
    for ((x, a), b) in h.iter().zip(&column.a).zip(&column.b) {
        let over = *x - (*a + *b * (0.5 * threshold_c)) * threshold_c;
        sum += over.pick(over, R::splat(0.0));
    }
    sum
}
