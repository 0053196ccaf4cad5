//! Step control: how long each step is, and when to give up.
//!
//! # Equation
//! With e the largest scaled error of a step, the next step is 0.9 e^−¼ times as long, within 0.2–5; a step with e > 1 is
//! taken again, shorter. Steps land on the end of the phase. Every phase restarts with a short step.
//!
//! # Validity
//! Any phase, of the oven or of a test. Given recorded steps it takes exactly those.
//!
//! # Source
//! Hairer & Wanner, Solving Ordinary Differential Equations II, IV.8.

use crate::error::EngineError;
use crate::history::Effort;
use crate::pack::Real;
use crate::step::{Exchange, Phase, Work};

/// First step after an event, s.
const FIRST_STEP_S: f64 = 4.0;
/// Longest step, s.
const LONGEST_STEP_S: f64 = 7200.0;
/// Shortest step before giving up, s.
const SHORTEST_STEP_S: f64 = 1e-6;
/// Largest growth from one step to the next.
const GROWTH: f64 = 5.0;

/// An accepted step, for whoever records.
pub struct Accepted<'a, R, E> {
    /// The phase.
    pub phase: &'a Phase<R, E>,
    /// State before the step.
    pub before: &'a [R],
    /// State after it.
    pub after: &'a [R],
    /// Start, s.
    pub from_s: f64,
    /// End, s.
    pub to_s: f64,
    /// Work space of the step.
    pub work: &'a Work<R>,
}

/// Chooses steps, or replays them.
#[derive(Debug, Clone, PartialEq)]
pub struct Control {
    /// Local error allowed in every temperature, K.
    pub tolerance_k: f64,
    /// Steps to take instead of choosing them, s.
    pub replay_s: Option<Vec<f64>>,
    /// What it took so far.
    pub effort: Effort,
    /// Steps taken so far, s.
    pub steps_s: Vec<f64>,
}

impl Control {
    /// Chooses steps for a local error of `tolerance_k`, or replays the given ones.
    #[must_use]
    pub fn new(tolerance_k: f64, replay_s: Option<Vec<f64>>) -> Self {
        Self { tolerance_k, replay_s, effort: Effort::default(), steps_s: Vec::new() }
    }

    /// Integrates a phase from `from_s` to `to_s`; `y` is the state, `on_step` sees every accepted step.
    ///
    /// # Errors
    /// When the step becomes too small or a value is not finite.
    pub fn integrate<R: Real, E: Exchange<R>>(
        &mut self,
        phase: &Phase<R, E>,
        y: &mut Vec<R>,
        (from_s, to_s): (f64, f64),
        mut on_step: impl FnMut(&Accepted<'_, R, E>),
    ) -> Result<(), EngineError> {
        let mut work = phase.work();
        let mut next = y.clone();
        let (mut t, mut h, mut growth) = (from_s, FIRST_STEP_S, GROWTH);
        self.effort.restarts += 1;
        phase.evaluate(y, &mut work);
        self.effort.evaluations += 1;
        while t < to_s {
            let taken = self.length_s(h, to_s - t);
            phase.set_weights(y, &mut work, self.tolerance_k);
            let error = phase.step(y, taken, &mut next, &mut work);
            self.effort.factorisations += 1;
            self.effort.evaluations += 5;
            let factor = 0.9 / error.sqrt().sqrt().max(1e-3);
            if self.replay_s.is_none()
                && !matches!(error.partial_cmp(&1.0), Some(std::cmp::Ordering::Less | std::cmp::Ordering::Equal))
            {
                self.effort.rejected += 1;
                h = taken * if factor.is_finite() { factor.clamp(0.1, 0.7) } else { 0.1 };
                growth = 1.0;
                if h < SHORTEST_STEP_S {
                    return Err(EngineError::StepTooSmall { at_s: t, step_s: h, error });
                }
                continue;
            }
            if !error.is_finite() {
                return Err(EngineError::NotFinite { at_s: t, what: "the state" });
            }
            let end_s = if taken >= to_s - t { to_s } else { t + taken };
            on_step(&Accepted { phase, before: y, after: &next, from_s: t, to_s: end_s, work: &work });
            std::mem::swap(y, &mut next);
            t = end_s;
            self.effort.steps += 1;
            self.steps_s.push(taken);
            h = taken * factor.clamp(0.2, growth);
            growth = GROWTH;
            phase.evaluate(y, &mut work);
            self.effort.evaluations += 1;
        }
        Ok(())
    }

    /// The step to try next: the recorded one, or `h` fitted to what is left.
    fn length_s(&self, h: f64, left: f64) -> f64 {
        if let Some(steps) = &self.replay_s {
            return steps.get(self.steps_s.len()).copied().unwrap_or(left).min(left);
        }
        let h = h.min(LONGEST_STEP_S);
        if h >= left * 0.999 {
            left
        } else if h > 0.5 * left {
            0.5 * left
        } else {
            h
        }
    }
}
