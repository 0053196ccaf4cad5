//! Records what is visible while a run goes on, and keeps the ledger.
//!
//! # Equation
//! Heat in store above T₀: Σ over all masonry nodes of area × max(0, H(T) − H(T₀)), floor under pots included; door and
//! pots are not masonry. Ledger: see `ledger`.
//!
//! # Validity
//! Output between steps is interpolated to third order. At an event's own time the state before the event is given.
//!
//! # Source
//! Definitions of this project.

use crate::cavity::Cavity;
use crate::control::Accepted;
use crate::day::DayRun;
use crate::history::{Effort, History, PlacingHistory, STORE_THRESHOLD_C};
use crate::ledger::{Account, Ledger};
use crate::pack::Real;
use crate::simulate::{Depth, Options};
use crate::state::{Part, column_enthalpy_j_m2, column_store_j_m2};
use crate::water::WATER_HEAT_CAPACITY_J_KGK;

const J_PER_KWH: f64 = 3.6e6;
const MASONRY: [Part; 3] = [Part::Floor, Part::Crown, Part::FireSide];

/// Heat at the start, against which changes count.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Start<R> {
    masonry_j: R,
    door_and_air_j: R,
}

impl<R: Real> Start<R> {
    pub(crate) fn of(run: &DayRun<'_, R>) -> Self {
        Self { masonry_j: masonry_j(run, &run.y), door_and_air_j: door_and_air_j(run, &run.y) }
    }
}

/// What is to be recorded.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) times_s: &'a [f64],
    pub(crate) depths: &'a [Depth],
    pub(crate) store_above_c: &'a [f64],
}

impl<'a> Wanted<'a> {
    pub(crate) fn of(options: &'a Options) -> Self {
        Self { times_s: &options.output_times_s, depths: &options.depths, store_above_c: &options.store_above_c }
    }
}

/// Collects a history.
pub(crate) struct Recorder<'a, R> {
    wanted: std::iter::Peekable<std::slice::Iter<'a, f64>>,
    depths: &'a [Depth],
    store_above_c: &'a [f64],
    between: Vec<R>,
    start: Start<R>,
    history: History<R>,
}

impl<'a, R: Real> Recorder<'a, R> {
    /// A recorder of a run that began with `start`.
    pub(crate) fn new(run: &DayRun<'_, R>, start: Start<R>, wanted: Wanted<'a>) -> Self {
        let Wanted { times_s, depths, store_above_c } = wanted;
        let none = || PlacingHistory { liquid_kg: Vec::new(), liquid_c: Vec::new(), core_c: Vec::new() };
        Self {
            wanted: times_s.iter().peekable(),
            depths,
            store_above_c,
            between: run.y.clone(),
            start,
            history: History {
                times_s: Vec::with_capacity(times_s.len()),
                probe_c: Vec::new(),
                gas_c: Vec::new(),
                floor_c: Vec::new(),
                crown_c: Vec::new(),
                fire_side_c: Vec::new(),
                store_kwh: Vec::new(),
                store_above_kwh: vec![Vec::new(); store_above_c.len()],
                depths_c: vec![Vec::new(); depths.len()],
                placings: run.shapes.iter().map(|_| none()).collect(),
                ledgers: Vec::new(),
                effort: Effort::default(),
                steps_s: Vec::new(),
            },
        }
    }

    /// Output wanted at or before the start of a phase.
    pub(crate) fn now(&mut self, run: &DayRun<'_, R>, t_s: f64) {
        while let Some(wanted) = self.wanted.next_if(|w| **w <= t_s) {
            let y = run.y.clone();
            self.record(run, *wanted, &y);
        }
    }

    /// Output wanted within an accepted step.
    pub(crate) fn step(&mut self, run: &DayRun<'_, R>, step: &Accepted<'_, R, Cavity<R>>) {
        while let Some(wanted) = self.wanted.next_if(|w| **w <= step.to_s) {
            let mut y = std::mem::take(&mut self.between);
            let theta = (wanted - step.from_s) / (step.to_s - step.from_s);
            step.phase.between(step.before, step.after, theta, step.work, &mut y);
            self.record(run, *wanted, &y);
            self.between = y;
        }
    }

    fn record(&mut self, run: &DayRun<'_, R>, t_s: f64, y: &[R]) {
        let face = |part: Part| run.grid(part).temperature_c(run.layout.part(y, part), 0);
        let h = &mut self.history;
        h.times_s.push(t_s);
        h.probe_c.push(y[run.layout.probe]);
        h.gas_c.push(y[run.layout.gas] / run.gas_capacity_j_k());
        h.floor_c.push(face(Part::Floor));
        h.crown_c.push(face(Part::Crown));
        h.fire_side_c.push(face(Part::FireSide));
        h.store_kwh.push(store_j(run, y, STORE_THRESHOLD_C) * (1.0 / J_PER_KWH));
        h.ledgers.push(ledger(run, y, &self.start));
        for (series, threshold_c) in h.store_above_kwh.iter_mut().zip(self.store_above_c) {
            series.push(store_j(run, y, *threshold_c) * (1.0 / J_PER_KWH));
        }
        for (series, depth) in h.depths_c.iter_mut().zip(self.depths) {
            series.push(at_depth(run, y, depth));
        }
        for (i, placing) in h.placings.iter_mut().enumerate() {
            let (kg, c, core) = visible(run, y, i);
            placing.liquid_kg.push(kg);
            placing.liquid_c.push(c);
            placing.core_c.push(core);
        }
    }

    pub(crate) fn finish(mut self, effort: Effort, steps_s: Vec<f64>) -> History<R> {
        self.history.effort = effort;
        self.history.steps_s = steps_s;
        self.history
    }
}

/// Temperature at a depth, between the nodes around it; depths of nodes differ between members.
fn at_depth<R: Real>(run: &DayRun<'_, R>, y: &[R], depth: &Depth) -> R {
    let (grid, h) = (run.grid(depth.part), run.layout.part(y, depth.part));
    R::from_lanes(|lane| {
        let nodes = &run.column(lane, depth.part).depth_m;
        let after = nodes.partition_point(|x| *x < depth.depth_m).clamp(1, nodes.len() - 1);
        let share = ((depth.depth_m - nodes[after - 1]) / (nodes[after] - nodes[after - 1])).clamp(0.0, 1.0);
        let t = |j: usize| grid.temperature_c(h, j).lane(lane);
        t(after - 1) * (1.0 - share) + t(after) * share
    })
}

/// Liquid left, its temperature, and the coldest point of a placing; NaN outside.
fn visible<R: Real>(run: &DayRun<'_, R>, y: &[R], i: usize) -> (R, R, R) {
    let nothing = R::splat(f64::NAN);
    if !run.setting.inside.contains(&i) {
        return (nothing, nothing, nothing);
    }
    let (room, shape) = (&run.layout.placings[i], &run.shapes[i]);
    let residue = shape.residue_j_k(&run.drive.placings[i]);
    let liquid =
        if shape.has_liquid { y[room.liquid] / (y[room.water] * WATER_HEAT_CAPACITY_J_KGK + residue) } else { nothing };
    let core = match &run.solids[i] {
        Some(grid) => grid.temperature_c(run.layout.solid(y, i), grid.len() - 1),
        None => liquid,
    };
    // A step may overshoot to a milligram less than nothing.
    let water_kg = y[room.water].pick(y[room.water], R::splat(0.0));
    (water_kg, liquid, core)
}

/// Sums a quantity per hot-face area over all masonry, floor under pots included.
fn over_masonry<R: Real>(run: &DayRun<'_, R>, y: &[R], f: impl Fn(Part, &[R]) -> R) -> R {
    let mut sum = R::splat(0.0);
    for part in MASONRY {
        sum += f(part, run.layout.part(y, part)) * run.area_m2(part);
    }
    for &i in &run.setting.inside {
        sum += f(Part::Floor, run.layout.under(y, i)) * run.shapes[i].base_m2;
    }
    sum
}

/// Heat in store above a threshold, J.
fn store_j<R: Real>(run: &DayRun<'_, R>, y: &[R], threshold_c: f64) -> R {
    over_masonry(run, y, |part, h| column_store_j_m2(run.grid(part), h, threshold_c))
}

fn masonry_j<R: Real>(run: &DayRun<'_, R>, y: &[R]) -> R {
    over_masonry(run, y, |_, h| column_enthalpy_j_m2(h))
}

fn door_and_air_j<R: Real>(run: &DayRun<'_, R>, y: &[R]) -> R {
    y[run.layout.gas] + column_enthalpy_j_m2(run.layout.part(y, Part::Door)) * run.area_m2(Part::Door)
}

fn ledger<R: Real>(run: &DayRun<'_, R>, y: &[R], start: &Start<R>) -> Ledger<R> {
    let mut accounts_j = [R::splat(0.0); Account::ALL.len()];
    accounts_j.copy_from_slice(&y[run.layout.accounts..run.layout.accounts + Account::ALL.len()]);
    let mut pots_j = R::splat(0.0);
    for &i in &run.setting.inside {
        pots_j += run.pot_heat_j(i, y);
    }
    Ledger {
        wood_j: run.jumps.wood_j,
        embers_out_j: run.jumps.embers_out_j,
        placed_j: run.jumps.placed_j,
        taken_out_j: run.jumps.taken_out_j,
        accounts_j,
        fuel_left_j: y[run.layout.flames] + y[run.layout.embers],
        masonry_change_j: masonry_j(run, y) - start.masonry_j,
        door_and_air_change_j: door_and_air_j(run, y) - start.door_and_air_j,
        pots_j,
    }
}
