//! Ovens it could be: members drawn from the prior, and their runs through a day.
//!
//! # Equation
//! Member i has coordinates zᵢ (see [`crate::design`]) and the parameters the prior gives them. Members run in packs of
//! [`LANES`] on as many threads as the current pool has.
//!
//! # Validity
//! Packs are fixed by member index and the last is padded with the last member; results come back in order. They do not
//! depend on the number of threads. A member the engine refuses (for instance because its floor is too small for the
//! pots that did stand in the oven) contradicts the day and is left out and counted; when more than a tenth of the
//! members are refused, the first refusal is the answer.
//!
//! # Source
//! Not applicable.

use crate::design;
use crate::error::LearnError;
use crate::prior::{Coordinates, DIMENSION, Prior};
use crate::series::Series;
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::Drive;
use ovenfall_engine::error::EngineError;
use ovenfall_engine::history::History;
use ovenfall_engine::pack::Lane;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Branch, BranchHistories, Options, Trunk, branches, simulate, trunks};
use rayon::prelude::*;
use std::ops::Range;

/// Members in a pack.
pub const LANES: usize = 4;
/// Most members an ensemble may have.
pub const MOST_MEMBERS: usize = 4096;
/// Share of members that may be refused by the engine.
const MAY_BE_REFUSED: f64 = 0.1;

/// History of a pack.
pub type PackHistory = History<Lane<LANES>>;

/// Equally probable ovens.
#[derive(Debug, Clone, PartialEq)]
pub struct Ensemble {
    /// Coordinates of each member.
    pub members: Vec<Coordinates>,
    /// Parameters of each member.
    pub parameters: Vec<Parameters>,
    /// What they were drawn with.
    pub seed: u64,
}

impl Ensemble {
    /// Draws `members` members of the prior.
    ///
    /// # Errors
    /// [`LearnError::OutOfRange`] for no members or more than [`MOST_MEMBERS`].
    pub fn draw(prior: &Prior, members: usize, seed: u64) -> Result<Self, LearnError> {
        if !(1..=MOST_MEMBERS).contains(&members) {
            return Err(LearnError::OutOfRange {
                what: "number of members",
                value: members as f64,
                min: 1.0,
                max: MOST_MEMBERS as f64,
            });
        }
        Self::from_coordinates(prior, design::members(seed, members, DIMENSION), seed)
    }

    /// The members at given coordinates, as learning leaves them.
    ///
    /// # Errors
    /// [`LearnError::Coordinates`] when one has not one coordinate for each row of the prior.
    pub fn from_coordinates(prior: &Prior, members: Vec<Coordinates>, seed: u64) -> Result<Self, LearnError> {
        let parameters = members.iter().map(|z| prior.parameters(z)).collect::<Result<_, _>>()?;
        Ok(Self { members, parameters, seed })
    }

    /// The parameters in pack `pack`, padded with the last member; `None` beyond the last.
    fn pack(&self, pack: usize) -> Option<[Parameters; LANES]> {
        let last = *self.parameters.last()?;
        let first = pack * LANES;
        (first < self.parameters.len())
            .then(|| std::array::from_fn(|lane| self.parameters.get(first + lane).copied().unwrap_or(last)))
    }

    /// Runs every member through a day, in packs, on the threads of the current pool.
    ///
    /// # Errors
    /// [`LearnError::Member`] when the engine refuses more than a tenth of the members.
    pub fn run(&self, oven: &OvenDescription, drive: &Drive, options: &Options) -> Result<Run, LearnError> {
        let trial = Trial {
            alone: &|member| simulate::<1>(oven, &[*member], drive, options).map(|_| ()),
            together: &|members| simulate(oven, members, drive, options),
        };
        let packs = self.in_packs(&trial);
        Run::of_packs(packs, self.parameters.len())
    }

    /// Runs every member through a day up to a fork, and from there through each branch; see [`branches`]. A branch the
    /// engine refuses for more than a tenth of the members (for instance because the floor is full) has that refusal as
    /// its result; what is wrong with the day up to the fork is wrong with every branch.
    pub fn run_branches(
        &self,
        oven: &OvenDescription,
        drive: &Drive,
        fork_s: f64,
        ways: &[Branch],
        options: &Options,
    ) -> Vec<Result<Run, LearnError>> {
        let none = [];
        let trial = Trial {
            alone: &|member| branches::<1>(oven, &[*member], drive, fork_s, &none, options).map(|_| ()),
            together: &|members| branches(oven, members, drive, fork_s, ways, options),
        };
        self.of_branches(&trial, ways.len())
    }

    /// As [`Ensemble::run_branches`], with branches that leave others on the way; see [`trunks`]. The result holds each
    /// trunk, followed by what leaves it.
    pub fn run_trunks(
        &self,
        oven: &OvenDescription,
        drive: &Drive,
        fork_s: f64,
        ways: &[Trunk],
        options: &Options,
    ) -> Vec<Result<Run, LearnError>> {
        let none = [];
        let trial = Trial {
            alone: &|member| branches::<1>(oven, &[*member], drive, fork_s, &none, options).map(|_| ()),
            together: &|members| trunks(oven, members, drive, fork_s, ways, options),
        };
        self.of_branches(&trial, ways.iter().map(|trunk| trunk.shoots.len() + 1).sum())
    }

    fn of_branches(&self, trial: &Trial<'_, BranchHistories<LANES>>, branches: usize) -> Vec<Result<Run, LearnError>> {
        let packs = self.in_packs(trial);
        let of_branch = |i: usize| {
            let pack = |(number, pack): (usize, &PackRun<_>)| pack_of_branch(pack, number * LANES, i);
            Run::of_packs(packs.iter().enumerate().map(pack).collect(), self.parameters.len())
        };
        (0..branches).map(of_branch).collect()
    }

    fn in_packs<T: Send>(&self, trial: &Trial<'_, T>) -> Vec<PackRun<T>> {
        let packs: Vec<usize> = (0..self.parameters.len().div_ceil(LANES)).collect();
        packs
            .into_par_iter()
            .filter_map(|pack| Some((pack * LANES, self.pack(pack)?)))
            .map(|(first, parameters)| trial.pack(&parameters, first))
            .collect()
    }
}

/// What came of a pack, and the lanes that are not in it.
struct PackRun<T> {
    /// `None` when every lane was refused.
    came: Option<T>,
    refused: Vec<Refused>,
}

/// A member the engine refused.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// Its index.
    pub index: usize,
    /// What the engine said.
    pub reason: EngineError,
}

/// A computation on packs, and the same on one member to find out which of them the engine refuses.
struct Trial<'a, T> {
    alone: &'a (dyn Fn(&Parameters) -> Result<(), EngineError> + Sync),
    together: &'a (dyn Fn(&[Parameters; LANES]) -> Result<T, EngineError> + Sync),
}

impl<T> Trial<'_, T> {
    fn pack(&self, parameters: &[Parameters; LANES], first: usize) -> PackRun<T> {
        match (self.together)(parameters) {
            Ok(came) => PackRun { came: Some(came), refused: Vec::new() },
            Err(source) => self.without_refused(parameters, first, source),
        }
    }

    /// Tries each lane alone, then runs the pack again with the refused ones replaced by one that runs.
    fn without_refused(&self, parameters: &[Parameters; LANES], first: usize, source: EngineError) -> PackRun<T> {
        let mut refused = Vec::new();
        let mut good = None;
        for (lane, member) in parameters.iter().enumerate() {
            match (self.alone)(member) {
                Ok(()) => good = good.or(Some(*member)),
                Err(reason) => refused.push(Refused { index: first + lane, reason }),
            }
        }
        let Some(good) = good else {
            return PackRun { came: None, refused };
        };
        // Members that run alone and not together: four ovens left out are better than no answer, and they are counted.
        let all = |reason: EngineError| PackRun {
            came: None,
            refused: (first..first + LANES).map(|index| Refused { index, reason: reason.clone() }).collect(),
        };
        if refused.is_empty() {
            return all(source);
        }
        let mut others = *parameters;
        for out in &refused {
            others[out.index - first] = good;
        }
        match (self.together)(&others) {
            Ok(came) => PackRun { came: Some(came), refused },
            Err(reason) => all(reason),
        }
    }
}

/// What came of one branch in a pack. A branch that fails in a pack counts as refused by all of its members: whether the
/// floor is full differs little between them.
fn pack_of_branch(
    pack: &PackRun<Vec<Result<PackHistory, EngineError>>>,
    first: usize,
    branch: usize,
) -> PackRun<PackHistory> {
    let mut refused = pack.refused.clone();
    let came = pack.came.as_ref().and_then(|all| all.get(branch));
    if let Some(Err(reason)) = came {
        refused = (first..first + LANES).map(|index| Refused { index, reason: reason.clone() }).collect();
    }
    PackRun { came: came.and_then(|history| history.as_ref().ok().cloned()), refused }
}

/// What every member did.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    packs: Vec<Option<PackHistory>>,
    /// Indices of the members that ran.
    pub used: Vec<usize>,
    /// Members the engine refused.
    pub refused: Vec<Refused>,
}

impl Run {
    fn of_packs(packs: Vec<PackRun<PackHistory>>, members: usize) -> Result<Self, LearnError> {
        let mut run = Self { packs: Vec::new(), used: Vec::new(), refused: Vec::new() };
        for pack in packs {
            run.packs.push(pack.came);
            run.refused.extend(pack.refused.into_iter().filter(|out| out.index < members));
        }
        match run.refused.first() {
            Some(first) if run.refused.len() as f64 > MAY_BE_REFUSED * members as f64 => Err(LearnError::Member {
                index: first.index,
                refused: run.refused.len(),
                members,
                source: first.reason.clone(),
            }),
            _ => {
                let out = |i: &usize| run.refused.iter().any(|refused| refused.index == *i);
                run.used = (0..members).filter(|i| !out(i)).collect();
                Ok(run)
            }
        }
    }

    /// The history a member's numbers are in, and its lane there; only for members that ran.
    fn place(&self, member: usize) -> Option<(&PackHistory, usize)> {
        let history = self.packs.get(member / LANES)?.as_ref()?;
        Some((history, member % LANES))
    }

    /// Histories of the packs that ran, first to last.
    pub fn histories(&self) -> impl Iterator<Item = &PackHistory> {
        self.packs.iter().flatten()
    }

    /// One number of each member that ran, in the order of [`Run::used`].
    pub fn each<'a, T>(&'a self, mut of: impl FnMut(&'a PackHistory, usize) -> T) -> Vec<T> {
        let places = self.used.iter().filter_map(|&member| self.place(member));
        places.map(|(history, lane)| of(history, lane)).collect()
    }

    /// One series of each member that ran, over the output times in `times`.
    pub fn series(&self, times: Range<usize>, of: impl Fn(&PackHistory) -> &[Lane<LANES>]) -> Series {
        let columns = self.each(|history, lane| (of(history), lane));
        let mut values = Vec::with_capacity(times.len() * columns.len());
        for t in times {
            values.extend(columns.iter().map(|(series, lane)| value(series, t, *lane)));
        }
        Series::new(columns.len(), values)
    }
}

fn value(series: &[Lane<LANES>], t: usize, lane: usize) -> f64 {
    series.get(t).map_or(f64::NAN, |lanes| lanes.0[lane])
}
