//! What a wrong day's file is told, word for word.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use ovenfall_record::day_file::{MAX_DAY_FILE_BYTES, read_day};
use ovenfall_record::problem::{Problem, Severity};

const HEAD: &str = "# ovenfall day 1\nid,at,written,kind,what,value,unit,note,strikes\n";

/// A row: id, clock, kind, what, value, unit.
fn row(id: &str, clock: &str, rest: &str) -> String {
    format!("{id},2026-01-10T{clock}:00+01:00,,{rest}\n")
}

fn day(rows: &[String]) -> String {
    format!("{HEAD}{}", rows.concat())
}

fn printed(problems: &[Problem]) -> String {
    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn errors(text: &str) -> String {
    printed(&read_day("day.csv", text).unwrap_err())
}

fn warnings(text: &str) -> String {
    let day = read_day("day.csv", text).unwrap_or_else(|problems| panic!("{}", printed(&problems)));
    assert!(day.warnings.iter().all(|problem| problem.severity == Severity::Warning));
    printed(&day.warnings)
}

#[test]
fn a_clean_day_has_no_warnings() {
    let text = day(&[
        row("1", "08:00", "wood on,,2.5,kg,,"),
        row("2", "10:00", "raked out,,,,,"),
        row("3", "10:30", "door,shut,,,,"),
        row("4", "11:00", "spot,crown,250,C,,"),
    ]);
    assert_eq!(warnings(&text), "");
}

#[test]
fn a_probe_in_fahrenheit_beside_spots_in_celsius() {
    let text = day(&[
        row("1", "11:00", "spot,crown,205,C,,"),
        row("2", "11:01", "spot,floor centre,200,C,,"),
        row("3", "11:02", "spot,back wall,198,C,,"),
        row("4", "11:03", "probe,,392,°C,,"),
    ]);
    assert_eq!(
        warnings(&text),
        "warning: day.csv:6: probe `392 °C` beside spots of about 200 °C looks like °F (200 °C)\n  \
         try: if it is °F, strike it and enter it again with the unit `F`"
    );
    assert_eq!(warnings(&text.replace("392,°C", "392,°F")), "", "with its unit it is fine");
    assert_eq!(warnings(&text.replace("11:03", "11:30")), "", "half an hour apart nothing can be said");
}

#[test]
fn a_display_over_its_range() {
    let text = day(&[row("1", "11:00", "spot,crown,>550,C,,"), row("2", "11:01", "spot,far side,≥ 1022,F,,")]);
    let read = read_day("day.csv", &text).unwrap();
    let shown: Vec<_> = read.entries.iter().filter_map(|entry| entry.reading()?.temperature()).collect();
    assert!(shown.iter().all(|t| t.at_least && (t.c() - 550.0).abs() < 1e-9), "{shown:?}");
    assert_eq!(
        errors(&day(&[row("1", "11:00", "spot,crown,OL,C,,")])),
        "error: day.csv:3:41: `OL` is not a number\n  try: a display over its range: write the top of the range with \
         a `>` before it, as `>550`"
    );
    assert!(errors(&day(&[row("1", "11:00", "spot,crown,>hot,C,,")])).contains("`hot` is not a number"));
    assert!(errors(&day(&[row("1", "11:00", "outdoor,,>20,C,,")])).contains("`>20` is not a number"));
}

#[test]
fn time_running_backwards() {
    let text = day(&[row("1", "09:00", "wood on,,2,kg,,"), row("2", "08:00", "wood on,,2,kg,,")]);
    assert_eq!(
        errors(&text),
        "error: day.csv:4: time runs backwards: written at 2026-01-10T08:00:00+01:00, below a row written at \
         2026-01-10T09:00:00+01:00\n  try: keep the rows in the order they were written; a late entry keeps its own `at`"
    );
    let late = format!(
        "{HEAD}1,2026-01-10T09:00:00+01:00,,wood on,,2,kg,,\n\
         2,2026-01-10T08:00:00+01:00,2026-01-10T09:05:00+01:00,wood on,,2,kg,,\n"
    );
    assert_eq!(warnings(&late), "", "a late entry is no mistake");
}

#[test]
fn taken_out_without_being_placed() {
    let text = day(&[row("1", "11:00", "taken out,stew,,,,")]);
    assert_eq!(
        errors(&text),
        "error: day.csv:3: `stew` is taken out at 11:00, but it is not in the oven\n  try: enter when it was placed"
    );
}

#[test]
fn placed_twice() {
    let text = day(&[row("1", "11:00", "placed,stew,,,,"), row("2", "12:00", "placed,Stew,,,,")]);
    assert_eq!(
        errors(&text),
        "error: day.csv:4: `Stew` is placed twice: it is in since 11:00 (line 3)\n  \
         try: enter when it was taken out, or strike one of the two"
    );
    let struck = format!("{text}3,2026-01-10T12:01:00+01:00,,strike,,,,wrong pot,2\n");
    assert_eq!(warnings(&struck), "");
}

#[test]
fn not_a_number() {
    let text = day(&[row("1", "11:00", "probe,,NaN,C,,"), row("2", "11:00", "probe,,1e999,C,,")]);
    assert_eq!(
        errors(&text),
        "error: day.csv:3:37: `NaN` is not a number\nerror: day.csv:4:37: `1e999` is not a number"
    );
}

#[test]
fn an_empty_file() {
    let said = "error: day.csv: the file is empty\n  \
                try: start with a row `id,at,written,kind,what,value,unit,note,strikes`";
    for text in ["", "\u{feff}", "\n\r\n", ",,,\n", "# ovenfall day 1\n"] {
        assert_eq!(errors(text), said, "{text:?}");
    }
    assert_eq!(warnings(HEAD), "", "a day that has not begun is no mistake");
}

#[test]
fn a_file_of_ten_megabytes() {
    let text = "a,b\n".repeat(10 * 1024 * 1024 / 4);
    assert!(text.len() > MAX_DAY_FILE_BYTES);
    assert_eq!(
        errors(&text),
        "error: day.csv: the file is 10.0 MB long\n  allowed: up to 8 MB\n  \
         try: keep one firing a file, and thin a logger's readings to one a minute"
    );
    let rows = format!("{HEAD}{}", "x\n".repeat(150_000));
    assert_eq!(
        errors(&rows),
        "error: day.csv: the file has more than 100000 rows\n  allowed: up to 100000 rows\n  \
         try: keep one firing a file, and thin a logger's readings to one a minute"
    );
}

#[test]
fn an_unknown_kind() {
    let text = day(&[row("1", "11:00", "tunred,stew,,,,")]);
    assert_eq!(
        errors(&text),
        "error: day.csv:3:30: unknown kind `tunred`\n  \
         allowed: wood on, fire moved, embers spread, raked out, swept, swabbed, door, placed, turned, topped up, \
         taken out, spot, probe, masonry, liquid, core, hand count, outdoor, strike\n  \
         try: did you mean `turned`?"
    );
}

#[test]
fn a_missing_offset() {
    let text = format!("{HEAD}1,2026-01-10T08:00:00,,wood on,,2,kg,,\n");
    assert_eq!(
        errors(&text),
        "error: day.csv:3:3: `2026-01-10T08:00:00` in `at` has no offset from UTC\n  \
         allowed: a time with its offset, as `2026-01-10T17:00:00+01:00`\n  \
         try: `2026-01-10T08:00:00+01:00` if the clock on the wall is one hour ahead of UTC"
    );
}

#[test]
fn written_before_it_is_about() {
    let ahead = |what: &str| format!("{HEAD}1,2026-01-10T12:00:00+01:00,2026-01-10T10:30:00+01:00,{what}\n");
    assert_eq!(
        warnings(&ahead("placed,stew,,,,")),
        "warning: day.csv:3: written 1.5 h before the time it is about\n  \
         try: it counts as a plan; if it is done, the date or the offset is wrong"
    );
    assert_eq!(
        warnings(&ahead("probe,,200,C,,")),
        "warning: day.csv:3: written 1.5 h before the time it is about\n  \
         try: a reading cannot be ahead of its time: is the date or the offset wrong?"
    );
}

#[test]
fn wood_without_a_mass() {
    let text = day(&[row("1", "08:00", "wood on,,,kg,,")]);
    assert_eq!(
        errors(&text),
        "error: day.csv:3:39: wood on, but how much is not said\n  allowed: kg, lb, or baskets\n  \
         try: weigh one basket, write it in the pots file, and count baskets"
    );
}

#[test]
fn a_door_that_does_not_change() {
    let text = day(&[row("1", "10:00", "door,shut,,,,"), row("2", "11:00", "door,shut,,,,")]);
    assert_eq!(
        warnings(&text),
        "warning: day.csv:4: the door is shut already since 10:00 (line 3)\n  try: was it set otherwise in between?"
    );
}

#[test]
fn every_problem_is_told_at_once() {
    let text = format!(
        "{HEAD}1,yesterday,,probe,,warm,K,,\n1,2026-01-10T08:00:00+01:00,,spot,roof,9999,C,,\n,2026-01-10,,probe,,1,C,,\n"
    );
    let all = errors(&text);
    for part in [
        ":3:3: `yesterday` in `at` is not a time",
        ":3:21: `warm` is not a number",
        ":3:26: unknown unit `K`",
        ":4:35: unknown place `roof`",
        ":4:40: `9999 C` is outside the limits",
        ":5:1: the entry has no id",
        ":5:2: `2026-01-10` in `at` has no time of day",
    ] {
        assert!(all.contains(part), "{part} is missing in\n{all}");
    }
    assert_eq!(read_day("day.csv", &text).unwrap_err().len(), 7, "{all}");
}

#[test]
fn columns_and_versions() {
    let at = "2026-01-10T08:00:00+01:00";
    assert_eq!(
        errors(&format!("# ovenfall day 7\nid,at,kind\n1,{at},swept\n")),
        "error: day.csv:1:1: version `7` of the format is not known\n  allowed: version 1\n  \
         try: a file of a later version needs a later program; otherwise write `# ovenfall day 1`"
    );
    assert_eq!(
        warnings(&format!("id,at,kind\n1,{at},swept\n")),
        "warning: day.csv:1: no version of the format is given; version 1 is assumed\n  \
         try: put `# ovenfall day 1` above the header"
    );
    assert_eq!(
        errors(&format!("# ovenfall day 1\nid,at,kind,vlaue\n1,{at},probe,200\n")),
        "error: day.csv:2:12: unknown column `vlaue`\n  try: did you mean `value`?\n\
         error: day.csv:3: `probe` needs a value"
    );
    assert_eq!(
        warnings(&format!("# ovenfall day 1\nid,at,kind,cook\n1,{at},swept,Nadia\n")),
        "warning: day.csv:2:12: unknown column `cook`; it is left out\n  \
         allowed: id, at, written, kind, what, value, unit, note, strikes"
    );
}

#[test]
fn strikes_and_ids() {
    let text = format!(
        "{}{}{}",
        day(&[row("1", "08:00", "swept,,,,,"), row("1", "08:01", "swept,,,,,")]),
        row("2", "08:02", "strike,,,,,9"),
        row("3", "08:03", "strike,,,,,2")
    );
    assert_eq!(
        errors(&text),
        "error: day.csv:4: the id `1` is used already in line 3\n  try: give every entry its own id\n\
         error: day.csv:5: the strike names `9`, which is no earlier entry\n  try: a strike stands below what it strikes\n\
         error: day.csv:6: the strike names `2`, which is itself a strike\n  \
         try: write the struck entry again under a new id"
    );
}

#[test]
fn an_open_quote_and_a_stray_cell() {
    let text = day(&[row("1", "08:00", "swept,,,,\"no end,")]);
    assert_eq!(
        errors(&text),
        "error: day.csv:3:39: this quote is never closed\n  try: close the cell with another `\"`"
    );
    let text = day(&[row("1", "08:00", "swept,,,,fine, it went,,x")]);
    assert_eq!(
        errors(&text),
        "warning: day.csv:3:44: `it went` in `strikes` is not used by `swept`\n  try: move it to the note\n\
         error: day.csv:3:54: `x` stands beyond the last column\n  try: put a text that holds the delimiter in quotes"
    );
}

#[test]
fn a_date_that_is_weeks_off() {
    let text = format!("{}2,2026-02-10T08:00:00+01:00,,swept,,,,,\n", day(&[row("1", "08:00", "swept,,,,,")]));
    assert_eq!(
        errors(&text),
        "error: day.csv:4: the day runs over 31.0 days, from 2026-01-10T08:00:00+01:00 (line 3) to \
         2026-02-10T08:00:00+01:00\n  try: keep one firing a file; is a date wrong?"
    );
}
