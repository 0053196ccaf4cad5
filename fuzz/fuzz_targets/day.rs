//! No text makes the reader of days panic; what it accepts reads back as the same entries when written, and makes a drive
//! or a problem.
#![no_main]

use libfuzzer_sys::fuzz_target;
use ovenfall_record::day::Entry;
use ovenfall_record::day_file::{read_day, write_day};
use ovenfall_record::drive::drive;
use ovenfall_record::pots_file::read_pots;

fuzz_target!(|text: &str| {
    let Ok(day) = read_day("day.csv", text) else { return };
    let without_line = |entry: &Entry| Entry { line: 0, ..entry.clone() };
    let Ok(again) = read_day("day.csv", &write_day(&day)) else { panic!("what was written is refused") };
    assert!(day.entries.iter().map(without_line).eq(again.entries.iter().map(without_line)), "written differently");
    let Some(last) = day.entries.last() else { return };
    if let Ok(pots) = read_pots("pots.toml", "ovenfall = 1\n[[dish]]\nname = \"stew\"\n") {
        let _ = drive(&day, &pots, last.written.instant, 3600.0);
    }
});
