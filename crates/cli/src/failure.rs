//! What can stop a command. Each says where and what to do.

use ovenfall_answer::AnswerError;
use ovenfall_food::error::FoodError;
use ovenfall_learn::LearnError;
use ovenfall_record::problem::Problem;
use std::io;
use std::path::PathBuf;

/// Why a command stopped.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// Files that cannot be used; warnings may be among the problems.
    #[error("{}", lines(.0))]
    Problems(Vec<Problem>),
    /// There is no answer.
    #[error(transparent)]
    Answer(#[from] AnswerError),
    /// Members could not be drawn.
    #[error("error: {0}")]
    Members(#[from] LearnError),
    /// The built-in dishes cannot be read.
    #[error("error: {0}")]
    Dishes(#[from] FoodError),
    /// A file could not be written.
    #[error("error: {}: cannot be written: {source}\n  try: another place, with --svg where there is one", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The output could not be written.
    #[error("error: the output cannot be written: {0}")]
    Output(#[from] io::Error),
    /// The answer could not be put as JSON.
    #[error("error: the answer cannot be put as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

fn lines(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}
