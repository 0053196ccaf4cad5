//! `ovenfall oven`: what an oven weighs, holds and loses, and what was assumed of it.

use super::{print_json, print_table, write_file};
use crate::Config;
use crate::arguments::OvenArguments;
use crate::failure::Failure;
use crate::input_file::{InputFile, Kind};
use crate::placings::Range;
use crate::{cautions, pictures, words};
use comfy_table::{CellAlignment, Table, presets};
use ovenfall_draw::section;
use ovenfall_engine::appraisal::{
    Built, CAPACITY_AT_C, LayerFigures, SteadyLoss, assembled, layers, steady_loss, warm_through,
};
use ovenfall_engine::description::{Form, OvenDescription};
use ovenfall_engine::drive::{Door, Drive, Wood};
use ovenfall_engine::error::EngineError;
use ovenfall_engine::fire::feed_energy_j;
use ovenfall_engine::parameters::Parameters;
use ovenfall_learn::{Ensemble, Prior};
use ovenfall_record::oven_file::{OvenFile, read_oven};
use ovenfall_record::pots::WoodSheet;
use ovenfall_record::problem::Problem;
use serde::Serialize;
use std::io::Write;
use std::process::ExitCode;

/// Temperature the oven is brought to, °C.
const HOT_C: f64 = 300.0;
/// Temperature that heat in store is counted above, °C.
const STORE_ABOVE_C: f64 = 100.0;
/// Temperatures of the hot face that losses are given for, °C.
const LOSSES_AT_C: [f64; 3] = [150.0, 200.0, 300.0];
/// Ovens it could be, for the ranges.
const MEMBERS: usize = 64;
/// What they are drawn with.
const SEED: u64 = 1;
const J_PER_KWH: f64 = 3.6e6;

/// Figures of one plausible oven.
struct Figures {
    to_hot_kwh: f64,
    store_kwh: f64,
    shut: [SteadyLoss; 3],
    open: SteadyLoss,
}

impl Figures {
    fn new(oven: &OvenDescription, parameters: &Parameters) -> Result<Self, EngineError> {
        let model = assembled(oven, parameters)?;
        let warm = warm_through(oven, &model, HOT_C)?;
        Ok(Self {
            to_hot_kwh: warm.heat_above_j(&model, model.ambient_c) / J_PER_KWH,
            store_kwh: warm.heat_above_j(&model, STORE_ABOVE_C) / J_PER_KWH,
            shut: LOSSES_AT_C.map(|hot_c| steady_loss(&model, hot_c, Door::Shut)),
            open: steady_loss(&model, HOT_C, Door::Open),
        })
    }
}

/// Figures of the oven as described, and of those it could be.
struct Appraised {
    layers: Vec<LayerFigures>,
    figures: Figures,
    could_be: Vec<Figures>,
}

impl Appraised {
    fn new(oven: &OvenDescription, file: &str) -> Result<Self, Failure> {
        let refused = |source| Failure::Oven { file: file.to_owned(), source };
        let described = Parameters::default();
        let model = assembled(oven, &described).map_err(refused)?;
        let figures = Figures::new(oven, &described).map_err(refused)?;
        let prior = Prior::for_day(oven, &Drive::default());
        let ensemble = Ensemble::draw(&prior, MEMBERS, SEED)?;
        // A member whose sizes make no oven says nothing about this one.
        let could_be = ensemble.parameters.iter().filter_map(|member| Figures::new(oven, member).ok()).collect();
        Ok(Self { layers: layers(oven, &model), figures, could_be })
    }

    fn range(&self, of: impl Fn(&Figures) -> f64) -> Range {
        let mut values: Vec<f64> = self.could_be.iter().map(&of).collect();
        values.sort_by(f64::total_cmp);
        let quantile = |p: f64| ovenfall_learn::score::quantile(&values, p).unwrap_or(f64::NAN);
        Range { p05: quantile(0.05), p50: of(&self.figures), p95: quantile(0.95) }
    }

    fn masonry(&self) -> impl Iterator<Item = &LayerFigures> {
        self.layers.iter().filter(|layer| layer.part != Built::Door)
    }
}

/// Runs the verb.
pub fn run(arguments: &OvenArguments, config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let file = InputFile::read_as(&arguments.oven, Kind::Oven).map_err(|problem| Failure::Problems(vec![problem]))?;
    let oven = read_oven(&file.name, &file.text).map_err(Failure::Problems)?;
    let appraised = Appraised::new(&oven.description, &file.name)?;
    if let Some(path) = &arguments.svg {
        write_file(path, &section::svg(&oven.description, &pictures::look(&arguments.look, "section")))?;
    }
    if arguments.json {
        print_json(out, &OvenJson::new(&oven, &appraised))?;
        return Ok(ExitCode::SUCCESS);
    }
    print(&oven, &appraised, config.columns, out)?;
    if let Some(path) = &arguments.svg {
        writeln!(out, "\nThe section as a picture: {}", path.display())?;
    }
    Ok(ExitCode::SUCCESS)
}

const fn part_name(part: Built, form: &Form) -> &'static str {
    match (part, form) {
        (Built::Dome, Form::Dome { .. }) => "dome",
        (Built::Dome, Form::Vault { .. }) => "vault",
        (Built::Floor, _) => "floor",
        (Built::Door, _) => "door",
    }
}

fn print(oven: &OvenFile, appraised: &Appraised, columns: usize, out: &mut dyn Write) -> Result<(), Failure> {
    let description = &oven.description;
    writeln!(out, "{}", description.name)?;
    writeln!(out, "{}\n", words::wrapped(&sizes(description), columns, 0))?;
    print_table(&layer_table(description, appraised), out)?;
    writeln!(out, "\n{}\n", words::wrapped(&heat_words(description, appraised), columns, 0))?;
    writeln!(out, "What it loses when floor and walls are kept at one temperature, door shut, W:\n")?;
    print_table(&loss_table(description, appraised), out)?;
    let open = appraised.range(|figures| figures.open.total_w() / 1000.0);
    let open = format!("With the mouth open at {HOT_C:.0} °C it would lose {}.", open.with_unit(1, "kW"));
    writeln!(out, "\n{}", words::wrapped(&format!("{open} In brackets: 9 chances in 10."), columns, 0))?;
    write!(out, "{}", words::list("Assumed, because the file does not say", &assumed(oven), columns))?;
    for warning in &oven.warnings {
        writeln!(out, "\n{warning}")?;
    }
    write!(out, "{}", words::list("Take care", &cautions(description), columns))?;
    Ok(())
}

fn assumed(oven: &OvenFile) -> Vec<String> {
    let from = format!("usual values are those of: {}", oven.construction);
    let all = if oven.assumed.is_empty() { Vec::new() } else { vec![from] };
    all.into_iter().chain(oven.assumed.iter().cloned()).collect()
}

fn cautions(oven: &OvenDescription) -> Vec<String> {
    let damp = oven.new_or_damp.then(|| cautions::DAMP.to_owned());
    damp.into_iter().chain([cautions::LOCAL.to_owned()]).collect()
}

fn sizes(oven: &OvenDescription) -> String {
    // The first sentences of the section's description; its layers stand in the table.
    let said = section::description(oven).replace('\u{a0}', " ");
    said.split(" Walls").next().unwrap_or(&said).to_owned()
}

fn right_from(table: &mut Table, first: usize) {
    for (i, column) in table.column_iter_mut().enumerate() {
        column.set_padding((if i == 0 { 2 } else { 1 }, 1));
        if i >= first {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
}

fn layer_table(oven: &OvenDescription, appraised: &Appraised) -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header(["part", "layer, hot face first", "mm", "kg", &format!("kJ/K at {CAPACITY_AT_C:.0} °C")]);
    let mut last = None;
    for layer in &appraised.layers {
        let part = if last == Some(layer.part) { "" } else { part_name(layer.part, &oven.form) };
        last = Some(layer.part);
        let (mm, kj_k) = (layer.thickness_m * 1000.0, layer.heat_capacity_j_k / 1000.0);
        let mm = if mm < 10.0 { format!("{mm:.1}") } else { format!("{mm:.0}") };
        table.add_row([part, &layer.material, &mm, &mass(layer.mass_kg), &mass(kj_k)]);
    }
    let sum = |of: fn(&LayerFigures) -> f64| appraised.masonry().map(of).sum::<f64>();
    let (kg, kj_k) = (sum(|layer| layer.mass_kg), sum(|layer| layer.heat_capacity_j_k) / 1000.0);
    table.add_row(["all", "without the door", "", &mass(kg), &mass(kj_k)]);
    right_from(&mut table, 2);
    table
}

fn mass(value: f64) -> String {
    if value < 10.0 { format!("{value:.1}") } else { format!("{value:.0}") }
}

fn heat_words(oven: &OvenDescription, appraised: &Appraised) -> String {
    let to_hot = appraised.range(|figures| figures.to_hot_kwh);
    let store = appraised.range(|figures| figures.store_kwh);
    let wood = WoodSheet::default().values();
    let kilogram = Wood { mass_kg: 1.0, moisture: wood.moisture.value, dry_ncv_mj_kg: wood.dry_ncv_mj_kg.value };
    let kg = to_hot.p50 * J_PER_KWH / feed_energy_j(&kilogram);
    format!(
        "To bring it to {HOT_C:.0} °C takes {}, counted from {:.0} °C outdoors: dense layers at {HOT_C:.0} °C right \
         through, insulation and what is behind it as warm as they get in the end. {} of it lie above \
         {STORE_ABOVE_C:.0} °C: its heat in store. {:.0} kWh are in {kg:.0} kg of air-dry wood; a fire takes more, for \
         much of its heat leaves by the mouth and the flue.",
        to_hot.with_unit(0, "kWh"),
        oven.ambient_c,
        store.with_unit(0, "kWh"),
        to_hot.p50
    )
}

fn loss_table(oven: &OvenDescription, appraised: &Appraised) -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    let dome = part_name(Built::Dome, &oven.form);
    table.set_header(["kept at", dome, "floor", "door", "mouth masonry", "floor rim", "gaps", "all"]);
    for (i, loss) in appraised.figures.shut.iter().enumerate() {
        let all = appraised.range(|figures| figures.shut[i].total_w());
        let watts = [loss.dome_w, loss.floor_w, loss.door_w, loss.mouth_masonry_w, loss.floor_rim_w, loss.air_w];
        let mut row = vec![format!("{:.0} °C", loss.hot_c)];
        row.extend(watts.map(|w| format!("{w:.0}")));
        row.push(all.words(0));
        table.add_row(row);
    }
    right_from(&mut table, 1);
    table
}

#[derive(Debug, Serialize)]
struct OvenJson<'a> {
    name: &'a str,
    construction: &'a str,
    layers: Vec<LayerJson<'a>>,
    mass_kg: f64,
    heat_capacity_kj_k: f64,
    hot_c: f64,
    outdoor_c: f64,
    to_hot_kwh: SpreadJson,
    store_above_100_c_kwh: SpreadJson,
    loss_door_shut: Vec<LossJson>,
    loss_mouth_open: LossJson,
    assumed: Vec<String>,
    warnings: Vec<String>,
    cautions: Vec<String>,
    provenance: Provenance,
}

#[derive(Debug, Serialize)]
struct LayerJson<'a> {
    part: &'static str,
    material: &'a str,
    thickness_mm: f64,
    mass_kg: f64,
    heat_capacity_kj_k: f64,
}

#[derive(Debug, Serialize)]
struct SpreadJson {
    p05: f64,
    described: f64,
    p95: f64,
}

#[derive(Debug, Serialize)]
struct LossJson {
    hot_c: f64,
    dome_w: f64,
    floor_w: f64,
    door_w: f64,
    mouth_masonry_w: f64,
    floor_rim_w: f64,
    air_w: f64,
    radiation_w: f64,
    total_w: SpreadJson,
}

#[derive(Debug, Serialize)]
struct Provenance {
    version: &'static str,
    seed: u64,
    members: usize,
}

impl SpreadJson {
    const fn new(range: Range) -> Self {
        Self { p05: range.p05, described: range.p50, p95: range.p95 }
    }
}

impl LossJson {
    const fn new(loss: &SteadyLoss, total: Range) -> Self {
        Self {
            hot_c: loss.hot_c,
            dome_w: loss.dome_w,
            floor_w: loss.floor_w,
            door_w: loss.door_w,
            mouth_masonry_w: loss.mouth_masonry_w,
            floor_rim_w: loss.floor_rim_w,
            air_w: loss.air_w,
            radiation_w: loss.radiation_w,
            total_w: SpreadJson::new(total),
        }
    }
}

impl<'a> OvenJson<'a> {
    fn new(oven: &'a OvenFile, appraised: &'a Appraised) -> Self {
        let (description, figures) = (&oven.description, &appraised.figures);
        let layer = |layer: &'a LayerFigures| LayerJson {
            part: part_name(layer.part, &description.form),
            material: &layer.material,
            thickness_mm: layer.thickness_m * 1000.0,
            mass_kg: layer.mass_kg,
            heat_capacity_kj_k: layer.heat_capacity_j_k / 1000.0,
        };
        let shut = figures.shut.iter().enumerate();
        Self {
            name: &description.name,
            construction: &oven.construction,
            layers: appraised.layers.iter().map(layer).collect(),
            mass_kg: appraised.masonry().map(|layer| layer.mass_kg).sum(),
            heat_capacity_kj_k: appraised.masonry().map(|layer| layer.heat_capacity_j_k / 1000.0).sum(),
            hot_c: HOT_C,
            outdoor_c: description.ambient_c,
            to_hot_kwh: SpreadJson::new(appraised.range(|figures| figures.to_hot_kwh)),
            store_above_100_c_kwh: SpreadJson::new(appraised.range(|figures| figures.store_kwh)),
            loss_door_shut: shut
                .map(|(i, loss)| LossJson::new(loss, appraised.range(|figures| figures.shut[i].total_w())))
                .collect(),
            loss_mouth_open: LossJson::new(&figures.open, appraised.range(|figures| figures.open.total_w())),
            assumed: assumed(oven),
            warnings: oven.warnings.iter().map(Problem::to_string).collect(),
            cautions: cautions(description),
            provenance: Provenance {
                version: env!("CARGO_PKG_VERSION"),
                seed: SEED,
                members: appraised.could_be.len(),
            },
        }
    }
}
