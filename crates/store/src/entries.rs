//! Entries: added, never changed, each there once however often it is sent.

use crate::days;
use crate::error::StoreError;
use crate::id::DayId;
use crate::store::Store;
use jiff::Timestamp;
use ovenfall_record::day::{Day, Entry};
use ovenfall_record::day_file::{read_day, text_of_lines, write_line};
use rusqlite::{OptionalExtension, Transaction, params};

/// What became of an entry that was sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Appended {
    /// It is new.
    Added,
    /// It was there already, saying the same.
    KnownAlready,
}

/// An entry as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The order in which entries came in, over all days.
    pub number: i64,
    /// Its id.
    pub id: String,
    /// When it came in.
    pub came_in: String,
    /// Who wrote it; empty when nobody said.
    pub who: String,
}

fn lines(from: &Transaction<'_>, day: &DayId) -> Result<Vec<String>, StoreError> {
    let mut statement = from.prepare_cached("SELECT line FROM entries WHERE day = ?1 ORDER BY written_ms, number")?;
    let rows = statement.query_map([day.as_str()], |row| row.get(0))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn day_of(day: &DayId, lines: &[String]) -> Result<Day, StoreError> {
    read_day(&format!("{day}.csv"), &text_of_lines(lines)).map_err(StoreError::Problems)
}

impl Store {
    /// Adds entries to a day, in their order, all or none. An entry that is there already and says the same is left; so
    /// a queue that was sent and never answered may be sent again.
    ///
    /// # Errors
    /// [`StoreError::Taken`] for an id that is there and says something else, [`StoreError::Problems`] when the day would
    /// not read well any more (every problem, with the line the entry would have), [`StoreError::Missing`] without the
    /// day.
    pub fn append(
        &self,
        day: &DayId,
        entries: &[Entry],
        who: &str,
        now: Timestamp,
    ) -> Result<Vec<Appended>, StoreError> {
        self.write(|to| {
            days::must_exist(to, day)?;
            let mut became = Vec::with_capacity(entries.len());
            for entry in entries {
                became.push(add(to, day, entry, who, now)?);
            }
            if became.contains(&Appended::Added) {
                day_of(day, &lines(to, day)?)?;
            }
            Ok(became)
        })
    }

    /// A day with all its entries, in the order they were written down.
    ///
    /// # Errors
    /// [`StoreError::Missing`] without the day.
    pub fn day(&self, day: &DayId) -> Result<Day, StoreError> {
        self.read(|from| {
            days::must_exist(from, day)?;
            day_of(day, &lines(from, day)?)
        })
    }

    /// The last entry that came in to a day: its number, 0 where there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_entry(&self, day: &DayId) -> Result<i64, StoreError> {
        let sql = "SELECT coalesce(max(number), 0) FROM entries WHERE day = ?1";
        self.read(|from| Ok(from.query_row(sql, [day.as_str()], |row| row.get(0))?))
    }

    /// A day as the text of a day file.
    ///
    /// # Errors
    /// [`StoreError::Missing`] without the day.
    pub fn day_text(&self, day: &DayId) -> Result<String, StoreError> {
        self.read(|from| {
            days::must_exist(from, day)?;
            Ok(text_of_lines(&lines(from, day)?))
        })
    }

    /// Entries of a day that came in after number `after` (0 for all), in order.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn kept_after(&self, day: &DayId, after: i64) -> Result<Vec<Kept>, StoreError> {
        let sql = "SELECT number, id, came_in, who FROM entries WHERE day = ?1 AND number > ?2 ORDER BY number";
        self.read(|from| {
            let mut statement = from.prepare_cached(sql)?;
            let rows = statement.query_map(params![day.as_str(), after], |row| {
                Ok(Kept { number: row.get(0)?, id: row.get(1)?, came_in: row.get(2)?, who: row.get(3)? })
            })?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }
}

fn add(to: &Transaction<'_>, day: &DayId, entry: &Entry, who: &str, now: Timestamp) -> Result<Appended, StoreError> {
    let line = write_line(entry);
    let sql = "SELECT line FROM entries WHERE day = ?1 AND id = ?2";
    let there: Option<String> = to.query_row(sql, params![day.as_str(), entry.id], |row| row.get(0)).optional()?;
    match there {
        Some(same) if same == line => Ok(Appended::KnownAlready),
        Some(_) => Err(StoreError::Taken { what: "entry", id: entry.id.clone() }),
        None => {
            let sql = "INSERT INTO entries (day, id, written_ms, line, came_in, who) VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
            let written_ms = entry.written.instant.as_millisecond();
            to.execute(sql, params![day.as_str(), entry.id, written_ms, line, now.to_string(), who])?;
            Ok(Appended::Added)
        }
    }
}
