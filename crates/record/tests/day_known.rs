//! What was known when: late entries and strikes.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use ovenfall_record::day::Day;
use ovenfall_record::day_file::read_day;

const TEXT: &str = "# ovenfall day 1
id,at,written,kind,what,value,unit,note,strikes
1,2026-01-10T08:00:00Z,,wood on,,2,kg,,
2,2026-01-10T09:00:00Z,,probe,,300,C,,
3,2026-01-10T09:10:00Z,,probe,,310,C,,
4,2026-01-10T10:00:00Z,,strike,,,,hand slipped,3
5,2026-01-10T08:30:00Z,2026-01-10T10:30:00Z,wood on,,1.5,kg,forgotten,
6,2026-01-10T13:00:00Z,2026-01-10T10:40:00Z,placed,stew,,,planned,
";

fn known(day: &Day, at: &str) -> Vec<String> {
    day.known_at(at.parse().unwrap()).iter().map(|entry| entry.id.clone()).collect()
}

#[test]
fn a_replay_knows_only_what_was_known() {
    let day = read_day("day.csv", TEXT).unwrap();
    assert_eq!(known(&day, "2026-01-10T07:00:00Z"), Vec::<String>::new());
    assert_eq!(known(&day, "2026-01-10T09:30:00Z"), ["1", "2", "3"], "the strike comes later");
    assert_eq!(known(&day, "2026-01-10T10:00:00Z"), ["1", "2"], "struck now");
    assert_eq!(known(&day, "2026-01-10T11:00:00Z"), ["1", "5", "2", "6"], "in order of the time they are about");
    assert_eq!(day.standing().len(), 4);
    let readings = day.readings_known_at("2026-01-10T09:30:00Z".parse().unwrap());
    assert_eq!(readings.iter().map(|(entry, _)| entry.id.as_str()).collect::<Vec<_>>(), ["2", "3"]);
}
