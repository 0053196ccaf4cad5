//! The fields of the oven's form, each with its label, what helps, and what is wrong with what was typed.

use crate::oven_form::{Asks, Field, Known, NEW_OR_DAMP, OvenForm, PartForm};
use maud::{Markup, html};
use ovenfall_record::catalogue::{Catalogue, Construction};
use ovenfall_record::oven_file::fields::{LayerFields, OvenFieldProblem};

/// A form as it stands: what was typed, and what is wrong or doubtful with it.
#[derive(Debug, Clone, Copy)]
pub struct Standing<'a> {
    /// What was typed.
    pub form: &'a OvenForm,
    /// What is wrong.
    pub problems: &'a [OvenFieldProblem],
    /// What looks wrong, but can be.
    pub doubts: &'a [OvenFieldProblem],
    /// What is taken for fields that are empty.
    pub usual: &'a [(&'static str, String)],
}

impl Standing<'_> {
    fn wrong(&self, field: &str) -> String {
        said_at(self.problems, field)
    }

    fn usual(&self, key: &str) -> Option<&str> {
        self.usual.iter().find(|(known, _)| *known == key).map(|(_, value)| value.as_str())
    }
}

fn said_at(problems: &[OvenFieldProblem], field: &str) -> String {
    let found = problems.iter().filter(|found| found.field == field);
    found.map(OvenFieldProblem::words).collect::<Vec<_>>().join(" ")
}

/// The id of a field in the page.
fn id_of(field: &str) -> String {
    field.replace(' ', "-")
}

/// The messages of a field; there also while nothing is wrong, so that a script can write into them.
fn messages(field: &str, standing: Standing<'_>) -> Markup {
    let (wrong, doubt) = (standing.wrong(field), said_at(standing.doubts, field));
    let id = id_of(field);
    // That it is new or damp is no slip: the caution beside it says what follows.
    let doubted = field != NEW_OR_DAMP.key;
    html! {
        p.wrong id=(format!("{id}-wrong")) data-wrong=(field) aria-live="polite" hidden[wrong.is_empty()] { (wrong) }
        p.doubt id=(format!("{id}-doubt")) data-doubt=[doubted.then_some(field)] hidden[!doubted || doubt.is_empty()] { @if doubted { (doubt) } }
    }
}

/// Ids of what describes a field.
fn described_by(id: &str, hint: &str) -> String {
    let hint = if hint.is_empty() { String::new() } else { format!("{id}-hint ") };
    format!("{hint}{id}-wrong {id}-doubt")
}

/// Fields, one after the other.
pub fn fields(fields: &[Field], standing: Standing<'_>) -> Markup {
    html! { @for field in fields { (one(field, standing)) } }
}

/// Fields that are folded away until they are asked for, or something is wrong with one of them.
pub fn folded(title: &str, about: &str, keys: &[&str], standing: Standing<'_>, inside: &Markup) -> Markup {
    let part_of = |field: &str| keys.iter().any(|key| field.split(' ').next() == Some(key));
    let wrong = standing.problems.iter().chain(standing.doubts).any(|found| part_of(&found.field));
    html! { details.group open[wrong] { summary { span { (title) small { (about) } } } (inside) } }
}

/// A field.
pub fn one(field: &Field, standing: Standing<'_>) -> Markup {
    match field.asks {
        Asks::OneOf(options) => choice(field, options, standing),
        Asks::Construction => constructions(field, standing),
        Asks::Text | Asks::Length | Asks::Number(_) | Asks::TimeZone => typed(field, standing),
    }
}

fn hint(field: &Field) -> Markup {
    html! { @if !field.hint.is_empty() { p.hint id=(format!("{}-hint", field.key)) { (field.hint) } } }
}

fn typed(field: &Field, standing: Standing<'_>) -> Markup {
    let number = matches!(field.asks, Asks::Length | Asks::Number(_));
    let unit = match field.asks {
        Asks::Length => Some("cm"),
        Asks::Number(unit) => Some(unit),
        _ => None,
    };
    let usual = match (field.asks, standing.usual(field.key)) {
        (Asks::Text, _) => String::new(),
        (Asks::TimeZone, Some(usual)) => format!("don't know: {usual}"),
        (_, Some(usual)) => format!("usual: {usual}"),
        (_, None) => "don't know".to_owned(),
    };
    let list = matches!(field.asks, Asks::TimeZone).then_some("zones");
    html! {
        div.field data-field=(field.key) {
            label for=(field.key) {
                (field.label)
                @if let Some(unit) = unit { span.unit-of { ", " span data-length[matches!(field.asks, Asks::Length)] { (unit) } } }
            }
            input id=(field.key) name=(field.key) value=(standing.form.value(field.key)) placeholder=(usual) list=[list]
                inputmode=[number.then_some("decimal")] enterkeyhint="next" autocomplete="off" autocapitalize=[number.then_some("off")] spellcheck="false"
                aria-invalid=[(!standing.wrong(field.key).is_empty()).then_some("true")] aria-describedby=(described_by(field.key, field.hint));
            (hint(field))
            (messages(field.key, standing))
        }
    }
}

/// One of several as keys, the first of them "don't know".
fn choice(field: &Field, options: &[(&str, &str)], standing: Standing<'_>) -> Markup {
    let typed = standing.form.value(field.key);
    let is = |value: &str| canonical(field.key, typed) == value;
    // What the form does not offer, such as a word of a script, is shown and can be put right.
    let other = !typed.is_empty() && !options.iter().any(|(value, _)| is(value));
    html! {
        fieldset.choices.field data-field=(field.key) aria-describedby=(described_by(field.key, field.hint)) {
            legend { (field.label) }
            @if !field.hint.is_empty() { p.hint.wide id=(format!("{}-hint", field.key)) { (field.hint) } }
            @for (value, words) in options { (radio(field.key, value, words, "", is(value))) }
            (radio(field.key, "", "Don't know", "", typed.is_empty()))
            @if other { (radio(field.key, typed, typed, "", true)) }
            div.wide { (messages(field.key, standing)) }
        }
    }
}

fn canonical<'a>(key: &str, typed: &'a str) -> &'a str {
    match (key, typed) {
        ("fire", "center" | "middle") => "centre",
        ("new_or_damp", "true" | "new" | "damp") => "yes",
        ("new_or_damp", "false" | "dry") => "no",
        _ => typed,
    }
}

fn radio(key: &str, value: &str, words: &str, more: &str, chosen: bool) -> Markup {
    html! {
        label.choice {
            input type="radio" name=(key) value=(value) checked[chosen];
            @if more.is_empty() { span { (words) } } @else { span { span { (words) small { (more) } } } }
        }
    }
}

/// The ready-made constructions, each with what it is made of.
fn constructions(field: &Field, standing: Standing<'_>) -> Markup {
    let typed = standing.form.value(field.key);
    let catalogue = Catalogue::built_in().ok();
    let chosen = catalogue.and_then(|catalogue| catalogue.construction(typed)).map(|row| row.name.as_str());
    let all = catalogue.map(Catalogue::constructions).unwrap_or_default();
    html! {
        fieldset.choices.one.field data-field=(field.key) aria-describedby=(described_by(field.key, "")) {
            legend { (field.label) }
            (radio(field.key, "", "Don't know", "The one nearest to what you say below is taken.", typed.is_empty()))
            @for row in all {
                @let is = chosen == Some(row.name.as_str());
                // An everyday name that was written stays the name that was written.
                (radio(field.key, if is { typed } else { &row.name }, &capital(&row.name), &made_of(row), is))
            }
            @if chosen.is_none() && !typed.is_empty() { (radio(field.key, typed, typed, "", true)) }
            (messages(field.key, standing))
        }
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// What its walls are made of, from the hot face out.
fn made_of(row: &Construction) -> String {
    let layers: Vec<String> =
        row.dome.iter().map(|layer| format!("{} {} cm", layer.material, layer.thickness_cm)).collect();
    layers.join(", ")
}

fn materials() -> Vec<&'static str> {
    let names = Catalogue::built_in()
        .map(|catalogue| catalogue.materials().iter().map(|row| row.material.name.as_str()).collect());
    let mut names: Vec<&str> = names.unwrap_or_default();
    names.sort_unstable();
    names
}

/// Layers of a part: whether they are known, and the rows.
pub fn layers(part: &str, form: &PartForm, standing: Standing<'_>) -> Markup {
    let known = format!("{part}.known");
    let choice = |value: Known, words: &str| radio(&known, value.sent(), words, "", form.known == value);
    html! {
        div.part data-part=(part) {
            fieldset.choices aria-describedby=(described_by(part, "")) {
                legend { "Do you know its layers?" }
                (choice(Known::Layers, "Yes, these"))
                (choice(Known::DontKnow, "Don't know"))
                @if part == "door" { (choice(Known::Nothing, "No door")) }
            }
            (messages(part, standing))
            p.hint data-unknown hidden[form.known != Known::DontKnow] { "As usual for what it is built like." }
            div data-rows {
                p.hint { "The side towards the fire first." }
                ol.layers { @for (i, row) in form.rows.iter().enumerate() { (layer(part, i, row, standing)) } }
                button.key type="submit" name="do" value=(format!("add {part}")) data-add { "Add a layer" }
            }
            template data-row { (layer(part, 0, &LayerFields::default(), Standing { problems: &[], doubts: &[], ..standing })) }
        }
    }
}

fn layer(part: &str, i: usize, row: &LayerFields, standing: Standing<'_>) -> Markup {
    let (material, thickness) = (format!("{part} {i} material"), format!("{part} {i} thickness"));
    let (material_id, thickness_id) = (id_of(&material), id_of(&thickness));
    let invalid = |field: &str| (!standing.wrong(field).is_empty()).then_some("true");
    let materials = materials();
    let canonical = Catalogue::built_in().ok().and_then(|catalogue| catalogue.material(&row.material));
    let canonical = canonical.map(|row| row.material.name.as_str());
    html! {
        li.layer {
            div.field {
                label for=(material_id) data-for="material" { "Layer " span data-nth { (i + 1) } ", material" }
                select id=(material_id) name=(format!("{part}.material")) data-of="material" aria-invalid=[invalid(&material)] aria-describedby=(described_by(&material_id, "")) {
                    option value="" { "don't know" }
                    @if !row.material.is_empty() && canonical != Some(row.material.as_str()) {
                        option value=(row.material) selected { (row.material) }
                    }
                    @for name in &materials { option value=(name) selected[row.material == *name] { (name) } }
                }
            }
            div.field {
                label for=(thickness_id) data-for="thickness" { "Thick, " span data-length { "cm" } }
                input id=(thickness_id) name=(format!("{part}.thickness")) data-of="thickness" value=(row.thickness) inputmode="decimal" autocomplete="off" placeholder="don't know" aria-invalid=[invalid(&thickness)] aria-describedby=(described_by(&thickness_id, ""));
            }
            div.layer-said { (messages(&material, standing)) (messages(&thickness, standing)) }
            div.layer-keys {
                (key("up", part, i, "Hotter", "Move this layer towards the fire"))
                (key("down", part, i, "Colder", "Move this layer away from the fire"))
                (key("remove", part, i, "Remove", "Remove this layer"))
            }
        }
    }
}

fn key(verb: &str, part: &str, row: usize, words: &str, said: &str) -> Markup {
    html! { button.key type="submit" name="do" value=(format!("{verb} {part} {row}")) data-row-key=(verb) aria-label=(format!("{words}: {said}")) { (words) } }
}

/// In which unit plain numbers of lengths are typed: a script sends them with it. Without a script they are in cm.
pub fn lengths() -> Markup {
    html! {
        fieldset.choices data-lengths hidden {
            legend { "Tape measure in" }
            (radio("lengths", "cm", "cm", "", true))
            (radio("lengths", "in", "inches", "", false))
        }
    }
}

/// The names a time zone may have, to choose from.
pub fn zones() -> Markup {
    let zones = jiff::tz::TimeZoneDatabase::bundled();
    html! { datalist id="zones" { @for zone in zones.available() { option value=(zone.as_str()) {} } } }
}
