//! A whole oven as plain files' texts, out and in: what is in the store can always be taken elsewhere and read by eye.

use crate::entries::Appended;
use crate::error::StoreError;
use crate::id::{DayId, OvenId};
use crate::store::Store;
use jiff::Timestamp;
use ovenfall_record::day_file::read_day;

/// The texts of one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayFiles {
    /// The day.
    pub day: DayId,
    /// Its day file.
    pub csv: String,
    /// Its pots file, if it has one.
    pub pots_toml: Option<String>,
}

/// The texts of one oven and all its days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bundle {
    /// The oven.
    pub oven: OvenId,
    /// Its oven file.
    pub oven_toml: String,
    /// Its days, the earliest begun first.
    pub days: Vec<DayFiles>,
}

impl Store {
    /// An oven with all its days as texts.
    ///
    /// # Errors
    /// [`StoreError::Missing`] without the oven.
    pub fn take_out(&self, oven: &OvenId) -> Result<Bundle, StoreError> {
        let oven_toml = self.oven_text(oven)?;
        let mut days = Vec::new();
        for summary in self.days(oven)?.into_iter().rev() {
            let (csv, pots_toml) = (self.day_text(&summary.day)?, self.pots_text(&summary.day)?);
            days.push(DayFiles { day: summary.day, csv, pots_toml });
        }
        Ok(Bundle { oven: oven.clone(), oven_toml, days })
    }

    /// Brings an oven with its days in. What is there already and says the same stays as it is, so that bringing the
    /// same bundle in twice changes nothing; returns how many entries were new.
    ///
    /// # Errors
    /// [`StoreError::Problems`] when a text does not read well, [`StoreError::Taken`] when a day or an entry is there and
    /// says something else. Days before the one that failed stay brought in.
    pub fn bring_in(&self, bundle: &Bundle, who: &str, now: Timestamp) -> Result<usize, StoreError> {
        let known = self.ovens()?.into_iter().find(|known| known.oven == bundle.oven);
        if known.is_none_or(|known| known.text != bundle.oven_toml) {
            self.write_oven(&bundle.oven, &bundle.oven_toml, who, now)?;
        }
        let mut new = 0;
        for files in &bundle.days {
            let day = read_day(&format!("{}.csv", files.day), &files.csv).map_err(StoreError::Problems)?;
            self.begin_day(&files.day, &bundle.oven, now)?;
            if let Some(pots) = &files.pots_toml
                && self.pots_text(&files.day)?.as_ref() != Some(pots)
            {
                self.write_pots(&files.day, pots, who, now)?;
            }
            let became = self.append(&files.day, &day.entries, who, now)?;
            new += became.iter().filter(|became| **became == Appended::Added).count();
        }
        Ok(new)
    }
}
