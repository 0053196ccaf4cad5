//! A day in progress: the state of a pack, and what events do to it.
//!
//! # Equation
//! At an event stores jump: wood adds to flames and embers, raking takes them out, a pot brings its enthalpy in or takes
//! it out. A pot's floor column is a copy of the free floor when it is placed; both are merged by enthalpy, weighted with
//! their areas, when it is taken out. What crosses the oven's boundary in a jump is counted for the ledger.
//!
//! # Validity
//! Refuses what cannot happen; never panics.
//!
//! # Source
//! First law.

use crate::cavity::{Cavity, GAS_CAPACITY_J_M3K, Setting, free_floor_m2};
use crate::conduction::PackedColumn;
use crate::description::OvenDescription;
use crate::drive::{Action, Door, Drive};
use crate::error::{EngineError, within};
use crate::fire::{Lie, feed_energy_j};
use crate::model::{FIRE_SIDE_AREA_SHARE, OvenModel, WallCuts, assemble};
use crate::pack::Real;
use crate::parameters::Parameters;
use crate::pot::{PackedPot, PotShape};
use crate::state::{Layout, Part, column_enthalpy_j_m2};
use crate::step::{ActiveColumn, ColdFace, Phase, Store};
use crate::water::WATER_HEAT_CAPACITY_J_KGK;
use std::sync::Arc;

/// Share of the floor that must stay free.
const FREE_FLOOR_SHARE: f64 = 0.05;
/// Depth of floor that a wet cloth cools at once, m.
const SWAB_DEPTH_M: f64 = 0.015;
/// Heat taken by a kilogram of water that boils off the floor, J.
const SWAB_J_KG: f64 = 2.6e6;
/// Error allowed in a mass for each kelvin allowed in temperatures, kg.
const KG_PER_K: f64 = 0.01;
/// Error allowed in the gas for each kelvin allowed elsewhere, K: it forgets within seconds, and nothing else feels it.
const GAS_PER_K: f64 = 5.0;

/// What came into and left the oven at events, J.
#[derive(Debug, Clone, Copy)]
pub struct Jumps<R> {
    /// Energy of the wood put on.
    pub wood_j: R,
    /// Embers and unburnt wood carried out.
    pub embers_out_j: R,
    /// Brought in with pots and what was topped up.
    pub placed_j: R,
    /// Carried out with pots.
    pub taken_out_j: R,
}

/// A day in progress: what stays (models, layout) and what changes (setting, state).
#[derive(Debug, Clone)]
pub struct DayRun<'a, R> {
    pub(crate) drive: &'a Drive,
    pub(crate) models: Vec<OvenModel>,
    pub(crate) shapes: Vec<PotShape>,
    pub(crate) layout: Layout,
    pub(crate) walls: [Arc<PackedColumn<R>>; 3],
    pub(crate) pots: Vec<PackedPot<R>>,
    pub(crate) solids: Vec<Option<Arc<PackedColumn<R>>>>,
    pub(crate) setting: Setting,
    /// The state, laid out by [`Layout`].
    pub y: Vec<R>,
    pub(crate) jumps: Jumps<R>,
    fire_place: crate::description::FirePlace,
}

impl<'a, R: Real> DayRun<'a, R> {
    /// A day of `members` (one a lane) that starts at the outdoor temperature.
    ///
    /// # Errors
    /// When the description, a parameter or a placing makes no sense.
    pub fn new(
        oven: &OvenDescription,
        members: &[Parameters],
        drive: &'a Drive,
        refine: usize,
    ) -> Result<Self, EngineError> {
        let cuts = WallCuts::production(oven, refine)?;
        let models = members.iter().map(|p| assemble(oven, p, &cuts)).collect::<Result<Vec<_>, _>>()?;
        let shapes = drive.placings.iter().map(PotShape::new).collect::<Result<Vec<_>, _>>()?;
        let pack = |f: &dyn Fn(&OvenModel) -> &crate::conduction::Column| {
            Arc::new(PackedColumn::pack(&models.iter().map(f).collect::<Vec<_>>()))
        };
        let walls = [pack(&|m| &m.floor.column), pack(&|m| &m.dome.column), pack(&|m| &m.door.column)];
        let solid_nodes: Vec<usize> = shapes.iter().map(|s| s.solid.as_ref().map_or(0, |c| c.capacity.len())).collect();
        let layout = Layout::new([walls[0].len(), walls[1].len(), walls[1].len(), walls[2].len()], &solid_nodes);
        let pots: Vec<PackedPot<R>> =
            drive.placings.iter().zip(&shapes).map(|(p, s)| PackedPot::pack(p, s, &models)).collect();
        let ambient_c =
            models.iter().map(|m| drive.ambient_c.unwrap_or(m.ambient_c) + m.parameters.ambient_offset_k).collect();
        let zero = R::splat(0.0);
        let mut run = Self {
            drive,
            solids: pots.iter().map(|p| p.solid.clone().map(Arc::new)).collect(),
            setting: Setting { door: Door::Open, lie: Lie::OnItsSide, inside: Vec::new(), ambient_c },
            y: vec![zero; layout.len],
            jumps: Jumps { wood_j: zero, embers_out_j: zero, placed_j: zero, taken_out_j: zero },
            fire_place: oven.fire_place,
            models,
            shapes,
            layout,
            walls,
            pots,
        };
        run.fill_with_ambient();
        Ok(run)
    }

    pub(crate) fn grid(&self, part: Part) -> &Arc<PackedColumn<R>> {
        &self.walls[match part {
            Part::Floor => 0,
            Part::Crown | Part::FireSide => 1,
            Part::Door => 2,
        }]
    }

    /// A part's column of one member.
    pub(crate) fn column(&self, lane: usize, part: Part) -> &crate::conduction::Column {
        let m = &self.models[lane];
        match part {
            Part::Floor => &m.floor.column,
            Part::Crown | Part::FireSide => &m.dome.column,
            Part::Door => &m.door.column,
        }
    }

    fn lanes(&self, f: impl Fn(&OvenModel) -> f64) -> R {
        R::from_lanes(|i| f(&self.models[i]))
    }

    /// Heat capacity of the gas, J/K.
    pub(crate) fn gas_capacity_j_k(&self) -> R {
        self.lanes(|m| GAS_CAPACITY_J_M3K * m.chamber.volume_m3 * m.pressure_pa / 101_325.0)
    }

    /// Everything starts at the outdoor temperature.
    fn fill_with_ambient(&mut self) {
        let t = R::from_lanes(|l| self.setting.ambient_c[l]);
        self.y[self.layout.gas] = t * self.gas_capacity_j_k();
        self.y[self.layout.probe] = t;
        for part in Part::ALL {
            let (first, _) = self.layout.parts[part as usize];
            let grid = Arc::clone(self.grid(part));
            fill(&grid, &mut self.y[first..], t);
        }
    }

    /// Hot-face area of a part with what is inside now, m².
    pub(crate) fn area_m2(&self, part: Part) -> R {
        self.lanes(|m| match part {
            Part::Floor => free_floor_m2(m, &self.setting.inside, &self.shapes),
            Part::Crown => m.chamber.dome_m2 * (1.0 - FIRE_SIDE_AREA_SHARE),
            Part::FireSide => m.chamber.dome_m2 * FIRE_SIDE_AREA_SHARE,
            Part::Door => m.chamber.mouth_m2,
        })
    }

    fn cold_face(&self, part: Part) -> ColdFace<R> {
        let outer = |m: &OvenModel| match part {
            Part::Floor => m.floor.outer,
            Part::Crown | Part::FireSide => m.dome.outer,
            Part::Door => m.door.outer,
        };
        ColdFace {
            ambient_c: R::from_lanes(|l| self.setting.ambient_c[l]),
            film_w_m2k: self.lanes(|m| outer(m).film_w_m2k),
            natural: self.lanes(|m| outer(m).natural),
            emissivity: outer(&self.models[0]).emissivity,
            account: match part {
                Part::Floor => crate::ledger::Account::FloorOut,
                Part::Crown | Part::FireSide => crate::ledger::Account::DomeOut,
                Part::Door => crate::ledger::Account::DoorOut,
            },
        }
    }

    /// Builds the phase for the present setting.
    #[must_use]
    pub fn phase(&self) -> Phase<R, Cavity<R>> {
        let cavity = Cavity::new(&self.models, &self.setting, &self.drive.placings, &self.shapes, &self.pots);
        let rows = cavity.rows.clone();
        let plain = |state, per_k| Store::Plain { state, per_k };
        let mut stores = vec![plain(self.layout.flames, self.fuel_per_k()); rows.len];
        let mut columns = Vec::new();
        stores[rows.embers] = plain(self.layout.embers, self.fuel_per_k());
        for part in Part::ALL {
            let node = rows.parts[part as usize];
            stores[node] = Store::Face { column: columns.len() };
            columns.push(ActiveColumn {
                first: self.layout.parts[part as usize].0,
                node,
                area_m2: self.area_m2(part),
                grid: Arc::clone(self.grid(part)),
                cold: Some(self.cold_face(part)),
            });
        }
        for (nodes, &i) in rows.pots.iter().zip(&self.setting.inside) {
            self.add_pot(nodes, i, &mut stores, &mut columns);
        }
        stores[rows.gas] =
            Store::Lump { state: self.layout.gas, capacity_j_k: self.gas_capacity_j_k(), per_k: GAS_PER_K };
        stores[rows.probe] = plain(self.layout.probe, 1.0);
        Phase::new(cavity, columns, stores, self.layout.accounts, self.layout.len)
    }

    /// Fuel is known to a thousandth of what was burnt, far below what a scale gives; J for each kelvin of tolerance.
    fn fuel_per_k(&self) -> f64 {
        0.02 * (0..R::LANES).map(|l| self.jumps.wood_j.lane(l)).fold(1e6, f64::max)
    }

    fn add_pot(
        &self,
        nodes: &crate::pot::PotNodes,
        i: usize,
        stores: &mut [Store<R>],
        columns: &mut Vec<ActiveColumn<R>>,
    ) {
        let (room, shape) = (&self.layout.placings[i], &self.shapes[i]);
        let lump = |state, j_k| Store::Lump { state, capacity_j_k: R::splat(j_k), per_k: 1.0 };
        stores[nodes.shell] = lump(room.shell, shape.shell_j_k[0]);
        if let Some(lid) = nodes.lid {
            stores[lid] = lump(room.lid, shape.shell_j_k[1]);
        }
        if let Some((liquid, water_row)) = nodes.liquid {
            stores[water_row] = Store::Plain { state: room.water, per_k: KG_PER_K };
            let residue_j_k = shape.residue_j_k(&self.drive.placings[i]);
            stores[liquid] = Store::Liquid { state: room.liquid, water: room.water, water_row, residue_j_k };
        }
        stores[nodes.under] = Store::Face { column: columns.len() };
        columns.push(ActiveColumn {
            first: room.under,
            node: nodes.under,
            area_m2: R::splat(shape.base_m2),
            grid: Arc::clone(self.grid(Part::Floor)),
            cold: Some(self.cold_face(Part::Floor)),
        });
        if let (Some((face, water)), Some(grid)) = (nodes.solid, &self.solids[i]) {
            stores[water] = Store::Plain { state: room.solid_water, per_k: KG_PER_K };
            stores[face] = Store::Face { column: columns.len() };
            columns.push(ActiveColumn {
                first: room.solid.0,
                node: face,
                area_m2: R::splat(shape.solid_face_m2),
                grid: Arc::clone(grid),
                cold: None,
            });
        }
    }

    /// Heat in a placing and its contents over 0 °C, J.
    pub(crate) fn pot_heat_j(&self, i: usize, y: &[R]) -> R {
        let room = &self.layout.placings[i];
        let mut sum = y[room.shell] + y[room.lid] + y[room.liquid];
        sum += column_enthalpy_j_m2(self.layout.solid(y, i)) * self.shapes[i].solid_face_m2;
        sum
    }

    /// Lets event number `index` happen.
    ///
    /// # Errors
    /// When it makes no sense: taken out without being placed, a full floor, a value out of range.
    pub fn apply(&mut self, index: usize, action: &Action) -> Result<(), EngineError> {
        match *action {
            Action::WoodOn(wood) => self.wood_on(feed_energy_j(&wood))?,
            Action::FireTo(place) => {
                self.setting.lie = if place == self.fire_place { Lie::OnItsSide } else { Lie::Elsewhere };
            }
            Action::EmbersSpread => self.setting.lie = Lie::Spread,
            Action::RakeOut => self.rake_out(),
            Action::Swab { water_kg } => self.swab(water_kg)?,
            Action::Door(door) => {
                if let Door::Ajar(share) = door
                    && !(share > 0.0 && share < 1.0)
                {
                    return Err(EngineError::OutOfRange {
                        what: "the free share of a door ajar",
                        value: share,
                        min: 0.0,
                        max: 1.0,
                    });
                }
                self.setting.door = door;
            }
            Action::Place(i) => self.place(index, i)?,
            Action::TopUp { placing, mass_kg, temperature_c } => self.top_up(index, placing, mass_kg, temperature_c)?,
            Action::TakeOut(i) => self.take_out(index, i)?,
            Action::Ambient(t_c) => {
                within("the outdoor temperature (°C)", t_c, -60.0, 60.0)?;
                self.setting.ambient_c = self.models.iter().map(|m| t_c + m.parameters.ambient_offset_k).collect();
            }
        }
        Ok(())
    }

    fn wood_on(&mut self, energy_j: f64) -> Result<(), EngineError> {
        within("the energy of a feed (J)", energy_j, 0.0, 1e12)?;
        let energy = self.lanes(|m| m.parameters.wood_energy * energy_j);
        let embers = energy * self.lanes(|m| m.parameters.char_share);
        self.jumps.wood_j += energy;
        self.y[self.layout.embers] += embers;
        self.y[self.layout.flames] += energy - embers;
        Ok(())
    }

    fn rake_out(&mut self) {
        let left = self.lanes(|m| m.parameters.embers_left);
        for state in [self.layout.flames, self.layout.embers] {
            let kept = self.y[state] * left;
            self.jumps.embers_out_j += self.y[state] - kept;
            self.y[state] = kept;
        }
    }

    /// A wet cloth cools the top of the free floor; its water leaves as steam.
    fn swab(&mut self, water_kg: f64) -> Result<(), EngineError> {
        within("the water of a swab (kg)", water_kg, 0.0, 20.0)?;
        let depths = &self.models[0].floor.column.depth_m;
        let nodes = depths.iter().take_while(|d| **d <= SWAB_DEPTH_M).count().max(1);
        let (first, area) = (self.layout.parts[Part::Floor as usize].0, self.area_m2(Part::Floor));
        let grid = Arc::clone(self.grid(Part::Floor));
        let mut capacity = R::splat(0.0);
        for a in &grid.a[..nodes] {
            capacity += *a;
        }
        // Never below 60 °C: a floor that cold does not boil the cloth dry.
        let mut spare = R::splat(0.0);
        for j in 0..nodes {
            let over = grid.temperature_c(&self.y[first..], j) + -60.0;
            spare += over.pick(over * grid.a[j], R::splat(0.0));
        }
        let wanted = R::splat(water_kg * SWAB_J_KG) / area;
        let taken = (spare - wanted).pick(wanted, spare);
        for j in 0..nodes {
            let over = grid.temperature_c(&self.y[first..], j) + -60.0;
            let share = over.pick(over * grid.a[j], R::splat(0.0)) / (spare + f64::MIN_POSITIVE);
            self.y[first + j] -= taken * share;
        }
        self.y[self.layout.accounts + crate::ledger::Account::Steam as usize] += taken * area;
        Ok(())
    }

    fn place(&mut self, index: usize, i: usize) -> Result<(), EngineError> {
        if i >= self.shapes.len() || self.setting.inside.contains(&i) {
            return Err(EngineError::PlacingState { index, placing: i, action: "placed" });
        }
        self.setting.inside.push(i);
        self.setting.inside.sort_unstable();
        for m in &self.models {
            let free = free_floor_m2(m, &self.setting.inside, &self.shapes);
            if free < FREE_FLOOR_SHARE * m.chamber.floor_m2 {
                return Err(EngineError::FloorFull {
                    covered_m2: m.chamber.floor_m2 - free,
                    floor_m2: m.chamber.floor_m2,
                });
            }
        }
        let placing = &self.drive.placings[i];
        let (room, shape) = (self.layout.placings[i].clone(), &self.shapes[i]);
        let start = self.lanes(|m| placing.contents.start_c.value + m.parameters.start_offset_k);
        let outside = R::from_lanes(|l| self.setting.ambient_c[l]);
        let lid = if placing.pot.lid { shape.shell_j_k[1] } else { 0.0 };
        self.y[room.shell] = start * shape.shell_j_k[0];
        self.y[room.lid] = outside * lid;
        let water_kg = if shape.has_liquid { placing.contents.liquid_kg } else { 0.0 };
        let liquid_j_k =
            if shape.has_liquid { water_kg * WATER_HEAT_CAPACITY_J_KGK + shape.residue_j_k(placing) } else { 0.0 };
        self.y[room.water] = R::splat(water_kg);
        self.y[room.liquid] = start * liquid_j_k;
        self.y[room.solid_water] = R::splat(PotShape::solid_water_kg(placing));
        if let Some(grid) = &self.solids[i] {
            fill(grid, &mut self.y[room.solid.0..], start);
        }
        let (floor, n) = self.layout.parts[Part::Floor as usize];
        self.y.copy_within(floor..floor + n, room.under);
        let heat = self.pot_heat_j(i, &self.y);
        self.jumps.placed_j += heat;
        Ok(())
    }

    fn top_up(&mut self, index: usize, i: usize, mass_kg: f64, temperature_c: f64) -> Result<(), EngineError> {
        if !self.setting.inside.contains(&i) || !self.shapes[i].has_liquid {
            return Err(EngineError::PlacingState { index, placing: i, action: "topped up" });
        }
        within("what is topped up (kg)", mass_kg, 0.0, 200.0)?;
        within("the temperature of what is topped up (°C)", temperature_c, 0.0, 110.0)?;
        let heat = R::splat(mass_kg * WATER_HEAT_CAPACITY_J_KGK * temperature_c);
        let room = &self.layout.placings[i];
        self.y[room.water] += R::splat(mass_kg);
        self.y[room.liquid] += heat;
        self.jumps.placed_j += heat;
        Ok(())
    }

    fn take_out(&mut self, index: usize, i: usize) -> Result<(), EngineError> {
        if !self.setting.inside.contains(&i) {
            return Err(EngineError::PlacingState { index, placing: i, action: "taken out" });
        }
        let heat = self.pot_heat_j(i, &self.y);
        self.jumps.taken_out_j += heat;
        // Merge the floor under the pot with the free floor, by enthalpy.
        let (free, base) = (self.area_m2(Part::Floor), R::splat(self.shapes[i].base_m2));
        let (floor, n) = self.layout.parts[Part::Floor as usize];
        let under = self.layout.placings[i].under;
        for j in 0..n {
            let merged = (self.y[floor + j] * free + self.y[under + j] * base) / (free + base);
            self.y[floor + j] = merged;
            self.y[under + j] = R::splat(0.0);
        }
        self.setting.inside.retain(|x| *x != i);
        let room = self.layout.placings[i].clone();
        for state in (room.shell..=room.solid_water).chain(room.solid.0..room.solid.0 + room.solid.1) {
            self.y[state] = R::splat(0.0);
        }
        Ok(())
    }
}

/// Fills a column with one temperature.
fn fill<R: Real>(grid: &PackedColumn<R>, h: &mut [R], t_c: R) {
    for (h, (a, b)) in h.iter_mut().zip(grid.a.iter().zip(&grid.b)) {
        *h = t_c * (*a + *b * t_c * 0.5);
    }
}
