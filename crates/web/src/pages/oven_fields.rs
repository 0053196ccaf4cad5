//! The fields of the oven's form, each with its label, what helps, and what is wrong with what was typed.

use crate::oven_form::{Asks, Field};
use maud::{Markup, html};
use ovenfall_record::catalogue::Catalogue;
use ovenfall_record::oven_file::fields::{LayerFields, OvenFieldProblem, OvenFields};

/// A form as it stands: what was typed, and what is wrong with it.
#[derive(Debug, Clone, Copy)]
pub struct Standing<'a> {
    /// What was typed.
    pub fields: &'a OvenFields,
    /// What is wrong.
    pub problems: &'a [OvenFieldProblem],
}

impl Standing<'_> {
    /// What is wrong with a field, in words; `None` when nothing is.
    fn wrong(&self, field: &str) -> Option<String> {
        let found: Vec<String> = self
            .problems
            .iter()
            .filter(|found| found.field == field)
            .map(|found| ovenfall_answer::board::problem(&found.problem))
            .collect();
        (!found.is_empty()).then(|| found.join(". "))
    }
}

/// The message of a field; there also while nothing is wrong, so that a script can write into it.
fn message(id: &str, wrong: Option<&String>) -> Markup {
    html! { p.wrong id=(format!("{id}-wrong")) data-wrong=(id) role="alert" hidden[wrong.is_none()] { @if let Some(wrong) = wrong { (wrong) } } }
}

/// Fields under a title.
pub fn group(title: &str, fields: &[Field], standing: Standing<'_>) -> Markup {
    html! {
        fieldset.group {
            legend.title { (title) }
            @for field in fields { (one(field, standing)) }
        }
    }
}

fn one(field: &Field, standing: Standing<'_>) -> Markup {
    let (typed, wrong) = (standing.fields.value(field.key), standing.wrong(field.key));
    let (invalid, by) = (wrong.as_ref().map(|_| "true"), format!("{0}-hint {0}-wrong", field.key));
    html! {
        div.field data-field=(field.key) {
            @match field.asks {
                Asks::Text => {
                    label for=(field.key) { (field.label) }
                    input id=(field.key) name=(field.key) value=(typed) maxlength="400" autocomplete="off" aria-invalid=[invalid] aria-describedby=(by);
                }
                Asks::Number(unit) => {
                    label for=(field.key) { (field.label) span.unit-of { ", " (unit) } }
                    input id=(field.key) name=(field.key) value=(typed) inputmode="decimal" maxlength="40" autocomplete="off" placeholder="don't know" aria-invalid=[invalid] aria-describedby=(by);
                }
                Asks::OneOf(choices) => {
                    label for=(field.key) { (field.label) }
                    select id=(field.key) name=(field.key) aria-invalid=[invalid] aria-describedby=(by) {
                        option value="" { "don't know" }
                        @for (value, words) in choices { option value=(value) selected[typed == *value] { (words) } }
                    }
                }
                Asks::Construction => {
                    label for=(field.key) { (field.label) }
                    select id=(field.key) name=(field.key) aria-invalid=[invalid] aria-describedby=(by) {
                        option value="" { "don't know" }
                        @for name in constructions() { option value=(name) selected[typed == name] { (name) } }
                    }
                }
            }
            p.hint id=(format!("{}-hint", field.key)) hidden[field.hint.is_empty()] { (field.hint) }
            (message(field.key, wrong.as_ref()))
        }
    }
}

fn constructions() -> Vec<&'static str> {
    let catalogue = Catalogue::built_in();
    catalogue
        .map(|catalogue| catalogue.constructions().iter().map(|row| row.name.as_str()).collect())
        .unwrap_or_default()
}

fn materials() -> Vec<&'static str> {
    let catalogue = Catalogue::built_in();
    let names = catalogue.map(|catalogue| catalogue.materials().iter().map(|row| row.material.name.as_str()).collect());
    let mut names: Vec<&str> = names.unwrap_or_default();
    names.sort_unstable();
    names
}

/// Layers of a part, with two blank rows to add to.
pub fn layers(part: &str, title: &str, standing: Standing<'_>) -> Markup {
    let rows = standing.fields.part(part);
    let (rows, none) = (rows.unwrap_or_default(), rows.is_some_and(<[_]>::is_empty));
    let blank = LayerFields::default();
    html! {
        fieldset.group data-part=(part) {
            legend.title { (title) }
            p.hint { "From the hot face outwards. Leave all of it blank where you do not know." }
            @if part == "door" {
                label.tick { input type="checkbox" name="door.none" value="yes" checked[none]; " This oven has no door" }
            }
            ol.layers {
                @for (i, row) in rows.iter().chain([&blank, &blank]).enumerate() { (layer(part, i, row, standing)) }
            }
            (message(part, standing.wrong(part).as_ref()))
            button.key type="button" data-add=(part) hidden { "Add a layer" }
        }
    }
}

fn layer(part: &str, i: usize, row: &LayerFields, standing: Standing<'_>) -> Markup {
    let wrong = standing.wrong(&format!("{part} {i}"));
    let id = format!("{part}-{i}");
    let materials = materials();
    html! {
        li.layer {
            div {
                label for=(format!("{id}-material")) { "Material" }
                select id=(format!("{id}-material")) name=(format!("{part}.{i}.material")) data-of="material" {
                    option value="" { "don't know" }
                    // A name that the form does not list, such as an alias, is kept as it was written.
                    @if !row.material.is_empty() && !materials.contains(&row.material.as_str()) {
                        option value=(row.material) selected { (row.material) }
                    }
                    @for name in &materials { option value=(name) selected[row.material == *name] { (name) } }
                }
            }
            div {
                label for=(format!("{id}-thickness")) { "Thickness, cm" }
                input id=(format!("{id}-thickness")) name=(format!("{part}.{i}.thickness")) data-of="thickness" value=(row.thickness) inputmode="decimal" maxlength="40" autocomplete="off" placeholder="don't know" aria-invalid=[wrong.as_ref().map(|_| "true")] aria-describedby=(format!("{id}-wrong"));
            }
            div.layer-keys {
                button.key type="button" data-up hidden aria-label="Move this layer towards the heat" { "Up" }
                button.key type="button" data-remove hidden aria-label="Remove this layer" { "Remove" }
            }
            (message(&id, wrong.as_ref()))
        }
    }
}
