//! `ovenfall check`.

mod case;

use case::{Case, DAY, OVEN, POTS, printed};

#[test]
fn good_files_pass_in_any_order() {
    let case = Case::new("good").file("a", OVEN).file("b", DAY).file("c", POTS);
    case.run("check c b a").success().stderr("").stdout(
        "c: pots, no errors, no warnings\nb: day, no errors, no warnings\na: oven, no errors, no warnings\n\
         checked against each other, and the day run once\n",
    );
    case.run("check a b").success().stdout(
        "a: oven, no errors, no warnings\nb: day, no errors, no warnings\n\
         name the pots file as well to check them against each other\n",
    );
}

#[test]
fn warnings_leave_the_status_at_zero() {
    let case = Case::new("warnings").file("oven.toml", format!("{OVEN}new_or_damp = true\n"));
    let text = printed(&case.run("check oven.toml").code(0));
    assert!(text.contains("warning: oven.toml:14:1: water in the masonry"), "{text}");
    assert!(text.ends_with("\n\noven.toml: oven, no errors, 1 warning\n"), "{text}");
}

#[test]
fn what_only_shows_together_is_found() {
    let case = Case::new("together").file("oven.toml", OVEN).file("day.csv", DAY);
    let case = case.file("pots.toml", POTS.replace("\"stew\"", "\"soup\""));
    let text = printed(&case.run("check oven.toml day.csv pots.toml").code(1));
    assert!(text.starts_with("error: day.csv:9: unknown dish `stew`\n  allowed: soup\n"), "{text}");
    for file in ["oven.toml", "day.csv", "pots.toml"] {
        case.run(&format!("check {file}")).success();
    }
}

#[test]
fn an_oven_that_reads_well_but_cannot_be_computed_is_an_error() {
    let flat = OVEN.replace("rise_cm = 42", "rise_cm = 9").replace("= 27", "= 8");
    let case = Case::new("flat").file("oven.toml", flat);
    let text = printed(&case.run("check oven.toml").code(1));
    assert!(text.contains("this oven cannot be computed: the rise over half the diameter is 0."), "{text}");
}

#[test]
fn problems_as_json() {
    let case = Case::new("json").file("oven.toml", OVEN.replace("rise_cm = 42", "rise_cm = 9000"));
    let text = printed(&case.run("check oven.toml nope.csv --json").code(1).stderr(""));
    let json: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!((&json["errors"], &json["warnings"]), (&2.into(), &0.into()));
    assert_eq!(json["problems"][0]["line"], 6);
    assert_eq!(json["problems"][0]["severity"], "error");
    assert_eq!(json["problems"][1]["what"], "there is no such file");
    assert_eq!(json["files"][0]["kind"], "oven");
    assert_eq!(json["checked_together"], false);
}

/// The files in the guide, copied as a reader would copy them.
#[test]
fn the_files_of_the_guide_are_good() {
    let guide = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/guide.md");
    let guide = std::fs::read_to_string(guide).expect("the guide");
    let block = |opens: &str| {
        let start = guide.find(opens).unwrap_or_else(|| panic!("{opens} in the guide"));
        let rest = &guide[start..];
        rest[..rest.find("```").expect("an end")].to_owned()
    };
    let case = Case::new("guide")
        .file("oven.toml", block("ovenfall = 1\nkind = \"oven\""))
        .file("day.csv", block("# ovenfall day 1"))
        .file("pots.toml", block("ovenfall = 1\nkind = \"pots\""));
    case.run("check oven.toml day.csv pots.toml").success().stdout(
        "oven.toml: oven, no errors, no warnings\nday.csv: day, no errors, no warnings\n\
         pots.toml: pots, no errors, no warnings\nchecked against each other, and the day run once\n",
    );
    case.run("fall --oven oven.toml --day day.csv --at 17:30 --members 16").success();
}
