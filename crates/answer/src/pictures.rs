//! From a forecast to what the pictures show.

use crate::forecast::Forecast;
use crate::menu::reads_right;
use crate::placings::{Stay, bands, known_dish, stays};
use crate::wall_clock::{clock, day_and_hour};
use ovenfall_draw::Window;
use ovenfall_draw::fall::{FallPicture, PlacingLane, ReadingMark, Trace};
use ovenfall_draw::ledger::{LedgerPicture, LedgerRow};
use ovenfall_engine::drive::Action;
use ovenfall_engine::ledger::Account;
use ovenfall_food::dish::{Dish, JudgedBy};
use ovenfall_learn::{Line, LineBand};
use ovenfall_record::day::Entry;
use ovenfall_record::reading::{Reading, Spot};

/// The cool end of a window that has none, °C.
const NO_COOL_END_C: f64 = 0.0;
/// Lines of the ledger below this are not worth a row, kWh.
const LEAST_KWH: f64 = 0.05;

/// The fall, from `past_min` minutes before the hour asked about.
pub fn fall(forecast: &Forecast, dishes: &[Dish], past_min: f64) -> FallPicture {
    let (past, ahead) = (&forecast.fall.past, &forecast.fall.ahead);
    let skip = past.times_s.partition_point(|t_s| forecast.after_min(*t_s) < -past_min);
    let before = past.times_s.len().saturating_sub(1);
    let times = past.times_s.iter().take(before).skip(skip).map(|t_s| forecast.after_min(*t_s));
    FallPicture {
        title: format!("{}, {}", forecast.inputs.oven.description.name, day_and_hour(&forecast.at)),
        clock: clock(&forecast.at),
        times_min: times.chain(forecast.fall.t_min.iter().copied()).collect(),
        probe_c: bands(&past.probe_c, &ahead.probe_c, skip),
        gas_c: bands(&past.gas_c, &ahead.gas_c, skip),
        floor_c: bands(&past.floor_c, &ahead.floor_c, skip),
        crown_c: bands(&past.crown_c, &ahead.crown_c, skip),
        store_kwh: bands(&past.store_kwh, &ahead.store_kwh, skip),
        store_above_c: 100.0,
        placings: stays(forecast).iter().filter_map(|stay| lane(forecast, stay, skip, past_min)).collect(),
        readings: readings(forecast),
        windows: windows(forecast, dishes),
    }
}

fn lane(forecast: &Forecast, stay: &Stay, skip: usize, past_min: f64) -> Option<PlacingLane> {
    if stay.out_min.is_some_and(|out| out < -past_min) {
        return None;
    }
    let (past, ahead) =
        (forecast.fall.past.placings.get(stay.placing)?, forecast.fall.ahead.placings.get(stay.placing)?);
    Some(PlacingLane {
        name: ahead.name.clone(),
        in_min: stay.in_min,
        out_min: stay.out_min,
        core_c: Some(bands(&past.core_c, &ahead.core_c, skip)),
    })
}

/// What was read up to the hour asked about, as far as it is a temperature of the picture.
fn readings(forecast: &Forecast) -> Vec<ReadingMark> {
    marks(forecast, forecast.inputs.day.readings_known_at(forecast.at.timestamp()))
}

/// Readings as marks.
pub(crate) fn marks<'a>(
    forecast: &Forecast,
    readings: impl IntoIterator<Item = (&'a Entry, &'a Reading)>,
) -> Vec<ReadingMark> {
    let at = forecast.at.timestamp();
    let mark = |reading: &Reading| {
        Some(match reading {
            Reading::Probe { temperature } => (Trace::Probe, temperature.c()),
            Reading::Spot { spot: Spot::FloorCentre, temperature } => (Trace::Floor, temperature.c()),
            Reading::Spot { spot: Spot::Crown, temperature } => (Trace::Crown, temperature.c()),
            _ => return None,
        })
    };
    let marks = readings.into_iter().filter_map(|(entry, reading)| {
        let (what, value_c) = mark(reading)?;
        Some(ReadingMark { at_min: entry.at.seconds_since(at) / 60.0, value_c, what })
    });
    marks.collect()
}

/// Windows of the dishes that are not in yet, one for each kind.
fn windows(forecast: &Forecast, dishes: &[Dish]) -> Vec<Window> {
    let stays = stays(forecast);
    let mut windows: Vec<(&Dish, Window)> = Vec::new();
    for (placing, row) in forecast.inputs.pots.dishes.iter().enumerate() {
        let been = stays.iter().any(|stay| stay.placing == placing && stay.in_min <= 0.0);
        let Some(dish) = known_dish(dishes, forecast, placing).filter(|dish| !been && !dish.flammable) else {
            continue;
        };
        if let Some((_, window)) = windows.iter_mut().find(|(other, _)| other.name == dish.name) {
            window.dish = dish.name.clone();
            continue;
        }
        let window = Window {
            dish: row.sheet.name.clone(),
            low_c: dish.window_c.to.unwrap_or(NO_COOL_END_C),
            high_c: dish.window_c.from,
            judged_by: if dish.judged_by == JudgedBy::Floor { Trace::Floor } else { Trace::Probe },
            reads_right: reads_right(forecast, dish),
        };
        windows.push((dish, window));
    }
    windows.into_iter().map(|(_, window)| window).collect()
}

/// Where the heat went up to the hour asked about.
pub fn ledger(forecast: &Forecast) -> LedgerPicture {
    let from = crate::wall_clock::clock(&forecast.at).hhmm(forecast.after_min(0.0));
    let until = forecast.at.strftime("%H:%M");
    let balance = &forecast.fall.balance_at;
    let wood_kwh = balance.iter().find(|row| row.line == Line::Wood).map_or(0.0, |row| row.p50_kwh);
    let wood = forecast.situation.driven.drive.events.iter().filter_map(|event| match event.action {
        Action::WoodOn(wood) if event.at_s <= forecast.situation.driven.at_s => Some(wood.mass_kg),
        _ => None,
    });
    let mut rows: Vec<LedgerRow> = balance.iter().filter(|row| row.line != Line::Wood).filter_map(row).collect();
    rows.sort_by(|a, b| b.energy_kwh.total_cmp(&a.energy_kwh));
    LedgerPicture {
        title: format!("Where the heat went, {from} to {until} (middle values)"),
        source: format!("{:.1} kg of wood, {wood_kwh:.0} kWh", wood.fold(0.0, |sum: f64, kg| sum + kg)),
        rows,
    }
}

fn row(line: &LineBand) -> Option<LedgerRow> {
    let label = match line.line {
        Line::Wood => "wood",
        Line::EmbersOut => "raked out with the embers",
        Line::To(Account::Unburnt) => "unburnt in the smoke",
        Line::To(Account::MouthAir) => "with warm gas through the mouth",
        Line::To(Account::MouthRadiation) => "radiated out of the mouth",
        Line::To(Account::DomeOut) => "through dome or vault",
        Line::To(Account::FloorOut) => "through the floor",
        Line::To(Account::DoorOut) => "through the door",
        Line::To(Account::MouthMasonry) => "through the mouth's masonry",
        Line::To(Account::FloorRim) => "through the floor's rim",
        Line::To(Account::Steam) => "as steam",
        Line::PotsAndFood => "into pots and food",
        Line::FuelLeft => "still in fire and embers",
        Line::StoreChange => "in masonry and door",
    };
    (line.p50_kwh.abs() >= LEAST_KWH).then(|| LedgerRow { label: label.to_owned(), energy_kwh: line.p50_kwh })
}
