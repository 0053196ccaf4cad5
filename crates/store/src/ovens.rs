//! Ovens: each a row, its description a text that is corrected by a further text.

use crate::error::StoreError;
use crate::id::OvenId;
use crate::store::Store;
use jiff::Timestamp;
use ovenfall_record::oven_file::read_oven;
use rusqlite::{OptionalExtension, Transaction, params};

/// An oven file's text as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OvenText {
    /// The oven.
    pub oven: OvenId,
    /// The text of its file.
    pub text: String,
    /// When it was written.
    pub written: String,
    /// Who wrote it.
    pub who: String,
}

pub(crate) fn must_exist(at: &Transaction<'_>, oven: &OvenId) -> Result<(), StoreError> {
    let found: Option<u8> =
        at.query_row("SELECT 1 FROM ovens WHERE id = ?1", [oven.as_str()], |row| row.get(0)).optional()?;
    found.map(|_| ()).ok_or_else(|| StoreError::Missing { what: "oven", id: oven.to_string() })
}

impl Store {
    /// Writes the text of an oven file: a new oven, or a correction of one that is there.
    ///
    /// # Errors
    /// [`StoreError::Problems`] when the text does not read well; nothing is written then.
    pub fn write_oven(&self, oven: &OvenId, text: &str, who: &str, now: Timestamp) -> Result<(), StoreError> {
        read_oven(&format!("{oven}.toml"), text).map_err(StoreError::Problems)?;
        self.write(|to| {
            let now = now.to_string();
            to.execute(
                "INSERT INTO ovens (id, created) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
                params![oven.as_str(), now],
            )?;
            to.execute(
                "INSERT INTO oven_texts (oven, text, written, who) VALUES (?1, ?2, ?3, ?4)",
                params![oven.as_str(), text, now, who],
            )?;
            Ok(())
        })
    }

    /// All ovens with the text that stands, oldest oven first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn ovens(&self) -> Result<Vec<OvenText>, StoreError> {
        let sql = "SELECT t.oven, t.text, t.written, t.who FROM oven_texts t JOIN ovens o ON o.id = t.oven \
                   WHERE t.number = (SELECT max(number) FROM oven_texts WHERE oven = t.oven) ORDER BY o.created, o.id";
        self.read(|from| {
            let mut statement = from.prepare(sql)?;
            let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)))?;
            let rows: Vec<(String, String, String, String)> = rows.collect::<Result<_, _>>()?;
            let of = |(oven, text, written, who): (String, String, String, String)| {
                Ok(OvenText { oven: OvenId::new(&oven)?, text, written, who })
            };
            rows.into_iter().map(of).collect()
        })
    }

    /// The text of an oven's file as it stands.
    ///
    /// # Errors
    /// [`StoreError::Missing`] when there is no such oven.
    pub fn oven_text(&self, oven: &OvenId) -> Result<String, StoreError> {
        let sql = "SELECT text FROM oven_texts WHERE oven = ?1 ORDER BY number DESC LIMIT 1";
        self.read(|from| {
            let text: Option<String> = from.query_row(sql, [oven.as_str()], |row| row.get(0)).optional()?;
            text.ok_or_else(|| StoreError::Missing { what: "oven", id: oven.to_string() })
        })
    }
}
