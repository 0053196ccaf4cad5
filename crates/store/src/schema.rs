//! The schema, as a list of migrations that are added and never edited.
//!
//! `PRAGMA user_version` says how many have been run. Each runs in a transaction of its own, with the version.

use crate::error::StoreError;
use rusqlite::Connection;
use std::path::Path;

/// Marks a file as ours: "oven" in ASCII.
pub const APPLICATION_ID: i32 = 0x6f76_656e;

/// All migrations, oldest first.
pub const MIGRATIONS: [&str; 2] =
    [include_str!("../migrations/0001_ovens_days_entries.sql"), include_str!("../migrations/0002_screens.sql")];

/// Brings a file to the newest schema.
pub fn migrate(connection: &mut Connection, path: &Path) -> Result<(), StoreError> {
    migrate_to(connection, path, MIGRATIONS.len())
}

/// Brings a file to a schema, for tests of what older files become.
pub fn migrate_to(connection: &mut Connection, path: &Path, upto: usize) -> Result<(), StoreError> {
    let found: u32 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let ours: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let tables: u32 = connection.query_row("SELECT count(*) FROM sqlite_master", [], |row| row.get(0))?;
    if ours != APPLICATION_ID && tables > 0 {
        return Err(StoreError::NotOurs { path: path.to_owned() });
    }
    if found as usize > MIGRATIONS.len() {
        return Err(StoreError::Later { path: path.to_owned(), found, known: MIGRATIONS.len() as u32 });
    }
    for (number, sql) in MIGRATIONS.iter().enumerate().take(upto).skip(found as usize) {
        let transaction = connection.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
        // Another process may have been here in the meantime.
        let now: u32 = transaction.pragma_query_value(None, "user_version", |row| row.get(0))?;
        if now as usize > number {
            continue;
        }
        transaction.execute_batch(sql)?;
        transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
        transaction.pragma_update(None, "user_version", number as u32 + 1)?;
        transaction.commit()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use sha2::{Digest, Sha256};

    /// SHA-256 of every migration that has been published. A new one is added at the end; none is ever edited, since
    /// files out there were made with it.
    const HASHES: [&str; 2] = [
        "0c290bc40d7eabc1a56878aef8511dd830c4d28d6fa590e0e70d165718068f3d",
        "c376885074a58683c959f7dc1ad9ced2ebe15db868a649fb18f8e8c6753456da",
    ];

    #[test]
    fn no_migration_was_edited() {
        for (sql, hash) in MIGRATIONS.iter().zip(HASHES) {
            let got: String = Sha256::digest(sql.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect();
            assert_eq!(got, hash);
        }
        assert_eq!(MIGRATIONS.len(), HASHES.len());
    }
}
