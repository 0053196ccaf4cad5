//! The days and the demo kept with the project read back without an error, and make drives.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use jiff::Timestamp;
use ovenfall_record::day::Day;
use ovenfall_record::day_file::{read_day, write_day};
use ovenfall_record::drive::drive;
use ovenfall_record::oven_file::{OvenFile, read_oven};
use ovenfall_record::pots::Pots;
use ovenfall_record::pots_file::{read_pots, write_pots};
use ovenfall_record::problem::Problem;
use ovenfall_record::together::check_together;
use std::path::PathBuf;

fn data(folder: &str, name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data").join(folder).join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn printed(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn read(folder: &str) -> (OvenFile, Day, Pots) {
    let oven = read_oven("oven.toml", &data(folder, "oven.toml"));
    let day = read_day("day.csv", &data(folder, "day.csv"));
    let pots = read_pots("pots.toml", &data(folder, "pots.toml"));
    (sound(folder, oven), sound(folder, day), sound(folder, pots))
}

fn sound<T>(folder: &str, read: Result<T, Vec<Problem>>) -> T {
    read.unwrap_or_else(|problems| panic!("{folder}: {}", printed(&problems)))
}

const DAYS: [(&str, usize, usize, i64); 7] = [
    ("days/A1", 0, 1019, 140),
    ("days/A2", 2, 726, 308),
    ("days/A3", 2, 1059, 118),
    ("days/B1", 0, 2804, 292),
    ("days/B4", 5, 1456, 185),
    ("days/B6", 4, 1341, 560),
    ("days/E1", 0, 1947, 220),
];

#[test]
fn converted_days_read_without_a_word() {
    for (folder, dishes, entries, shut_min) in DAYS {
        let (oven, day, pots) = read(folder);
        assert_eq!((pots.dishes.len(), day.entries.len()), (dishes, entries), "{folder}");
        assert_eq!(printed(&day.warnings), "", "{folder}");
        assert_eq!(printed(&pots.warnings), "", "{folder}");
        assert_eq!(printed(&check_together(&oven.description, &day, &pots)), "", "{folder}");
        let start = day.entries[0].at.instant;
        let at: Timestamp = start + jiff::SignedDuration::from_mins(shut_min);
        let built = drive(&day, &pots, at, 8.0 * 3600.0).unwrap_or_else(|problems| panic!("{}", printed(&problems)));
        assert_eq!(built.left_out, [], "{folder}");
        assert!(built.drive.ambient_c.is_some(), "{folder}");
        assert!(built.drive.events.first().unwrap().at_s < 120.0, "{folder}");
    }
}

#[test]
fn writing_them_again_changes_nothing() {
    for (folder, ..) in DAYS {
        assert_eq!(write_day(&read(folder).1), data(folder, "day.csv"), "{folder}");
        assert_eq!(write_pots(&read(folder).2), data(folder, "pots.toml"), "{folder}");
    }
}

#[test]
fn the_demo_reads_without_a_word() {
    let (oven, day, pots) = read("demo");
    assert_eq!(printed(&day.warnings), "");
    assert_eq!(printed(&pots.warnings), "");
    assert_eq!(printed(&oven.warnings), "");
    assert_eq!(printed(&check_together(&oven.description, &day, &pots)), "");
    assert!(pots.dishes.iter().all(|dish| dish.sheet.wanted.is_some() && dish.sheet.kind.is_some()));
    let placed: Vec<&str> = pots.dishes.iter().map(|dish| dish.sheet.name.as_str()).collect();
    for dish in placed {
        assert!(day.standing().iter().any(|entry| entry.dish() == Some(dish)), "{dish} is never placed");
    }
}
