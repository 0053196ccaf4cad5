//! What an oven weighs, holds and loses, in words and tables.

use crate::appraised::{Appraised, HOT_C, J_PER_KWH, STORE_ABOVE_C};
use crate::cautions;
use comfy_table::{CellAlignment, Table, presets};
use ovenfall_draw::section;
use ovenfall_engine::appraisal::{Built, CAPACITY_AT_C, LayerFigures};
use ovenfall_engine::description::{Form, OvenDescription};
use ovenfall_engine::drive::Wood;
use ovenfall_engine::fire::feed_energy_j;
use ovenfall_record::oven_file::OvenFile;
use ovenfall_record::pots::WoodSheet;

pub(crate) const fn part_name(part: Built, form: &Form) -> &'static str {
    match (part, form) {
        (Built::Dome, Form::Dome { .. }) => "dome",
        (Built::Dome, Form::Vault { .. }) => "vault",
        (Built::Floor, _) => "floor",
        (Built::Door, _) => "door",
    }
}

/// What was assumed because the file does not say.
pub fn assumed(oven: &OvenFile) -> Vec<String> {
    let from = format!("usual values are those of: {}", oven.construction);
    let all = if oven.assumed.is_empty() { Vec::new() } else { vec![from] };
    all.into_iter().chain(oven.assumed.iter().cloned()).collect()
}

/// What to take care of.
pub fn cautions(oven: &OvenDescription) -> Vec<String> {
    let damp = oven.new_or_damp.then(|| cautions::DAMP.to_owned());
    damp.into_iter().chain([cautions::LOCAL.to_owned()]).collect()
}

/// Its sizes.
pub fn sizes(oven: &OvenDescription) -> String {
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

/// Its layers.
pub fn layer_table(oven: &OvenDescription, appraised: &Appraised) -> Table {
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

/// What it takes to heat it, in words.
pub fn heat_words(oven: &OvenDescription, appraised: &Appraised) -> String {
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

/// What it loses shut, W.
pub fn loss_table(oven: &OvenDescription, appraised: &Appraised) -> Table {
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
