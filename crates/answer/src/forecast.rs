//! A forecast: the day as driven, the fall on all members, and what was assumed on the way.

use crate::error::AnswerError;
use crate::inputs::{Draw, Inputs};
use jiff::ZonedDateTime;
use ovenfall_engine::drive::{Action, Door};
use ovenfall_learn::{Fall, FallOptions, Situation};

/// A forecast with what it was made from.
#[derive(Debug)]
pub struct Forecast {
    /// The files.
    pub inputs: Inputs,
    /// The hour asked about.
    pub at: ZonedDateTime,
    /// Where the day stands at that hour, and the plan.
    pub situation: Situation,
    /// The fall.
    pub fall: Fall,
    /// Members asked for.
    pub members: usize,
    /// What was assumed, in words.
    pub assumed: Vec<String>,
}

/// What to compute.
#[derive(Debug, Clone, Copy)]
pub struct Request {
    /// How far ahead, h.
    pub horizon_h: f64,
    /// Distance of the times, min.
    pub step_min: f64,
    /// What the members are drawn with.
    pub draw: Draw,
}

impl Forecast {
    /// Computes the fall from an hour on.
    pub fn compute(inputs: Inputs, at: ZonedDateTime, request: Request) -> Result<Self, AnswerError> {
        let situation = inputs.situation(at.timestamp(), request.horizon_h * 3600.0, request.draw)?;
        Self::of(inputs, at, situation, request)
    }

    /// The fall of a day that is known to stand so, with a plan that reaches at least as far as is asked for.
    ///
    /// # Errors
    /// When the day cannot be computed.
    pub fn of(
        inputs: Inputs,
        at: ZonedDateTime,
        mut situation: Situation,
        request: Request,
    ) -> Result<Self, AnswerError> {
        let (horizon_s, draw) = (request.horizon_h * 3600.0, request.draw);
        let options = FallOptions {
            members: draw.members,
            seed: draw.seed,
            output_step_s: request.step_min * 60.0,
            // The past is only drawn: a coarse look is enough for a long one.
            past_step_s: (situation.driven.at_s / 200.0).max(300.0),
            ..FallOptions::default()
        };
        let fall = situation.fall(horizon_s, &options).map_err(|why| AnswerError::no_situation(&inputs, why.into()))?;
        let assumed = situation.assumed.iter().map(|a| a.words(at.time_zone())).collect();
        Ok(Self { inputs, at, situation, fall, members: draw.members, assumed })
    }

    /// Minutes after the hour asked about.
    pub fn after_min(&self, at_s: f64) -> f64 {
        (at_s - self.situation.driven.at_s) / 60.0
    }

    /// How the door stands at a time, s after the start of the day.
    pub fn door_at(&self, at_s: f64) -> Door {
        self.situation.driven.drive.door_at(at_s)
    }

    /// Whether a fire or embers are in at the hour asked about.
    pub fn fire_is_in(&self) -> bool {
        self.situation.driven.drive.fire_in_at(self.situation.driven.at_s)
    }

    /// When the door is first shut from the hour asked about on, s after the start of the day.
    pub fn shut_from_s(&self) -> Option<f64> {
        if self.door_at(self.situation.driven.at_s) == Door::Shut {
            return Some(self.situation.driven.at_s);
        }
        let later = self.situation.driven.drive.events.iter().filter(|event| event.at_s > self.situation.driven.at_s);
        later.into_iter().find(|event| event.action == Action::Door(Door::Shut)).map(|event| event.at_s)
    }
}
