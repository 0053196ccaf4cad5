//! What is taken for a field that was left empty, as it would be typed.

use super::OvenFile;
use super::fields::{LayerFields, PARTS};
use super::sheet::{Shape, fire_word, fit_word, shape_word, under_word};
use ovenfall_engine::description::{Form, Layer};

/// The shape as said or as taken, as a file writes it.
#[must_use]
pub fn form(oven: &OvenFile) -> &'static str {
    shape_word(if matches!(oven.description.form, Form::Dome { .. }) { Shape::Dome } else { Shape::Vault })
}

/// Layers of each part as said or as taken, from the hot face on.
#[must_use]
pub fn layers(oven: &OvenFile) -> Vec<(&'static str, Vec<LayerFields>)> {
    let is = &oven.description;
    let row = |layer: &Layer| {
        let cm = format!("{:.2}", 100.0 * layer.thickness_m.value);
        let thickness = cm.trim_end_matches('0').trim_end_matches('.').to_owned();
        LayerFields { material: layer.material.name.clone(), thickness }
    };
    let parts = PARTS.into_iter().zip([&is.dome, &is.floor, &is.mouth.door]);
    parts.map(|(part, layers)| (part, layers.iter().map(row).collect())).collect()
}

/// Key of the oven file, and the value that stands in for "don't know", in the unit of the key. Only of keys whose
/// value was not given.
#[must_use]
pub fn usual(oven: &OvenFile) -> Vec<(&'static str, String)> {
    let (sheet, is) = (&oven.sheet, &oven.description);
    let cm = |m: f64| format!("{:.0}", 100.0 * m);
    let mut all: Vec<(&'static str, bool, String)> = match is.form {
        Form::Dome { inner_diameter_m, rise_m } => vec![
            ("diameter_cm", sheet.diameter_cm.is_some(), cm(inner_diameter_m.value)),
            ("rise_cm", sheet.rise_cm.is_some(), cm(rise_m.value)),
        ],
        Form::Vault { width_m, length_m, rise_m } => vec![
            ("width_cm", sheet.width_cm.is_some(), cm(width_m.value)),
            ("length_cm", sheet.length_cm.is_some(), cm(length_m.value)),
            ("rise_cm", sheet.rise_cm.is_some(), cm(rise_m.value)),
        ],
    };
    let mouth = &is.mouth;
    let zone = oven.time_zone.iana_name().unwrap_or("UTC").to_owned();
    all.extend([
        ("mouth_width_cm", sheet.mouth_width_cm.is_some(), cm(mouth.width_m.value)),
        ("mouth_height_cm", sheet.mouth_height_cm.is_some(), cm(mouth.height_m.value)),
        ("construction", sheet.construction.is_some(), oven.construction.clone()),
        ("door_fit", sheet.door_fit.is_some(), fit_word(mouth.fit).to_owned()),
        ("under", sheet.under.is_some(), under_word(is.under).to_owned()),
        ("fire", sheet.fire.is_some(), fire_word(is.fire_place).to_owned()),
        ("altitude_m", sheet.altitude_m.is_some(), format!("{:.0}", is.altitude_m)),
        ("time_zone", sheet.time_zone.is_some(), zone),
        ("outdoor_c", sheet.outdoor_c.is_some(), format!("{:.0}", is.ambient_c)),
        ("wind_m_s", sheet.wind_m_s.is_some(), is.wind_m_s.to_string()),
        ("probe_mm", sheet.probe_cm.is_some(), format!("{:.1}", 1000.0 * is.probe.diameter_m).replace(".0", "")),
        ("probe_emissivity", sheet.probe_emissivity.is_some(), is.probe.emissivity.to_string()),
        ("infrared_emissivity", sheet.infrared_emissivity.is_some(), oven.infrared_setting.to_string()),
    ]);
    all.into_iter().filter(|(_, stated, _)| !stated).map(|(key, _, value)| (key, value)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::oven_file::fields::{OvenFields, read_fields};

    #[test]
    fn what_stands_in_can_be_typed() {
        for form in ["dome", "vault"] {
            let values = vec![("form".to_owned(), form.to_owned()), ("rise_cm".to_owned(), "40".to_owned())];
            let oven = read_fields("oven", &OvenFields { values: values.clone(), layers: Vec::new() }).unwrap();
            let usual = usual(&oven);
            assert!(!usual.iter().any(|(key, _)| *key == "rise_cm"));
            let typed = usual.iter().map(|(key, value)| ((*key).to_owned(), value.clone()));
            let all = values.into_iter().chain(typed).collect();
            let layers = layers(&oven).into_iter().map(|(part, rows)| (part.to_owned(), rows)).collect();
            assert_eq!(super::form(&oven), form);
            let again = read_fields("oven", &OvenFields { values: all, layers }).unwrap();
            assert!(super::usual(&again).is_empty());
        }
    }
}
