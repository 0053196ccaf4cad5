//! The store from outside: what went in comes out, nothing is changed, nothing is there twice, backups are whole.
#![allow(clippy::unwrap_used, reason = "a test that cannot run must stop")]

use jiff::Timestamp;
use ovenfall_record::day::Entry;
use ovenfall_record::day_file::read_day;
use ovenfall_store::backup::check;
use ovenfall_store::{Appended, DayId, OvenId, Provenance, Store, StoreError};
use rusqlite::Connection;
use std::path::PathBuf;
use tempfile::TempDir;

const OVEN: &str = include_str!("../../../data/demo/oven.toml");
const DAY: &str = include_str!("../../../data/demo/day.csv");
const POTS: &str = include_str!("../../../data/demo/pots.toml");

struct Place {
    dir: TempDir,
    store: Store,
}

fn now() -> Timestamp {
    "2026-06-13T12:00:00Z".parse().unwrap()
}

fn oven() -> OvenId {
    OvenId::new("quay").unwrap()
}

fn day() -> DayId {
    DayId::new("2026-06-13").unwrap()
}

fn entries() -> Vec<Entry> {
    read_day("day.csv", DAY).unwrap().entries
}

impl Place {
    fn new() -> Self {
        let dir = TempDir::new().unwrap();
        let store = Store::open(&dir.path().join("ovenfall.db")).unwrap();
        store.write_oven(&oven(), OVEN, "baker", now()).unwrap();
        store.begin_day(&day(), &oven(), now()).unwrap();
        Self { dir, store }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }
}

fn without_lines(entries: &[Entry]) -> Vec<Entry> {
    entries.iter().cloned().map(|entry| Entry { line: 0, ..entry }).collect()
}

#[test]
fn a_day_comes_out_as_it_went_in() {
    let place = Place::new();
    let all = entries();
    assert_eq!(place.store.append(&day(), &all, "baker", now()).unwrap(), vec![Appended::Added; all.len()]);
    place.store.write_pots(&day(), POTS, "baker", now()).unwrap();
    assert_eq!(without_lines(&place.store.day(&day()).unwrap().entries), without_lines(&all));
    assert_eq!(place.store.pots_text(&day()).unwrap().as_deref(), Some(POTS));
    assert_eq!(place.store.oven_text(&oven()).unwrap(), OVEN);
    let days = place.store.days(&oven()).unwrap();
    assert_eq!((days.len(), days[0].entries as usize), (1, all.len()));
    let kept = place.store.kept_after(&day(), 0).unwrap();
    assert!(kept.iter().all(|kept| kept.who == "baker"));
    assert_eq!(place.store.kept_after(&day(), kept[3].number).unwrap().len(), all.len() - 4);
}

/// A queue that was sent and never answered is sent again: nothing is there twice, and what differs is refused.
#[test]
fn sent_twice_it_is_there_once() {
    let place = Place::new();
    let all = entries();
    place.store.append(&day(), &all[..5], "", now()).unwrap();
    let became = place.store.append(&day(), &all, "", now()).unwrap();
    assert_eq!(became[..5], [Appended::KnownAlready; 5]);
    assert!(became[5..].iter().all(|became| *became == Appended::Added));
    let mut other = all[2].clone();
    other.note = "something else".to_owned();
    let refused = place.store.append(&day(), &[other], "", now());
    assert!(matches!(refused, Err(StoreError::Taken { what: "entry", .. })), "{refused:?}");
    assert_eq!(place.store.day(&day()).unwrap().entries.len(), all.len());
}

/// Entries that would make the day unreadable are refused together with those sent with them.
#[test]
fn all_or_none() {
    let place = Place::new();
    let mut all = entries();
    let strike = "id,at,written,kind,what,value,unit,note,strikes\n\
                  a,2026-06-13T12:00:00Z,2026-06-13T12:00:00Z,door,shut,,,,\n\
                  b,2026-06-13T12:00:00Z,2026-06-13T12:00:00Z,strike,,,,,a\n";
    let mut strikes = read_day("x.csv", strike).unwrap().entries;
    let what = strikes.remove(1);
    all.truncate(3);
    let sent = [all.clone(), vec![what]].concat();
    let refused = place.store.append(&day(), &sent, "", now());
    assert!(matches!(refused, Err(StoreError::Problems(_))), "{refused:?}");
    assert!(place.store.day(&day()).unwrap().entries.is_empty());
}

#[test]
fn what_is_not_there_is_said() {
    let place = Place::new();
    let nowhere = DayId::new("nowhere").unwrap();
    let missing = |result: Result<(), StoreError>| assert!(matches!(result, Err(StoreError::Missing { .. })));
    missing(place.store.append(&nowhere, &entries(), "", now()).map(|_| ()));
    missing(place.store.day(&nowhere).map(|_| ()));
    missing(place.store.oven_text(&OvenId::new("none").unwrap()).map(|_| ()));
    missing(place.store.begin_day(&nowhere, &OvenId::new("none").unwrap(), now()));
    let bad = place.store.write_oven(&oven(), "diameter = 3", "", now());
    assert!(matches!(bad, Err(StoreError::Problems(_))));
    assert_eq!(place.store.oven_text(&oven()).unwrap(), OVEN);
}

/// Nothing in the file can be changed or taken away, not even past this program.
#[test]
fn the_file_itself_refuses_changes() {
    let place = Place::new();
    place.store.append(&day(), &entries(), "", now()).unwrap();
    place.store.write_pots(&day(), POTS, "", now()).unwrap();
    let raw = Connection::open(place.store.path()).unwrap();
    for table in ["ovens", "oven_texts", "days", "pots_texts", "entries"] {
        let changed = raw.execute(&format!("UPDATE {table} SET rowid = rowid + 1"), []);
        assert!(changed.unwrap_err().to_string().contains("never changed"), "{table}");
        let gone = raw.execute(&format!("DELETE FROM {table}"), []);
        assert!(gone.unwrap_err().to_string().contains("never taken away"), "{table}");
    }
}

#[test]
fn a_correction_is_a_further_text() {
    let place = Place::new();
    let better = OVEN.replace("name = ", "# measured again\nname = ");
    assert_ne!(better, OVEN);
    place.store.write_oven(&oven(), &better, "cook", now()).unwrap();
    assert_eq!(place.store.oven_text(&oven()).unwrap(), better);
    let raw = Connection::open(place.store.path()).unwrap();
    let texts: u32 = raw.query_row("SELECT count(*) FROM oven_texts", [], |row| row.get(0)).unwrap();
    assert_eq!(texts, 2);
    assert_eq!(place.store.ovens().unwrap().len(), 1);
}

#[test]
fn results_say_what_they_came_from() {
    let place = Place::new();
    let from = Provenance {
        program_version: "0.1.0".to_owned(),
        input_sha256: "ab".repeat(32),
        last_entry: 3,
        members: 256,
        seed: 1,
    };
    assert_eq!(place.store.last_result(&day(), "fall").unwrap(), None);
    place.store.keep_result(&day(), ("fall", now(), "{}"), &from, now()).unwrap();
    let kept = place.store.last_result(&day(), "fall").unwrap().unwrap();
    assert_eq!((kept.from, kept.body.as_str()), (from, "{}"));
}

#[test]
fn a_backup_is_whole_and_comes_back() {
    let place = Place::new();
    let all = entries();
    place.store.append(&day(), &all[..10], "", now()).unwrap();
    let backup = place.path("backup.db");
    place.store.backup(&backup).unwrap();
    check(&backup).unwrap();
    place.store.append(&day(), &all[10..], "", now()).unwrap();
    let kept = Store::restore(&backup, place.store.path()).unwrap().unwrap();
    assert_eq!(place.store.day(&day()).unwrap().entries.len(), 10);
    assert_eq!(Store::open(&kept).unwrap().day(&day()).unwrap().entries.len(), all.len());
    // Into a place where nothing was.
    let fresh = place.path("fresh.db");
    assert_eq!(Store::restore(&backup, &fresh).unwrap(), None);
    assert_eq!(Store::open(&fresh).unwrap().day(&day()).unwrap().entries.len(), 10);
}

#[test]
fn a_file_that_is_not_ours_or_is_torn_is_refused_and_left_alone() {
    let place = Place::new();
    let other = place.path("other.db");
    Connection::open(&other).unwrap().execute_batch("CREATE TABLE letters (a TEXT);").unwrap();
    assert!(matches!(Store::open(&other), Err(StoreError::NotOurs { .. })));
    assert!(matches!(Store::restore(&other, &place.path("x.db")), Err(StoreError::NotOurs { .. })));
    let text = place.path("notes.txt");
    std::fs::write(&text, "flour, salt\n".repeat(500)).unwrap();
    assert!(Store::open(&text).is_err());
    assert_eq!(std::fs::read_to_string(&text).unwrap(), "flour, salt\n".repeat(500));
    // A copy that lost its end.
    place.store.append(&day(), &entries(), "", now()).unwrap();
    let torn = place.path("torn.db");
    place.store.backup(&torn).unwrap();
    let bytes = std::fs::read(&torn).unwrap();
    std::fs::write(&torn, &bytes[..bytes.len() / 2]).unwrap();
    assert!(matches!(Store::restore(&torn, place.store.path()), Err(StoreError::Damaged { .. })));
    assert_eq!(place.store.day(&day()).unwrap().entries.len(), entries().len());
}

#[test]
fn a_file_of_a_later_version_is_refused() {
    let place = Place::new();
    let path = place.path("later.db");
    drop(Store::open(&path).unwrap());
    Connection::open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
    assert!(matches!(Store::open(&path), Err(StoreError::Later { found: 99, .. })));
}

#[test]
fn a_whole_oven_goes_out_and_in() {
    let place = Place::new();
    place.store.append(&day(), &entries(), "", now()).unwrap();
    place.store.write_pots(&day(), POTS, "", now()).unwrap();
    let bundle = place.store.take_out(&oven()).unwrap();
    let elsewhere = Store::open(&place.path("elsewhere.db")).unwrap();
    assert_eq!(elsewhere.bring_in(&bundle, "", now()).unwrap(), entries().len());
    assert_eq!(elsewhere.bring_in(&bundle, "", now()).unwrap(), 0);
    assert_eq!(elsewhere.take_out(&oven()).unwrap(), bundle);
}

/// Readers see whole writes only, and many threads lose nothing.
#[test]
fn threads_write_and_read_together() {
    let place = Place::new();
    let all = entries();
    let chunks: Vec<&[Entry]> = all.chunks(7).collect();
    std::thread::scope(|scope| {
        for chunk in &chunks {
            scope.spawn(|| place.store.append(&day(), chunk, "", now()).map(|_| ()).or_else(only_problems).unwrap());
            scope.spawn(|| assert!(place.store.day(&day()).is_ok()));
        }
    });
    // Chunks that came before what they build on were refused whole; sent again in order all of it is there.
    place.store.append(&day(), &all, "", now()).unwrap();
    assert_eq!(place.store.day(&day()).unwrap().entries.len(), all.len());
}

fn only_problems(error: StoreError) -> Result<(), StoreError> {
    if matches!(error, StoreError::Problems(_)) { Ok(()) } else { Err(error) }
}
