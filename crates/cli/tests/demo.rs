//! `ovenfall demo`.

mod case;

use case::{Case, printed};

#[test]
fn shows_the_built_in_day_and_writes_its_picture_here() {
    let case = Case::new("demo");
    let text = printed(&case.run("demo").success().stderr(""));
    for words in [
        "a built-in oven and day.",
        "the chamber probe should read ",
        "Heat in store above 100 °C: ",
        "Still to go in, by the reading alone (with the pots in: ovenfall when)\n",
        "chances in 10",
        "a forecast never says that food is safe",
        "The fall as a picture: ovenfall-demo.svg, in this directory.\n",
    ] {
        assert!(text.contains(words), "{words:?} in {text}");
    }
    for dish in ["flatbreads", "tin loaf", "lamb shoulder", "chickpeas", "rice pudding", "quinces"] {
        let menu = text.split("Still to go in").nth(1).unwrap_or_default();
        assert!(menu.contains(dish), "{dish} in {menu}");
    }
    assert!(!text.contains("nknown") && !text.contains("NaN"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let svg = case.read("ovenfall-demo.svg");
    assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
}

#[test]
fn help_fits_eighty_columns() {
    let case = Case::new("help");
    for arguments in ["--help", "oven --help", "check --help", "fall --help", "when --help"] {
        let text = printed(&case.run(arguments).success().stderr(""));
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    }
}
