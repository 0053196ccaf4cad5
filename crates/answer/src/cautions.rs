//! Cautions: said where they matter, once, short.

use crate::forecast::Forecast;
use crate::judged::{Judged, What};
use crate::placings::{known_dish, stays};
use ovenfall_engine::drive::Action;
use ovenfall_food::dish::Dish;

/// Of a new or damp oven.
pub const DAMP: &str = "new or damp masonry: no fast fire. These figures are for dry masonry; a damp oven takes more wood \
and gives less heat";

/// Of building, and of fire in buildings.
pub const LOCAL: &str = "rules for fire and building where you live, and people licensed for the work, come before \
anything said here";

/// Of fire and embers.
pub const FIRE: &str = "fire and embers give off carbon monoxide: only with a drawing flue and open air, a carbon monoxide \
alarm where people are, and no door set over them";
/// Of what is raked out.
pub const ASH: &str = "ash and embers stay hot for days, and give off carbon monoxide: into a metal bucket with a lid, outdoors, away from what burns";
/// Of opening an oven that has something in it.
pub const STEAM: &str = "stand aside when the door comes off, and when wiping or topping up: steam burns";
/// Of forecasts about food.
pub const FOOD: &str = "a forecast never says that food is safe: probe the thickest part to decide";

/// Cautions for a menu: of the oven, of food, and of each dish that is in or may go in.
pub fn of_menu(judged: &Judged) -> Vec<String> {
    let driven = &judged.situation.driven;
    let lit = |action: &Action| matches!(action, Action::WoodOn(_));
    let later = driven.drive.events.iter().any(|event| event.at_s > driven.at_s && lit(&event.action));
    let fire = driven.drive.fire_in_at(driven.at_s) || later;
    let fired = driven.drive.events.iter().any(|event| lit(&event.action));
    let general = [
        (judged.inputs.oven.description.new_or_damp, DAMP),
        (fire, FIRE),
        (fired, ASH),
        (true, STEAM),
        (true, FOOD),
        (fire, LOCAL),
    ];
    let mut said: Vec<String> = general.iter().filter(|(when, _)| *when).map(|(_, what)| (*what).to_owned()).collect();
    for row in judged.rows.iter().filter(|row| !matches!(row.what, What::Been { out_min: Some(_), .. })) {
        for caution in row.dish.iter().flat_map(|dish| &dish.cautions) {
            if !said.iter().any(|line| line.ends_with(&caution.text)) {
                said.push(format!("{}: {}", row.name, caution.text));
            }
        }
    }
    said
}

/// Cautions for a forecast and what is still to be done in it.
pub fn of_forecast(forecast: &Forecast, dishes: &[Dish]) -> Vec<String> {
    let at_s = forecast.situation.driven.at_s;
    let ahead: Vec<Action> = forecast
        .situation
        .driven
        .drive
        .events
        .iter()
        .filter(|event| event.at_s > at_s)
        .map(|event| event.action)
        .collect();
    let will = |wanted: fn(&Action) -> bool| ahead.iter().any(wanted);
    let mut said: Vec<String> = Vec::new();
    let mut say = |when: bool, what: &str| {
        if when {
            said.push(what.to_owned());
        }
    };
    let fire = forecast.fire_is_in() || will(|action| matches!(action, Action::WoodOn(_)));
    let kept: Vec<_> = stays(forecast).into_iter().filter(|stay| stay.out_min.is_none_or(|out| out > 0.0)).collect();
    say(forecast.inputs.oven.description.new_or_damp, DAMP);
    say(fire, FIRE);
    let fired = forecast.situation.driven.drive.events.iter().any(|event| matches!(event.action, Action::WoodOn(_)));
    say(fire || fired, ASH);
    say(!kept.is_empty() || will(|action| matches!(action, Action::Swab { .. })), STEAM);
    say(!kept.is_empty(), FOOD);
    say(fire, LOCAL);
    for stay in &kept {
        let name = forecast.fall.ahead.placings.get(stay.placing).map_or("", |placing| placing.name.as_str());
        for caution in known_dish(dishes, forecast, stay.placing).iter().flat_map(|dish| &dish.cautions) {
            if !said.iter().any(|line| line.ends_with(&caution.text)) {
                said.push(format!("{name}: {}", caution.text));
            }
        }
    }
    said
}
