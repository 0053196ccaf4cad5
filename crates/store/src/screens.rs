//! Screens that may come in: kept, so that a phone stays paired when the server is started again.

use crate::error::StoreError;
use crate::store::Store;
use jiff::Timestamp;
use rusqlite::params;

/// SHA-256 of a screen's token.
pub type TokenHash = [u8; 32];

/// A screen that may come in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Screen {
    /// Hash of its token.
    pub token: TokenHash,
    /// Who writes on it; empty when nobody said.
    pub who: String,
    /// When it was paired.
    pub paired: String,
}

impl Store {
    /// Keeps a screen, or names one that is kept anew. A forgotten one stays forgotten.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn keep_screen(&self, token: &TokenHash, who: &str, now: Timestamp) -> Result<(), StoreError> {
        let sql = "INSERT INTO screens (token_sha256, who, paired) VALUES (?1, ?2, ?3) \
                   ON CONFLICT DO UPDATE SET who = excluded.who";
        self.write(|to| {
            to.execute(sql, params![token.as_slice(), who, now.to_string()])?;
            Ok(())
        })
    }

    /// Forgets a screen. One that is not there, or forgotten already, is left.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn forget_screen(&self, token: &TokenHash, now: Timestamp) -> Result<(), StoreError> {
        let sql = "UPDATE screens SET forgotten = ?2 WHERE token_sha256 = ?1 AND forgotten IS NULL";
        self.write(|to| {
            to.execute(sql, params![token.as_slice(), now.to_string()])?;
            Ok(())
        })
    }

    /// Screens that are not forgotten, the latest paired first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn screens(&self) -> Result<Vec<Screen>, StoreError> {
        let sql =
            "SELECT token_sha256, who, paired FROM screens WHERE forgotten IS NULL ORDER BY paired DESC, token_sha256";
        self.read(|from| {
            let mut statement = from.prepare_cached(sql)?;
            let rows = statement
                .query_map([], |row| Ok(Screen { token: row.get(0)?, who: row.get(1)?, paired: row.get(2)? }))?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }
}
