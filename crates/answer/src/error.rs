//! What can stop an answer. Each says where and what to do.

use crate::inputs::Inputs;
use ovenfall_engine::error::EngineError;
use ovenfall_learn::LearnError;
use ovenfall_learn::situation::NoSituation;
use ovenfall_plan::PlanError;
use ovenfall_record::problem::Problem;

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum AnswerError {
    /// Texts that cannot be used; warnings may be among the problems.
    #[error("{}", lines(.0))]
    Problems(Vec<Problem>),
    /// The hour asked about is not one.
    #[error("error: --at `{given}`: {why}\n  try: {suggestion}")]
    Hour {
        /// What was given.
        given: String,
        /// What is wrong with it.
        why: String,
        /// What to give instead.
        suggestion: String,
    },
    /// What a reading is to narrow is not a question about this day.
    #[error("error: --next `{given}`: {why}\n  try: {suggestion}")]
    Next {
        /// What was given.
        given: String,
        /// What is wrong with it.
        why: String,
        /// What to give instead.
        suggestion: String,
    },
    /// The engine cannot work with an oven that reads well.
    #[error("error: {file}: this oven cannot be computed: {source}\n  try: measure the part it names again")]
    Oven {
        /// The oven file.
        file: String,
        /// What the engine said.
        source: EngineError,
    },
    /// The forecast could not be computed.
    #[error(
        "error: {oven} with {day}: the day cannot be computed: {source}\n  try: ovenfall check with all your files"
    )]
    Forecast {
        /// The oven file.
        oven: String,
        /// The day's file.
        day: String,
        /// What was said.
        source: LearnError,
    },
    /// Members could not be drawn.
    #[error("error: {0}")]
    Members(#[from] LearnError),
    /// A menu could not be judged.
    #[error("error: {0}")]
    Menu(#[from] PlanError),
}

impl AnswerError {
    /// Why a day cannot be answered about.
    #[must_use]
    pub fn no_situation(inputs: &Inputs, why: NoSituation) -> Self {
        match why {
            NoSituation::Problems(problems) => Self::Problems(problems),
            NoSituation::Learn(source) => {
                Self::Forecast { oven: inputs.oven_name.clone(), day: inputs.day.file.clone(), source }
            }
        }
    }
}

fn lines(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}
