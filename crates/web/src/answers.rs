//! Answers of the days that are watched, computed behind the pages: a page shows the last one at once and the next one
//! when it is there.
//!
//! What is asked for while something is computed is computed once afterwards, however often it was asked for.

use jiff::Timestamp;
use ovenfall_store::DayId;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio::sync::Notify;

/// An answer with its place in the order of answers.
#[derive(Debug)]
pub struct Numbered<T> {
    /// The answer.
    pub answer: T,
    /// The hour it answers for.
    pub at: Timestamp,
    /// Rises with every answer.
    pub number: u64,
}

#[derive(Debug)]
struct State<T> {
    kept: HashMap<DayId, Arc<Numbered<T>>>,
    asked: Vec<DayId>,
    number: u64,
}

/// Answers of one kind, and days that wait for one.
#[derive(Debug)]
pub struct Answers<T> {
    state: Mutex<State<T>>,
    asked: Arc<Notify>,
}

impl<T> Answers<T> {
    /// None yet; `asked` is told whenever one is asked for.
    #[must_use]
    pub fn new(asked: Arc<Notify>) -> Self {
        Self { state: Mutex::new(State { kept: HashMap::new(), asked: Vec::new(), number: 0 }), asked }
    }

    fn state(&self) -> MutexGuard<'_, State<T>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Asks for an answer.
    pub fn ask(&self, day: &DayId) {
        let mut state = self.state();
        if !state.asked.contains(day) {
            state.asked.push(day.clone());
        }
        drop(state);
        self.asked.notify_one();
    }

    /// The last answer for a day.
    #[must_use]
    pub fn last(&self, day: &DayId) -> Option<Arc<Numbered<T>>> {
        self.state().kept.get(day).cloned()
    }

    /// Keeps an answer in place of the last one.
    pub fn keep(&self, day: &DayId, answer: T, at: Timestamp) -> Arc<Numbered<T>> {
        let mut state = self.state();
        state.number += 1;
        let numbered = Arc::new(Numbered { answer, at, number: state.number });
        state.kept.insert(day.clone(), Arc::clone(&numbered));
        numbered
    }

    /// The day that has waited longest.
    pub fn next(&self) -> Option<DayId> {
        let mut state = self.state();
        (!state.asked.is_empty()).then(|| state.asked.remove(0))
    }
}
