//! From the text of an oven file to a sheet, with a place for every value and every problem found on the way.

use std::collections::BTreeMap;

use jiff::tz::TimeZoneDatabase;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::keys::{self, Holds, KEYS, Key, LENGTH_UNITS, THICKNESS_CM};
use super::sheet::{OvenSheet, SheetLayer};
use super::values::{Answer, Entry, Fault, says_unknown};
use super::{MAX_OVEN_FILE_BYTES, OVEN_FORMAT_VERSION};
use crate::catalogue::Catalogue;
use crate::problem::{Problem, Severity};
use crate::suggest::nearest;
use crate::toml_place::line_and_column;
use crate::wording::{normal, short};

/// More problems than this are not listed: the file is something else.
const MAX_PROBLEMS: usize = 100;

/// More layers than this are a slip.
const MAX_LAYERS: usize = 12;

/// A file being read.
pub(super) struct Read<'a> {
    pub file: &'a str,
    pub text: &'a str,
    pub sheet: OvenSheet,
    pub problems: Vec<Problem>,
    /// Byte of each key that is there: `rise`, `dome`, and `dome 0` for its first layer.
    pub places: BTreeMap<String, usize>,
    /// Each key as it is written in the file.
    pub written: BTreeMap<&'static str, String>,
}

/// Reads what the file says.
pub(super) fn read_sheet<'a>(file: &'a str, text: &'a str, catalogue: &Catalogue) -> Read<'a> {
    let mut read = Read {
        file,
        text,
        sheet: OvenSheet::default(),
        problems: Vec::new(),
        places: BTreeMap::new(),
        written: BTreeMap::new(),
    };
    if text.len() > MAX_OVEN_FILE_BYTES {
        let fault = Fault::new(format!("the file has {} bytes", text.len()))
            .allowed(format!("up to {MAX_OVEN_FILE_BYTES} bytes"))
            .suggest("this does not look like an oven file; is it the right one?");
        read.whole_file(fault);
    } else if text.trim_start_matches('\u{feff}').trim().is_empty() {
        let fault = Fault::new("the file is empty".to_owned())
            .suggest("begin with `ovenfall = 1` and `kind = \"oven\"`; everything else may be unknown");
        read.whole_file(fault);
    } else {
        read.document(catalogue);
    }
    read
}

impl Read<'_> {
    /// Adds an error at a byte of the text.
    pub fn error(&mut self, at: usize, fault: Fault) {
        self.add(Severity::Error, Some(at), fault);
    }

    /// Adds a problem at the place of a key, or at the file as a whole.
    pub fn add_at_key(&mut self, severity: Severity, key: &str, fault: Fault) {
        let at = self.places.get(key).copied();
        self.add(severity, at, fault);
    }

    fn whole_file(&mut self, fault: Fault) {
        self.add(Severity::Error, None, fault);
    }

    fn add(&mut self, severity: Severity, at: Option<usize>, fault: Fault) {
        let (line, column) = at.map_or((0, 0), |at| line_and_column(self.text, at));
        let Fault { what, limits, suggestion } = fault;
        self.problems.push(Problem { severity, file: self.file.to_owned(), line, column, what, limits, suggestion });
    }

    fn document(&mut self, catalogue: &Catalogue) {
        let (table, errors) = DeTable::parse_recoverable(self.text);
        for error in errors.iter().take(MAX_PROBLEMS) {
            let at = error.span().map_or(0, |span| span.start);
            self.error(at, Fault::new(format!("not TOML: {}", short(error.message()))));
        }
        // What is left of a line that could not be read would only confuse.
        let torn: Vec<usize> =
            errors.iter().filter_map(|error| error.span()).map(|span| line_start(self.text, span.start)).collect();
        let mut entries: Vec<_> = table.get_ref().iter().collect();
        entries.sort_by_key(|(key, _)| key.span().start);
        for (key, value) in entries {
            let at = key.span().start;
            if torn.is_empty() || !torn.contains(&line_start(self.text, at)) {
                self.entry(key.get_ref(), at, value, catalogue);
            }
            if self.is_full() {
                let fault = Fault::new(format!("more than {MAX_PROBLEMS} problems; the rest are not listed"));
                self.whole_file(fault);
                return;
            }
        }
        if errors.is_empty() {
            self.header();
        }
    }

    /// Whether so many problems are listed that the rest is not worth reading.
    fn is_full(&self) -> bool {
        self.problems.len() >= MAX_PROBLEMS
    }

    fn header(&mut self) {
        if !self.places.contains_key("ovenfall") {
            let fault = Fault::new("the file does not say which version of the format it is in".to_owned())
                .suggest(format!("begin it with `ovenfall = {OVEN_FORMAT_VERSION}`"));
            self.whole_file(fault);
        }
        if !self.places.contains_key("kind") {
            let fault =
                Fault::new("the file does not say what it describes".to_owned()).suggest("add `kind = \"oven\"`");
            self.whole_file(fault);
        }
    }

    fn entry(&mut self, written: &str, at: usize, value: &Spanned<DeValue<'_>>, catalogue: &Catalogue) {
        let Some((key, unit)) = keys::find(written) else {
            self.error(at, unknown_key(written, KEYS.iter().map(|key| key.usual)));
            return;
        };
        if let Some(first) = self.written.get(key.base) {
            let fault = Fault::new(format!("`{}` is given twice, as `{first}` and as `{written}`", key.base))
                .suggest("keep one of them");
            self.error(at, fault);
            return;
        }
        self.written.insert(key.base, written.to_owned());
        self.places.insert(key.base.to_owned(), at);
        let text = self.text;
        self.take(key, &Entry { key: written, unit, value, text }, catalogue);
    }

    fn take(&mut self, key: &'static Key, entry: &Entry<'_, '_>, catalogue: &Catalogue) {
        let at = entry.value.span().start;
        match &key.holds {
            Holds::Version => self.keep(at, version(entry), |_, ()| ()),
            Holds::FileKind => self.keep(at, file_kind(entry), |_, ()| ()),
            Holds::Text(field) => self.keep(at, entry.words(), |sheet, text| *field(sheet) = Some(text)),
            Holds::Construction(field) => {
                self.keep(at, construction(entry, catalogue), |sheet, text| *field(sheet) = Some(text));
            }
            Holds::TimeZone(field) => self.keep(at, time_zone(entry), |sheet, text| *field(sheet) = Some(text)),
            Holds::Word(choices) => self.keep(at, word(entry, choices), |sheet, set| set(sheet)),
            Holds::Length(field, kept, limits) => {
                self.keep(at, entry.length(kept, *limits), |sheet, x| *field(sheet) = Some(x));
            }
            Holds::Temperature(field, limits) => {
                self.keep(at, entry.temperature(*limits), |sheet, x| *field(sheet) = Some(x));
            }
            Holds::Number(field, limits) => {
                self.keep(at, entry.plain(*limits), |sheet, x| *field(sheet) = Some(x));
            }
            Holds::Layers(field) => {
                if let Some(layers) = self.layers(key.base, entry, catalogue) {
                    *field(&mut self.sheet) = Some(layers);
                }
            }
        }
    }

    fn keep<T>(&mut self, at: usize, answer: Answer<T>, put: impl FnOnce(&mut OvenSheet, T)) {
        match answer {
            Ok(Some(value)) => put(&mut self.sheet, value),
            Ok(None) => {}
            Err(fault) => self.error(at, fault),
        }
    }

    fn layers(&mut self, base: &'static str, entry: &Entry<'_, '_>, catalogue: &Catalogue) -> Option<Vec<SheetLayer>> {
        let at = entry.value.span().start;
        match entry.value.get_ref() {
            DeValue::String(text) if says_unknown(text) => None,
            DeValue::String(text) if base == "door" && normal(text) == "none" => Some(Vec::new()),
            DeValue::Array(array) if array.is_empty() && base != "door" => {
                let fault = Fault::new(format!("`{base}` has no layers")).suggest(format!("{base} = \"don't know\""));
                self.error(at, fault);
                None
            }
            DeValue::Array(array) if array.len() > MAX_LAYERS => {
                let what = format!("`{base}` has {} layers", array.len());
                self.error(at, Fault::new(what).allowed(format!("up to {MAX_LAYERS}")));
                None
            }
            DeValue::Array(array) => Some(self.layer_list(base, array, catalogue)),
            _ => {
                let what = format!("`{base}` is `{}`, not a list of layers", entry.quote());
                let example = format!("{base} = [{{ material = \"firebrick\", thickness_cm = 6 }}]");
                self.error(at, Fault::new(what).suggest(example));
                None
            }
        }
    }

    fn layer_list(&mut self, base: &str, array: &DeArray<'_>, catalogue: &Catalogue) -> Vec<SheetLayer> {
        let mut layers = Vec::new();
        for (index, row) in array.iter().enumerate() {
            if self.is_full() {
                break;
            }
            self.places.insert(format!("{base} {index}"), row.span().start);
            layers.push(self.layer(row, catalogue));
        }
        layers
    }

    fn layer(&mut self, row: &Spanned<DeValue<'_>>, catalogue: &Catalogue) -> SheetLayer {
        let text = self.text;
        match row.get_ref() {
            DeValue::Table(table) => self.layer_table(table, catalogue),
            DeValue::String(_) => {
                let entry = Entry { key: "material", unit: None, value: row, text };
                SheetLayer { material: self.material(&entry, catalogue), thickness_cm: None }
            }
            _ => {
                let entry = Entry { key: "layer", unit: None, value: row, text };
                let fault = Fault::new(format!("`{}` is not a layer", entry.quote()))
                    .suggest("{ material = \"firebrick\", thickness_cm = 6 }");
                self.error(row.span().start, fault);
                SheetLayer::default()
            }
        }
    }

    fn layer_table(&mut self, table: &DeTable<'_>, catalogue: &Catalogue) -> SheetLayer {
        let mut layer = SheetLayer::default();
        let mut entries: Vec<_> = table.iter().collect();
        entries.sort_by_key(|(key, _)| key.span().start);
        let mut thickness_key: Option<&str> = None;
        for (key, value) in entries {
            if self.is_full() {
                break;
            }
            let (written, at): (&str, usize) = (key.get_ref(), key.span().start);
            let unit = written.strip_prefix("thickness_");
            let unit = unit.and_then(|unit| LENGTH_UNITS.iter().find(|known| **known == unit)).copied();
            let entry = Entry { key: written, unit, value, text: self.text };
            if written == "material" {
                layer.material = self.material(&entry, catalogue);
            } else if written != "thickness" && unit.is_none() {
                let known = ["material", "thickness_cm", "thickness_mm", "thickness"];
                self.error(at, unknown_key(written, known));
            } else if let Some(first) = thickness_key {
                let what = format!("the thickness is given twice, as `{first}` and as `{written}`");
                self.error(at, Fault::new(what).suggest("keep one of them"));
            } else {
                thickness_key = Some(written);
                let answer = entry.length("cm", THICKNESS_CM);
                self.keep(value.span().start, answer, |_, x| layer.thickness_cm = Some(x));
            }
        }
        layer
    }

    fn material(&mut self, entry: &Entry<'_, '_>, catalogue: &Catalogue) -> Option<String> {
        let answer = entry.words().and_then(|words| match words {
            Some(name) if catalogue.material(&name).is_none() => Err(unknown_material(&name, catalogue)),
            words => Ok(words),
        });
        let mut found = None;
        self.keep(entry.value.span().start, answer, |_, name| found = Some(name));
        found
    }
}

/// The byte at which the line of a byte begins.
fn line_start(text: &str, at: usize) -> usize {
    text.as_bytes().iter().take(at).rposition(|byte| *byte == b'\n').map_or(0, |newline| newline + 1)
}

fn unknown_key<'k>(written: &str, known: impl IntoIterator<Item = &'k str> + Clone) -> Fault {
    let fault = Fault::new(format!("unknown key `{}`", short(written)));
    match nearest(written, known.clone()) {
        Some(near) => fault.suggest(format!("did you mean `{near}`?")),
        None => fault.allowed(known.into_iter().collect::<Vec<_>>().join(", ")),
    }
}

fn unknown_material(name: &str, catalogue: &Catalogue) -> Fault {
    let fault = Fault::new(format!("unknown material `{}`", short(name)));
    if matches!(normal(name).as_str(), "air" | "air gap" | "cavity" | "air cavity") {
        return fault.suggest("leave the air gap out; what it does depends on its width and heat, not on a material");
    }
    match catalogue.nearest_material(name) {
        Some(near) => fault.suggest(format!("did you mean `{near}`?")),
        None => {
            let names: Vec<_> = catalogue.materials().iter().map(|row| row.material.name.as_str()).collect();
            fault.allowed(names.join(", ")).suggest("\"don't know\", if none of these comes near")
        }
    }
}

fn version(entry: &Entry<'_, '_>) -> Answer<()> {
    if entry.value.get_ref().as_integer().is_some_and(|version| version.as_str() == OVEN_FORMAT_VERSION.to_string()) {
        return Ok(Some(()));
    }
    let fault = Fault::new(format!("version `{}` of the format is not known", entry.quote()));
    Err(fault.allowed(OVEN_FORMAT_VERSION.to_string()).suggest("use a newer `ovenfall`, or correct the number"))
}

fn file_kind(entry: &Entry<'_, '_>) -> Answer<()> {
    match entry.value.get_ref().as_str() {
        Some("oven") => Ok(Some(())),
        _ => Err(Fault::new(format!("this is a file of kind `{}`, not an oven", entry.quote())).allowed("\"oven\"")),
    }
}

fn construction(entry: &Entry<'_, '_>, catalogue: &Catalogue) -> Answer<String> {
    let Some(name) = entry.words()? else { return Ok(None) };
    if catalogue.construction(&name).is_some() {
        return Ok(Some(name));
    }
    let fault = Fault::new(format!("unknown construction `{}`", short(&name)));
    let names: Vec<_> = catalogue.constructions().iter().map(|row| row.name.as_str()).collect();
    Err(match catalogue.nearest_construction_name(&name) {
        Some(near) => fault.suggest(format!("did you mean `{near}`?")),
        None => fault.allowed(names.join(", ")).suggest("\"don't know\": the nearest is taken from the layers"),
    })
}

fn time_zone(entry: &Entry<'_, '_>) -> Answer<String> {
    let Some(name) = entry.words()? else { return Ok(None) };
    // The bundled database, so that no file of the machine is read and every machine answers alike.
    let zones = TimeZoneDatabase::bundled();
    if zones.get(&name).is_ok() {
        return Ok(Some(name));
    }
    let known: Vec<String> = zones.available().map(|zone| zone.to_string()).collect();
    let fault = Fault::new(format!("unknown time zone `{}`", short(&name)));
    Err(match nearest(&name, known.iter().map(String::as_str)) {
        Some(near) => fault.suggest(format!("did you mean `{near}`?")),
        None => fault.suggest("an IANA name such as `Europe/London`, or `UTC`"),
    })
}

fn word<T: Copy>(entry: &Entry<'_, '_>, choices: &[(&'static str, T)]) -> Answer<T> {
    if entry.is_unknown() {
        return Ok(None);
    }
    let said = match entry.value.get_ref() {
        DeValue::Boolean(yes) => yes.to_string(),
        DeValue::String(text) => normal(text),
        _ => String::new(),
    };
    if let Some((_, value)) = choices.iter().find(|(word, _)| *word == said) {
        return Ok(Some(*value));
    }
    let names: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
    let fault = Fault::new(format!("`{}` is `{}`", entry.key, entry.quote())).allowed(names.join(", "));
    Err(match nearest(&said, names) {
        Some(near) => fault.suggest(format!("did you mean `{near}`?")),
        None => fault,
    })
}
