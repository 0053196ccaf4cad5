//! Writes a day as the CSV that [`super::read_day`] reads.

use super::columns::{NAMES, SCHEMA_VERSION, SCHEMA_WORDS};
use super::kinds::{FIRE_PLACES, Kind};
use crate::day::{Day, Done, DoorSet, Entry, What, WoodAmount};
use crate::reading::{Mass, Reading, Temperature};

/// What one entry puts into `kind`, `what`, `value`, `unit`, `strikes`.
struct Cells {
    kind: Kind,
    what: String,
    value: String,
    unit: String,
    strikes: String,
}

impl Cells {
    fn of(kind: Kind) -> Self {
        Self { kind, what: String::new(), value: String::new(), unit: String::new(), strikes: String::new() }
    }

    fn about(self, what: impl Into<String>) -> Self {
        Self { what: what.into(), ..self }
    }

    fn number(self, value: f64, unit: &str) -> Self {
        Self { value: value.to_string(), unit: unit.to_owned(), ..self }
    }

    fn temperature(self, temperature: &Temperature) -> Self {
        let over = if temperature.at_least { ">" } else { "" };
        Self { value: format!("{over}{}", temperature.value), unit: temperature.unit.sign().to_owned(), ..self }
    }

    fn mass(self, mass: &Mass) -> Self {
        self.number(mass.value, mass.unit.sign())
    }
}

/// The day as CSV with commas and decimal points, one row an entry, the format's version in a comment above the header.
#[must_use]
pub fn write_day(day: &Day) -> String {
    text_of_lines(day.entries.iter().map(write_line))
}

/// One entry as its row of the day file, without the end of the line.
#[must_use]
pub fn write_line(entry: &Entry) -> String {
    line(&record(entry))
}

/// The text of a day file with the given rows.
#[must_use]
pub fn text_of_lines(lines: impl IntoIterator<Item = impl AsRef<str>>) -> String {
    let mut text = format!("# {SCHEMA_WORDS} {SCHEMA_VERSION}\n{}\n", line(&NAMES.map(str::to_owned)));
    for line in lines {
        text.push_str(line.as_ref());
        text.push('\n');
    }
    text
}

fn line(cells: &[String]) -> String {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    // A writer into memory has no way to fail; the row is gone only if it does.
    let _ = writer.write_record(cells);
    let text = writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default();
    text.trim_end_matches('\n').to_owned()
}

fn record(entry: &Entry) -> [String; 9] {
    let cells = match &entry.what {
        What::Done(done) => done_cells(done),
        What::Reading(reading) => reading_cells(reading),
        What::Strike { id } => Cells { strikes: id.clone(), ..Cells::of(Kind::Strike) },
    };
    [
        entry.id.clone(),
        entry.at.to_string(),
        entry.written.to_string(),
        cells.kind.name().to_owned(),
        cells.what,
        cells.value,
        cells.unit,
        entry.note.clone(),
        cells.strikes,
    ]
}

fn done_cells(done: &Done) -> Cells {
    match done {
        Done::WoodOn { amount, moisture_percent } => wood_cells(amount, *moisture_percent),
        Done::FireMoved(place) => {
            let name = FIRE_PLACES.iter().find(|(known, _)| known == place).map_or("", |(_, name)| name);
            Cells::of(Kind::FireMoved).about(name)
        }
        Done::EmbersSpread => Cells::of(Kind::EmbersSpread),
        Done::RakedOut => Cells::of(Kind::RakedOut),
        Done::Swept => Cells::of(Kind::Swept),
        Done::Swabbed { water: None } => Cells::of(Kind::Swabbed),
        Done::Swabbed { water: Some(water) } => Cells::of(Kind::Swabbed).mass(water),
        Done::Door(DoorSet::Shut) => Cells::of(Kind::Door).about("shut"),
        Done::Door(DoorSet::Open) => Cells::of(Kind::Door).about("open"),
        Done::Door(DoorSet::Ajar { free_percent }) => {
            let cells = Cells::of(Kind::Door).about("ajar");
            match free_percent {
                Some(percent) => cells.number(*percent, "%"),
                None => cells,
            }
        }
        Done::Placed { dish } => Cells::of(Kind::Placed).about(dish),
        Done::Turned { dish } => Cells::of(Kind::Turned).about(dish),
        Done::TakenOut { dish } => Cells::of(Kind::TakenOut).about(dish),
        Done::ToppedUp { dish, amount, temperature } => {
            let what = match temperature {
                Some(temperature) => format!("{dish} @ {temperature}"),
                None => dish.clone(),
            };
            Cells::of(Kind::ToppedUp).about(what).mass(amount)
        }
    }
}

fn wood_cells(amount: &WoodAmount, moisture_percent: Option<f64>) -> Cells {
    let moisture = moisture_percent.map(|percent| format!("moisture {percent} %"));
    match amount {
        WoodAmount::Weighed(mass) => Cells::of(Kind::WoodOn).about(moisture.unwrap_or_default()).mass(mass),
        WoodAmount::Baskets { count, basket } => {
            let basket = basket.map(|mass| format!("basket {mass}"));
            let settings: Vec<String> = basket.into_iter().chain(moisture).collect();
            Cells::of(Kind::WoodOn).about(settings.join(", ")).number(*count, "baskets")
        }
    }
}

fn reading_cells(reading: &Reading) -> Cells {
    match reading {
        Reading::Spot { spot, temperature } => Cells::of(Kind::Spot).about(spot.name()).temperature(temperature),
        Reading::Probe { temperature } => Cells::of(Kind::Probe).temperature(temperature),
        Reading::Masonry { part, depth_mm, temperature } => {
            Cells::of(Kind::Masonry).about(format!("{} {depth_mm} mm", part.name())).temperature(temperature)
        }
        Reading::Liquid { dish, temperature } => Cells::of(Kind::Liquid).about(dish).temperature(temperature),
        Reading::Core { dish, temperature } => Cells::of(Kind::Core).about(dish).temperature(temperature),
        Reading::HandCount { count_s } => Cells::of(Kind::HandCount).number(*count_s, "s"),
        Reading::Outdoor { temperature } => Cells::of(Kind::Outdoor).temperature(temperature),
    }
}
