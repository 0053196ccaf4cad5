//! What can stop a command. Each says where and what to do.

use ovenfall_answer::AnswerError;
use ovenfall_food::error::FoodError;
use ovenfall_learn::LearnError;
use ovenfall_record::problem::Problem;
use ovenfall_store::StoreError;
use ovenfall_web::WebError;
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
    /// The data file.
    #[error("error: {source}\n  try: {suggestion}")]
    Data {
        /// What the store said.
        source: StoreError,
        /// What to do.
        suggestion: String,
    },
    /// The pages could not be served.
    #[error("error: the pages cannot be served on port {port}: {source}\n  try: {suggestion}")]
    Serve {
        /// The port.
        port: u16,
        /// What the system said.
        source: io::Error,
        /// What to do.
        suggestion: String,
    },
    /// There is no place for the data file.
    #[error("error: there is no data folder: {0}\n  try: name a file with --data")]
    NoDataFolder(String),
    /// What the server said on the way.
    #[error("error: {0}")]
    Web(#[from] WebError),
    /// A folder that cannot be used.
    #[error("error: {}: {what}\n  try: {suggestion}", path.display())]
    Folder {
        /// The folder.
        path: PathBuf,
        /// What is wrong with it.
        what: String,
        /// What to do.
        suggestion: &'static str,
    },
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

impl From<StoreError> for Failure {
    fn from(source: StoreError) -> Self {
        let suggestion = match &source {
            StoreError::Problems(problems) => return Self::Problems(problems.clone()),
            StoreError::NotOurs { .. } => "name another file",
            StoreError::Later { .. } => "use the later version, or another file",
            StoreError::InUse { .. } => "stop the server first",
            StoreError::Damaged { .. } => "restore a backup: ovenfall restore",
            StoreError::Missing { .. } => "check the id: it stands in the address of the oven's pages",
            StoreError::Taken { .. } | StoreError::Id { .. } => "choose another id",
            StoreError::Sqlite(_) | StoreError::File { .. } => "check the file, its folder and the disk it is on",
        };
        Self::Data { source, suggestion: suggestion.to_owned() }
    }
}

fn lines(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}
