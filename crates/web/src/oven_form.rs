//! The description of an oven as a form: which fields there are, how they are asked, and what a browser sends back.

use ovenfall_record::oven_file::OvenFile;
use ovenfall_record::oven_file::fields::{LayerFields, OvenFieldProblem, OvenFields, PARTS, read_fields};
use ovenfall_record::problem::{Problem, Severity};

/// What problems call the file that a form becomes.
const NAME_OF_FORM: &str = "the form";

/// How a field is asked.
#[derive(Debug, Clone, Copy)]
pub enum Asks {
    /// A text.
    Text,
    /// A length whose key is in cm; a number, or a text with its unit.
    Length,
    /// A number, or a text with its unit; the unit shown.
    Number(&'static str),
    /// One of these; the value, and its words.
    OneOf(&'static [(&'static str, &'static str)]),
    /// One of the ready-made constructions.
    Construction,
    /// The name of a time zone.
    TimeZone,
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

const FORM: &[(&str, &str)] = &[("dome", "Round dome"), ("vault", "Long vault")];
const FIT: &[(&str, &str)] = &[("tight", "Tight, sealed"), ("ordinary", "Ordinary"), ("loose", "Loose, light shows")];
const UNDERS: &[(&str, &str)] = &[("air", "Air: a stand, an arch"), ("ground", "Ground, a solid base")];
const FIRES: &[(&str, &str)] = &[("left", "Left"), ("right", "Right"), ("back", "Back"), ("centre", "Centre")];
const DAMP: &[(&str, &str)] = &[("no", "Dry, in use"), ("yes", "New or damp")];

/// Its name.
pub const NAME: Field = field("name", "Name of the oven", Asks::Text, "");
/// What it is built like.
pub const LIKE: Field = field("construction", "What is it built like?", Asks::Construction, "");
/// Dome or vault.
pub const SHAPE: Field = field("form", "Shape", Asks::OneOf(FORM), "");
/// New or damp.
pub const NEW_OR_DAMP: Field =
    field("new_or_damp", "New or damp?", Asks::OneOf(DAMP), "Also rained on, or unused for months.");
/// Where its clock is.
pub const TIME_ZONE: Field =
    field("time_zone", "Time zone", Asks::TimeZone, "The clock the day is written by, such as Europe/Lisbon.");
/// Inner sizes.
pub const INSIDE: &[Field] = &[
    field("diameter_cm", "Floor across", Asks::Length, "Inside, wall to wall."),
    field("width_cm", "Floor width", Asks::Length, "Inside, side to side."),
    field("length_cm", "Floor length", Asks::Length, "Inside, mouth to back."),
    field("rise_cm", "Crown height", Asks::Length, "From the floor, inside."),
];
/// The mouth.
pub const MOUTH: &[Field] = &[
    field("mouth_width_cm", "Mouth width", Asks::Length, "Of the opening itself."),
    field("mouth_height_cm", "Mouth height", Asks::Length, "At its middle."),
];
/// How the door closes.
pub const DOOR_FIT: Field = field("door_fit", "How the door closes", Asks::OneOf(FIT), "");
/// Where the fire lies.
pub const FIRE: Field = field("fire", "Where the fire lies", Asks::OneOf(FIRES), "Seen from the mouth.");
/// What is under the floor.
pub const UNDER: Field = field("under", "Under the floor", Asks::OneOf(UNDERS), "");
/// Where it stands.
pub const PLACE: &[Field] = &[
    TIME_ZONE,
    field("altitude_m", "Height above the sea", Asks::Number("m"), "Higher up, water boils cooler."),
    field("outdoor_c", "Usual temperature outdoors", Asks::Number("°C"), ""),
    field("wind_m_s", "Usual wind at the oven", Asks::Number("m/s"), "Sheltered is about 1; flags stand out at 8."),
];
/// What it is read with.
pub const THERMOMETERS: &[Field] = &[
    field("probe_mm", "Chamber probe, thickness", Asks::Number("mm"), "Of its sheath."),
    field("probe_emissivity", "Chamber probe, emissivity", Asks::Number("0 to 1"), "Bright steel 0.3, sooty 0.9."),
    field("infrared_emissivity", "Infra-red thermometer, emissivity it is set to", Asks::Number("0 to 1"), ""),
    field(
        "infrared_top_c",
        "Infra-red thermometer, top of its range",
        Asks::Number("°C"),
        "Printed on it. What it shows from there on is read as “at least”.",
    ),
];

/// Every field that is no layer.
pub fn all() -> impl Iterator<Item = &'static Field> {
    const SINGLE: &[Field] = &[NAME, LIKE, SHAPE, NEW_OR_DAMP, DOOR_FIT, FIRE, UNDER];
    [SINGLE, INSIDE, MOUTH, PLACE, THERMOMETERS].into_iter().flatten()
}

/// Whether layers are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Known {
    /// They are not: as usual for its construction.
    #[default]
    DontKnow,
    /// There is none of it: only of the door.
    Nothing,
    /// They are the rows.
    Layers,
}

impl Known {
    /// As a browser sends it.
    #[must_use]
    pub const fn sent(self) -> &'static str {
        match self {
            Self::DontKnow => "",
            Self::Nothing => "none",
            Self::Layers => "layers",
        }
    }
}

/// Rows of a part as typed; they are kept while "don't know" is chosen.
#[derive(Debug, Clone, Default)]
pub struct PartForm {
    /// Whether the rows count.
    pub known: Known,
    /// From the hot face on.
    pub rows: Vec<LayerFields>,
}

/// More rows than this are not taken: the reader refuses far fewer.
const MOST_ROWS: usize = 40;

/// A form as typed.
#[derive(Debug, Clone, Default)]
pub struct OvenForm {
    /// Key and what was typed.
    pub values: Vec<(String, String)>,
    /// Parts in the order of [`PARTS`].
    pub parts: [PartForm; 3],
}

impl OvenForm {
    /// The form of an oven that is described already.
    #[must_use]
    pub fn of(oven: &OvenFile) -> Self {
        let fields = OvenFields::of(oven);
        let part = |part: &str| match fields.part(part) {
            None => PartForm::default(),
            Some([]) => PartForm { known: Known::Nothing, rows: Vec::new() },
            Some(rows) => PartForm { known: Known::Layers, rows: rows.to_vec() },
        };
        Self { parts: PARTS.map(part), values: fields.values }
    }

    /// What a browser sent: `rise_cm=42`, `dome.known=layers`, then for each row `dome.material=firebrick` and
    /// `dome.thickness=11.4`.
    #[must_use]
    pub fn from_pairs(pairs: &[(String, String)]) -> Self {
        let sent = |name: &str| pairs.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str());
        let part = |part: &str| {
            let known = match sent(&format!("{part}.known")) {
                "layers" => Known::Layers,
                "none" if part == "door" => Known::Nothing,
                _ => Known::DontKnow,
            };
            PartForm { known, rows: rows(pairs, part) }
        };
        let values = all().map(|field| (field.key.to_owned(), sent(field.key).to_owned())).collect();
        Self { values, parts: PARTS.map(part) }
    }

    /// What was typed for a key.
    #[must_use]
    pub fn value(&self, key: &str) -> &str {
        self.values.iter().find(|(known, _)| known == key).map_or("", |(_, typed)| typed)
    }

    /// What counts of it.
    #[must_use]
    pub fn fields(&self) -> OvenFields {
        let parts = PARTS.iter().zip(&self.parts).filter(|(_, form)| form.known != Known::DontKnow);
        let layers = parts.map(|(part, form)| {
            let rows = if form.known == Known::Layers { form.rows.clone() } else { Vec::new() };
            ((*part).to_owned(), rows)
        });
        OvenFields { values: self.values.clone(), layers: layers.collect() }
    }

    /// Reads the oven.
    ///
    /// # Errors
    /// Every problem with its field.
    pub fn read(&self) -> Result<OvenFile, Vec<OvenFieldProblem>> {
        let [_, _, door] = &self.parts;
        // A door "of these layers" without any would be no door: it is asked about rather than guessed.
        let layerless = door.known == Known::Layers && door.rows.is_empty();
        let problem = layerless.then(no_layers_of_the_door);
        match (read_fields(NAME_OF_FORM, &self.fields()), problem) {
            (Ok(oven), None) => Ok(oven),
            (read, problem) => Err(read.err().into_iter().flatten().chain(problem).collect()),
        }
    }

    /// Does what a key of the form says: `add dome`, `remove dome 2`, `up dome 2`, `down dome 0`. Whether it was one.
    pub fn press(&mut self, key: &str) -> bool {
        let mut words = key.split(' ');
        let (Some(verb), Some(part)) = (words.next(), words.next()) else { return false };
        let Some(part) = PARTS.iter().position(|known| *known == part).and_then(|i| self.parts.get_mut(i)) else {
            return false;
        };
        let rows = &mut part.rows;
        match (verb, words.next().and_then(|row| row.parse::<usize>().ok())) {
            ("add", _) if rows.len() < MOST_ROWS => rows.push(LayerFields::default()),
            ("remove", Some(row)) if row < rows.len() => drop(rows.remove(row)),
            ("up", Some(row)) if row > 0 && row < rows.len() => rows.swap(row, row - 1),
            ("down", Some(row)) if row < rows.len().saturating_sub(1) => rows.swap(row, row + 1),
            _ => return false,
        }
        part.known = Known::Layers;
        true
    }
}

fn no_layers_of_the_door() -> OvenFieldProblem {
    let problem = Problem {
        severity: Severity::Error,
        file: NAME_OF_FORM.to_owned(),
        line: 0,
        column: 0,
        what: "there are no layers here".to_owned(),
        limits: None,
        suggestion: Some("add one, or choose “don't know” or “no door”".to_owned()),
    };
    OvenFieldProblem { field: "door".to_owned(), problem }
}

fn rows(pairs: &[(String, String)], part: &str) -> Vec<LayerFields> {
    let mut rows: Vec<LayerFields> = Vec::new();
    for (key, value) in pairs {
        let Some(of) = key.strip_prefix(part).and_then(|rest| rest.strip_prefix('.')) else { continue };
        match of {
            "material" if rows.len() < MOST_ROWS => {
                rows.push(LayerFields { material: value.clone(), thickness: String::new() });
            }
            "thickness" => {
                if let Some(row) = rows.last_mut() {
                    row.thickness.clone_from(value);
                }
            }
            _ => {}
        }
    }
    rows
}

/// Ids that the addresses of the pages need for themselves.
const NO_IDS: [&str; 1] = ["preview"];

/// An id for an oven of this name that none of `taken` is: lower-case ASCII letters and digits.
#[must_use]
pub fn id_for(name: &str, taken: &[String]) -> String {
    const LONGEST: usize = 40;
    let mut slug = String::new();
    for c in name.chars().flat_map(char::to_lowercase) {
        match plain_letters(c) {
            "" if c.is_ascii_alphanumeric() => slug.push(c),
            "" if !slug.is_empty() && !slug.ends_with('-') => slug.push('-'),
            letters => slug.push_str(letters),
        }
        if slug.len() >= LONGEST {
            break;
        }
    }
    let slug = slug.trim_end_matches('-');
    let slug = if slug.is_empty() { "oven" } else { slug };
    let numbered = |n: usize| if n == 1 { slug.to_owned() } else { format!("{slug}-{n}") };
    let free = |id: &String| !taken.contains(id) && !NO_IDS.contains(&id.as_str());
    (1..).map(numbered).find(free).unwrap_or_default()
}

/// A lower-case Latin letter with a mark, without it; empty for any other.
const fn plain_letters(c: char) -> &'static str {
    match c {
        'à'..='å' | 'ā' | 'ă' | 'ą' => "a",
        'ç' | 'ć' | 'č' => "c",
        'ď' | 'đ' | 'ð' => "d",
        'è'..='ë' | 'ē' | 'ė' | 'ę' | 'ě' => "e",
        'ğ' => "g",
        'ì'..='ï' | 'ī' | 'į' | 'ı' => "i",
        'ł' | 'ľ' => "l",
        'ñ' | 'ń' | 'ň' => "n",
        'ò'..='ö' | 'ø' | 'ō' | 'ő' => "o",
        'ř' => "r",
        'ś' | 'ş' | 'š' | 'ș' => "s",
        'ť' | 'ț' => "t",
        'ù'..='ü' | 'ū' | 'ů' | 'ű' => "u",
        'ý' | 'ÿ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        'æ' => "ae",
        'œ' => "oe",
        'ß' => "ss",
        'þ' => "th",
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(key: &str, value: &str) -> (String, String) {
        (key.to_owned(), value.to_owned())
    }

    #[test]
    fn an_id_is_made_of_the_name_and_nobody_elses() {
        assert_eq!(id_for("Slipway Bakehouse", &[]), "slipway-bakehouse");
        assert_eq!(id_for("Forno è <b>", &[]), "forno-e-b");
        assert_eq!(id_for("かまど", &[]), "oven");
        assert_eq!(id_for("preview", &[]), "preview-2");
        assert_eq!(id_for("Kiln!", &["kiln".to_owned(), "kiln-2".to_owned()]), "kiln-3");
        assert!(id_for(&"ß".repeat(1000), &[]).len() < 60);
    }

    #[test]
    fn rows_are_kept_while_nobody_counts_them() {
        let form = OvenForm::from_pairs(&[pair("dome.material", "firebrick"), pair("dome.thickness", "3")]);
        assert_eq!(form.parts[0].rows.len(), 1);
        assert_eq!(form.fields().part("dome"), None);
        let none = OvenForm::from_pairs(&[pair("door.known", "none")]);
        assert_eq!(none.fields().part("door").map(<[_]>::len), Some(0));
    }

    #[test]
    fn layers_are_added_moved_and_removed() {
        let mut form = OvenForm::default();
        assert!(form.press("add floor") && form.press("add floor"));
        form.parts[1].rows[1].material = "sand".to_owned();
        assert!(form.press("up floor 1"));
        assert_eq!(form.parts[1].rows[0].material, "sand");
        assert!(form.press("remove floor 1"));
        assert_eq!((form.parts[1].rows.len(), form.parts[1].known), (1, Known::Layers));
        for wrong in ["", "up floor 0", "down floor 0", "remove floor 9", "add roof", "remove floor -1", "save"] {
            assert!(!form.press(wrong), "{wrong}");
        }
    }

    #[test]
    fn a_door_of_no_layers_is_asked_about() {
        let problems = OvenForm::from_pairs(&[pair("door.known", "layers")]).read().unwrap_err();
        assert_eq!(problems[0].field, "door");
    }

    #[test]
    fn every_field_is_a_key_of_the_file() {
        for field in all() {
            let form = OvenForm { values: vec![pair(field.key, "???")], ..OvenForm::default() };
            let unknown = form.read().err().unwrap_or_default();
            assert!(unknown.iter().all(|found| !found.problem.what.contains("unknown key")), "{}", field.key);
        }
    }
}
