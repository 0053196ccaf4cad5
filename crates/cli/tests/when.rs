//! `ovenfall when`.

mod case;

use case::{Case, DAY, OVEN, POTS, printed};
use serde_json::Value;

const DEMO: [(&str, &str); 3] = [
    ("oven.toml", include_str!("../../../data/demo/oven.toml")),
    ("day.csv", include_str!("../../../data/demo/day.csv")),
    ("pots.toml", include_str!("../../../data/demo/pots.toml")),
];

const WHEN: &str = "when --oven oven.toml --day day.csv --members 64";

fn demo(name: &str) -> Case {
    DEMO.into_iter().fold(Case::new(name), |case, (file, text)| case.file(file, text))
}

fn small(name: &str) -> Case {
    Case::new(name).file("oven.toml", OVEN).file("day.csv", DAY).file("pots.toml", POTS)
}

fn json(case: &Case, arguments: &str) -> Value {
    serde_json::from_str(&printed(&case.run(&format!("{WHEN} --json {arguments}")).success())).expect("JSON")
}

/// The lines about a dish.
fn about<'a>(text: &'a str, dish: &str) -> &'a str {
    let from = text.find(&format!("\n{dish}")).unwrap_or_else(|| panic!("{dish} in {text}")) + 1;
    text[from..].split("\n\n").next().expect("a part")
}

/// Words with single blanks, however the lines are broken.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_demo_menu_is_told_in_words_that_fit_80_and_48_columns() {
    let case = demo("words");
    let asked = format!("{WHEN} --at 10:25");
    let wide = printed(&case.run(&asked).success().stderr(""));
    let narrow = printed(&case.run_in(48, &asked).success().stderr(""));
    for (text, columns) in [(&wide, 80), (&narrow, 48)] {
        let long: Vec<&str> = text.lines().filter(|line| line.chars().count() > columns).collect();
        assert!(long.is_empty(), "wider than {columns}: {long:?}");
    }
    assert_eq!(flat(&wide), flat(&narrow), "the same words");
    assert!(wide.starts_with("Saturday 13 June, 10:25, door shut, nothing in the oven."), "{wide}");
    assert!(wide.contains("\nflatbreads: was in from 09:43 to 09:49\n"));
    let loaves = flat(about(&wide, "first tin loaf, second tin loaf (probe 230 to 180 °C, door shut, 30 min or more)"));
    for words in ["alone: too hot until", "suits from", "at best", "in 10 (at", "Planned for 12:06:", "but is empty"] {
        assert!(loaves.contains(words), "{words:?} in {loaves}");
    }
    let quinces = flat(about(&wide, "quinces"));
    assert!(quinces.contains("too hot going by the reading; with the pot in it settles at"), "{quinces}");
    assert!(flat(about(&wide, "lamb shoulder (")).contains("the pot is too light to pull it down"), "{wide}");
    assert!(wide.contains("- a forecast never says that food is safe: probe the thickest part to decide\n"));
    assert!(flat(&wide).contains("lamb shoulder: a big cold joint warms slowly"));
    assert!(flat(&wide).contains("boil hard for at least 30 minutes"));
    let without = wide.replace("never says that food is safe", "");
    assert!(!without.to_lowercase().split(|c: char| !c.is_alphabetic()).any(|word| word == "safe"), "{without}");
}

#[test]
fn json_is_as_documented_and_shares_are_shares() {
    let case = small("json");
    let answer = json(&case, "--hours 6");
    assert_eq!((&answer["at"], &answer["horizon_h"]), (&"2026-05-02T17:30:00+01:00".into(), &6.0.into()));
    assert_eq!(answer["provenance"]["menu_sha256"], Value::Null);
    let stew = &answer["dishes"][0];
    assert_eq!((&stew["name"], &stew["kind"], &stew["state"]), (&"stew".into(), &"braise".into(), &"to go in".into()));
    assert_eq!((&stew["window_c"][0], &stew["window_c"][1]), (&170.0.into(), &110.0.into()));
    assert_eq!(stew["planned"]["at_min"], 30.0);
    for course in ["alone", "as_planned"] {
        let chances = stew[course]["chances"].as_array().expect("chances");
        assert!(chances.len() >= 7 && chances[0]["at_min"] == 0.0);
        for chance in chances.iter().filter(|chance| !chance["suits_share"].is_null()) {
            let shares = ["suits_share", "too_hot_share", "too_cool_share"].map(|key| chance[key].as_f64().unwrap());
            assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)), "{chance}");
            assert!((shares.iter().sum::<f64>() - 1.0).abs() < 2e-3, "{chance}");
        }
        let stretches = stew[course]["stretches"].as_array().expect("stretches");
        assert!(stretches.windows(2).all(|pair| pair[0]["to_min"] == pair[1]["from_min"]), "{stretches:?}");
        assert_eq!(stretches[0]["under_way"], true);
    }
    assert_eq!(answer, json(&case, "--hours 6"), "the same question, the same answer");
}

#[test]
fn a_menu_may_hold_dishes_the_day_has_no_pot_of() {
    let menu = "ovenfall = 1\nkind = \"pots\"\n\
        [[dish]]\nname = \"broth\"\nkind = \"broth\"\nliquid_kg = 4\nsolid_kg = 1\nstart_c = 90\n\
        [[dish]]\nname = \"Stew\"\nkind = \"braise\"\nsolid_kg = 3\n\
        [[dish]]\nname = \"surprise\"\nkind = \"no such dish\"\n";
    let case = small("menu").file("menu.toml", menu);
    let answer = json(&case, "--hours 8 --menu menu.toml");
    let names: Vec<&str> = answer["dishes"].as_array().unwrap().iter().map(|d| d["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["broth", "stew", "surprise"], "in the order of the menu, called as in the pots file");
    assert_eq!(answer["dishes"][2]["state"], "unknown");
    assert!(answer["dishes"][0]["alone"]["chances"].as_array().unwrap().len() >= 9);
    assert_eq!(answer["dishes"][1]["planned"]["at_min"], 30.0);
    let twice = "stew is described in the menu and in the pots file, not alike: the pots file is taken";
    assert!(answer["assumed"].as_array().unwrap().contains(&twice.into()), "{}", answer["assumed"]);
    assert!(answer["provenance"]["menu_sha256"].as_str().is_some_and(|sha| sha.len() == 64));
    let text = printed(&case.run(&format!("{WHEN} --hours 1 --menu menu.toml")).success());
    assert!(text.contains("\nsurprise: unknown, its `kind` is not in the table\n"), "{text}");
}

#[test]
fn a_menu_that_cannot_be_used_is_refused_with_the_reason() {
    let case = small("bad").file("menu.toml", "ovenfall = 1\nkind = \"pots\"\n[[dish]]\nnome = \"x\"\n");
    let stderr = |arguments: &str| {
        let failed = case.run(&format!("{WHEN} {arguments}")).failure().stdout("");
        String::from_utf8(failed.get_output().stderr.clone()).expect("UTF-8")
    };
    let misspelt = stderr("--menu menu.toml");
    assert!(misspelt.contains("menu.toml") && misspelt.contains("nome"), "{misspelt}");
    assert!(stderr("--menu not-there.toml").contains("not-there.toml"));
    assert!(stderr("--menu oven.toml").contains("oven.toml"));
    assert!(stderr("--hours 0").contains("between 0.25 and 96"));
    assert!(stderr("--at 3:00pm").contains("3:00pm"));
}
