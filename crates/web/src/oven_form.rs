//! The description of an oven as a form: which fields there are, how they are asked, and what a browser sends back.

use crate::error::WebError;
use axum::http::StatusCode;
use ovenfall_record::oven_file::OvenFile;
use ovenfall_record::oven_file::fields::{LayerFields, OvenFieldProblem, OvenFields, PARTS, read_fields};

/// How a field is asked.
#[derive(Debug, Clone, Copy)]
pub enum Asks {
    /// A text.
    Text,
    /// A number, or a text with its unit; the unit shown.
    Number(&'static str),
    /// One of these; the value, and its words.
    OneOf(&'static [(&'static str, &'static str)]),
    /// One of the ready-made constructions.
    Construction,
}

/// A field of the form.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Key of the oven file.
    pub key: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// How it is asked.
    pub asks: Asks,
    /// What helps to answer.
    pub hint: &'static str,
}

const fn field(key: &'static str, label: &'static str, asks: Asks, hint: &'static str) -> Field {
    Field { key, label, asks, hint }
}

const FORM: &[(&str, &str)] = &[("dome", "Round, under a dome"), ("vault", "Long, under a vault")];
const FIT: &[(&str, &str)] = &[("tight", "Tight"), ("ordinary", "Ordinary"), ("loose", "Loose, light shows")];
const UNDER: &[(&str, &str)] = &[("air", "Air: a stand or an arch"), ("ground", "Ground, or a solid base")];
const FIRE: &[(&str, &str)] = &[("left", "Left"), ("right", "Right"), ("back", "Back"), ("centre", "Centre")];
const DAMP: &[(&str, &str)] = &[("no", "No, dry and in use"), ("yes", "Yes: new, damp or long unused")];

/// What it is called and built like.
pub const WHAT: &[Field] = &[
    field("name", "What the oven is called", Asks::Text, ""),
    field(
        "construction",
        "Most like",
        Asks::Construction,
        "What is not known below is taken from this, and trusted less.",
    ),
    field("form", "Shape", Asks::OneOf(FORM), ""),
];
/// Inner sizes.
pub const INSIDE: &[Field] = &[
    field("diameter_cm", "Floor, across (round)", Asks::Number("cm"), "Inside. Also 36 in, or 0.9 m."),
    field("width_cm", "Floor, width (long)", Asks::Number("cm"), "Inside, side to side."),
    field("length_cm", "Floor, length (long)", Asks::Number("cm"), "Inside, mouth to back."),
    field("rise_cm", "Floor to crown", Asks::Number("cm"), "The height at the highest place."),
    field("mouth_width_cm", "Mouth, width", Asks::Number("cm"), ""),
    field("mouth_height_cm", "Mouth, height", Asks::Number("cm"), "At its middle."),
];
/// Door and fire.
pub const DOOR: &[Field] = &[
    field("door_fit", "How the door closes", Asks::OneOf(FIT), ""),
    field("fire", "Where the fire lies", Asks::OneOf(FIRE), "Seen from the mouth."),
    field("under", "Under the floor", Asks::OneOf(UNDER), ""),
    field("new_or_damp", "New or damp", Asks::OneOf(DAMP), "Also rained on, or unused for months."),
];
/// Where it stands, and what it is read with.
pub const PLACE: &[Field] = &[
    field("time_zone", "Time zone", Asks::Text, "Such as Europe/Lisbon: the clock the day is written by."),
    field("altitude_m", "Height above the sea", Asks::Number("m"), "Water boils at less higher up."),
    field("outdoor_c", "Usual temperature outdoors", Asks::Number("°C"), ""),
    field("wind_m_s", "Usual wind", Asks::Number("m/s"), ""),
    field("probe_mm", "Chamber probe, thickness", Asks::Number("mm"), "Of its sheath."),
    field(
        "probe_emissivity",
        "Chamber probe, emissivity",
        Asks::Number("0 to 1"),
        "Bright steel 0.3, sooty 0.9 (from memory).",
    ),
    field("infrared_emissivity", "Infra-red thermometer, emissivity set", Asks::Number("0 to 1"), "Often 0.95."),
    field(
        "infrared_top_c",
        "Infra-red thermometer, top of its range",
        Asks::Number("°C"),
        "What it shows beyond is “over”.",
    ),
];
/// Every field that is no layer.
pub fn all() -> impl Iterator<Item = &'static Field> {
    [WHAT, INSIDE, DOOR, PLACE].into_iter().flatten()
}

/// More rows than this are not taken.
const MOST_ROWS: usize = 40;

/// What a browser sent, as fields: `rise_cm=42`, `dome.0.material=firebrick`, `dome.0.thickness=11.4`, `door.none=yes`.
#[must_use]
pub fn from_pairs(pairs: &[(String, String)]) -> OvenFields {
    let sent = |name: &str| pairs.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.trim());
    let values = all().map(|field| (field.key.to_owned(), sent(field.key).to_owned())).collect();
    let rows = |part: &str| -> Vec<LayerFields> {
        let row = |i: usize| LayerFields {
            material: sent(&format!("{part}.{i}.material")).to_owned(),
            thickness: sent(&format!("{part}.{i}.thickness")).to_owned(),
        };
        (0..MOST_ROWS).map(row).filter(|row| *row != LayerFields::default()).collect()
    };
    let part = |part: &&str| match rows(part) {
        rows if *part == "door" && sent("door.none") == "yes" => {
            Some(((*part).to_owned(), if rows.is_empty() { rows } else { Vec::new() }))
        }
        rows if rows.is_empty() => None,
        rows => Some(((*part).to_owned(), rows)),
    };
    OvenFields { values, layers: PARTS.iter().filter_map(part).collect() }
}

/// Reads the oven of a form.
///
/// # Errors
/// Every problem with its field.
pub fn read(fields: &OvenFields) -> Result<OvenFile, Vec<OvenFieldProblem>> {
    read_fields("the form", fields)
}

/// An id for an oven of this name that none of `taken` is: lower-case ASCII letters and digits.
#[must_use]
pub fn id_for(name: &str, taken: &[String]) -> String {
    const LONGEST: usize = 40;
    let mut slug = String::new();
    for c in name.chars().flat_map(char::to_lowercase).take(LONGEST) {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    let slug = if slug.is_empty() { "oven" } else { slug };
    let numbered = |n: usize| if n == 1 { slug.to_owned() } else { format!("{slug}-{n}") };
    (1..).map(numbered).find(|id| !taken.contains(id)).unwrap_or_default()
}

/// The pairs of a form that was sent.
///
/// # Errors
/// When it is none.
pub fn pairs(
    sent: Result<axum::extract::Form<Vec<(String, String)>>, axum::extract::rejection::FormRejection>,
) -> Result<Vec<(String, String)>, WebError> {
    let status = |rejection: &axum::extract::rejection::FormRejection| match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => StatusCode::PAYLOAD_TOO_LARGE,
        _ => StatusCode::BAD_REQUEST,
    };
    let read =
        sent.map_err(|rejection| WebError::Unreadable { status: status(&rejection), what: rejection.body_text() });
    read.map(|axum::extract::Form(pairs)| pairs)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_made_of_the_name_and_nobody_elses() {
        assert_eq!(id_for("Slipway Bakehouse", &[]), "slipway-bakehouse");
        assert_eq!(id_for("Forno é <b>", &[]), "forno-b");
        assert_eq!(id_for("かまど", &[]), "oven");
        assert_eq!(id_for("Kiln!", &["kiln".to_owned(), "kiln-2".to_owned()]), "kiln-3");
    }

    #[test]
    fn rows_left_blank_are_no_layers() {
        let pair = |key: &str, value: &str| (key.to_owned(), value.to_owned());
        let fields =
            from_pairs(&[pair("dome.2.material", "firebrick"), pair("dome.4.thickness", "3"), pair("rise_cm", " 40 ")]);
        assert_eq!(fields.part("dome").map(<[_]>::len), Some(2));
        assert_eq!(fields.part("floor"), None);
        assert_eq!(fields.value("rise_cm"), "40");
        let none = from_pairs(&[pair("door.none", "yes")]);
        assert_eq!(none.part("door").map(<[_]>::len), Some(0));
    }

    #[test]
    fn every_field_is_a_key_of_the_file() {
        for field in all() {
            let fields = OvenFields { values: vec![(field.key.to_owned(), "???".to_owned())], layers: Vec::new() };
            let unknown = read(&fields).err().unwrap_or_default();
            assert!(unknown.iter().all(|found| !found.problem.what.contains("unknown key")), "{}", field.key);
        }
    }
}
