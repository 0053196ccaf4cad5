//! What only shows when the oven, the day and the pots are held against each other.

use crate::day::{Day, Done, Entry, What, WoodAmount};
use crate::day_file::{error_at, warning_at};
use crate::pots::{DishPlacing, Pots};
use crate::problem::Problem;
use crate::reading::{Part, Reading};
use crate::suggest::nearest;
use crate::wording::{normal, short};
use ovenfall_engine::description::{Form, OvenDescription};
use std::collections::{BTreeMap, HashSet};
use std::f64::consts::PI;

/// A pot and a mouth are each measured to some percent: a pot larger by more than this does not fit, by less is doubted.
const SURELY_LARGER: f64 = 1.10;

/// Checks oven, day and pots against each other.
#[must_use]
pub fn check_together(oven: &OvenDescription, day: &Day, pots: &Pots) -> Vec<Problem> {
    let mut problems = Vec::new();
    for dish in &pots.dishes {
        check_mouth(oven, dish, &pots.file, &mut problems);
    }
    let standing = day.standing();
    check_names(day, pots, &standing, &mut problems);
    check_baskets(day, pots, &standing, &mut problems);
    check_depths(oven, day, &standing, &mut problems);
    check_floor(oven, day, pots, &standing, &mut problems);
    problems
}

/// The problem of a dish that is not in the pots file.
#[must_use]
pub fn unknown_dish(file: &str, entry: &Entry, dish: &str, pots: &Pots) -> Problem {
    let names: Vec<&str> = pots.dishes.iter().map(|dish| dish.sheet.name.as_str()).collect();
    let near = nearest(dish, names.iter().copied()).map(|near| format!("did you mean `{near}`?"));
    let all = if names.is_empty() { "the file of pots names no dish".into() } else { names.join(", ") };
    Problem {
        limits: Some(all),
        suggestion: near.or_else(|| Some(format!("add a `[[dish]]` of this name to {}", pots.file))),
        ..error_at(file, entry.line, 0, format!("unknown dish `{}`", short(dish)))
    }
}

/// The problem of baskets nobody weighed.
#[must_use]
pub fn basket_without_mass(file: &str, entry: &Entry) -> Problem {
    Problem {
        suggestion: Some("weigh one and write `basket_kg` into the pots file, or `basket 6 kg` into `what`".into()),
        ..error_at(file, entry.line, 0, "wood in baskets, but no mass of a basket is known".into())
    }
}

fn check_mouth(oven: &OvenDescription, dish: &DishPlacing, file: &str, problems: &mut Vec<Problem>) {
    let pot = &dish.placing.pot;
    let name = short(&dish.sheet.name);
    for (size, pot_m, stated, mouth_m) in [
        ("wide", pot.diameter_m, dish.spread.diameter_m.stated, oven.mouth.width_m.value),
        ("high", pot.height_m, dish.spread.height_m.stated, oven.mouth.height_m.value),
    ] {
        if !stated || pot_m <= mouth_m {
            continue;
        }
        let what =
            format!("the pot of `{name}` is {:.0} cm {size}, the mouth {:.0} cm", pot_m * 100.0, mouth_m * 100.0);
        let suggestion = Some("measure the pot and the clear mouth again".to_owned());
        let problem = if pot_m > SURELY_LARGER * mouth_m {
            error_at(file, dish.line, 0, what)
        } else {
            warning_at(file, dish.line, 0, what)
        };
        problems.push(Problem { suggestion, ..problem });
    }
}

fn check_names(day: &Day, pots: &Pots, standing: &[&Entry], problems: &mut Vec<Problem>) {
    let mut told: HashSet<String> = HashSet::new();
    for entry in standing {
        if let Some(dish) = entry.dish()
            && pots.index_of(dish).is_none()
            && told.insert(normal(dish))
        {
            problems.push(unknown_dish(&day.file, entry, dish, pots));
        }
    }
}

fn check_baskets(day: &Day, pots: &Pots, standing: &[&Entry], problems: &mut Vec<Problem>) {
    for entry in standing {
        let What::Done(Done::WoodOn { amount: WoodAmount::Baskets { basket: None, .. }, .. }) = &entry.what else {
            continue;
        };
        if pots.wood.basket_kg.is_none() {
            problems.push(basket_without_mass(&day.file, entry));
        }
    }
}

/// A thermocouple cannot sit deeper than the masonry is thick.
fn check_depths(oven: &OvenDescription, day: &Day, standing: &[&Entry], problems: &mut Vec<Problem>) {
    let thickness_mm = |part: Part| {
        let layers = if part == Part::Dome { &oven.dome } else { &oven.floor };
        layers.iter().map(|layer| layer.thickness_m.value).sum::<f64>() * 1000.0
    };
    let mut told: Vec<(Part, u64)> = Vec::new();
    for entry in standing {
        let Some(Reading::Masonry { part, depth_mm, .. }) = entry.reading() else { continue };
        let place = (*part, depth_mm.to_bits());
        if *depth_mm <= thickness_mm(*part) || told.contains(&place) {
            continue;
        }
        told.push(place);
        let what = format!("a depth of {depth_mm} mm, but the {} is {:.0} mm thick", part.name(), thickness_mm(*part));
        problems.push(error_at(&day.file, entry.line, 0, what));
    }
}

/// The pots inside together cannot cover more than the floor.
fn check_floor(oven: &OvenDescription, day: &Day, pots: &Pots, standing: &[&Entry], problems: &mut Vec<Problem>) {
    let floor_m2 = match oven.form {
        Form::Dome { inner_diameter_m, .. } => PI * inner_diameter_m.value.powi(2) / 4.0,
        Form::Vault { width_m, length_m, .. } => width_m.value * length_m.value,
    };
    let mut inside: BTreeMap<usize, f64> = BTreeMap::new();
    for entry in standing {
        let What::Done(done) = &entry.what else { continue };
        let Some(index) = done.dish().and_then(|dish| pots.index_of(dish)) else { continue };
        match done {
            Done::Placed { .. } => {
                let diameter_m = pots.dishes.get(index).map_or(0.0, |dish| dish.placing.pot.diameter_m);
                inside.insert(index, PI * diameter_m.powi(2) / 4.0);
            }
            Done::TakenOut { .. } => {
                inside.remove(&index);
            }
            _ => continue,
        }
        let covered_m2: f64 = inside.values().sum();
        if covered_m2 > floor_m2 {
            let what = format!("the pots inside cover {covered_m2:.2} m² of a floor of {floor_m2:.2} m²");
            let suggestion = Some("measure the pots and the floor again, or enter what was taken out".to_owned());
            problems.push(Problem { suggestion, ..error_at(&day.file, entry.line, 0, what) });
            return;
        }
    }
}
