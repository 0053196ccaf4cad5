//! Dishes as data: the window of a falling oven each of them likes, and what has hurt people who cooked it.
//!
//! The windows are a place to start from, not physics: common practice, judged by one temperature. A window says when an
//! oven *suits* a dish. It never says that what comes out has been cooked enough; that takes a probe and a person.

use crate::error::FoodError;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The built-in dishes.
const STANDARD: &str = include_str!("../../../data/dishes.toml");

/// A range that is passed from `from` to `to`; without `to` it has one end only.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Range {
    /// The first end, in the unit of the field that holds the range.
    pub from: f64,
    /// The last end, if there is one.
    pub to: Option<f64>,
}

/// Which temperature decides whether the oven suits a dish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum JudgedBy {
    /// The floor where it lies: what is baked on the floor of an open oven.
    Floor,
    /// What the chamber probe shows: everything behind a door.
    Chamber,
}

/// How the door stands while a dish is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DoorState {
    /// No door, with a flame at the side.
    OpenFlame,
    /// No door.
    Open,
    /// Sealed to keep the steam in, vented towards the end.
    SealedThenVented,
    /// On, as tight as it goes.
    Shut,
    /// Set aside by a hand's breadth.
    Ajar,
    /// Ajar, and somebody stays with it.
    AjarAttended,
}

impl DoorState {
    /// As a cook says it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::OpenFlame => "open, with a flame",
            Self::Open => "open",
            Self::SealedThenVented => "sealed, vented at the end",
            Self::Shut => "shut",
            Self::Ajar => "ajar",
            Self::AjarAttended => "ajar, somebody stays with it",
        }
    }
}

/// Something that has hurt people who cooked this.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// What to do or leave.
    pub text: String,
    /// Where it comes from.
    pub source: String,
}

/// One kind of dish.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dish {
    /// Its name.
    pub name: String,
    /// Other names it goes by.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// Window of a falling oven, °C: hot end first; without a cool end it suits any oven below the hot end.
    pub window_c: Range,
    /// Which temperature the window is about.
    pub judged_by: JudgedBy,
    /// How the door stands.
    pub door: DoorState,
    /// Where in the oven.
    pub place: String,
    /// How a cook tells that it is done.
    pub done: String,
    /// Temperature of the thickest part when it is done, °C; without an upper end it is a least value.
    pub core_c: Option<Range>,
    /// What the coldest point must be past, and how soon, where lingering below it is a danger.
    pub core_past: Option<ComeUp>,
    /// Usual time, minutes.
    pub takes_min: Option<Range>,
    /// Whether it can catch fire: then no face of the oven may be hotter than the window, whatever the load takes out.
    #[serde(default)]
    pub flammable: bool,
    /// What has hurt people.
    #[serde(default)]
    pub cautions: Vec<Caution>,
    /// Where the window comes from.
    pub source: String,
    /// The terms it may be used under; `fact` for what nobody owns.
    pub licence: String,
}

/// A time by which the coldest point must be out of the range in which bacteria grow.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ComeUp {
    /// Temperature to be past, °C.
    pub past_c: f64,
    /// Time for it from putting in, h.
    pub within_h: f64,
}

/// How a temperature stands to a dish's window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Hotter than the window.
    TooHot,
    /// Inside the window, ends included.
    Within,
    /// Cooler than the window.
    TooCool,
    /// Not a number: nothing is known.
    Unknown,
}

impl Dish {
    /// How a temperature stands to the window.
    #[must_use]
    pub fn fit(&self, temperature_c: f64) -> Fit {
        if temperature_c.is_nan() {
            Fit::Unknown
        } else if temperature_c > self.window_c.from {
            Fit::TooHot
        } else if self.window_c.to.is_some_and(|to| temperature_c < to) {
            Fit::TooCool
        } else {
            Fit::Within
        }
    }

    /// Whether it goes by this name; case and outer blanks do not matter.
    #[must_use]
    pub fn is_called(&self, name: &str) -> bool {
        let name = name.trim().to_lowercase();
        self.names().any(|own| own.to_lowercase() == name)
    }

    /// Its name and its aliases.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name.as_str()).chain(self.aliases.iter().map(String::as_str))
    }
}

/// The dish that goes by a name.
#[must_use]
pub fn find<'a>(dishes: &'a [Dish], name: &str) -> Option<&'a Dish> {
    dishes.iter().find(|dish| dish.is_called(name))
}

/// The built-in dishes, hottest first.
///
/// # Errors
/// Never with the data this was built with (a test reads them); the type leaves it to the caller all the same.
///
/// # Example
/// ```
/// let dishes = ovenfall_food::dish::standard()?;
/// let chickpeas = ovenfall_food::dish::find(&dishes, "Chickpeas").expect("a pulse");
/// assert_eq!(chickpeas.name, "boiled pulses");
/// assert!(chickpeas.cautions.iter().any(|caution| caution.text.contains("boil hard")));
/// # Ok::<(), ovenfall_food::error::FoodError>(())
/// ```
pub fn standard() -> Result<Vec<Dish>, FoodError> {
    read(STANDARD)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    dish: Vec<Dish>,
}

/// Reads dishes from TOML and checks them.
///
/// # Errors
/// When the text is not TOML of this form, a range is not finite or stands the wrong way round, a text is empty, or two
/// dishes share a name.
pub fn read(text: &str) -> Result<Vec<Dish>, FoodError> {
    let dishes = toml::from_str::<File>(text)?.dish;
    if dishes.is_empty() {
        return Err(FoodError::NoDishes);
    }
    dishes.iter().try_for_each(check)?;
    check_names(&dishes)?;
    Ok(dishes)
}

fn check(dish: &Dish) -> Result<(), FoodError> {
    let texts = [
        ("name", &dish.name),
        ("place", &dish.place),
        ("done", &dish.done),
        ("source", &dish.source),
        ("licence", &dish.licence),
    ];
    let cautions = dish
        .cautions
        .iter()
        .flat_map(|caution| [("cautions.text", &caution.text), ("cautions.source", &caution.source)]);
    for (key, text) in texts.into_iter().chain(cautions) {
        if text.trim().is_empty() {
            return Err(FoodError::Empty { dish: dish.name.clone(), key });
        }
    }
    let falling = |from: f64, to: f64| from > to;
    let rising = |from: f64, to: f64| from < to;
    check_range(dish, "window_c", Some(dish.window_c), falling, "it must fall")?;
    check_range(dish, "core_c", dish.core_c, rising, "it must rise")?;
    check_range(dish, "takes_min", dish.takes_min, rising, "it must rise")
}

fn check_range(
    dish: &Dish,
    key: &'static str,
    range: Option<Range>,
    in_order: impl Fn(f64, f64) -> bool,
    rule: &'static str,
) -> Result<(), FoodError> {
    let Some(Range { from, to }) = range else {
        return Ok(());
    };
    let finite = from.is_finite() && to.is_none_or(f64::is_finite);
    if finite && to.is_none_or(|to| in_order(from, to)) {
        return Ok(());
    }
    let to = to.unwrap_or(f64::NAN);
    Err(FoodError::Range { dish: dish.name.clone(), key, from, to, rule })
}

fn check_names(dishes: &[Dish]) -> Result<(), FoodError> {
    let mut owner = BTreeMap::new();
    for dish in dishes {
        for name in dish.names() {
            let before = owner.insert(name.trim().to_lowercase(), &dish.name);
            if let Some(first) = before {
                let (name, first, second) = (name.to_string(), first.clone(), dish.name.clone());
                return Err(FoodError::NameTwice { name, first, second });
            }
        }
    }
    Ok(())
}
