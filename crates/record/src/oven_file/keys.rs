//! The keys of an oven file: what each holds, where it goes in the sheet, and its limits.

use ovenfall_engine::description::{DoorFit, FirePlace, Under};

use super::sheet::{OvenSheet, Shape, SheetLayer};

type TextField = fn(&mut OvenSheet) -> &mut Option<String>;
type NumberField = fn(&mut OvenSheet) -> &mut Option<f64>;
/// A word and what it sets.
type Choice = (&'static str, fn(&mut OvenSheet));
type LayersField = fn(&mut OvenSheet) -> &mut Option<Vec<SheetLayer>>;

/// Smallest and largest value that is believed.
pub(super) type Limits = (f64, f64);

/// What a key holds.
pub(super) enum Holds {
    /// The version of the format.
    Version,
    /// The kind of file.
    FileKind,
    /// Any text.
    Text(TextField),
    /// The name of a construction.
    Construction(TextField),
    /// The name of a time zone.
    TimeZone(TextField),
    /// One of a few words.
    Word(&'static [Choice]),
    /// A length, kept in the named unit; the key may end in `_mm`, `_cm`, `_m`, `_in` or `_ft`.
    Length(NumberField, &'static str, Limits),
    /// A temperature, °C; the key may end in `_c` or `_f`.
    Temperature(NumberField, Limits),
    /// A number whose unit, if any, is part of the key.
    Number(NumberField, Limits),
    /// Layers, hot face first.
    Layers(LayersField),
}

/// A key of an oven file.
pub(super) struct Key {
    /// The key without a unit.
    pub base: &'static str,
    /// The key as it is usually written.
    pub usual: &'static str,
    /// What it holds.
    pub holds: Holds,
}

const fn key(base: &'static str, usual: &'static str, holds: Holds) -> Key {
    Key { base, usual, holds }
}

/// Thickness of a layer, cm: from foil to a bakery's fill.
pub(super) const THICKNESS_CM: Limits = (0.01, 200.0);

/// The units a key of a length may end in.
pub(super) const LENGTH_UNITS: [&str; 5] = ["mm", "cm", "m", "in", "ft"];

/// All keys. The limits are judgement: wider than any oven known to be fired with wood, narrow enough to catch a slip of the unit.
pub(super) const KEYS: &[Key] = &[
    key("ovenfall", "ovenfall", Holds::Version),
    key("kind", "kind", Holds::FileKind),
    key("name", "name", Holds::Text(|s| &mut s.name)),
    key("construction", "construction", Holds::Construction(|s| &mut s.construction)),
    key("form", "form", Holds::Word(FORMS)),
    key("diameter", "diameter_cm", Holds::Length(|s| &mut s.diameter_cm, "cm", (20.0, 600.0))),
    key("width", "width_cm", Holds::Length(|s| &mut s.width_cm, "cm", (20.0, 600.0))),
    key("length", "length_cm", Holds::Length(|s| &mut s.length_cm, "cm", (20.0, 800.0))),
    key("rise", "rise_cm", Holds::Length(|s| &mut s.rise_cm, "cm", (8.0, 300.0))),
    key("mouth_width", "mouth_width_cm", Holds::Length(|s| &mut s.mouth_width_cm, "cm", (8.0, 200.0))),
    key("mouth_height", "mouth_height_cm", Holds::Length(|s| &mut s.mouth_height_cm, "cm", (5.0, 150.0))),
    key("door", "door", Holds::Layers(|s| &mut s.door)),
    key("door_fit", "door_fit", Holds::Word(FITS)),
    key("dome", "dome", Holds::Layers(|s| &mut s.dome)),
    key("vault", "vault", Holds::Layers(|s| &mut s.dome)),
    key("floor", "floor", Holds::Layers(|s| &mut s.floor)),
    key("under", "under", Holds::Word(UNDERS)),
    key("fire", "fire", Holds::Word(FIRES)),
    key("new_or_damp", "new_or_damp", Holds::Word(DAMPS)),
    key("altitude", "altitude_m", Holds::Length(|s| &mut s.altitude_m, "m", (-430.0, 5500.0))),
    key("time_zone", "time_zone", Holds::TimeZone(|s| &mut s.time_zone)),
    key("outdoor", "outdoor_c", Holds::Temperature(|s| &mut s.outdoor_c, (-60.0, 60.0))),
    key("wind_m_s", "wind_m_s", Holds::Number(|s| &mut s.wind_m_s, (0.0, 40.0))),
    key("probe", "probe_mm", Holds::Length(|s| &mut s.probe_cm, "cm", (0.02, 3.0))),
    key("probe_emissivity", "probe_emissivity", Holds::Number(|s| &mut s.probe_emissivity, (0.02, 1.0))),
    key("infrared_emissivity", "infrared_emissivity", Holds::Number(|s| &mut s.infrared_emissivity, (0.1, 1.0))),
    key("infrared_top", "infrared_top_c", Holds::Temperature(|s| &mut s.infrared_top_c, (100.0, 3000.0))),
];

const FORMS: &[Choice] = &[("dome", |s| s.form = Some(Shape::Dome)), ("vault", |s| s.form = Some(Shape::Vault))];

const FITS: &[Choice] = &[
    ("tight", |s| s.door_fit = Some(DoorFit::Tight)),
    ("ordinary", |s| s.door_fit = Some(DoorFit::Ordinary)),
    ("loose", |s| s.door_fit = Some(DoorFit::Loose)),
];

const UNDERS: &[Choice] = &[("air", |s| s.under = Some(Under::Air)), ("ground", |s| s.under = Some(Under::Ground))];

const FIRES: &[Choice] = &[
    ("left", |s| s.fire = Some(FirePlace::Left)),
    ("right", |s| s.fire = Some(FirePlace::Right)),
    ("back", |s| s.fire = Some(FirePlace::Back)),
    ("centre", |s| s.fire = Some(FirePlace::Centre)),
    ("center", |s| s.fire = Some(FirePlace::Centre)),
    ("middle", |s| s.fire = Some(FirePlace::Centre)),
];

const DAMPS: &[Choice] = &[
    ("true", |s| s.new_or_damp = Some(true)),
    ("false", |s| s.new_or_damp = Some(false)),
    ("yes", |s| s.new_or_damp = Some(true)),
    ("no", |s| s.new_or_damp = Some(false)),
    ("new", |s| s.new_or_damp = Some(true)),
    ("damp", |s| s.new_or_damp = Some(true)),
    ("dry", |s| s.new_or_damp = Some(false)),
];

/// The key a file's key means, and the unit it ends in, if any.
pub(super) fn find(written: &str) -> Option<(&'static Key, Option<&'static str>)> {
    if let Some(key) = KEYS.iter().find(|key| key.base == written) {
        return Some((key, None));
    }
    let (base, unit) = written.rsplit_once('_')?;
    let key = KEYS.iter().find(|key| key.base == base)?;
    let units: &[&'static str] = match key.holds {
        Holds::Length(..) => &LENGTH_UNITS,
        Holds::Temperature(..) => &["c", "f"],
        _ => &[],
    };
    let unit = units.iter().find(|known| **known == unit)?;
    Some((key, Some(unit)))
}
