//! Whether what a sheet says fits together, and what looks doubtful in it.
//!
//! The doubts' limits are judgement; the share of mouth and crown (about 63 %) is common practice, no source.

use ovenfall_engine::material::MaterialRole;

use super::read::Read;
use super::sheet::{OvenSheet, Shape, SheetLayer};
use super::values::Fault;
use crate::catalogue::Catalogue;
use crate::problem::Severity::{Error, Warning};

/// Share of mouth height and crown height outside which a slip is likely.
const MOUTH_SHARE: (f64, f64) = (0.40, 0.85);

/// Share of crown height and width of a dome outside which a slip is likely; a hemisphere has 0.5.
const DOME_SHARE: (f64, f64) = (0.25, 0.65);

/// A hot face whose material does not hold to here is doubtful, °C.
const HOT_FACE_C: f64 = 450.0;

/// Adds what does not fit together, and what is doubtful.
pub(super) fn check_sheet(read: &mut Read<'_>, catalogue: &Catalogue) {
    shape(read);
    sizes(read);
    proportions(read);
    hot_faces(read, catalogue);
    door(read);
    cautions(read);
}

/// The shape the sheet gives away, if any.
pub(super) fn shape_of(sheet: &OvenSheet) -> Option<Shape> {
    match (sheet.form, sheet.diameter_cm) {
        (Some(form), _) => Some(form),
        (None, Some(_)) => Some(Shape::Dome),
        (None, None) => (sheet.width_cm.is_some() || sheet.length_cm.is_some()).then_some(Shape::Vault),
    }
}

fn shape(read: &mut Read<'_>) {
    let both = read.written.contains_key("dome") && read.written.contains_key("vault");
    let form_is_said = read.sheet.form.is_some();
    if both {
        let fault = Fault::new("an oven has a `dome` or a `vault`, not both".to_owned()).suggest("keep one of them");
        read.add_at_key(Error, "vault", fault);
    } else if read.written.contains_key("vault") && !form_is_said {
        read.sheet.form = Some(Shape::Vault);
    }
    let sheet = &read.sheet;
    let wrong: Vec<&str> = match shape_of(sheet) {
        Some(Shape::Dome) => [("width", sheet.width_cm), ("length", sheet.length_cm)]
            .iter()
            .filter_map(|(key, value)| value.map(|_| *key))
            .collect(),
        Some(Shape::Vault) => sheet.diameter_cm.map(|_| "diameter").into_iter().collect(),
        None => Vec::new(),
    };
    let (is, has) = match shape_of(sheet) {
        Some(Shape::Vault) => ("vault", "`width_cm` and `length_cm`"),
        _ => ("dome", "`diameter_cm`"),
    };
    for key in wrong {
        let fault =
            Fault::new(format!("the oven is a {is}, which has no `{key}`")).suggest(format!("a {is} has {has}"));
        read.add_at_key(Error, key, fault);
    }
    let other = if is == "dome" { "vault" } else { "dome" };
    if form_is_said && !both && read.written.contains_key(other) {
        let fault = Fault::new(format!("the oven is a {is}, but its layers stand under `{other}`"));
        read.add_at_key(Error, other, fault.suggest(format!("{is} = […]")));
    }
}

fn sizes(read: &mut Read<'_>) {
    let sheet = read.sheet.clone();
    let (across_name, across) = across(&sheet);
    if let (Some(rise), Some(across)) = (sheet.rise_cm, across)
        && rise > across
    {
        let fault = Fault::new(format!("the crown is {rise} cm high, in a chamber {across} cm wide"))
            .allowed(format!("up to {across} cm"))
            .suggest("`rise` is the height of the crown over the floor, inside");
        read.add_at_key(Error, "rise", fault);
    }
    if let (Some(mouth), Some(across)) = (sheet.mouth_width_cm, across)
        && mouth > across
    {
        let fault = Fault::new(format!("the mouth is {mouth} cm wide, in a chamber {across} cm wide"));
        read.add_at_key(Error, "mouth_width", fault.allowed(format!("up to {across} cm")));
    }
    let (over, over_name) = match (sheet.rise_cm, across) {
        (Some(rise), _) => (Some(rise), "the crown"),
        (None, across) => (across, across_name),
    };
    if let (Some(mouth), Some(over)) = (sheet.mouth_height_cm, over)
        && mouth >= over
    {
        let fault = Fault::new(format!("the mouth is {mouth} cm high, {over_name} only {over} cm"));
        let fault = fault.allowed(format!("below {over} cm"));
        read.add_at_key(Error, "mouth_height", fault.suggest("the mouth is usually about 63 % of the crown's height"));
    }
}

/// What the chamber measures across, cm.
fn across(sheet: &OvenSheet) -> (&'static str, Option<f64>) {
    match shape_of(sheet) {
        Some(Shape::Vault) => ("the vault's width", sheet.width_cm),
        _ => ("the dome's diameter", sheet.diameter_cm),
    }
}

fn proportions(read: &mut Read<'_>) {
    let sheet = read.sheet.clone();
    let unusual = |part: Option<f64>, whole: Option<f64>, (low, high): (f64, f64)| {
        let share = part? / whole?;
        // A share above one is an error and said elsewhere.
        (share < low || (share > high && share < 1.0)).then_some((100.0 * share).round())
    };
    if let Some(percent) = unusual(sheet.mouth_height_cm, sheet.rise_cm, MOUTH_SHARE) {
        let fault = Fault::new(format!("the mouth has {percent} % of the crown's height, which is unusual"))
            .suggest("about 63 % is usual; check `mouth_height` and `rise`");
        read.add_at_key(Warning, "mouth_height", fault);
    }
    if let Some(percent) = unusual(sheet.rise_cm, sheet.diameter_cm, DOME_SHARE) {
        let fault = Fault::new(format!("the dome rises to {percent} % of its diameter, which is unusual"))
            .suggest("40 to 50 % is usual; check `rise` and `diameter`, both inside");
        read.add_at_key(Warning, "rise", fault);
    }
}

fn hot_faces(read: &mut Read<'_>, catalogue: &Catalogue) {
    let dome_key = if read.written.contains_key("vault") { "vault" } else { "dome" };
    let stacks = [(dome_key, read.sheet.dome.clone()), ("floor", read.sheet.floor.clone())];
    for (key, layers) in stacks {
        let Some((name, material)) = layers
            .as_deref()
            .and_then(first_material)
            .and_then(|name| catalogue.material(name).map(|row| (name.to_owned(), &row.material)))
        else {
            continue;
        };
        let place = format!("{key} 0");
        if material.role == MaterialRole::Insulation {
            let fault = Fault::new(format!("the hot face of `{key}` is `{name}`, which insulates"))
                .suggest("layers are listed hot face first; is the order the other way round?");
            read.add_at_key(Warning, &place, fault);
        } else if material.valid_c.1 < HOT_FACE_C {
            let what = format!("the hot face of `{key}` is `{name}`, known only up to {} °C", material.valid_c.1);
            let fault = Fault::new(what).suggest("layers are listed hot face first; is the order right?");
            read.add_at_key(Warning, &place, fault);
        }
    }
}

fn first_material(layers: &[SheetLayer]) -> Option<&str> {
    layers.first()?.material.as_deref()
}

fn door(read: &mut Read<'_>) {
    if read.sheet.door.as_deref().is_some_and(<[SheetLayer]>::is_empty) && read.sheet.door_fit.is_some() {
        let fault = Fault::new("`door_fit` is given, but there is no door".to_owned())
            .suggest("door = \"don't know\", if there is one");
        read.add_at_key(Warning, "door_fit", fault);
    }
}

fn cautions(read: &mut Read<'_>) {
    if read.sheet.new_or_damp == Some(true) {
        let fault = Fault::new("water in the masonry: a fast fire can crack or spall a new or damp oven".to_owned())
            .suggest("dry it with small fires, a little larger each day, as its maker or builder says");
        read.add_at_key(Warning, "new_or_damp", fault);
    }
    if let Some(setting) = read.sheet.infrared_emissivity
        && setting < 0.8
    {
        let fault = Fault::new(format!("an infra-red thermometer set to {setting} reads brick too hot"))
            .suggest("brick and soot are 0.90 to 0.95; is this the setting the readings were taken with?");
        read.add_at_key(Warning, "infrared_emissivity", fault);
    }
}
