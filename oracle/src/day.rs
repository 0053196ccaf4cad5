//! A whole day by a general solver: phases one after the other, events applied as the engine applies them.

use crate::error::OracleError;
use crate::jacobian::One;
use crate::system::{Count, Span, System};
use ovenfall_engine::cavity::Cavity;
use ovenfall_engine::day::DayRun;
use ovenfall_engine::description::OvenDescription;
use ovenfall_engine::drive::{Action, Drive};
use ovenfall_engine::history::History;
use ovenfall_engine::ledger::Account;
use ovenfall_engine::pack::{Lane, Real};
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::step::Phase;

const ACCOUNTS: usize = Account::ALL.len();

/// What is compared at one time. Names follow `History`.
#[derive(Debug, Clone, PartialEq)]
pub struct Visible {
    /// Time, s.
    pub at_s: f64,
    /// Temperatures by name, °C; those of a placing are left out while it is outside.
    pub temperatures_c: Vec<(String, f64)>,
    /// Liquid of each placing inside, kg.
    pub liquids_kg: Vec<f64>,
    /// Accounts of the ledger, J.
    pub accounts_j: [f64; ACCOUNTS],
}

/// A day's course and what it cost.
#[derive(Debug, Clone, Default)]
pub struct Course {
    /// What was visible at each output time.
    pub visible: Vec<Visible>,
    /// What the solver counted.
    pub count: Count,
}

/// Largest differences between two courses.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Difference {
    /// Of any temperature, K.
    pub temperature_k: f64,
    /// Of which.
    pub of: String,
    /// When, s.
    pub at_s: f64,
    /// Of any liquid, kg.
    pub liquid_kg: f64,
    /// Of any account, J.
    pub account_j: f64,
}

impl Course {
    /// The engine's history of one lane, in the same terms.
    #[must_use]
    pub fn of_history<const L: usize>(history: &History<Lane<L>>, lane: usize) -> Self {
        let at = |series: &[Lane<L>], i: usize| series[i].lane(lane);
        let visible = (0..history.times_s.len()).map(|i| {
            let mut temperatures_c = vec![
                ("floor".to_owned(), at(&history.floor_c, i)),
                ("crown".to_owned(), at(&history.crown_c, i)),
                ("fire side".to_owned(), at(&history.fire_side_c, i)),
                ("gas".to_owned(), at(&history.gas_c, i)),
                ("probe".to_owned(), at(&history.probe_c, i)),
            ];
            let mut liquids_kg = Vec::new();
            for (p, placing) in history.placings.iter().enumerate() {
                for (name, series) in [("liquid", &placing.liquid_c), ("core", &placing.core_c)] {
                    if at(series, i).is_finite() {
                        temperatures_c.push((format!("{name} of placing {p}"), at(series, i)));
                    }
                }
                if at(&placing.liquid_c, i).is_finite() {
                    liquids_kg.push(at(&placing.liquid_kg, i));
                }
            }
            let accounts_j = history.ledgers[i].accounts_j.map(|a| a.lane(lane));
            Visible { at_s: history.times_s[i], temperatures_c, liquids_kg, accounts_j }
        });
        Self { visible: visible.collect(), count: Count::default() }
    }

    /// Largest differences from another course with the same output times.
    ///
    /// # Panics
    /// When the two do not show the same things at the same times: then they cannot be compared.
    #[must_use]
    pub fn difference(&self, other: &Self) -> Difference {
        assert_eq!(self.visible.len(), other.visible.len());
        let mut worst = Difference::default();
        for (a, b) in self.visible.iter().zip(&other.visible) {
            assert!((a.at_s - b.at_s).abs() < 1e-6);
            let names = |v: &Visible| v.temperatures_c.iter().map(|t| t.0.clone()).collect::<Vec<_>>();
            assert_eq!(names(a), names(b), "at {} s", a.at_s);
            for (x, y) in a.temperatures_c.iter().zip(&b.temperatures_c) {
                if (x.1 - y.1).abs() > worst.temperature_k {
                    (worst.temperature_k, worst.of, worst.at_s) = ((x.1 - y.1).abs(), x.0.clone(), a.at_s);
                }
            }
            for (x, y) in a.liquids_kg.iter().zip(&b.liquids_kg) {
                worst.liquid_kg = worst.liquid_kg.max((x - y).abs());
            }
            for (x, y) in a.accounts_j.iter().zip(b.accounts_j) {
                worst.account_j = worst.account_j.max((x - y).abs());
            }
        }
        worst
    }
}

/// Runs a day of one member. `integrate` takes a system over a span, reports the unknowns at every wanted time, and
/// returns those at the end.
///
/// # Errors
/// When the engine refuses something or the solver fails.
pub fn run_day(
    oven: &OvenDescription,
    member: &Parameters,
    drive: &Drive,
    times_s: &[f64],
    mut integrate: impl FnMut(&mut System, Span<'_>, &mut dyn FnMut(&mut System, &[f64])) -> Result<Vec<f64>, OracleError>,
) -> Result<Course, OracleError> {
    let mut run: DayRun<'_, One> = DayRun::new(oven, std::slice::from_ref(member), drive, 1)?;
    let mut course = Course::default();
    let (mut t, mut inside) = (0.0, Vec::new());
    let mut wanted = times_s;
    let mut events = drive.events.iter().enumerate().peekable();
    while t < drive.end_s {
        while let Some((index, event)) = events.next_if(|(_, e)| e.at_s <= t) {
            run.apply(index, &event.action)?;
            follow(&mut inside, event.action);
        }
        let end_s = events.peek().map_or(drive.end_s, |(_, e)| e.at_s.min(drive.end_s));
        let mut system = System::new(run.phase(), &run.y);
        let at_start = wanted.partition_point(|w| *w <= t);
        for at_s in &wanted[..at_start] {
            course.visible.push(visible(system.phase(), &run.y, *at_s, &inside));
        }
        let until = wanted.partition_point(|w| *w <= end_s);
        let span = Span { from_s: t, to_s: end_s, wanted_s: &wanted[at_start..until] };
        let mut times = span.wanted_s.iter();
        let last = integrate(&mut system, span, &mut |system, u| {
            let at_s = times.next().copied().unwrap_or(f64::NAN);
            let y = system.state(u).to_vec();
            course.visible.push(visible(system.phase(), &y, at_s, &inside));
        })?;
        run.y = system.state(&last).to_vec();
        add(&mut course.count, system.count);
        wanted = &wanted[until..];
        t = end_s;
    }
    Ok(course)
}

fn add(sum: &mut Count, count: Count) {
    sum.steps += count.steps;
    sum.evaluations += count.evaluations;
    sum.jacobians += count.jacobians;
    sum.factorisations += count.factorisations;
}

/// Keeps the list of placings inside, as the engine does.
fn follow(inside: &mut Vec<usize>, action: Action) {
    match action {
        Action::Place(i) => {
            inside.push(i);
            inside.sort_unstable();
        }
        Action::TakeOut(i) => inside.retain(|x| *x != i),
        _ => {}
    }
}

fn visible(phase: &Phase<One, Cavity<One>>, y: &[One], at_s: f64, inside: &[usize]) -> Visible {
    let mut x = vec![Lane([0.0]); phase.stores.len()];
    phase.values(y, &mut x);
    let rows = &phase.exchange.rows;
    let mut temperatures_c: Vec<(String, f64)> = [
        ("floor", rows.parts[0]),
        ("crown", rows.parts[1]),
        ("fire side", rows.parts[2]),
        ("gas", rows.gas),
        ("probe", rows.probe),
    ]
    .map(|(name, node)| (name.to_owned(), x[node].lane(0)))
    .to_vec();
    let mut liquids_kg = Vec::new();
    for (nodes, i) in rows.pots.iter().zip(inside) {
        let liquid = nodes.liquid.map(|(liquid, water)| {
            liquids_kg.push(x[water].lane(0).max(0.0));
            x[liquid].lane(0)
        });
        let core = nodes.solid.and_then(|(face, _)| {
            let column = phase.columns.iter().find(|c| c.node == face)?;
            let last = column.grid.len() - 1;
            Some(column.grid.temperature_c(&y[column.first..], last).lane(0))
        });
        temperatures_c.extend(liquid.map(|t| (format!("liquid of placing {i}"), t)));
        temperatures_c.extend(core.or(liquid).map(|t| (format!("core of placing {i}"), t)));
    }
    let accounts_j = std::array::from_fn(|a| y[phase.accounts + a].lane(0));
    Visible { at_s, temperatures_c, liquids_kg, accounts_j }
}
