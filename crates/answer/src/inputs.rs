//! Oven, day and pots together: read, checked against each other, and the hash that tells which they were.

use crate::error::AnswerError;
use jiff::Timestamp;
use ovenfall_learn::{Asked, Situation, situation};
use ovenfall_plan::Menu;
use ovenfall_record::day::Day;
use ovenfall_record::day_file::read_day;
use ovenfall_record::oven_file::{OvenFile, read_oven};
use ovenfall_record::pots::{Pots, WoodSheet};
use ovenfall_record::pots_file::read_pots;
use ovenfall_record::problem::{Problem, Severity};
use ovenfall_record::together::check_together;
use sha2::{Digest, Sha256};

/// A text under the name its user knows it by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputText {
    /// The name.
    pub name: String,
    /// The text.
    pub text: String,
}

/// What the members of an answer are drawn with.
#[derive(Debug, Clone, Copy)]
pub struct Draw {
    /// How many.
    pub members: usize,
    /// Seed.
    pub seed: u64,
    /// Whether the day's readings are taken in.
    pub readings: bool,
}

/// What a forecast is made from.
#[derive(Debug)]
pub struct Inputs {
    /// Name of the oven file.
    pub oven_name: String,
    /// The oven.
    pub oven: OvenFile,
    /// The day.
    pub day: Day,
    /// Pots and dishes; none when there is no file of them.
    pub pots: Pots,
    /// What looks wrong in any of them.
    pub warnings: Vec<Problem>,
    /// SHA-256 over the bytes of oven, day and pots file, in this order, in hexadecimal.
    pub sha256: String,
}

/// No pots: what a day without a pots file has.
pub fn no_pots() -> Pots {
    Pots { file: "the pots file".to_owned(), dishes: Vec::new(), wood: WoodSheet::default(), warnings: Vec::new() }
}

impl Inputs {
    /// Where the day stands at an hour, with the plan of so many seconds after it.
    ///
    /// # Errors
    /// When the day cannot be put together or computed.
    pub fn situation(&self, at: Timestamp, horizon_s: f64, draw: Draw) -> Result<Situation, AnswerError> {
        let asked = Asked {
            oven: &self.oven,
            day: &self.day,
            pots: &self.pots,
            at,
            horizon_s,
            members: draw.members,
            seed: draw.seed,
            readings: draw.readings,
        };
        situation(&asked).map_err(|why| AnswerError::no_situation(self, why))
    }

    /// Reads the texts of an oven, a day and, where there is one, of its pots.
    ///
    /// # Errors
    /// [`AnswerError::Problems`], with every problem of all of them.
    pub fn from_texts(oven: &InputText, day: &InputText, pots: Option<&InputText>) -> Result<Self, AnswerError> {
        let sha256 = hash([Some(oven), Some(day), pots].into_iter().flatten());
        let oven_name = oven.name.clone();
        let (oven, day) = (read_oven(&oven.name, &oven.text), read_day(&day.name, &day.text));
        let pots = pots.map_or_else(|| Ok(no_pots()), |pots| read_pots(&pots.name, &pots.text));
        match (oven, day, pots) {
            (Ok(oven), Ok(day), Ok(pots)) => {
                let together = check_together(&oven.description, &day, &pots);
                let warnings = [&oven.warnings, &day.warnings, &pots.warnings, &together];
                let warnings: Vec<Problem> = warnings.into_iter().flatten().cloned().collect();
                if warnings.iter().any(|problem| problem.severity == Severity::Error) {
                    return Err(AnswerError::Problems(warnings));
                }
                Ok(Self { oven_name, oven, day, pots, warnings, sha256 })
            }
            (oven, day, pots) => {
                let found = [oven.err(), day.err(), pots.err()];
                Err(AnswerError::Problems(found.into_iter().flatten().flatten().collect()))
            }
        }
    }

    /// The pots of the day joined to those of a menu, and the SHA-256 of its text. What looks wrong in it comes to
    /// the warnings.
    ///
    /// # Errors
    /// [`AnswerError::Problems`] when the menu cannot be used.
    pub fn menu(&mut self, file: &InputText) -> Result<(Menu, String), AnswerError> {
        let pots = read_pots(&file.name, &file.text).map_err(AnswerError::Problems)?;
        let together = check_together(&self.oven.description, &self.day, &pots).into_iter();
        let of_menu: Vec<Problem> = together.filter(|problem| problem.file == file.name).collect();
        if of_menu.iter().any(|problem| problem.severity == Severity::Error) {
            return Err(AnswerError::Problems(of_menu));
        }
        self.warnings.extend(pots.warnings.iter().cloned().chain(of_menu));
        Ok((Menu::new(self.pots.clone(), &pots), hash(std::iter::once(file))))
    }
}

fn hash<'a>(files: impl Iterator<Item = &'a InputText>) -> String {
    let mut sha = Sha256::new();
    for file in files {
        sha.update(file.text.as_bytes());
    }
    sha.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
