//! Answers for a cook: a question about a day is computed and told in words, JSON and the figures of pictures.
//!
//! Between the computation below and the edges above: the command line and the pages tell the same, because both take
//! it from here. Nothing here opens a file, reads a clock or knows how an answer is sent.
#![forbid(unsafe_code)]

pub mod appraised;
pub mod board;
pub mod cautions;
pub mod entry_words;
pub mod error;
pub mod fall_json;
pub mod fall_words;
pub mod forecast;
pub mod headline;
pub mod inputs;
mod json_parts;
pub mod judged;
pub mod menu;
pub mod menu_board;
pub mod next_question;
pub mod next_words;
pub mod now_json;
pub mod now_picture;
pub mod now_words;
pub mod oven_glance;
pub mod oven_json;
pub mod oven_now;
pub mod oven_words;
pub mod past_board;
pub mod pictures;
pub mod placings;
pub mod wall_clock;
pub mod when_json;
pub mod when_words;

pub use board::Board;
pub use error::AnswerError;
pub use forecast::Forecast;
pub use inputs::{Draw, InputText, Inputs};
pub use json_parts::{rounded, time};
pub use menu_board::MenuBoard;
pub use oven_now::OvenNow;
pub use past_board::PastBoard;
