//! `ovenfall oven`.

mod case;

use case::{Case, OVEN, printed};
use serde_json::Value;

fn json(case: &Case, arguments: &str) -> Value {
    serde_json::from_str(&printed(&case.run(arguments).success().stderr(""))).expect("JSON")
}

#[test]
fn says_what_it_weighs_holds_and_loses() {
    let case = Case::new("text").file("oven.toml", OVEN);
    let text = printed(&case.run("oven oven.toml --svg section.svg").success().stderr(""));
    for words in [
        "quay oven\nDome, 90 cm across inside, 42 cm high. Mouth 42 cm wide, 27 cm high.\n",
        "  dome   firebrick              100 ",
        "To bring it to 300 °C takes ",
        "What it loses when floor and walls are kept at one temperature, door shut, W:",
        "Assumed, because the file does not say\n- usual values are those of: firebrick with vermiculite concrete\n",
        "- under the floor: air\n",
        "people licensed for the work,",
        "The section as a picture: section.svg\n",
    ] {
        assert!(text.contains(words), "{words:?} in {text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let svg = case.read("section.svg");
    assert!(svg.starts_with("<svg") && svg.contains("firebrick"), "{svg}");
}

/// The firebrick of a 90 cm dome of 42 cm rise, 10 cm thick, by hand: a spherical shell less the mouth.
#[test]
fn masses_are_those_of_the_sizes_given() {
    let case = Case::new("masses").file("oven.toml", OVEN);
    let answer = json(&case, "oven oven.toml --json");
    let radius_m = (0.45_f64.powi(2) + 0.42_f64.powi(2)) / (2.0 * 0.42);
    let cap_m2 = 2.0 * std::f64::consts::PI * radius_m * 0.42;
    let shell_m3 = cap_m2 / radius_m.powi(2) * ((radius_m + 0.1).powi(3) - radius_m.powi(3)) / 3.0;
    let expected_kg = 2000.0 * shell_m3 * (1.0 - 0.42 * 0.27 / cap_m2);
    let firebrick = &answer["layers"][0];
    assert_eq!((&firebrick["part"], &firebrick["material"]), (&"dome".into(), &"firebrick".into()));
    let kg = firebrick["mass_kg"].as_f64().expect("a mass");
    // The density in the table of materials may move; a mass far off it may not.
    assert!((kg / expected_kg - 1.0).abs() < 0.25, "{kg} {expected_kg}");
    let sum: f64 = answer["layers"]
        .as_array()
        .expect("layers")
        .iter()
        .filter(|layer| layer["part"] != "door")
        .filter_map(|layer| layer["mass_kg"].as_f64())
        .sum();
    assert!((answer["mass_kg"].as_f64().expect("a mass") - sum).abs() < 1e-6);
}

#[test]
fn losses_add_up_and_rise_with_temperature() {
    let case = Case::new("losses").file("oven.toml", OVEN);
    let answer = json(&case, "oven oven.toml --json");
    let mut last_w = 0.0;
    for loss in answer["loss_door_shut"].as_array().expect("losses") {
        let of = |key: &str| loss[key].as_f64().expect("a number");
        let sum = of("dome_w") + of("floor_w") + of("door_w") + of("mouth_masonry_w") + of("floor_rim_w") + of("air_w");
        let total_w = loss["total_w"]["described"].as_f64().expect("a total");
        assert!((sum + of("radiation_w") - total_w).abs() < 1e-6, "{loss}");
        assert!(loss["total_w"]["p05"].as_f64() < loss["total_w"]["p95"].as_f64(), "{loss}");
        assert!(total_w > last_w, "{answer}");
        last_w = total_w;
    }
    assert!(answer["loss_mouth_open"]["total_w"]["described"].as_f64() > Some(last_w));
    assert!(answer["to_hot_kwh"]["described"].as_f64() > answer["store_above_100_c_kwh"]["described"].as_f64());
}

#[test]
fn a_new_oven_is_cautioned() {
    let case = Case::new("damp").file("oven.toml", format!("{OVEN}new_or_damp = true\n"));
    let text = printed(&case.run("oven oven.toml").success());
    assert!(text.contains("- new or damp masonry: no fast fire."), "{text}");
    assert!(text.contains("warning: oven.toml:14:1: water in the masonry"), "{text}");
}

#[test]
fn an_oven_without_a_door_and_a_vault_are_ovens_too() {
    let case = Case::new("forms")
        .file("bare.toml", format!("{OVEN}door = []\n"))
        .file("vault.toml", "ovenfall = 1\nkind = \"oven\"\nform = \"vault\"\nwidth_cm = 180\nlength_cm = 240\n");
    case.run("oven bare.toml").success();
    let text = printed(&case.run("oven vault.toml --svg vault.svg --dark --width 390").success());
    assert!(text.contains("  vault  "), "{text}");
    assert!(case.read("vault.svg").contains("#171512"), "dark paper");
}

#[test]
fn a_picture_that_cannot_be_written_is_an_error() {
    let case = Case::new("unwritable").file("oven.toml", OVEN);
    let assert = case.run("oven oven.toml --svg no/such/folder.svg").code(1).stdout("");
    let said = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
    assert!(said.starts_with("error: no/such/folder.svg: cannot be written: "), "{said}");
}
