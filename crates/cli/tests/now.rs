//! `ovenfall now`, on the demonstration day.

mod case;

use case::{Case, printed};
use serde_json::Value;

fn case(name: &str) -> Case {
    Case::new(name)
        .file("oven.toml", include_str!("../../../data/demo/oven.toml"))
        .file("day.csv", include_str!("../../../data/demo/day.csv"))
        .file("pots.toml", include_str!("../../../data/demo/pots.toml"))
}

const NOW: &str = "now --oven oven.toml --day day.csv --members 32";

fn text(case: &Case, arguments: &str) -> String {
    printed(&case.run(&format!("{NOW} {arguments}")).success().stderr(""))
}

fn json(case: &Case, arguments: &str) -> Value {
    serde_json::from_str(&text(case, &format!("--json {arguments}"))).expect("JSON")
}

/// One line, blanks once each.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn spread(value: &Value) -> [f64; 3] {
    ["p05", "p50", "p95"].map(|p| value[p].as_f64().unwrap_or_else(|| panic!("{p} of {value}")))
}

#[test]
fn with_the_fire_in_it_says_what_is_skin_and_leaves_the_fire_alone() {
    let text = text(&case("fire"), "--at 08:10 --svg walls.svg");
    assert!(text.starts_with("Saturday 13 June, 08:10, door open, fire in\nAbout "), "{text}");
    let words = flat(&text);
    for said in [
        " kWh lie in the bricks above 100 °C (",
        "and the heat has soaked about ",
        "Raked out and shut now, ",
        "but that is skin: with the fire out and the door shut, it sinks to about ",
        "Most useful next, the fire left alone: point the infra-red thermometer at the ",
        "Readings within the hour, the most useful first",
        "The walls as a picture: walls.svg",
        "fire and embers give off carbon monoxide",
    ] {
        assert!(words.contains(said), "{said:?} in {text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(!text.contains('\u{1b}'), "no control codes");
}

#[test]
fn just_swept_it_tells_what_the_probe_will_read_once_shut() {
    let case = case("swept");
    let words = flat(&text(&case, "--at 08:53 --svg walls.svg --width 390 --dark"));
    assert!(words.contains("Shut now, it evens out at about "), "{words}");
    assert!(words.contains(" °C on the probe ("), "{words}");
    assert!(words.contains(": shut the door for "), "{words}");
    let svg = case.read("walls.svg");
    assert!(svg.starts_with("<svg") && svg.contains("width=\"390\"") && svg.contains("counts as in store"));
}

#[test]
fn an_hour_after_the_pots_went_in_it_has_evened_out_with_them() {
    let now = json(&case("pots"), "--at 16:30");
    assert_eq!(now["inside"], serde_json::json!(["lamb shoulder", "chickpeas", "quinces"]));
    assert_eq!((&now["door"], &now["fire_in"]), (&"shut".into(), &false.into()));
    let sentence = now["sentences"][1].as_str().expect("a sentence");
    assert!(sentence.starts_with("Shut with what is in it, it has evened out at about "), "{sentence}");
    assert!(spread(&now["evened_out"]["after_min"]).iter().all(|min| min.abs() < 1e-9));
    assert_eq!(now["evened_out"]["probe_c"], now["probe_c"]);
    assert!(spread(&now["depth_of_heat"])[1] > 1.0, "cooling from the face");
}

#[test]
fn heat_is_told_above_any_temperature() {
    let case = case("above");
    let now = json(&case, "--at 09:45 --above 150 --above 60");
    let (hot, warm) = (&now["store_above"][0], &now["store_above"][1]);
    assert_eq!((&hot["above_c"], &warm["above_c"]), (&150.0.into(), &60.0.into()));
    let middles = [&warm["store_kwh"], &now["store_kwh"], &hot["store_kwh"]].map(|value| spread(value)[1]);
    assert!(middles[0] > middles[1] && middles[1] > middles[2], "{middles:?}");
    assert!(text(&case, "--at 09:45 --above 150").contains("\n  above 150 °C, kWh "));
    case.run(&format!("{NOW} --above 2000")).failure();
}

#[test]
fn json_is_as_documented() {
    let now = json(&case("json"), "--at 09:45");
    assert_eq!(now["at"], "2026-06-13T09:45:00+01:00");
    for key in ["store_kwh", "depth_of_heat", "probe_c", "floor_c", "crown_c", "fire_side_c"] {
        assert!(spread(&now[key]).is_sorted(), "{key}");
    }
    for key in ["after_min", "probe_c", "store_kwh"] {
        assert!(spread(&now["evened_out"][key]).is_sorted(), "{key}");
    }
    assert!(now["evened_out"]["within_two_hours_share"].as_f64() <= Some(1.0));
    let parts: Vec<&str> =
        now["profiles"].as_array().expect("walls").iter().filter_map(|p| p["part"].as_str()).collect();
    assert_eq!(parts, ["floor", "crown", "fire side"]);
    for profile in now["profiles"].as_array().expect("walls") {
        let depths = profile["depth_mm"].as_array().expect("depths");
        assert_eq!(depths[0], 0.0);
        assert!(
            ["p05", "p25", "p50", "p75", "p95"]
                .iter()
                .all(|p| profile[*p].as_array().map(Vec::len) == Some(depths.len()))
        );
    }
    let next = &now["next_reading"];
    assert_eq!(
        (&next["about"], &next["unit"], &next["chance"]),
        (&"the heat in store".into(), &"kWh".into(), &Value::Null)
    );
    let best = &next["readings"][0];
    assert!(best["what"].is_string() && best["after_min"].is_number() && best["effort"].is_string(), "{best}");
    assert!(spread(&best["shows_c"]).is_sorted() && best["left_share"].as_f64() <= Some(1.0));
    assert_eq!(best["chance_after"], Value::Null);
    for key in ["assumed", "cautions", "sentences"] {
        assert!(now[key].as_array().is_some_and(|texts| !texts.is_empty()), "{key}");
    }
    let provenance = &now["provenance"];
    assert_eq!((&provenance["seed"], &provenance["members"]), (&1.into(), &32.into()));
    assert!(provenance["readings_used"].as_u64() > Some(5) && provenance["input_sha256"].is_string());
}

#[test]
fn the_next_reading_can_be_for_a_dish() {
    let case = case("dish");
    let now = json(&case, "--at 09:00 --next chickpeas");
    let next = &now["next_reading"];
    assert_eq!(next["about"], "105 to 150 °C in the chamber for the chickpeas at 15:28");
    assert_eq!(next["unit"], "°C");
    let chance = next["chance"].as_f64().expect("a chance");
    let after: Vec<f64> =
        next["readings"][0]["chance_after"].as_array().expect("two").iter().filter_map(Value::as_f64).collect();
    assert!((0.0..=1.0).contains(&chance) && after.is_sorted() && after[0] <= chance && chance <= after[1], "{next}");
    let words = flat(&text(&case, "--at 09:00 --next chickpeas"));
    assert!(words.contains("The chance of 105 to 150 °C in the chamber for the chickpeas at 15:28: "), "{words}");
    assert!(words.contains("chance in 10 none "), "{words}");
    assert!(words.contains("a forecast never says that food is safe"), "{words}");
}

#[test]
fn a_dish_that_cannot_be_asked_about_is_answered_with_what_can() {
    let case = case("unknown");
    for (next, at, said) in [
        ("soup", "09:00", "no dish of the pots file has this name\n  try: store, or one of: flatbreads, "),
        ("chickpeas", "16:30", "it is in, and no temperature says when it is done\n  try: store"),
        (
            "flatbreads",
            "16:30",
            "the day has no hour from here on at which it goes in or comes out\n  try: enter the plan",
        ),
    ] {
        let failed = case.run(&format!("{NOW} --at {at} --next {next}")).failure().stdout("");
        let error = String::from_utf8_lossy(&failed.get_output().stderr).into_owned();
        assert!(error.contains(&format!("--next `{next}`: {said}")), "{error}");
    }
}

#[test]
fn the_sentence_and_the_table_agree() {
    for at in ["08:53", "12:30"] {
        let now = json(&case("agree"), &format!("--at {at}"));
        let best = now["next_reading"]["readings"][0]["left_share"].as_f64().expect("a share");
        let said = now["sentences"].as_array().and_then(|all| all.last()).and_then(Value::as_str).expect("a sentence");
        assert_eq!(said.contains("no reading within the hour tells much"), best > 0.9, "{at}: {best}, {said}");
    }
}

#[test]
fn the_same_seed_gives_the_same_answer() {
    let case = case("same");
    assert_eq!(text(&case, "--at 12:30 --json"), text(&case, "--at 12:30 --json"));
}

/// A door on over a fire comes first, ahead of every figure, and nobody is sent to take a reading.
#[test]
fn a_fire_shut_in_is_said_before_anything_else() {
    let day = include_str!("../../../data/demo/day.csv");
    let without = day.lines().filter(|line| !line.contains("raked out"));
    let case = case("shut-in").file("day.csv", without.collect::<Vec<_>>().join("\n"));
    let text = printed(&case.run(&format!("{NOW} --at 09:20")).success().stderr(""));
    let second = text.lines().nth(1).unwrap_or_default();
    assert!(second.starts_with("A fire or embers are shut in"), "{text}");
    let words = flat(&text);
    assert!(words.contains("Carbon monoxide: air the room") && words.contains("No reading now."), "{text}");
    assert!(!words.contains("Most useful next") && !words.contains("Readings within the hour"), "{text}");
}

/// A tenth of the wood written down: no reading fits, and no figure stands without a word ahead of it; JSON says so too.
#[test]
fn readings_that_do_not_fit_the_day_are_said_before_any_figure() {
    let day = include_str!("../../../data/demo/day.csv");
    let tenth = |line: &str| if line.contains(",wood on,") { line.replace(",3.", ",0.3") } else { line.to_owned() };
    let spoilt = day.lines().map(tenth).collect::<Vec<_>>().join("\n");
    let spoilt = case("tenth").file("day.csv", spoilt);
    let text = printed(&spoilt.run(&format!("{NOW} --at 09:45")).success().stderr(""));
    assert!(text.lines().nth(1).is_some_and(|line| line.starts_with("Do not plan by these figures")), "{text}");
    assert_eq!(json(&spoilt, "--at 09:45")["trusted"], false);
    assert_eq!(json(&case("as it was"), "--at 09:45")["trusted"], true);
}
