//! The built-in dishes against the table of starting windows, and files that must be refused.

use ovenfall_food::dish::{self, Dish, DoorState, Fit, JudgedBy};
use ovenfall_food::error::FoodError;

/// Name, hot end, cool end, door, least core.
type Row = (&'static str, f64, Option<f64>, DoorState, Option<f64>);

/// The table of starting windows (°C), written down apart from the data file.
const TABLE: [Row; 18] = [
    ("pizza", 450.0, Some(380.0), DoorState::OpenFlame, None),
    ("flatbread", 380.0, Some(300.0), DoorState::Open, None),
    ("hearth loaf", 270.0, Some(200.0), DoorState::SealedThenVented, Some(96.0)),
    ("tin loaf", 230.0, Some(180.0), DoorState::Shut, Some(93.0)),
    ("poultry", 230.0, Some(170.0), DoorState::Shut, Some(75.0)),
    ("roast joint", 240.0, Some(160.0), DoorState::Shut, None),
    ("roots", 230.0, Some(180.0), DoorState::Ajar, None),
    ("pie", 200.0, Some(160.0), DoorState::Shut, None),
    ("braise", 170.0, Some(110.0), DoorState::Shut, Some(85.0)),
    ("pulled joint", 150.0, Some(100.0), DoorState::Shut, Some(90.0)),
    ("boiled pulses", 150.0, Some(105.0), DoorState::Shut, None),
    ("broth", 140.0, Some(95.0), DoorState::Shut, Some(90.0)),
    ("custard", 150.0, Some(120.0), DoorState::Shut, Some(75.0)),
    ("meringue", 110.0, Some(80.0), DoorState::Ajar, None),
    ("slow tomatoes", 110.0, Some(65.0), DoorState::Ajar, None),
    ("fruit", 70.0, Some(50.0), DoorState::Ajar, None),
    ("herbs", 45.0, Some(35.0), DoorState::Ajar, None),
    ("kindling", 100.0, None, DoorState::AjarAttended, None),
];

fn standard() -> Vec<Dish> {
    dish::standard().expect("the built-in dishes")
}

#[test]
fn the_built_in_dishes_are_those_of_the_table() {
    let dishes = standard();
    assert_eq!(dishes.len(), TABLE.len());
    for (dish, (name, from, to, door, core)) in dishes.iter().zip(TABLE) {
        assert_eq!(dish.name, name);
        assert_eq!((Some(dish.window_c.from), dish.window_c.to), (Some(from), to), "{name}");
        assert_eq!(dish.door, door, "{name}");
        assert_eq!(dish.core_c.map(|range| range.from), core, "{name}");
    }
}

#[test]
fn only_what_lies_on_an_open_floor_is_judged_by_it() {
    for dish in standard() {
        let open = matches!(dish.door, DoorState::Open | DoorState::OpenFlame);
        assert_eq!(dish.judged_by == JudgedBy::Floor, open, "{}", dish.name);
    }
}

#[test]
fn what_has_hurt_people_is_said() {
    let dishes = standard();
    for (name, word) in [
        ("kidney beans", "boil hard"),
        ("kidney beans", "soak"),
        ("chicken", "75 °C"),
        ("slow tomatoes", "botulism"),
        ("kindling", "somebody stays"),
        ("kindling", "ember"),
        ("rice pudding", "rice"),
        ("lamb shoulder", "6 hours"),
        ("stew", "never left in until the oven is cold"),
        ("pizza", "carbon monoxide"),
    ] {
        let dish = dish::find(&dishes, name).expect(name);
        assert!(dish.cautions.iter().any(|c| c.text.contains(word)), "{name}: {word}");
    }
}

#[test]
fn nothing_is_called_by_the_word_no_forecast_may_say() {
    let text = include_str!("../../../data/dishes.toml").to_lowercase();
    assert!(!text.split(|c: char| !c.is_alphabetic()).any(|word| word == "safe" || word == "safely"));
}

#[test]
fn the_ends_of_a_window_belong_to_it() {
    let dishes = standard();
    let loaf = dish::find(&dishes, " Tin Loaf ").expect("a tin loaf");
    let fits = [230.1, 230.0, 180.0, 179.9, f64::NAN].map(|t| loaf.fit(t));
    assert_eq!(fits, [Fit::TooHot, Fit::Within, Fit::Within, Fit::TooCool, Fit::Unknown]);
    let kindling = dish::find(&dishes, "kindling").expect("kindling");
    assert_eq!([100.1, 100.0, -20.0].map(|t| kindling.fit(t)), [Fit::TooHot, Fit::Within, Fit::Within]);
}

/// A complete row to take things from.
const ROW: &str = "[[dish]]\nname = \"loaf\"\nwindow_c = { from = 230, to = 180 }\njudged_by = \"chamber\"\n\
    door = \"shut\"\nplace = \"rack\"\ndone = \"hollow\"\nsource = \"a book\"\nlicence = \"fact\"\n";

fn refused(from: &str, to: &str) -> String {
    let text = ROW.replace(from, to);
    assert_ne!(text, ROW, "the sample must differ");
    dish::read(&text).expect_err("refused").to_string()
}

#[test]
fn bad_files_are_refused_with_the_reason() {
    assert_eq!(dish::read(ROW).expect("complete").len(), 1);
    assert_eq!(dish::read(""), Err(FoodError::NoDishes));
    assert_eq!(refused("from = 230", "from = 180"), "dish `loaf`: `window_c` goes from 180 to 180; it must fall");
    assert_eq!(refused("to = 180", "to = nan"), "dish `loaf`: `window_c` goes from 230 to NaN; it must fall");
    assert_eq!(
        refused("from = 230, to = 180", "from = inf"),
        "dish `loaf`: `window_c` goes from inf to NaN; it must fall"
    );
    assert_eq!(refused("a book", " "), "dish `loaf`: `source` is empty");
    assert!(refused("door = \"shut\"", "door = \"locked\"").contains("unknown variant `locked`"));
    assert!(refused("source = \"a book\"\n", "").contains("missing field `source`"));
    assert!(refused("place", "plaice").contains("unknown field `plaice`"));
    let twice = format!("{ROW}{}", ROW.replace("name = \"loaf\"", "name = \"tin\"\naliases = [\"Loaf\"]"));
    assert_eq!(dish::read(&twice).expect_err("refused").to_string(), "`Loaf` names both `loaf` and `tin`");
}
