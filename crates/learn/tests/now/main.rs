//! What is in the oven, and the next reading, on the demonstration day of the real engine.

// What the tests share may unwrap as they do.
#![allow(clippy::unwrap_used)]

mod next;

use ovenfall_engine::state::Part;
use ovenfall_learn::now::{Likely, Looked, Now, Survey, survey};
use ovenfall_learn::{Asked, FallOptions, Situation, situation};
use ovenfall_record::day_file::read_day;
use ovenfall_record::oven_file::read_oven;
use ovenfall_record::pots_file::read_pots;

const MEMBERS: usize = 64;
const OVEN: &str = include_str!("../../../../data/demo/oven.toml");
const DAY: &str = include_str!("../../../../data/demo/day.csv");
const POTS: &str = include_str!("../../../../data/demo/pots.toml");

fn situation_of(day: &str, clock: &str, readings: bool) -> Situation {
    let (oven, day) = (read_oven("oven.toml", OVEN).unwrap(), read_day("day.csv", day).unwrap());
    let pots = read_pots("pots.toml", POTS).unwrap();
    let at = format!("2026-06-13T{clock}:00+01:00").parse().unwrap();
    let (horizon_s, seed) = (12.0 * 3600.0, 1);
    let asked = Asked { oven: &oven, day: &day, pots: &pots, at, horizon_s, members: MEMBERS, seed, readings };
    situation(&asked).unwrap()
}

fn surveyed(situation: &Situation, store_above_c: &[f64]) -> Survey {
    let fall = FallOptions { members: MEMBERS, ..FallOptions::default() };
    survey(situation, Looked { store_above_c: store_above_c.to_vec(), planned_s: None, fall }).unwrap()
}

fn now_at(clock: &str, readings: bool) -> (Situation, Now) {
    let situation = situation_of(DAY, clock, readings);
    let now = surveyed(&situation, &[]).now(&situation);
    (situation, now)
}

fn ordered(likely: Likely) -> bool {
    likely.p05 <= likely.p50 && likely.p50 <= likely.p95
}

#[test]
fn less_heat_lies_above_a_higher_temperature() {
    let situation = situation_of(DAY, "09:45", true);
    let now = surveyed(&situation, &[60.0, 100.0, 150.0, 250.0, 900.0]).now(&situation);
    for pair in now.store_above.windows(2) {
        let (low, high) = (pair[0].store_kwh, pair[1].store_kwh);
        assert!(high.p05 < low.p05 && high.p50 < low.p50 && high.p95 < low.p95, "{pair:?}");
    }
    assert!((now.store_above[1].store_kwh.p50 - now.store_kwh.p50).abs() < 1e-9, "the same heat, asked twice");
    assert!(now.store_above[4].store_kwh.p95.abs() < 1e-9, "nothing is as hot as that");
}

#[test]
fn a_profile_begins_at_the_face() {
    let (_, now) = now_at("16:30", true);
    let faces = [(Part::Floor, now.floor_c), (Part::Crown, now.crown_c), (Part::FireSide, now.fire_side_c)];
    for (profile, (part, face_c)) in now.profiles.iter().zip(faces) {
        assert_eq!(profile.part, part);
        assert!(profile.depths_m[0] == 0.0 && profile.depths_m.is_sorted());
        let t = &profile.temperature_c;
        assert!((t.p50[0] - face_c.p50).abs() < 0.5, "{part:?}: {} and {}", t.p50[0], face_c.p50);
        assert!(t.p50.last().unwrap() + 50.0 < face_c.p50, "{part:?}: cooler outside");
        assert!((0..t.p50.len()).all(|i| t.p05[i] <= t.p50[i] && t.p50[i] <= t.p95[i]));
    }
}

#[test]
fn the_longer_the_fire_the_deeper_the_heat() {
    let depth = |clock: &str| now_at(clock, false).1.depth_of_heat.unwrap().p50;
    let depths = ["06:15", "07:15", "08:15"].map(depth);
    assert!(depths.is_sorted() && depths[0] + 0.1 < depths[2], "{depths:?}");
    // Raked out, faces cool first: what lies behind them is more than they would keep.
    assert!(depth("13:00") > 1.0);
}

#[test]
fn an_oven_that_was_never_fired_has_no_depth_of_heat() {
    let lines: Vec<&str> = DAY.lines().take(3).collect();
    let situation = situation_of(&format!("{}\n", lines.join("\n")), "09:00", false);
    let now = surveyed(&situation, &[]).now(&situation);
    assert_eq!(now.depth_of_heat, None);
    assert!(now.store_kwh.p95.abs() < 1e-9 && !now.fire_in);
    assert!(now.evened_out.probe_c.p50 < 30.0);
}

#[test]
fn evened_out_the_probe_lies_within_the_heat_there_is() {
    for clock in ["08:10", "08:53", "09:45", "10:30", "16:30"] {
        let (situation, now) = now_at(clock, true);
        let evened = &now.evened_out;
        assert!([evened.probe_c, evened.after_min, evened.store_kwh].into_iter().all(ordered), "{clock}");
        let hottest = now.profiles.iter().flat_map(|p| p.temperature_c.p50.iter().copied()).fold(f64::MIN, f64::max);
        assert!(evened.probe_c.p50 <= hottest, "{clock}: {} above {hottest}", evened.probe_c.p50);
        assert!(evened.probe_c.p50 > situation.ambient_c + 50.0, "{clock}");
        assert!(evened.store_kwh.p50 <= now.store_kwh.p50 + 1e-9, "{clock}: shut, it only loses");
        assert!(now.door == ovenfall_engine::drive::Door::Shut || evened.after_min.p05 >= 10.0, "{clock}");
    }
    // Shut and empty since 09:51: it is evened out, near its faces, and told at once.
    let (_, now) = now_at("10:30", true);
    let coldest = now.floor_c.p50.min(now.crown_c.p50);
    assert!(now.evened_out.after_min.p50 == 0.0 && now.inside.is_empty());
    let height = |t_c: f64| t_c - 12.0;
    assert!(height(now.evened_out.probe_c.p50) > 0.85 * height(coldest), "{now:?}");
}

#[test]
fn the_door_is_as_it_is_and_a_fire_is_told() {
    let (_, now) = now_at("08:10", true);
    assert!(now.fire_in && now.door == ovenfall_engine::drive::Door::Open);
    let (_, now) = now_at("16:30", true);
    assert!(!now.fire_in && now.inside.len() == 3, "{:?}", now.inside);
}
