//! What is in the oven at an hour of a day, and the reading that would tell most: computed, with what was assumed.

use crate::error::AnswerError;
use crate::inputs::{Draw, Inputs};
use crate::next_question::{Asked as AskedNext, asked_next};
use jiff::ZonedDateTime;
use ovenfall_food::dish::Dish;
use ovenfall_learn::next_reading::{Question, Ranking, rank};
use ovenfall_learn::now::{Looked, Now, survey};
use ovenfall_learn::{Assumption, FallOptions, Situation};

/// How far the plan is looked at, s.
const PLAN_S: f64 = 24.0 * 3600.0;

/// What is in the oven, with what it was made from.
#[derive(Debug)]
pub struct OvenNow {
    /// The files.
    pub inputs: Inputs,
    /// The hour asked about.
    pub at: ZonedDateTime,
    /// Where the day stands at that hour.
    pub situation: Situation,
    /// What is in the oven.
    pub now: Now,
    /// What a reading is to narrow.
    pub next: AskedNext,
    /// Readings in order of what they would bring to it; `None` where there is nothing to narrow.
    pub ranking: Option<Ranking>,
    /// Members asked for.
    pub members: usize,
    /// What they are drawn with.
    pub seed: u64,
    /// What was assumed, in words.
    pub assumed: Vec<String>,
}

/// What to compute.
#[derive(Debug, Clone, Copy)]
pub struct Request<'a> {
    /// Temperatures above which the store is wanted, °C.
    pub store_above_c: &'a [f64],
    /// What the next reading is to narrow.
    pub next: &'a str,
    /// What the members are drawn with.
    pub draw: Draw,
}

impl OvenNow {
    /// Computes what is in the oven at an hour.
    pub fn compute(
        inputs: Inputs,
        at: ZonedDateTime,
        dishes: &[Dish],
        request: &Request<'_>,
    ) -> Result<Self, AnswerError> {
        let draw = request.draw;
        let situation = inputs.situation(at.timestamp(), PLAN_S, draw)?;
        let next = asked_next(request.next, &inputs, &situation, &at, dishes)?;
        let looked = Looked {
            store_above_c: request.store_above_c.to_vec(),
            planned_s: next.question.planned_s(),
            fall: FallOptions { seed: draw.seed, members: draw.members, ..FallOptions::default() },
        };
        let survey = survey(&situation, looked).map_err(|why| AnswerError::no_situation(&inputs, why.into()))?;
        let now = survey.now(&situation);
        let ranking = rank(&situation, &survey, next.question);
        let about_now = |assumption: &&Assumption| told(assumption, next.question);
        let assumed = situation.assumed.iter().filter(about_now).map(|a| a.words(at.time_zone())).collect();
        let (members, seed) = (draw.members, draw.seed);
        Ok(Self { inputs, at, situation, now, next, ranking, members, seed, assumed })
    }

    /// How many of the day's readings were taken in.
    pub fn readings_used(&self) -> usize {
        self.situation.members.residuals.iter().map(|residual| residual.observation.ids.len()).sum()
    }
}

/// What is assumed of the door from here on matters only to a question about later.
fn told(assumption: &Assumption, question: Question) -> bool {
    let of_the_door = matches!(assumption, Assumption::DoorShutFromHere | Assumption::FireStaysIn { .. });
    !of_the_door || question != Question::Store
}
