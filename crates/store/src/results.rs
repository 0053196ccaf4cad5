//! What was computed, with what it was computed from: enough to tell whether it still holds, and to compute it again.

use crate::days;
use crate::error::StoreError;
use crate::id::DayId;
use crate::store::Store;
use jiff::Timestamp;
use rusqlite::{OptionalExtension, params};

/// What a result was computed from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Provenance {
    /// Version of the program.
    pub program_version: String,
    /// SHA-256 over oven, day and pots text, hexadecimal.
    pub input_sha256: String,
    /// Number of the last entry that was known.
    pub last_entry: i64,
    /// Members.
    pub members: u32,
    /// Seed.
    pub seed: i64,
}

/// A result as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredResult {
    /// What kind of result, such as `fall`.
    pub kind: String,
    /// The hour it answers for.
    pub at: String,
    /// The answer, as JSON.
    pub body: String,
    /// What it was computed from.
    pub from: Provenance,
    /// When it was computed.
    pub computed: String,
}

impl Store {
    /// Keeps a result in place of the last one of its kind for the day: what was computed can be computed again.
    ///
    /// # Errors
    /// [`StoreError::Missing`] without the day.
    pub fn keep_result(
        &self,
        day: &DayId,
        (kind, at, body): (&str, Timestamp, &str),
        from: &Provenance,
        now: Timestamp,
    ) -> Result<(), StoreError> {
        let sql = "INSERT INTO results (day, kind, at, body, program_version, input_sha256, last_entry, members, seed, \
                   computed) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)";
        self.write(|to| {
            days::must_exist(to, day)?;
            to.execute("DELETE FROM results WHERE day = ?1 AND kind = ?2", params![day.as_str(), kind])?;
            to.execute(
                sql,
                params![
                    day.as_str(),
                    kind,
                    at.to_string(),
                    body,
                    from.program_version,
                    from.input_sha256,
                    from.last_entry,
                    from.members,
                    from.seed,
                    now.to_string()
                ],
            )?;
            Ok(())
        })
    }

    /// The last result of a kind for a day; `None` when there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn last_result(&self, day: &DayId, kind: &str) -> Result<Option<StoredResult>, StoreError> {
        let sql = "SELECT kind, at, body, program_version, input_sha256, last_entry, members, seed, computed \
                   FROM results WHERE day = ?1 AND kind = ?2 ORDER BY number DESC LIMIT 1";
        self.read(|from| {
            let result = from.query_row(sql, params![day.as_str(), kind], |row| {
                Ok(StoredResult {
                    kind: row.get(0)?,
                    at: row.get(1)?,
                    body: row.get(2)?,
                    from: Provenance {
                        program_version: row.get(3)?,
                        input_sha256: row.get(4)?,
                        last_entry: row.get(5)?,
                        members: row.get(6)?,
                        seed: row.get(7)?,
                    },
                    computed: row.get(8)?,
                })
            });
            Ok(result.optional()?)
        })
    }
}
