//! Converts a day recorded elsewhere into the three files of this program:
//! `cargo run --release --example import_day IN_DIR ID OUT_DIR` writes `OUT_DIR/oven.toml`, `day.csv` and `pots.toml`.
//!
//! It reads `ID_known.json`, and where they exist `ID_air.csv` (chamber probe), `ID_ir.csv` (infra-red spots),
//! `ID_pots.csv` (probes in the food) and `ID_tc.csv` (thermocouples in the masonry): what a cook would have, and
//! nothing else. Minute 0 is `clock_at_t0` on 2026-01-10 with offset +00:00; everything counts as written down at once.

use anyhow::{Context, Result, bail};
use jiff::civil::{DateTime, Time};
use jiff::{SignedDuration, Timestamp, tz::Offset};
use ovenfall_engine::description::DoorFit;
use ovenfall_record::day::{Day, Done, DoorSet, Entry, What, WoodAmount};
use ovenfall_record::day_file::{read_day, write_day};
use ovenfall_record::moment::Moment;
use ovenfall_record::oven_file::{OvenSheet, Shape, SheetLayer, read_oven};
use ovenfall_record::pots::{DishSheet, Pieces, WoodKind, WoodSheet};
use ovenfall_record::pots_file::{read_pots, write_sheets};
use ovenfall_record::problem::Problem;
use ovenfall_record::reading::{Mass, Part, Reading, Spot, Temperature};
use ovenfall_record::together::check_together;
use serde::Deserialize;
use std::io::Write;
use std::path::Path;

/// `ID_known.json`: what is used of it.
#[derive(Deserialize)]
struct Known {
    clock_at_t0: String,
    oven: KnownOven,
    wood: KnownWood,
    #[serde(rename = "ambient_C")]
    ambient_c: f64,
    pots: Vec<KnownPot>,
    events: Vec<KnownEvent>,
}

#[derive(Deserialize)]
struct KnownOven {
    name: String,
    inner_diameter_cm: f64,
    dome_rise_cm: f64,
    dome_material: String,
    dome_thickness_cm: f64,
    dome_insulation: Vec<KnownLayer>,
    floor_material: String,
    floor_thickness_cm: f64,
    floor_insulation: KnownLayer,
    slab_cm: f64,
    mouth_cm: [f64; 2],
    door: Vec<KnownLayer>,
    door_fit: String,
    new_or_damp: bool,
}

#[derive(Deserialize)]
struct KnownLayer {
    material: String,
    thickness_cm: Option<f64>,
    thickness_mm: Option<f64>,
}

impl KnownLayer {
    fn sheet(&self) -> SheetLayer {
        let thickness_cm = self.thickness_cm.or(self.thickness_mm.map(|mm| mm / 10.0));
        SheetLayer { material: Some(self.material.clone()), thickness_cm }
    }
}

#[derive(Deserialize)]
struct KnownWood {
    kind: String,
    moisture_guess: f64,
}

#[derive(Deserialize)]
struct KnownPot {
    index: usize,
    name: String,
    pot_kg: f64,
    lid: bool,
    diameter_cm: f64,
    height_cm: f64,
    liquid_kg: f64,
    solid_kg: f64,
    #[serde(rename = "start_C")]
    start_c: f64,
}

#[derive(Deserialize)]
struct KnownEvent {
    t_min: f64,
    event: String,
    kg: Option<f64>,
    door: Option<String>,
    pot: Option<usize>,
}

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [in_dir, id, out_dir] = arguments.as_slice() else {
        bail!("usage: import_day IN_DIR ID OUT_DIR");
    };
    let (in_dir, out_dir) = (Path::new(in_dir), Path::new(out_dir));
    let known_path = in_dir.join(format!("{id}_known.json"));
    let known = std::fs::read_to_string(&known_path).with_context(|| format!("reading {}", known_path.display()))?;
    let known: Known = serde_json::from_str(&known).with_context(|| format!("reading {}", known_path.display()))?;
    let oven = oven_sheet(&known.oven)?.to_toml();
    let names = dish_names(&known.pots);
    let day = write_day(&day(&known, &names, &Source { dir: in_dir, id })?);
    let dishes: Vec<DishSheet> = known.pots.iter().zip(&names).map(|(pot, name)| dish(pot, name)).collect();
    let pots = write_sheets(&wood(&known.wood), &dishes);
    std::fs::create_dir_all(out_dir).with_context(|| format!("making {}", out_dir.display()))?;
    for (name, text) in [("oven.toml", &oven), ("day.csv", &day), ("pots.toml", &pots)] {
        let path = out_dir.join(name);
        std::fs::write(&path, text).with_context(|| format!("writing {}", path.display()))?;
    }
    report(id, &oven, &day, &pots)
}

/// Reads back what was written, and says what is doubted.
fn report(id: &str, oven: &str, day: &str, pots: &str) -> Result<()> {
    let oven = read_oven("oven.toml", oven).map_err(refused)?;
    let day = read_day("day.csv", day).map_err(refused)?;
    let pots = read_pots("pots.toml", pots).map_err(refused)?;
    let mut out = std::io::stdout();
    for problem in check_together(&oven.description, &day, &pots).iter().chain(&day.warnings).chain(&pots.warnings) {
        writeln!(out, "{problem}")?;
    }
    writeln!(out, "{id}: {} entries, {} dishes", day.entries.len(), pots.dishes.len())?;
    Ok(())
}

fn refused(problems: Vec<Problem>) -> anyhow::Error {
    let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
    anyhow::anyhow!("the day cannot be converted:\n{}", lines.join("\n"))
}

fn oven_sheet(known: &KnownOven) -> Result<OvenSheet> {
    let dome = std::iter::once(SheetLayer::new(&known.dome_material, known.dome_thickness_cm));
    let door_fit = match known.door_fit.as_str() {
        "tight" => Some(DoorFit::Tight),
        "ordinary" => Some(DoorFit::Ordinary),
        "loose" => Some(DoorFit::Loose),
        other => bail!("unknown door_fit `{other}`"),
    };
    Ok(OvenSheet {
        name: Some(known.name.clone()),
        form: Some(Shape::Dome),
        diameter_cm: Some(known.inner_diameter_cm),
        rise_cm: Some(known.dome_rise_cm),
        mouth_width_cm: Some(known.mouth_cm[0]),
        mouth_height_cm: Some(known.mouth_cm[1]),
        door: Some(known.door.iter().map(KnownLayer::sheet).collect()),
        door_fit,
        dome: Some(dome.chain(known.dome_insulation.iter().map(KnownLayer::sheet)).collect()),
        floor: Some(vec![
            SheetLayer::new(&known.floor_material, known.floor_thickness_cm),
            known.floor_insulation.sheet(),
            SheetLayer::new("concrete", known.slab_cm),
        ]),
        new_or_damp: Some(known.new_or_damp),
        time_zone: Some("UTC".to_owned()),
        ..OvenSheet::default()
    })
}

fn wood(known: &KnownWood) -> WoodSheet {
    let kind = [("hardwood", WoodKind::Hardwood), ("softwood", WoodKind::Softwood)];
    WoodSheet {
        kind: kind.iter().find(|(word, _)| known.kind.contains(word)).map(|(_, kind)| *kind),
        moisture_percent: Some(rounded(known.moisture_guess * 100.0)),
        ..WoodSheet::default()
    }
}

/// A percentage without the dust of binary fractions.
fn rounded(percent: f64) -> f64 {
    (percent * 1000.0).round() / 1000.0
}

/// Vessels by a word in the name, first match first.
const POTS: [(&str, &str); 4] =
    [("tray", "steel dark"), ("iron", "iron"), ("clay", "clay"), ("steel", "steel polished")];

/// What a word in the name says about the contents.
struct Contents {
    word: &'static str,
    kind: &'static str,
    mostly: &'static str,
    pieces: Option<Pieces>,
    piece_cm: Option<f64>,
}

const fn contents(
    word: &'static str,
    kind: &'static str,
    mostly: &'static str,
    pieces: Option<Pieces>,
    piece_cm: Option<f64>,
) -> Contents {
    Contents { word, kind, mostly, pieces, piece_cm }
}

/// The words known. Sizes are common practice, no source; a joint is one piece, a gratin a layer as thick as fits the dish.
const CONTENTS: [Contents; 9] = [
    contents("roast", "roast joint", "meat", Some(Pieces::One), None),
    contents("joint", "roast joint", "meat", Some(Pieces::One), None),
    contents("stew", "braise", "meat", Some(Pieces::Round), Some(4.5)),
    contents("ragout", "braise", "meat", Some(Pieces::Round), Some(4.5)),
    contents("pulses", "boiled pulses", "pulses", Some(Pieces::Round), Some(1.0)),
    contents("gratin", "roots", "potatoes", Some(Pieces::Flat), None),
    contents("custard", "custard", "milk", None, None),
    contents("soup", "broth", "water", None, None),
    contents("broth", "broth", "water", None, None),
];

fn dish(pot: &KnownPot, name: &str) -> DishSheet {
    let words = pot.name.to_lowercase();
    let vessel = POTS.iter().find(|(word, _)| words.contains(word)).map(|(_, vessel)| (*vessel).to_owned());
    let contents = CONTENTS.iter().find(|contents| words.contains(contents.word));
    DishSheet {
        name: name.to_owned(),
        kind: contents.map(|contents| contents.kind.to_owned()),
        pot: vessel,
        pot_kg: Some(pot.pot_kg),
        lid: Some(pot.lid),
        diameter_cm: Some(pot.diameter_cm),
        height_cm: Some(pot.height_cm),
        liquid_kg: Some(pot.liquid_kg),
        solid_kg: Some(pot.solid_kg),
        pieces: contents.and_then(|contents| contents.pieces),
        piece_cm: contents.and_then(|contents| contents.piece_cm),
        start_c: Some(pot.start_c),
        mostly: contents.map(|contents| contents.mostly.to_owned()),
        ..DishSheet::default()
    }
}

/// Names of the dishes; a name that is there twice gets its number.
fn dish_names(pots: &[KnownPot]) -> Vec<String> {
    pots.iter()
        .map(|pot| {
            let twins = pots.iter().filter(|other| other.name == pot.name).count();
            if twins > 1 { format!("{} {}", pot.name, pot.index + 1) } else { pot.name.clone() }
        })
        .collect()
}

/// Where the day comes from.
struct Source<'a> {
    dir: &'a Path,
    id: &'a str,
}

impl Source<'_> {
    /// Rows of a CSV as text, the header first; none when there is no such file.
    fn rows(&self, what: &str) -> Result<Vec<Vec<String>>> {
        let path = self.dir.join(format!("{}_{what}.csv", self.id));
        if !path.exists() {
            return Ok(Vec::new());
        }
        let text = std::fs::read_to_string(&path).with_context(|| format!("reading {}", path.display()))?;
        Ok(text.lines().map(|line| line.split(',').map(|cell| cell.trim().to_owned()).collect()).collect())
    }
}

/// What happened at a minute of the day.
struct At {
    t_min: f64,
    what: What,
}

fn day(known: &Known, names: &[String], source: &Source<'_>) -> Result<Day> {
    let clock: Time = known.clock_at_t0.parse().with_context(|| format!("reading `{}`", known.clock_at_t0))?;
    let start = Offset::UTC.to_timestamp(DateTime::from_parts(jiff::civil::date(2026, 1, 10), clock))?;
    let mut all = Vec::new();
    for event in &known.events {
        // A time of -0.0 would sort before the outdoor temperature.
        all.push(At { t_min: event.t_min + 0.0, what: What::Done(done(event, names)?) });
    }
    readings(source, names, &mut all)?;
    let first_min = all.iter().map(|at| at.t_min).fold(0.0, f64::min);
    let outdoor = Reading::Outdoor { temperature: Temperature::celsius(known.ambient_c) };
    all.insert(0, At { t_min: first_min, what: What::Reading(outdoor) });
    all.sort_by(|a, b| a.t_min.total_cmp(&b.t_min));
    let mut entries = Vec::with_capacity(all.len());
    for (index, at) in all.into_iter().enumerate() {
        let moment = Moment::new(minute(start, at.t_min)?, Offset::UTC);
        let id = (index + 1).to_string();
        entries.push(Entry { id, at: moment, written: moment, what: at.what, note: String::new(), line: 0 });
    }
    Ok(Day { file: "day.csv".to_owned(), entries, warnings: Vec::new() })
}

/// Minute 0 and minutes after it, to the millisecond.
#[expect(clippy::cast_possible_truncation, reason = "minutes of a day in milliseconds fit many times over")]
fn minute(start: Timestamp, t_min: f64) -> Result<Timestamp> {
    Ok(start.checked_add(SignedDuration::from_millis((t_min * 60_000.0).round() as i64))?)
}

fn done(event: &KnownEvent, names: &[String]) -> Result<Done> {
    let dish = || {
        let index = event.pot.context("the event names no pot")?;
        names.get(index).cloned().with_context(|| format!("there is no pot {index}"))
    };
    Ok(match event.event.as_str() {
        "wood_added" => {
            let mass = Mass::kilograms(event.kg.context("wood without kg")?);
            Done::WoodOn { amount: WoodAmount::Weighed(mass), moisture_percent: None }
        }
        "spread" => Done::EmbersSpread,
        "rake" => Done::RakedOut,
        "load" => Done::Placed { dish: dish()? },
        "unload" => Done::TakenOut { dish: dish()? },
        "door" => Done::Door(match event.door.as_deref() {
            Some("shut") => DoorSet::Shut,
            Some("open") => DoorSet::Open,
            Some("ajar") => DoorSet::Ajar { free_percent: None },
            other => bail!("unknown door state {other:?}"),
        }),
        other => bail!("unknown event `{other}`"),
    })
}

fn readings(source: &Source<'_>, names: &[String], all: &mut Vec<At>) -> Result<()> {
    for row in source.rows("air")?.iter().skip(1) {
        let [t_min, c] = numbers(row, [0, 1])?;
        all.push(At { t_min, what: What::Reading(Reading::Probe { temperature: Temperature::celsius(c) }) });
    }
    for row in source.rows("ir")?.iter().skip(1) {
        let [t_min, c] = numbers(row, [0, 2])?;
        let spot = spot(row.get(1).map_or("", String::as_str))?;
        all.push(At { t_min, what: What::Reading(Reading::Spot { spot, temperature: Temperature::celsius(c) }) });
    }
    for row in source.rows("pots")?.iter().skip(1) {
        food_readings(row, names, all)?;
    }
    let masonry = source.rows("tc")?;
    if let Some((header, body)) = masonry.split_first() {
        for row in body {
            masonry_readings(header, row, all)?;
        }
    }
    Ok(())
}

fn food_readings(row: &[String], names: &[String], all: &mut Vec<At>) -> Result<()> {
    let [t_min] = numbers(row, [0])?;
    let index: usize = row.get(1).map_or("", String::as_str).parse().context("reading the number of a pot")?;
    let dish = names.get(index).with_context(|| format!("there is no pot {index}"))?;
    let written = |column: usize| row.get(column).is_some_and(|cell| !cell.is_empty());
    if written(2) {
        let temperature = Temperature::celsius(numbers(row, [2])?[0]);
        all.push(At { t_min, what: What::Reading(Reading::Liquid { dish: dish.clone(), temperature }) });
    }
    if written(3) {
        let temperature = Temperature::celsius(numbers(row, [3])?[0]);
        all.push(At { t_min, what: What::Reading(Reading::Core { dish: dish.clone(), temperature }) });
    }
    Ok(())
}

/// Columns such as `tc_dome_25mm_C`.
fn masonry_readings(header: &[String], row: &[String], all: &mut Vec<At>) -> Result<()> {
    let [t_min] = numbers(row, [0])?;
    for (column, name) in header.iter().enumerate().skip(1) {
        let mut words = name.split('_').skip(1);
        let part = match words.next() {
            Some("dome") => Part::Dome,
            Some("floor") => Part::Floor,
            _ => bail!("unknown column `{name}`"),
        };
        let depth = words.next().and_then(|depth| depth.strip_suffix("mm"));
        let depth_mm: f64 = depth.context("a column without a depth")?.parse()?;
        let temperature = Temperature::celsius(numbers(row, [column])?[0]);
        all.push(At { t_min, what: What::Reading(Reading::Masonry { part, depth_mm, temperature }) });
    }
    Ok(())
}

fn spot(name: &str) -> Result<Spot> {
    Ok(match name {
        "floor_back" => Spot::FloorBack,
        "floor_centre" => Spot::FloorCentre,
        "floor_front" => Spot::FloorFront,
        "dome_top" => Spot::Crown,
        "back_wall" => Spot::BackWall,
        "hot_side" => Spot::FireSide,
        "cool_side" => Spot::FarSide,
        other => bail!("unknown spot `{other}`"),
    })
}

fn numbers<const N: usize>(row: &[String], columns: [usize; N]) -> Result<[f64; N]> {
    let mut read = [0.0; N];
    for (value, column) in read.iter_mut().zip(columns) {
        let cell = row.get(column).map_or("", String::as_str);
        *value = cell.parse().with_context(|| format!("reading `{cell}` as a number"))?;
    }
    Ok(read)
}
