//! An oven as its owner writes it down: every value optional, lengths in centimetres, and how to print it.
//!
//! [`OvenSheet`] is what an oven file says and nothing more. `None` is "don't know": it is filled in when the sheet is
//! made into a description. Printing and reading back gives the same sheet.

use std::fmt::Write;

use ovenfall_engine::description::{DoorFit, FirePlace, Under};

/// The shape of the chamber, as a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A round floor under a dome.
    Dome,
    /// A rectangular floor under a barrel.
    Vault,
}

/// One layer as written: `None` where the owner does not know.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetLayer {
    /// Name or everyday alias of the material.
    pub material: Option<String>,
    /// Thickness, cm.
    pub thickness_cm: Option<f64>,
}

impl SheetLayer {
    /// A layer with both known.
    #[must_use]
    pub fn new(material: &str, thickness_cm: f64) -> Self {
        Self { material: Some(material.to_owned()), thickness_cm: Some(thickness_cm) }
    }
}

/// An oven as its owner writes it down. Every field may be unknown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OvenSheet {
    /// The oven's name.
    pub name: Option<String>,
    /// Name or alias of a ready-made construction.
    pub construction: Option<String>,
    /// Dome or vault.
    pub form: Option<Shape>,
    /// Dome: inner diameter of the floor, cm.
    pub diameter_cm: Option<f64>,
    /// Vault: inner width, cm.
    pub width_cm: Option<f64>,
    /// Vault: inner length from mouth to back, cm.
    pub length_cm: Option<f64>,
    /// Height of the crown over the floor, cm.
    pub rise_cm: Option<f64>,
    /// Clear width of the mouth, cm.
    pub mouth_width_cm: Option<f64>,
    /// Clear height of the mouth at its middle, cm.
    pub mouth_height_cm: Option<f64>,
    /// Layers of the door, hot face first; an empty list is an oven without a door.
    pub door: Option<Vec<SheetLayer>>,
    /// How well the door closes.
    pub door_fit: Option<DoorFit>,
    /// Layers of dome or vault, hot face first.
    pub dome: Option<Vec<SheetLayer>>,
    /// Layers of the floor, hot face first.
    pub floor: Option<Vec<SheetLayer>>,
    /// What is under the floor.
    pub under: Option<Under>,
    /// Where the fire usually lies, seen from the mouth.
    pub fire: Option<FirePlace>,
    /// New, long unused or rained on.
    pub new_or_damp: Option<bool>,
    /// Height above the sea, m.
    pub altitude_m: Option<f64>,
    /// IANA name of the time zone.
    pub time_zone: Option<String>,
    /// Usual outdoor temperature, °C.
    pub outdoor_c: Option<f64>,
    /// Usual wind at the oven, m/s.
    pub wind_m_s: Option<f64>,
    /// Diameter of the chamber probe's sheath, cm (a file says it in millimetres).
    pub probe_cm: Option<f64>,
    /// Emissivity of the chamber probe's sheath.
    pub probe_emissivity: Option<f64>,
    /// Emissivity the infra-red thermometer is set to.
    pub infrared_emissivity: Option<f64>,
    /// Top of the infra-red thermometer's range, °C: what it shows from there on is "at least".
    pub infrared_top_c: Option<f64>,
}

/// What is printed for a value nobody knows.
pub(crate) const DONT_KNOW: &str = "\"don't know\"";

impl OvenSheet {
    /// The sheet as a commented oven file. Reading it back gives this sheet.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut out = String::new();
        self.print_head(&mut out);
        self.print_inside(&mut out);
        self.print_layers(&mut out);
        self.print_place(&mut out);
        out
    }

    fn print_head(&self, out: &mut String) {
        out.push_str(
            "# An oven, measured with a tape. Write \"don't know\" wherever you do not know: the usual value of the\n\
             # construction is taken and trusted less. A length may also be a text with its unit, as in\n\
             # diameter = \"36 in\".\n",
        );
        line(out, "ovenfall", "1", "version of this format");
        line(out, "kind", "\"oven\"", "");
        line(out, "name", &text(self.name.as_deref()), "");
        line(out, "construction", &text(self.construction.as_deref()), "the ready-made construction it is most like");
    }

    fn print_inside(&self, out: &mut String) {
        out.push_str("\n# The chamber, inside.\n");
        line(out, "form", &word(self.form, shape_word), "dome or vault");
        if self.form != Some(Shape::Vault) || self.diameter_cm.is_some() {
            line(out, "diameter_cm", &number(self.diameter_cm), "dome: inner diameter of the floor");
        }
        if self.form != Some(Shape::Dome) || self.width_cm.is_some() || self.length_cm.is_some() {
            line(out, "width_cm", &number(self.width_cm), "vault: inner width");
            line(out, "length_cm", &number(self.length_cm), "vault: mouth to back");
        }
        line(out, "rise_cm", &number(self.rise_cm), "floor to crown");
        out.push_str("\n# The mouth and its door; `door = []` is an oven without a door.\n");
        line(out, "mouth_width_cm", &number(self.mouth_width_cm), "");
        line(out, "mouth_height_cm", &number(self.mouth_height_cm), "at the middle");
        layers(out, "door", self.door.as_deref(), "hot face first");
        line(out, "door_fit", &word(self.door_fit, fit_word), "tight, ordinary or loose");
    }

    fn print_layers(&self, out: &mut String) {
        let roof = if self.form == Some(Shape::Vault) { "vault" } else { "dome" };
        out.push_str("\n# What it is built of, hot face first.\n");
        layers(out, roof, self.dome.as_deref(), "");
        layers(out, "floor", self.floor.as_deref(), "");
        line(out, "under", &word(self.under, under_word), "under the floor: air or ground");
        line(out, "fire", &word(self.fire, fire_word), "where it lies, seen from the mouth: left, right, back, centre");
        let damp = self.new_or_damp.map_or_else(|| DONT_KNOW.to_owned(), |damp| damp.to_string());
        line(out, "new_or_damp", &damp, "new, long unused or rained on");
    }

    fn print_place(&self, out: &mut String) {
        out.push_str("\n# Where it stands, and the thermometers.\n");
        line(out, "altitude_m", &number(self.altitude_m), "above the sea");
        line(out, "time_zone", &text(self.time_zone.as_deref()), "as in \"Europe/London\"");
        line(out, "outdoor_c", &number(self.outdoor_c), "usual outdoor temperature");
        line(out, "wind_m_s", &number(self.wind_m_s), "usual wind at the oven");
        let (probe_key, probe) = length_in_mm_or_cm("probe", self.probe_cm, "mm");
        line(out, &probe_key, &probe, "sheath of the chamber probe, diameter");
        line(out, "probe_emissivity", &number(self.probe_emissivity), "of that sheath");
        line(out, "infrared_emissivity", &number(self.infrared_emissivity), "setting of the infra-red thermometer");
        line(out, "infrared_top_c", &number(self.infrared_top_c), "top of its range, as printed on it");
    }
}

fn line(out: &mut String, key: &str, value: &str, comment: &str) {
    let gap = if comment.is_empty() { "" } else { "  # " };
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{key} = {value}{gap}{comment}");
}

fn layers(out: &mut String, key: &str, layers: Option<&[SheetLayer]>, comment: &str) {
    match layers {
        None => line(out, key, DONT_KNOW, comment),
        Some([]) => line(out, key, "[]", comment),
        Some(list) => {
            line(out, key, "[", comment);
            for layer in list {
                let (thickness_key, thickness) = length_in_mm_or_cm("thickness", layer.thickness_cm, "cm");
                let material = text(layer.material.as_deref());
                let _ = writeln!(out, "  {{ material = {material}, {thickness_key} = {thickness} }},");
            }
            out.push_str("]\n");
        }
    }
}

/// Thin things in millimetres, but only where the millimetres give back exactly the same centimetres.
fn length_in_mm_or_cm(key: &str, length_cm: Option<f64>, usual: &str) -> (String, String) {
    if let Some(cm) = length_cm
        && cm.abs() < 1.0
    {
        let mm = (cm * 1e7).round() / 1e6;
        if (mm / 10.0).to_bits() == cm.to_bits() {
            return (format!("{key}_mm"), number(Some(mm)));
        }
    }
    let unit = if length_cm.is_some() { "cm" } else { usual };
    (format!("{key}_{unit}"), number(length_cm))
}

fn number(value: Option<f64>) -> String {
    match value {
        None => DONT_KNOW.to_owned(),
        Some(x) if x.is_nan() => "nan".to_owned(),
        Some(x) if x.abs() < 1e9 => format!("{x}"),
        Some(x) => format!("{x:?}"),
    }
}

fn text(value: Option<&str>) -> String {
    value.map_or_else(|| DONT_KNOW.to_owned(), |text| toml::Value::from(text).to_string())
}

fn word<T>(value: Option<T>, say: fn(T) -> &'static str) -> String {
    value.map_or_else(|| DONT_KNOW.to_owned(), |value| format!("\"{}\"", say(value)))
}

/// The word a file uses for a shape.
pub(crate) fn shape_word(shape: Shape) -> &'static str {
    match shape {
        Shape::Dome => "dome",
        Shape::Vault => "vault",
    }
}

/// The word a file uses for a door's fit.
pub(crate) fn fit_word(fit: DoorFit) -> &'static str {
    match fit {
        DoorFit::Tight => "tight",
        DoorFit::Ordinary => "ordinary",
        DoorFit::Loose => "loose",
    }
}

/// The word a file uses for what is under the floor.
pub(crate) fn under_word(under: Under) -> &'static str {
    match under {
        Under::Air => "air",
        Under::Ground => "ground",
    }
}

/// The word a file uses for the fire's place.
pub(crate) fn fire_word(fire: FirePlace) -> &'static str {
    match fire {
        FirePlace::Left => "left",
        FirePlace::Right => "right",
        FirePlace::Back => "back",
        FirePlace::Centre => "centre",
    }
}
