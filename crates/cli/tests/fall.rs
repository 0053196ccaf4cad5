//! `ovenfall fall`.

mod case;

use case::{Case, DAY, OVEN, POTS, printed};
use serde_json::Value;

fn case(name: &str) -> Case {
    Case::new(name).file("oven.toml", OVEN).file("day.csv", DAY).file("pots.toml", POTS)
}

const FALL: &str = "fall --oven oven.toml --day day.csv --members 16";

fn json(case: &Case, arguments: &str) -> Value {
    let text = printed(&case.run(&format!("{FALL} --json {arguments}")).success().stderr(""));
    serde_json::from_str(&text).expect("JSON")
}

fn numbers(value: &Value) -> Vec<Option<f64>> {
    value.as_array().expect("an array").iter().map(Value::as_f64).collect()
}

#[test]
fn tells_a_cook_in_words_first() {
    let case = case("words");
    let text = printed(&case.run(&format!("{FALL} --svg fall.svg")).success().stderr(""));
    assert!(text.starts_with("Saturday 2 May, 17:30, door shut: the chamber probe should read "), "{text}");
    for words in [
        "it read 240 °C just now",
        "Heat in store above 100 °C: ",
        "In the oven\n  stew: in at 18:00, out at 18:30\n    then core ",
        "Still to go in, by the reading alone (with the pots in: ovenfall when)\n  stew (probe 170 to 110 °C, door shut)\n",
        "planned for 18:00: ",
        "Where the heat went, 14:00 to 17:30 (middle values)\n11.0 kg of wood, ",
        "- a forecast never says that food is safe: probe the thickest part to decide\n",
        "The fall as a picture: fall.svg\n",
    ] {
        assert!(text.contains(words), "{words:?} in {text}");
    }
    assert!(!text.contains('\u{1b}'), "no control codes");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(case.read("fall.svg").starts_with("<svg"));
}

#[test]
fn json_is_as_documented() {
    let case = case("json");
    let fall = json(&case, "--hours 4");
    assert_eq!(fall["at"], "2026-05-02T17:30:00+01:00");
    let times = numbers(&fall["t_min"]);
    assert_eq!((times.len(), times[0], times[1], times[48]), (49, Some(0.0), Some(5.0), Some(240.0)));
    for key in ["probe_c", "gas_c", "floor_c", "crown_c", "store_kwh"] {
        let lines = ["p05", "p25", "p50", "p75", "p95"].map(|p| numbers(&fall[key][p]));
        for i in 0..times.len() {
            let at: Vec<f64> = lines.iter().map(|line| line[i].expect("a number")).collect();
            assert!(at.is_sorted(), "{key} {i} {at:?}");
        }
        assert_eq!(lines[0].len(), times.len(), "{key}");
    }
    let stew = &fall["placings"][0];
    assert_eq!((&stew["name"], &stew["in_min"], &stew["out_min"]), (&"stew".into(), &30.0.into(), &60.0.into()));
    for key in ["liquid_kg", "liquid_c", "core_c"] {
        let middle = numbers(&stew[key]["p50"]);
        assert!(middle[5].is_none() && middle[11].is_some(), "{key}");
        assert!(middle[13].is_none() && middle[48].is_none(), "{key}: null while outside");
    }
    assert_eq!(fall["ledger_kwh"]["wood"]["until_at"], fall["ledger_kwh"]["wood"]["until_end"]);
    assert!(fall["ledger_kwh"]["wood"]["until_at"]["p50"].as_f64() > Some(20.0));
    assert!(
        fall["ledger_kwh"]["dome"]["until_end"]["p50"].as_f64()
            > fall["ledger_kwh"]["dome"]["until_at"]["p50"].as_f64()
    );
    let provenance = &fall["provenance"];
    assert_eq!((&provenance["seed"], &provenance["members"]), (&1.into(), &16.into()));
    assert_eq!(provenance["version"], env!("CARGO_PKG_VERSION"));
}

#[test]
fn the_same_input_and_seed_give_the_same_answer_and_the_hash_tells_the_input() {
    let case = case("same");
    let (first, again, other) = (json(&case, "--seed 7"), json(&case, "--seed 7"), json(&case, "--seed 8"));
    assert_eq!(first, again);
    assert_ne!(first["probe_c"], other["probe_c"]);
    // SHA-256 over oven, day and pots, one after the other, as `cat oven.toml day.csv pots.toml | sha256sum` has it.
    use sha2::{Digest, Sha256};
    let sha = Sha256::digest(format!("{OVEN}{DAY}{POTS}").as_bytes());
    let sha: String = sha.iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!(first["provenance"]["input_sha256"], sha);
}

#[test]
fn the_oven_falls_and_a_pot_pulls_it_down() {
    let case = case("pulls").file("empty.csv", DAY.lines().take(8).map(|l| format!("{l}\n")).collect::<String>());
    let loaded = json(&case, "--hours 3");
    let text = printed(&case.run("fall --oven oven.toml --day empty.csv --members 16 --hours 3 --json").success());
    let empty: Value = serde_json::from_str(&text).expect("JSON");
    let middle = |fall: &Value, i: usize| numbers(&fall["probe_c"]["p50"])[i].expect("a number");
    assert!((middle(&loaded, 0) - middle(&empty, 0)).abs() < 0.5, "before it goes in nothing differs");
    assert!(middle(&empty, 12) < middle(&empty, 0) - 3.0, "it falls");
    assert!(middle(&loaded, 12) < middle(&empty, 12) - 5.0, "and more so with a pot in");
}

#[test]
fn what_is_not_known_yet_does_not_count() {
    let later = "9,2026-05-02T16:00:00+01:00,2026-05-02T19:00:00+01:00,wood on,,9,kg,forgotten,\n";
    let case = case("late").file("late.csv", format!("{DAY}{later}"));
    let at = "--at 17:30 --hours 2";
    let before = json(&case, at);
    let text = printed(&case.run(&format!("fall --oven oven.toml --day late.csv --members 16 --json {at}")).success());
    let with_later: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(before["probe_c"], with_later["probe_c"], "written at 19:00, unknown at 17:30");
    assert_eq!(before["ledger_kwh"], with_later["ledger_kwh"]);
}

#[test]
fn an_hour_is_on_the_ovens_clock_and_may_lie_after_midnight() {
    let case = case("clock");
    assert_eq!(json(&case, "--hours 1 --at 2026-05-02T16:45:00Z")["at"], "2026-05-02T17:45:00+01:00");
    assert_eq!(json(&case, "--hours 1 --at 17:45")["at"], "2026-05-02T17:45:00+01:00");
    assert_eq!(json(&case, "--hours 1 --at 01:15")["at"], "2026-05-03T01:15:00+01:00");
}

#[test]
fn pots_are_found_beside_the_day() {
    let bare = Case::new("no_pots").file("oven.toml", OVEN).file("day.csv", DAY);
    let said = String::from_utf8_lossy(&bare.run(FALL).code(1).get_output().stderr).into_owned();
    assert!(said.starts_with("error: day.csv:9: unknown dish `stew`\n"), "{said}");
    let named = Case::new("named_pots").file("oven.toml", OVEN).file("day.csv", DAY).file("day.pots.toml", POTS);
    named.run(FALL).success();
}

#[test]
fn a_fire_is_cautioned_and_no_door_is_set_over_it() {
    let lines = |count: usize| DAY.lines().take(count).map(|l| format!("{l}\n")).collect::<String>();
    let case = Case::new("fire").file("oven.toml", OVEN).file("day.csv", lines(5)).file("out.csv", lines(6));
    let text = printed(&case.run(&format!("{FALL} --hours 4")).success());
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "door open, fire in: the chamber probe should read",
        "no entry rakes the fire out: the door stays open in this forecast",
        "fire and embers give off carbon monoxide: only with a drawing flue and open air",
        "into a metal bucket with a lid, outdoors",
    ] {
        assert!(flat.contains(words), "{words:?} in {text}");
    }
    let raked = printed(&case.run("fall --oven oven.toml --day out.csv --members 16 --hours 4").success());
    assert!(raked.contains("it is taken as shut from this hour"), "{raked}");
    let flat = raked.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("ash and embers stay hot for days, and give off carbon monoxide"), "{raked}");
}

#[test]
fn a_reading_out_of_range_is_pointed_at() {
    let far =
        Case::new("far").file("oven.toml", OVEN).file("day.csv", DAY.replace(",240,", ",620,")).file("pots.toml", POTS);
    let text = printed(&far.run(FALL).success());
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("it read 620 °C just now, outside that range: are sizes, wood and door as the files say?"),
        "{text}"
    );
}

/// A big cold joint that lingers where bacteria grow is never on course, whatever its core reaches later; and what is
/// still in when the forecast ends is not late yet.
#[test]
fn a_cold_joint_that_warms_too_slowly_is_not_on_course() {
    let demo = |name: &str| {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo").join(name);
        std::fs::read_to_string(path).expect("the demo's file")
    };
    let pots = demo("pots.toml");
    let (before, after) = pots.split_once("name = \"lamb shoulder\"").expect("the lamb");
    let cold = after.replacen("solid_kg = 2.4", "solid_kg = 9.0", 1).replacen("start_c = 35", "start_c = 4", 1);
    let case = Case::new("joint")
        .file("oven.toml", demo("oven.toml"))
        .file("day.csv", demo("day.csv"))
        .file("pots.toml", format!("{before}name = \"lamb shoulder\"{cold}"));
    let flat = |hours: &str| {
        let text = printed(&case.run(&format!("{FALL} --at 15:35 --hours {hours}")).success());
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let long = flat("12");
    assert!(long.contains("not on course: the core is not past 54 °C within 6 hours"), "{long}");
    assert!(!long.contains("on course for 90 °C"), "{long}");
    let short = flat("1");
    assert!(short.contains("unknown whether on course for 90 °C: still in when this forecast ends"), "{short}");
}

#[test]
fn a_door_shut_over_a_fire_is_warned_of_with_its_row() {
    let fire = DAY.lines().take(5).map(|l| format!("{l}\n")).collect::<String>();
    let day = format!("{fire}9,2026-05-02T17:00:00+01:00,2026-05-02T17:00:00+01:00,door,shut,,,,\n");
    let case = Case::new("shut_fire").file("oven.toml", OVEN).file("day.csv", day);
    let text = printed(&case.run(&format!("{FALL} --hours 4")).success());
    for words in
        ["the door is shut at 17:00 over a fire that nobody raked out", "fire and embers give off carbon monoxide"]
    {
        assert!(text.contains(words), "{words:?} in {text}");
    }
}
