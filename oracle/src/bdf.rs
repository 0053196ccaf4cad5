//! A variable-order backward differentiation formula with a general sparse LU (the `diffsol` and `faer` libraries).

use crate::error::OracleError;
use crate::system::{Span, System};
use diffsol::error::DiffsolError;
use diffsol::{FaerSparseLU, FaerSparseMat, OdeBuilder, OdeSolverMethod, OdeSolverStopReason, Vector};
use std::cell::RefCell;

/// Step to try first after an event, s.
const FIRST_STEP_S: f64 = 0.1;

/// Integrates a system over a span with an absolute tolerance in every unknown (see [`System`] for what a unit is).
///
/// # Errors
/// When the solver gives up.
pub fn integrate(
    system: &mut System,
    span: Span<'_>,
    report: &mut dyn FnMut(&mut System, &[f64]),
    tolerance_k: f64,
) -> Result<Vec<f64>, OracleError> {
    let mut at_s = span.from_s;
    solve(system, span, report, tolerance_k, &mut at_s).map_err(|source| OracleError::Bdf { at_s, source })
}

fn solve(
    system: &mut System,
    span: Span<'_>,
    report: &mut dyn FnMut(&mut System, &[f64]),
    tolerance_k: f64,
    at_s: &mut f64,
) -> Result<Vec<f64>, DiffsolError> {
    let (start, size) = (system.unknowns(), system.len());
    let shared = RefCell::new(system);
    let problem = OdeBuilder::<FaerSparseMat<f64>>::new()
        .t0(0.0)
        .h0(FIRST_STEP_S)
        // Unknowns are kelvin-like, so an absolute tolerance is meant; a relative one stands in only where they are huge.
        .rtol(1e-3 * tolerance_k.min(1e-4))
        .atol(vec![tolerance_k; size])
        .use_coloring(true)
        .rhs_implicit(
            |u, _p, _t, du| shared.borrow_mut().rate(u, du),
            |u, _p, _t, v, jv| shared.borrow_mut().jacobian(u).multiply(v, jv),
        )
        .init(|_p, _t, u| u.copy_from_slice(&start), size)
        .build()?;
    let mut solver = problem.bdf::<FaerSparseLU<f64>>()?;
    let length_s = span.to_s - span.from_s;
    solver.set_stop_time(length_s)?;
    let mut wanted = span.wanted_s.iter().peekable();
    loop {
        let reason = solver.step()?;
        let stopped = matches!(reason, OdeSolverStopReason::TstopReached);
        let t = if stopped { length_s } else { solver.state().t };
        *at_s = span.from_s + t;
        while let Some(w) = wanted.next_if(|w| **w - span.from_s <= t) {
            let u = solver.interpolate((w - span.from_s).min(solver.state().t))?.clone_as_vec();
            report(&mut shared.borrow_mut(), &u);
        }
        if stopped {
            break;
        }
    }
    let last = solver.state().y.clone_as_vec();
    let statistics = solver.get_statistics();
    let mut system = shared.borrow_mut();
    system.count.steps += statistics.number_of_steps;
    system.count.factorisations += statistics.number_of_linear_solver_setups;
    Ok(last)
}
