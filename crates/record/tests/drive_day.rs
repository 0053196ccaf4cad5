//! From a day to a drive: the past as it was, the plan after it, baskets, strikes, late entries.
#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use jiff::Timestamp;
use ovenfall_engine::drive::{Action, Door, Event};
use ovenfall_record::day::Day;
use ovenfall_record::day_file::read_day;
use ovenfall_record::drive::{DayDrive, drive};
use ovenfall_record::pots::Pots;
use ovenfall_record::pots_file::read_pots;

const POTS: &str = "ovenfall = 1\nkind = \"pots\"\n[wood]\nmoisture_percent = 20\nbasket_kg = 6\n\
                    [[dish]]\nname = \"stew\"\n[[dish]]\nname = \"Beans\"\n";

const DAY: &str = "# ovenfall day 1
id,at,written,kind,what,value,unit,note,strikes
1,2026-01-10T08:00:00Z,,wood on,,2,baskets,,
2,2026-01-10T08:05:00Z,,outdoor,,41,F,,
3,2026-01-10T08:30:00Z,,wood on,moisture 15 %,10,lb,,
4,2026-01-10T09:00:00Z,,wood on,basket 5 kg,1,basket,,
5,2026-01-10T09:30:00Z,,embers spread,,,,,
6,2026-01-10T10:00:00Z,,raked out,,,,,
7,2026-01-10T10:02:00Z,,swabbed,,,,,
8,2026-01-10T10:05:00Z,,door,ajar,20,%,,
9,2026-01-10T10:10:00Z,,door,shut,,,,
10,2026-01-10T11:00:00Z,,placed,stew,,,,
11,2026-01-10T11:30:00Z,,outdoor,,8,C,,
12,2026-01-10T12:00:00Z,,topped up,stew @ 203 F,0.5,l,,
13,2026-01-10T12:10:00Z,,placed,beans,,,,
14,2026-01-10T12:20:00Z,,strike,,,,wrong pot,13
15,2026-01-10T11:40:00Z,2026-01-10T12:30:00Z,placed,beans,,,late,
16,2026-01-10T14:00:00Z,,taken out,beans,,,,
17,2026-01-10T15:00:00Z,,taken out,stew,,,,
18,2026-01-10T15:00:00Z,,probe,,150,C,,
";

fn day() -> Day {
    read_day("day.csv", DAY).unwrap()
}

fn pots() -> Pots {
    read_pots("pots.toml", POTS).unwrap()
}

fn at(clock: &str) -> Timestamp {
    format!("2026-01-10T{clock}:00Z").parse().unwrap()
}

fn drive_at(clock: &str, horizon_h: f64) -> DayDrive {
    drive(&day(), &pots(), at(clock), horizon_h * 3600.0).unwrap()
}

fn placed(drive: &DayDrive, wanted: usize) -> Vec<f64> {
    let is_it = |event: &&Event| matches!(event.action, Action::Place(placing) if placing == wanted);
    drive.drive.events.iter().filter(is_it).map(|event| event.at_s).collect()
}

#[test]
fn the_firing_as_it_was() {
    let built = drive_at("10:30", 0.0);
    assert_eq!(built.start, at("08:00"));
    assert!((built.at_s - 9000.0).abs() < 1e-9 && (built.drive.end_s - 9000.0).abs() < 1e-9);
    assert!((built.drive.ambient_c.unwrap() - 5.0).abs() < 1e-9, "the first outdoor reading holds from the start");
    assert_eq!(built.drive.placings.len(), 2);
    let woods: Vec<(f64, f64, f64)> = built
        .drive
        .events
        .iter()
        .filter_map(|event| match event.action {
            Action::WoodOn(wood) => {
                assert!((wood.dry_ncv_mj_kg - 18.785).abs() < 1e-12);
                Some((event.at_s, wood.mass_kg, wood.moisture))
            }
            _ => None,
        })
        .collect();
    assert_eq!(woods, [(0.0, 12.0, 0.2), (1800.0, 10.0 * 0.453_592_37, 0.15), (3600.0, 5.0, 0.2)]);
    let rest: Vec<Action> = built.drive.events.iter().skip(3).map(|event| event.action).collect();
    assert_eq!(
        rest,
        [
            Action::EmbersSpread,
            Action::RakeOut,
            Action::Swab { water_kg: 0.3 },
            Action::Door(Door::Ajar(0.2)),
            Action::Door(Door::Shut)
        ]
    );
}

#[test]
fn later_things_done_are_the_plan_and_later_readings_are_not_known() {
    let built = drive_at("10:30", 6.0);
    assert_eq!(placed(&built, 0), [10_800.0]);
    let ambient = built.drive.events.iter().filter(|event| matches!(event.action, Action::Ambient(_))).count();
    assert_eq!(ambient, 0, "the outdoor temperature of 11:30 is not known at 10:30");
    assert_eq!(placed(&built, 1), [13_200.0], "of what is written later, what stands in the end is the plan");
    let top_up = built.drive.events.iter().find_map(|event| match event.action {
        Action::TopUp { placing, mass_kg, temperature_c } => Some((placing, mass_kg, temperature_c)),
        _ => None,
    });
    let (placing, mass_kg, temperature_c) = top_up.unwrap();
    assert!(placing == 0 && (mass_kg - 0.5).abs() < 1e-12 && (temperature_c - 95.0).abs() < 1e-9);
    assert!(built.drive.events.windows(2).all(|pair| pair[0].at_s <= pair[1].at_s));
    assert_eq!(built.left_out, []);
}

#[test]
fn a_strike_counts_from_when_it_was_written() {
    let before = drive_at("12:15", 4.0);
    assert_eq!(placed(&before, 1), [15_000.0], "placed at 12:10 as far as is known at 12:15");
    let between = drive_at("12:25", 4.0);
    assert_eq!(placed(&between, 1), Vec::<f64>::new(), "struck, and the late entry is not written yet");
    assert_eq!(between.left_out.len(), 1, "it cannot be taken out then");
    assert_eq!((between.left_out[0].id.as_str(), between.left_out[0].why), ("16", "it is not in the oven"));
    let after = drive_at("12:40", 4.0);
    assert_eq!(placed(&after, 1), [13_200.0], "the late entry is about 11:40");
    let ambient: Vec<f64> =
        after.drive.events.iter().filter(|e| matches!(e.action, Action::Ambient(_))).map(|e| e.at_s).collect();
    assert_eq!(ambient, [12_600.0]);
}

#[test]
fn the_horizon_cuts_the_plan() {
    let built = drive_at("12:40", 1.0);
    assert!(!built.drive.events.iter().any(|event| matches!(event.action, Action::TakeOut(_))));
    assert!(built.drive.events.iter().all(|event| event.at_s <= built.drive.end_s));
}

#[test]
fn what_cannot_be_driven_is_said() {
    let said = |day: &Day, pots: &Pots, clock: &str, horizon_s: f64| {
        drive(day, pots, at(clock), horizon_s)
            .unwrap_err()
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("\n")
    };
    assert_eq!(
        said(&day(), &pots(), "07:00", 0.0),
        "error: day.csv: nothing was written down by 2026-01-10T07:00:00Z\n  \
         try: ask for an hour after the first entry, 2026-01-10T08:00:00+00:00"
    );
    assert_eq!(
        said(&day(), &pots(), "10:30", f64::NAN),
        "error: day.csv: a horizon of NaN h cannot be computed\n  allowed: lighting to horizon within 10 days"
    );
    let bare = read_pots("pots.toml", "ovenfall = 1\n[[dish]]\nname = \"stew\"\n").unwrap();
    assert_eq!(
        said(&day(), &bare, "12:40", 0.0),
        "error: day.csv:3: wood in baskets, but no mass of a basket is known\n  \
         try: weigh one and write `basket_kg` into the pots file, or `basket 6 kg` into `what`\n\
         error: day.csv:17: unknown dish `beans`\n  allowed: stew\n  try: add a `[[dish]]` of this name to pots.toml"
    );
}
