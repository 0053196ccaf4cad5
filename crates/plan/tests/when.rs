//! Dishes tried on an invented oven: what a reading alone would get wrong, and what must hold of any answer.

#![allow(clippy::unwrap_used, reason = "a test that cannot run must stop")]

use ovenfall_food::dish::{self, Dish};
use ovenfall_learn::{Asked, Situation, situation};
use ovenfall_plan::{Bar, Chance, Held, PlanError, Suits, WhenOptions, Wish, reaches_s, when};
use ovenfall_record::day_file::read_day;
use ovenfall_record::oven_file::read_oven;
use ovenfall_record::pots_file::read_pots;
use std::fmt::Write;

const OVEN: &str = "\
ovenfall = 1
kind = \"oven\"
name = \"quay oven\"
construction = \"firebrick with vermiculite concrete\"
diameter_cm = 90
rise_cm = 42
mouth_width_cm = 42
mouth_height_cm = 27
dome = [
  { material = \"firebrick\", thickness_cm = 12 },
  { material = \"vermiculite concrete\", thickness_cm = 10 },
]
time_zone = \"UTC\"
";

/// Pots by name, water in kg, temperature at the start in °C and diameter in cm.
fn pots(of: &[(&str, f64, f64, f64)]) -> String {
    let mut text = String::from("ovenfall = 1\nkind = \"pots\"\n");
    for (name, liquid_kg, start_c, diameter_cm) in of {
        writeln!(
            text,
            "[[dish]]\nname = \"{name}\"\npot = \"iron\"\npot_kg = 3\nlid = true\ndiameter_cm = {diameter_cm}\n\
             height_cm = 18\nliquid_kg = {liquid_kg}\nsolid_kg = 0.5\nstart_c = {start_c}"
        )
        .expect("as written here");
    }
    text
}

/// Entries: time as HH:MM, kind, what, value, unit.
fn day(entries: &[(&str, &str, &str, &str, &str)]) -> String {
    let mut text = String::from("# ovenfall day 1\nid,at,written,kind,what,value,unit,note,strikes\n");
    for (id, (at, kind, what, value, unit)) in entries.iter().enumerate() {
        writeln!(text, "{id},2026-05-02T{at}:00+00:00,2026-05-02T00:01:00+00:00,{kind},{what},{value},{unit},,")
            .expect("as written here");
    }
    text
}

/// A long fire, shut at noon.
const LONG_FIRE: [(&str, &str, &str, &str, &str); 6] = [
    ("08:00", "wood on", "", "4", "kg"),
    ("08:45", "wood on", "", "4", "kg"),
    ("09:30", "wood on", "", "4", "kg"),
    ("10:15", "wood on", "", "4", "kg"),
    ("11:55", "raked out", "", "", ""),
    ("12:00", "door", "shut", "", ""),
];

fn situation_at(hhmm: &str, day_text: &str, pots_text: &str, kinds: &[&Dish], hours: f64) -> Situation {
    let (oven, pots) = (
        read_oven("oven.toml", OVEN).expect("as written here"),
        read_pots("pots.toml", pots_text).expect("as written here"),
    );
    let day = read_day("day.csv", day_text).expect("as written here");
    let asked = Asked {
        oven: &oven,
        day: &day,
        pots: &pots,
        at: format!("2026-05-02T{hhmm}:00Z").parse().expect("as written here"),
        horizon_s: hours * 3600.0 + reaches_s(kinds),
        members: 32,
        seed: 3,
        readings: false,
    };
    situation(&asked).expect("as written here")
}

fn dish(name: &str) -> Dish {
    dish::find(&dish::standard().expect("as written here"), name).expect("as written here").clone()
}

fn options() -> WhenOptions {
    WhenOptions { members: 32, ..WhenOptions::default() }
}

const HOURS: f64 = 10.0;

fn judged(situation: &Situation, wishes: &[(usize, &Dish)]) -> Vec<Suits> {
    let wishes: Vec<Wish<'_>> = wishes.iter().map(|(placing, dish)| Wish { placing: *placing, dish }).collect();
    when(situation, &wishes, HOURS * 3600.0, &options()).expect("as written here")
}

fn at(chances: &[Chance], at_s: f64) -> &Chance {
    chances.iter().find(|chance| (chance.at_s - at_s).abs() < 1e-9).expect("a time of the first round")
}

#[test]
fn a_heavy_cold_pot_makes_an_oven_right_that_reads_too_hot() {
    let braise = dish("braise");
    let pots = pots(&[("heavy", 12.0, 8.0, 34.0), ("light", 0.5, 90.0, 34.0)]);
    let situation = situation_at("12:30", &day(&LONG_FIRE), &pots, &[&braise], HOURS);
    let both = judged(&situation, &[(0, &braise), (1, &braise)]);
    let (heavy, light) = (&both[0].alone, &both[1].alone);
    let chance = &heavy.chances[heavy.hot_but_right.expect("too hot by the reading, right with the pot in")];
    let reads_c = chance.reading.unwrap().reads_c.p50;
    let settled_c = chance.settled_c.unwrap().p50;
    assert!(reads_c > 180.0 && settled_c < 170.0, "reads {reads_c}, settles at {settled_c}");
    assert!(chance.suits_share >= 0.5 && chance.reading.unwrap().too_hot_share > 0.5);
    let first = |answer: &ovenfall_plan::Answer| answer.suits().next().expect("it suits").from_s;
    assert!(first(heavy) < first(light) - 1800.0, "{} {}", first(heavy), first(light));
}

#[test]
fn a_hot_skin_is_empty_where_a_soaked_oven_of_the_same_reading_suits() {
    let braise = dish("braise");
    let pots = pots(&[("stew", 5.0, 40.0, 32.0)]);
    let short = [
        ("10:50", "wood on", "", "4", "kg"),
        ("11:10", "wood on", "", "4", "kg"),
        ("11:45", "raked out", "", "", ""),
        ("11:50", "door", "shut", "", ""),
    ];
    let shallow = judged(&situation_at("12:30", &day(&short), &pots, &[&braise], HOURS), &[(0, &braise)]);
    // A fire twice as long, then heat shed through the door until the face is no hotter.
    let mut long = vec![("05:00", "wood on", "", "4", "kg"), ("06:00", "wood on", "", "4", "kg")];
    long.push(("07:00", "wood on", "", "4", "kg"));
    long.extend(&LONG_FIRE[..5]);
    long.extend([("12:00", "door", "ajar", "", ""), ("15:00", "door", "shut", "", "")]);
    let soaked = judged(&situation_at("15:30", &day(&long), &pots, &[&braise], HOURS), &[(0, &braise)]);
    let (shallow, soaked) = (&shallow[0].alone, &soaked[0].alone);
    assert!(shallow.right_but_empty.is_some(), "reads right, is empty");
    let in_the_middle_k = |chance: &&Chance| (chance.reading.map_or(1e9, |r| r.reads_c.p50) - 150.0).abs();
    let nearest = |all: &[Chance]| all.iter().min_by(|a, b| in_the_middle_k(a).total_cmp(&in_the_middle_k(b))).cloned();
    let empty = &nearest(&shallow.chances).unwrap();
    let reads_c = empty.reading.unwrap().reads_c.p50;
    assert!((braise.window_c.to.unwrap()..=braise.window_c.from).contains(&reads_c), "{reads_c}");
    assert!(empty.too_cool_share > 0.5 && empty.under_at_s.unwrap() < empty.at_s + 7200.0);
    let distance_k = |chance: &&Chance| (chance.reading.map_or(1e9, |r| r.reads_c.p50) - reads_c).abs();
    let alike = soaked.chances.iter().min_by(|a, b| distance_k(a).total_cmp(&distance_k(b))).unwrap();
    assert!(distance_k(&alike) < 8.0, "nothing to compare with: {}", distance_k(&alike));
    let held = |chance: &Chance| Held::of(chance, braise.window_c.to.unwrap(), 0.5);
    assert_eq!((held(empty), held(alike)), (Held::Empty, Held::Suits));
    assert!(alike.suits_share > empty.suits_share + 0.25, "{} {}", alike.suits_share, empty.suits_share);
    let end_c = |chance: &Chance| chance.end_c.unwrap().p50;
    assert!(end_c(alike) > end_c(empty) + 12.0, "{} {}", end_c(alike), end_c(empty));
}

#[test]
fn a_dish_is_judged_without_its_own_placing() {
    let braise = dish("braise");
    let pots = pots(&[("stew", 6.0, 30.0, 32.0), ("other", 5.0, 60.0, 30.0)]);
    let other = [("13:30", "placed", "other", "", "")];
    let own = [("14:30", "placed", "stew", "", ""), ("15:00", "taken out", "stew", "", "")];
    let entries = |more: &[(&'static str, &'static str, &'static str, &'static str, &'static str)]| {
        let mut all = LONG_FIRE.to_vec();
        all.extend(more);
        day(&all)
    };
    let mut planned = other.to_vec();
    planned.extend(own);
    let with = judged(&situation_at("12:30", &entries(&planned), &pots, &[&braise], HOURS), &[(0, &braise)]);
    let without = judged(&situation_at("12:30", &entries(&other), &pots, &[&braise], HOURS), &[(0, &braise)]);
    assert_eq!(with[0].as_planned, without[0].as_planned);
    assert_eq!(with[0].alone, without[0].alone);
    assert_ne!(with[0].as_planned, with[0].alone, "the other pot does matter");
    let planned = &with[0].as_planned.chances[with[0].planned.expect("it is planned")];
    assert!((planned.at_s - 6.5 * 3600.0).abs() < 1e-9);
    assert_eq!(without[0].planned, None);
}

#[test]
fn a_full_floor_is_said() {
    let braise = dish("braise");
    let pots = pots(&[
        ("stew", 6.0, 30.0, 40.0),
        ("one", 5.0, 60.0, 41.0),
        ("two", 5.0, 60.0, 41.0),
        ("three", 5.0, 60.0, 41.0),
    ]);
    let mut entries = LONG_FIRE.to_vec();
    entries.extend([
        ("13:30", "placed", "one", "", ""),
        ("13:31", "placed", "two", "", ""),
        ("13:32", "placed", "three", "", ""),
    ]);
    let all = judged(&situation_at("12:30", &day(&entries), &pots, &[&braise], HOURS), &[(0, &braise)]);
    let full = at(&all[0].as_planned.chances, 8.5 * 3600.0);
    assert!(
        matches!(full.bar, Some(Bar::FloorFull { covered_m2, floor_m2 }) if covered_m2 > 0.5 && floor_m2 < 0.8),
        "{full:?}"
    );
    assert!(full.suits_share <= 0.0);
    assert!(all[0].alone.chances.iter().all(|chance| chance.bar.is_none()), "alone there is room");
    assert!(all[0].as_planned.stretches.iter().any(|s| matches!(s.held, Held::Barred(Bar::FloorFull { .. }))));
}

#[test]
fn a_cooler_window_opens_later_and_chances_are_shares() {
    let braise = dish("braise");
    let mut cooler = braise.clone();
    (cooler.window_c.from, cooler.window_c.to) = (145.0, Some(100.0));
    let pots = pots(&[("stew", 3.0, 30.0, 32.0)]);
    let situation = situation_at("12:30", &day(&LONG_FIRE), &pots, &[&braise], HOURS);
    let both = judged(&situation, &[(0, &braise), (0, &cooler)]);
    let opens_s = |suits: &Suits| suits.alone.suits().next().expect("it suits").from_s;
    assert!(opens_s(&both[1]) > opens_s(&both[0]) + 600.0, "{} {}", opens_s(&both[0]), opens_s(&both[1]));
    for chance in both.iter().flat_map(|suits| suits.alone.chances.iter().chain(&suits.as_planned.chances)) {
        let shares = [chance.suits_share, chance.too_hot_share, chance.too_cool_share];
        assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)), "{chance:?}");
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{chance:?}");
    }
}

#[test]
fn nothing_goes_behind_a_door_over_a_fire_and_a_flame_needs_one() {
    let (braise, pizza, flatbread) = (dish("braise"), dish("pizza"), dish("flatbread"));
    let pots = pots(&[("stew", 3.0, 30.0, 32.0), ("pizza", 0.0, 20.0, 30.0), ("flatbread", 0.0, 20.0, 30.0)]);
    let situation = situation_at("11:00", &day(&LONG_FIRE), &pots, &[&braise], HOURS);
    let all = judged(&situation, &[(0, &braise), (1, &pizza), (2, &flatbread)]);
    for answer in [&all[0].alone, &all[0].as_planned] {
        assert_eq!(answer.stretches[0].held, Held::Barred(Bar::FireIn));
        let out_s = answer.stretches[0].to_s;
        assert!((out_s - (3.0 + 55.0 / 60.0) * 3600.0).abs() < 1800.0, "{out_s}");
        assert_eq!(answer.chances.last().unwrap().bar, None);
    }
    assert_ne!(all[1].alone.chances[0].bar, Some(Bar::NoFlame));
    assert_eq!(all[1].alone.chances.last().unwrap().bar, Some(Bar::NoFlame));
    assert_eq!(all[2].alone.chances.last().unwrap().bar, None);
    assert!(all[2].alone.chances.last().unwrap().too_cool_share > 0.9);
}

#[test]
fn the_same_bits_on_any_number_of_threads() {
    let braise = dish("braise");
    let pots = pots(&[("stew", 3.0, 30.0, 32.0)]);
    let situation = situation_at("12:30", &day(&LONG_FIRE), &pots, &[&braise], HOURS);
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| judged(&situation, &[(0, &braise)]))
    };
    let (one, three) = (on(1), on(3));
    assert_eq!(one, three);
    assert_eq!(format!("{one:?}"), format!("{three:?}"));
}

#[test]
fn what_makes_no_sense_is_refused() {
    let braise = dish("braise");
    let pots = pots(&[("stew", 3.0, 30.0, 32.0)]);
    let situation = situation_at("12:30", &day(&LONG_FIRE), &pots, &[&braise], 1.0);
    let ask = |placing, horizon_s, options: &WhenOptions| {
        when(&situation, &[Wish { placing, dish: &braise }], horizon_s, options).unwrap_err()
    };
    assert_eq!(ask(7, 3600.0, &options()), PlanError::NoPlacing { placing: 7, placings: 1 });
    assert!(matches!(ask(0, f64::NAN, &options()), PlanError::OutOfRange { what: "horizon (s)", .. }));
    let step_s = WhenOptions { step_s: 0.0, ..options() };
    assert!(matches!(ask(0, 3600.0, &step_s), PlanError::OutOfRange { what: "step of the times (s)", .. }));
    assert!(when(&situation, &[], 3600.0, &options()).unwrap().is_empty());
}

/// Wood can catch fire on a brick it does not cool: a heavy cold load of it has no credit, and an even chance is not enough.
#[test]
fn what_can_catch_fire_gets_no_credit_for_the_load() {
    let kindling = dish("kindling");
    let pots = pots(&[("heavy", 12.0, 8.0, 34.0), ("light", 0.5, 90.0, 34.0)]);
    let situation = situation_at("12:30", &day(&LONG_FIRE), &pots, &[&kindling], HOURS);
    let both = judged(&situation, &[(0, &kindling), (1, &kindling)]);
    for (heavy, light) in both[0].alone.chances.iter().zip(&both[1].alone.chances) {
        assert_eq!(heavy, light, "the load makes no difference");
        let reads_c = heavy.reading.expect("a face is read").reads_c;
        assert!(heavy.suits_share <= 0.5 || reads_c.p50 < 100.0, "{heavy:?}");
    }
    let suits = both[0].alone.stretches.iter().filter(|stretch| stretch.held == Held::Suits);
    for stretch in suits {
        assert!(both[0].alone.chances[stretch.best].suits_share >= 0.9);
    }
    assert_eq!(both[0].alone.hot_but_right, None);
}
