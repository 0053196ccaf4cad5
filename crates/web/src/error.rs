//! What a request can be answered with when it cannot be done: one shape of JSON for all of it.

use axum::Json;
use axum::extract::rejection::JsonRejection;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use ovenfall_record::day_file::FieldProblem;
use ovenfall_record::problem::Problem;
use ovenfall_store::StoreError;
use serde::Serialize;

/// Why a request cannot be done.
#[derive(Debug, thiserror::Error)]
pub enum WebError {
    /// The store said no.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// There is no answer.
    #[error(transparent)]
    Answer(#[from] ovenfall_answer::AnswerError),
    /// More screens watch than the server holds.
    #[error("too many screens watch: close one")]
    TooManyWatchers,
    /// There is no such page.
    #[error("there is no such page")]
    NoSuchPage,
    /// Fields of an entry that cannot be used.
    #[error("an entry cannot be used")]
    Fields {
        /// Which of the entries sent, from 0.
        entry: usize,
        /// What is wrong with it.
        problems: Vec<FieldProblem>,
    },
    /// This screen is not paired.
    #[error("this screen is not paired with the oven")]
    NotPaired,
    /// A wrong code.
    #[error("this is not the code on the oven's screen")]
    WrongCode,
    /// Too many wrong codes.
    #[error("too many wrong codes: wait {wait_s} s")]
    TooManyTries {
        /// How long to wait, s.
        wait_s: u64,
    },
    /// The request comes from a page of another site, or under a name that is not this server's.
    #[error("the request comes from elsewhere: {0}")]
    FromElsewhere(&'static str),
    /// The request cannot be read.
    #[error("the request cannot be read: {what}")]
    Unreadable {
        /// Status of the answer.
        status: StatusCode,
        /// What is wrong with it.
        what: String,
    },
    /// The work could not be finished.
    #[error("the work could not be finished: {0}")]
    Unfinished(String),
}

/// One problem as it is sent.
#[derive(Debug, Serialize)]
struct ProblemJson {
    #[serde(skip_serializing_if = "Option::is_none")]
    entry: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    field: Option<&'static str>,
    what: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    limits: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    suggestion: Option<String>,
}

impl ProblemJson {
    fn of(entry: Option<usize>, field: Option<&'static str>, problem: &Problem) -> Self {
        Self {
            entry,
            field,
            what: problem.what.clone(),
            limits: problem.limits.clone(),
            suggestion: problem.suggestion.clone(),
        }
    }
}

#[derive(Debug, Serialize)]
struct Body {
    error: String,
    problems: Vec<ProblemJson>,
}

impl WebError {
    /// Status of the answer.
    #[must_use]
    pub fn status(&self) -> StatusCode {
        match self {
            Self::Store(StoreError::Missing { .. }) | Self::NoSuchPage => StatusCode::NOT_FOUND,
            Self::Store(StoreError::Taken { .. }) => StatusCode::CONFLICT,
            Self::Store(StoreError::Id { .. }) => StatusCode::BAD_REQUEST,
            Self::Unreadable { status, .. } => *status,
            Self::Store(StoreError::Problems(_)) | Self::Fields { .. } | Self::Answer(_) => {
                StatusCode::UNPROCESSABLE_ENTITY
            }
            Self::Store(_) | Self::Unfinished(_) => StatusCode::INTERNAL_SERVER_ERROR,
            Self::NotPaired => StatusCode::UNAUTHORIZED,
            Self::WrongCode | Self::FromElsewhere(_) => StatusCode::FORBIDDEN,
            Self::TooManyTries { .. } => StatusCode::TOO_MANY_REQUESTS,
            Self::TooManyWatchers => StatusCode::SERVICE_UNAVAILABLE,
        }
    }

    fn problems(&self) -> Vec<ProblemJson> {
        match self {
            Self::Store(StoreError::Problems(problems)) => {
                problems.iter().map(|problem| ProblemJson::of(None, None, problem)).collect()
            }
            Self::Fields { entry, problems } => {
                problems.iter().map(|wrong| ProblemJson::of(Some(*entry), Some(wrong.field), &wrong.problem)).collect()
            }
            _ => Vec::new(),
        }
    }
}

impl From<JsonRejection> for WebError {
    fn from(rejection: JsonRejection) -> Self {
        Self::Unreadable { status: rejection.status(), what: rejection.body_text() }
    }
}

impl IntoResponse for WebError {
    fn into_response(self) -> Response {
        let body = Body { error: self.to_string(), problems: self.problems() };
        (self.status(), Json(body)).into_response()
    }
}
