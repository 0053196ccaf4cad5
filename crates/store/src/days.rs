//! Days: each belongs to an oven; its pots are a text that is corrected by a further text.

use crate::error::StoreError;
use crate::id::{DayId, OvenId};
use crate::ovens;
use crate::store::Store;
use jiff::Timestamp;
use ovenfall_record::pots_file::read_pots;
use rusqlite::{OptionalExtension, Transaction, params};

/// A day in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DaySummary {
    /// The day.
    pub day: DayId,
    /// Its oven.
    pub oven: OvenId,
    /// When it was begun.
    pub created: String,
    /// How many entries it has.
    pub entries: u32,
}

pub(crate) fn must_exist(at: &Transaction<'_>, day: &DayId) -> Result<(), StoreError> {
    let found: Option<u8> =
        at.query_row("SELECT 1 FROM days WHERE id = ?1", [day.as_str()], |row| row.get(0)).optional()?;
    found.map(|_| ()).ok_or_else(|| StoreError::Missing { what: "day", id: day.to_string() })
}

impl Store {
    /// Begins a day of an oven. Begun twice with the same oven it is there once.
    ///
    /// # Errors
    /// [`StoreError::Missing`] without the oven, [`StoreError::Taken`] when another oven has a day of this id.
    pub fn begin_day(&self, day: &DayId, oven: &OvenId, now: Timestamp) -> Result<(), StoreError> {
        self.write(|to| {
            ovens::must_exist(to, oven)?;
            let sql = "SELECT oven FROM days WHERE id = ?1";
            let of: Option<String> = to.query_row(sql, [day.as_str()], |row| row.get(0)).optional()?;
            match of {
                Some(of) if of == oven.as_str() => Ok(()),
                Some(_) => Err(StoreError::Taken { what: "day", id: day.to_string() }),
                None => {
                    let sql = "INSERT INTO days (id, oven, created) VALUES (?1, ?2, ?3)";
                    to.execute(sql, params![day.as_str(), oven.as_str(), now.to_string()])?;
                    Ok(())
                }
            }
        })
    }

    /// Writes the text of a day's pots file, or corrects it.
    ///
    /// # Errors
    /// [`StoreError::Problems`] when the text does not read well, [`StoreError::Missing`] without the day.
    pub fn write_pots(&self, day: &DayId, text: &str, who: &str, now: Timestamp) -> Result<(), StoreError> {
        read_pots(&format!("{day}.pots.toml"), text).map_err(StoreError::Problems)?;
        self.write(|to| {
            must_exist(to, day)?;
            let sql = "INSERT INTO pots_texts (day, text, written, who) VALUES (?1, ?2, ?3, ?4)";
            to.execute(sql, params![day.as_str(), text, now.to_string(), who])?;
            Ok(())
        })
    }

    /// The text of a day's pots file as it stands; `None` when there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn pots_text(&self, day: &DayId) -> Result<Option<String>, StoreError> {
        let sql = "SELECT text FROM pots_texts WHERE day = ?1 ORDER BY number DESC LIMIT 1";
        self.read(|from| Ok(from.query_row(sql, [day.as_str()], |row| row.get(0)).optional()?))
    }

    /// Days of an oven, the latest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn days(&self, oven: &OvenId) -> Result<Vec<DaySummary>, StoreError> {
        let sql = "SELECT id, created, (SELECT count(*) FROM entries WHERE day = days.id) FROM days \
                   WHERE oven = ?1 ORDER BY created DESC, id DESC";
        self.read(|from| {
            let mut statement = from.prepare(sql)?;
            let rows = statement.query_map([oven.as_str()], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
            let rows: Vec<(String, String, u32)> = rows.collect::<Result<_, _>>()?;
            let of = |(day, created, entries): (String, String, u32)| {
                Ok(DaySummary { day: DayId::new(&day)?, oven: oven.clone(), created, entries })
            };
            rows.into_iter().map(of).collect()
        })
    }

    /// The oven of a day.
    ///
    /// # Errors
    /// [`StoreError::Missing`] when there is no such day.
    pub fn oven_of(&self, day: &DayId) -> Result<OvenId, StoreError> {
        self.read(|from| {
            let sql = "SELECT oven FROM days WHERE id = ?1";
            let of: Option<String> = from.query_row(sql, [day.as_str()], |row| row.get(0)).optional()?;
            of.map_or_else(|| Err(StoreError::Missing { what: "day", id: day.to_string() }), |oven| OvenId::new(&oven))
        })
    }
}
