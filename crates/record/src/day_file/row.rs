//! One row of a day's file into one entry.

use super::cells::Cell;
use super::columns::{Column, Columns};
use super::kinds::{self, FIRE_PLACES, KINDS, Kind, Limits};
use super::{error_at, warning_at};
use crate::day::{Done, DoorSet, Entry, What, WoodAmount};
use crate::moment::{Moment, MomentFault};
use crate::problem::Problem;
use crate::reading::{Mass, MassUnit, Part, Reading, Spot, Temperature, TemperatureUnit};
use crate::suggest::nearest;
use crate::wording::{normal, short};

/// Longest id and longest name of a dish, characters.
const MAX_NAME: usize = 80;

/// Reads a row; `None` when something in it is wrong, which is then among the problems.
pub fn read_row(
    file: &str,
    delimiter: char,
    columns: &Columns,
    cells: &[Cell],
    problems: &mut Vec<Problem>,
) -> Option<Entry> {
    let line = cells.first().map_or(0, |cell| cell.line);
    let mut row = Row { file, delimiter, columns, cells, line, problems };
    row.check_width();
    let id = row.id();
    let at = row.moment(Column::At);
    let written = if row.text(Column::Written).is_empty() { at } else { row.moment(Column::Written) };
    let what = row.kind().and_then(|kind| {
        row.warn_unused(kind);
        row.what(kind)
    });
    let note = row.text(Column::Note).to_owned();
    Some(Entry { id: id?, at: at?, written: written?, what: what?, note, line })
}

struct Row<'a> {
    file: &'a str,
    delimiter: char,
    columns: &'a Columns,
    cells: &'a [Cell],
    line: usize,
    problems: &'a mut Vec<Problem>,
}

impl<'a> Row<'a> {
    fn text(&self, column: Column) -> &'a str {
        self.columns.cell(self.cells, column).map_or("", |cell| cell.text.as_str())
    }

    /// Line and column of a cell; the line alone when the row does not reach it.
    fn place(&self, column: Column) -> (usize, usize) {
        self.columns.cell(self.cells, column).map_or((self.line, 0), |cell| (cell.line, cell.column))
    }

    fn problem(&self, column: Column, what: String) -> Problem {
        let (line, place) = self.place(column);
        error_at(self.file, line, place, what)
    }

    fn fail<T>(
        &mut self,
        column: Column,
        what: String,
        limits: Option<String>,
        suggestion: Option<String>,
    ) -> Option<T> {
        let problem = self.problem(column, what);
        self.problems.push(Problem { limits, suggestion, ..problem });
        None
    }

    fn check_width(&mut self) {
        let extra = self.cells.iter().skip(self.columns.width).find(|cell| !cell.text.is_empty());
        if let Some(cell) = extra {
            self.problems.push(Problem {
                suggestion: Some("put a text that holds the delimiter in quotes".into()),
                ..error_at(
                    self.file,
                    cell.line,
                    cell.column,
                    format!("`{}` stands beyond the last column", short(&cell.text)),
                )
            });
        }
    }

    fn id(&mut self) -> Option<String> {
        let id = self.text(Column::Id);
        if id.is_empty() {
            return self.fail(
                Column::Id,
                "the entry has no id".into(),
                None,
                Some("number the entries 1, 2, 3 …".into()),
            );
        }
        if id.chars().count() > MAX_NAME || id.chars().any(char::is_control) {
            let limits = Some(format!("up to {MAX_NAME} characters on one line"));
            return self.fail(Column::Id, format!("the id `{}` cannot be used", short(id)), limits, None);
        }
        Some(id.to_owned())
    }

    fn moment(&mut self, column: Column) -> Option<Moment> {
        let text = self.text(column);
        let name = column.name();
        let fault = match Moment::parse(text) {
            Ok(moment) => return Some(moment),
            Err(fault) => fault,
        };
        let shown = short(text);
        let example = "a time with its offset, as `2026-01-10T17:00:00+01:00`".to_owned();
        let (what, suggestion) = match fault {
            _ if text.is_empty() => (format!("`{name}` is empty"), None),
            MomentFault::NotATime => (format!("`{shown}` in `{name}` is not a time"), None),
            MomentFault::NoTimeOfDay => (format!("`{shown}` in `{name}` has no time of day"), None),
            MomentFault::NoOffset => (
                format!("`{shown}` in `{name}` has no offset from UTC"),
                Some(format!("`{shown}+01:00` if the clock on the wall is one hour ahead of UTC")),
            ),
            MomentFault::OutOfRange => (format!("`{shown}` in `{name}` is too far off"), None),
        };
        self.fail(column, what, Some(example), suggestion)
    }

    fn kind(&mut self) -> Option<Kind> {
        let text = self.text(Column::Kind);
        let known = Kind::parse(text);
        if known.is_none() {
            let near = nearest(text, KINDS.iter().map(|(_, name)| *name));
            let names = KINDS.map(|(_, name)| name).join(", ");
            let what =
                if text.is_empty() { "`kind` is empty".into() } else { format!("unknown kind `{}`", short(text)) };
            return self.fail(Column::Kind, what, Some(names), near.map(|near| format!("did you mean `{near}`?")));
        }
        known
    }

    /// Values in columns the kind does not use are told, not swallowed.
    fn warn_unused(&mut self, kind: Kind) {
        let uses = kind.uses();
        for (column, used) in [
            (Column::What, uses.what),
            (Column::Value, uses.value),
            (Column::Unit, uses.value),
            (Column::Strikes, uses.strikes),
        ] {
            let text = self.text(column);
            if !used && !text.is_empty() {
                let (line, place) = self.place(column);
                let what = format!("`{}` in `{}` is not used by `{}`", short(text), column.name(), kind.name());
                let suggestion = Some("move it to the note".to_owned());
                self.problems.push(Problem { suggestion, ..warning_at(self.file, line, place, what) });
            }
        }
    }

    fn what(&mut self, kind: Kind) -> Option<What> {
        let reading = |reading: Reading| What::Reading(reading);
        Some(match kind {
            Kind::Spot => {
                let (spot, temperature) = (self.one_of(&Spot::NAMES), self.shown(kinds::OVEN_C));
                reading(Reading::Spot { spot: spot?, temperature: temperature? })
            }
            Kind::Probe => reading(Reading::Probe { temperature: self.shown(kinds::OVEN_C)? }),
            Kind::Masonry => {
                let (place, temperature) = (self.depth(), self.shown(kinds::OVEN_C));
                let (part, depth_mm) = place?;
                reading(Reading::Masonry { part, depth_mm, temperature: temperature? })
            }
            Kind::Liquid => {
                let (dish, temperature) = (self.dish(), self.shown(kinds::FOOD_C));
                reading(Reading::Liquid { dish: dish?, temperature: temperature? })
            }
            Kind::Core => {
                let (dish, temperature) = (self.dish(), self.shown(kinds::FOOD_C));
                reading(Reading::Core { dish: dish?, temperature: temperature? })
            }
            Kind::HandCount => reading(Reading::HandCount { count_s: self.plain(kinds::HAND_S, &["", "s"])? }),
            Kind::Outdoor => reading(Reading::Outdoor { temperature: self.temperature(kinds::OUTDOOR_C)? }),
            Kind::Strike => What::Strike { id: self.struck()? },
            _ => What::Done(self.done(kind)?),
        })
    }

    fn done(&mut self, kind: Kind) -> Option<Done> {
        Some(match kind {
            Kind::WoodOn => return self.wood(),
            Kind::FireMoved => Done::FireMoved(self.one_of(&FIRE_PLACES)?),
            Kind::EmbersSpread => Done::EmbersSpread,
            Kind::RakedOut => Done::RakedOut,
            Kind::Swabbed => {
                let given = !self.text(Column::Value).is_empty();
                Done::Swabbed { water: if given { Some(self.mass(kinds::SWAB_KG)?) } else { None } }
            }
            Kind::Door => Done::Door(self.door()?),
            Kind::Placed => Done::Placed { dish: self.dish()? },
            Kind::Turned => Done::Turned { dish: self.dish()? },
            Kind::ToppedUp => return self.topped_up(),
            Kind::TakenOut => Done::TakenOut { dish: self.dish()? },
            _ => Done::Swept,
        })
    }

    /// One of the names a column allows.
    fn one_of<T: Copy>(&mut self, names: &[(T, &'static str)]) -> Option<T> {
        let text = self.text(Column::What);
        let name = normal(text).replace("center", "centre");
        if let Some((value, _)) = names.iter().find(|(_, known)| *known == name) {
            return Some(*value);
        }
        let all: Vec<&str> = names.iter().map(|(_, known)| *known).collect();
        let near = nearest(&name, all.iter().copied()).map(|near| format!("did you mean `{near}`?"));
        let what = if text.is_empty() { "`what` is empty".into() } else { format!("unknown place `{}`", short(text)) };
        self.fail(Column::What, what, Some(all.join(", ")), near)
    }

    fn number(&mut self) -> Option<f64> {
        self.number_in(self.text(Column::Value))
    }

    /// The number in the value's text, or in what is left of it.
    fn number_in(&mut self, text: &str) -> Option<f64> {
        if text.is_empty() {
            let kind = self.text(Column::Kind);
            return self.fail(Column::Value, format!("`{}` needs a value", short(kind)), None, None);
        }
        let number = kinds::number(text, self.delimiter);
        if number.is_none() {
            let hint =
                text.contains(',').then(|| "write the number with a decimal point, without thousands marks".into());
            return self.fail(Column::Value, format!("`{}` is not a number", short(text)), None, hint);
        }
        number
    }

    fn unit<T>(&mut self, parse: fn(&str) -> Option<T>, allowed: &str) -> Option<T> {
        let text = self.text(Column::Unit);
        let unit = parse(text);
        if unit.is_none() {
            return self.fail(Column::Unit, format!("unknown unit `{}`", short(text)), Some(allowed.into()), None);
        }
        unit
    }

    fn within(&mut self, column: Column, value: f64, limits: Limits) -> Option<()> {
        if limits.hold(value) {
            return Some(());
        }
        let shown = format!("{} {}", short(self.text(Column::Value)), self.text(Column::Unit));
        let what = if column == Column::Value {
            format!("`{}` is outside the limits", shown.trim())
        } else {
            format!("`{}` is outside the limits", short(self.text(column)))
        };
        self.fail(column, what, Some(limits.words()), None)
    }

    fn temperature(&mut self, limits: Limits) -> Option<Temperature> {
        let (value, unit) = (self.number(), self.unit(TemperatureUnit::parse, "°C, °F"));
        let temperature = Temperature::new(value?, unit?);
        self.within(Column::Value, temperature.c(), limits)?;
        Some(temperature)
    }

    /// A temperature that may be the top of a display's range, written `>550`.
    fn shown(&mut self, limits: Limits) -> Option<Temperature> {
        let text = self.text(Column::Value);
        let (at_least, rest) = kinds::over_range(text);
        if !at_least && kinds::is_over_range_sign(text) {
            let what = format!("`{}` is not a number", short(text));
            let hint = "a display over its range: write the top of the range with a `>` before it, as `>550`";
            return self.fail(Column::Value, what, None, Some(hint.into()));
        }
        let (value, unit) = (self.number_in(rest), self.unit(TemperatureUnit::parse, "°C, °F"));
        let temperature = Temperature { at_least, ..Temperature::new(value?, unit?) };
        self.within(Column::Value, temperature.c(), limits)?;
        Some(temperature)
    }

    fn mass(&mut self, limits: Limits) -> Option<Mass> {
        let (value, unit) = (self.number(), self.unit(MassUnit::parse, "kg, g, lb, oz, l"));
        let mass = Mass { value: value?, unit: unit? };
        self.within(Column::Value, mass.kg(), limits)?;
        Some(mass)
    }

    /// A number in the one unit of its kind; the unit may be left out.
    fn plain(&mut self, limits: Limits, units: &[&str]) -> Option<f64> {
        let text = self.text(Column::Unit);
        if !units.contains(&text) {
            let allowed = units.iter().find(|unit| !unit.is_empty()).map(|unit| (*unit).to_owned());
            return self.fail(Column::Unit, format!("unknown unit `{}`", short(text)), allowed, None);
        }
        let value = self.number()?;
        self.within(Column::Value, value, limits)?;
        Some(value)
    }

    fn dish(&mut self) -> Option<String> {
        self.dish_named(self.text(Column::What))
    }

    fn dish_named(&mut self, name: &str) -> Option<String> {
        if name.is_empty() {
            let suggestion = Some("write the dish's name from the pots file into `what`".to_owned());
            return self.fail(Column::What, "no dish is named".into(), None, suggestion);
        }
        if name.chars().count() > MAX_NAME || name.chars().any(|c| c.is_control() || c == '@') {
            let limits = Some(format!("up to {MAX_NAME} characters on one line, without `@`"));
            return self.fail(Column::What, format!("the name `{}` cannot be used", short(name)), limits, None);
        }
        Some(name.to_owned())
    }

    fn struck(&mut self) -> Option<String> {
        let id = self.text(Column::Strikes);
        if id.is_empty() {
            let suggestion = Some("write the id of the mistaken entry into `strikes`".to_owned());
            return self.fail(Column::Strikes, "the strike names no entry".into(), None, suggestion);
        }
        Some(id.to_owned())
    }

    fn depth(&mut self) -> Option<(Part, f64)> {
        let text = self.text(Column::What);
        let name = normal(text);
        let parts = [Part::Dome, Part::Floor];
        let read = parts.iter().find_map(|part| {
            let depth = name.strip_prefix(part.name())?.trim().strip_suffix("mm")?;
            kinds::number(depth, ';').map(|depth_mm| (*part, depth_mm))
        });
        let Some((part, depth_mm)) = read else {
            let limits = Some("dome or floor and the depth, as `dome 25 mm`".to_owned());
            return self.fail(Column::What, format!("`{}` is not a place in the masonry", short(text)), limits, None);
        };
        self.within(Column::What, depth_mm, kinds::DEPTH_MM)?;
        Some((part, depth_mm))
    }

    fn door(&mut self) -> Option<DoorSet> {
        let states = [(DoorSet::Shut, "shut"), (DoorSet::Ajar { free_percent: None }, "ajar"), (DoorSet::Open, "open")];
        let state = self.one_of(&states)?;
        if self.text(Column::Value).is_empty() {
            return Some(state);
        }
        match state {
            DoorSet::Ajar { .. } => {
                Some(DoorSet::Ajar { free_percent: Some(self.plain(kinds::AJAR_PERCENT, &["", "%"])?) })
            }
            _ => {
                let suggestion = Some("only a door ajar has a value: the free share of the mouth in %".to_owned());
                self.fail(Column::Value, "a door shut or open has no value".into(), None, suggestion)
            }
        }
    }

    fn topped_up(&mut self) -> Option<Done> {
        let amount = self.mass(kinds::TOP_UP_KG);
        let text = self.text(Column::What);
        let (name, temperature) = kinds::name_and_temperature(text);
        let dish = self.dish_named(name);
        let temperature = match temperature {
            None => None,
            Some(Err(bad)) => {
                let limits = Some("the dish and the liquid's temperature, as `stew @ 95 °C`".to_owned());
                return self.fail(Column::What, format!("`{}` is not a temperature", short(bad)), limits, None);
            }
            Some(Ok(temperature)) => {
                self.within(Column::What, temperature.c(), kinds::LIQUID_C)?;
                Some(temperature)
            }
        };
        Some(Done::ToppedUp { dish: dish?, amount: amount?, temperature })
    }

    /// Wood: a mass or baskets; the basket's mass and the moisture stand in `what`, or in the note.
    fn wood(&mut self) -> Option<Done> {
        let settings = self.text(Column::What);
        let note = self.text(Column::Note);
        let moisture_percent = kinds::moisture_in(settings).or_else(|| kinds::moisture_in(note));
        if let Some(moisture) = moisture_percent {
            self.within(Column::What, moisture, kinds::MOISTURE_PERCENT)?;
        }
        let unit = normal(self.text(Column::Unit));
        if self.text(Column::Value).is_empty() {
            let suggestion = Some("weigh one basket, write it in the pots file, and count baskets".to_owned());
            let allowed = Some("kg, lb, or baskets".to_owned());
            return self.fail(Column::Value, "wood on, but how much is not said".into(), allowed, suggestion);
        }
        if !matches!(unit.as_str(), "basket" | "baskets") {
            let weighed = self.mass(kinds::WOOD_KG)?;
            return Some(Done::WoodOn { amount: WoodAmount::Weighed(weighed), moisture_percent });
        }
        let count = self.number()?;
        self.within(Column::Value, count, kinds::BASKETS)?;
        let basket = kinds::basket_in(settings).or_else(|| kinds::basket_in(note));
        if let Some(basket) = basket {
            self.within(Column::What, basket.kg(), kinds::BASKET_KG)?;
        }
        Some(Done::WoodOn { amount: WoodAmount::Baskets { count, basket }, moisture_percent })
    }
}
