//! Rows of the data files: what they must hold, and every problem of the ones that do not.

use ovenfall_engine::material::{Material, MaterialRole};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use toml::Spanned;
use toml::de::{DeTable, DeValue, ValueDeserializer};

use super::{CatalogueMaterial, Construction};
use crate::problem::{Problem, Severity};
use crate::toml_place::line_and_column;
use crate::wording::normal;

/// A row of `materials.toml`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MaterialRow {
    name: String,
    #[serde(default)]
    aliases: Vec<String>,
    role: RoleWord,
    density_kg_m3: f64,
    conductivity_w_mk: [f64; 3],
    heat_capacity_j_kgk: [f64; 2],
    emissivity: f64,
    valid_c: (f64, f64),
    conductivity_rel_sigma: f64,
    capacity_rel_sigma: f64,
    usual_thickness_cm: f64,
    source: String,
    licence: String,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum RoleWord {
    Dense,
    Insulation,
    Skin,
}

impl From<MaterialRow> for CatalogueMaterial {
    fn from(row: MaterialRow) -> Self {
        let role = match row.role {
            RoleWord::Dense => MaterialRole::Dense,
            RoleWord::Insulation => MaterialRole::Insulation,
            RoleWord::Skin => MaterialRole::Skin,
        };
        let material = Material {
            name: row.name,
            density_kg_m3: row.density_kg_m3,
            conductivity_w_mk: row.conductivity_w_mk,
            heat_capacity_j_kgk: row.heat_capacity_j_kgk,
            emissivity: row.emissivity,
            valid_c: row.valid_c,
            conductivity_rel_sigma: row.conductivity_rel_sigma,
            capacity_rel_sigma: row.capacity_rel_sigma,
            role,
            source: row.source,
        };
        Self { material, aliases: row.aliases, usual_thickness_cm: row.usual_thickness_cm, licence: row.licence }
    }
}

pub(super) fn read_materials(file: (&str, &str), problems: &mut Vec<Problem>) -> Vec<CatalogueMaterial> {
    let doc = Document::parse(file, problems);
    let rows: Vec<(usize, MaterialRow)> = doc.rows("material", problems);
    let rows: Vec<(usize, CatalogueMaterial)> = rows.into_iter().map(|(at, row)| (at, row.into())).collect();
    for (at, row) in &rows {
        doc.material(*at, row, problems);
    }
    doc.distinct_names(
        rows.iter().map(|(at, row)| (*at, row.material.name.as_str(), row.aliases.as_slice())),
        problems,
    );
    rows.into_iter().map(|(_, row)| row).collect()
}

/// A data file being read.
pub(super) struct Document<'a> {
    file: &'a str,
    text: &'a str,
    table: DeTable<'a>,
}

impl<'a> Document<'a> {
    pub fn parse((file, text): (&'a str, &'a str), problems: &mut Vec<Problem>) -> Self {
        let (table, errors) = DeTable::parse_recoverable(text);
        let doc = Self { file, text, table: table.into_inner() };
        for error in errors {
            let at = error.span().map_or(0, |span| span.start);
            problems.push(doc.problem(at, error.message().to_owned()));
        }
        doc
    }

    /// Every row of an array of tables that can be read, with the place it begins at.
    pub fn rows<T: DeserializeOwned>(&self, key: &str, problems: &mut Vec<Problem>) -> Vec<(usize, T)> {
        let Some(DeValue::Array(array)) = self.table.get(key).map(Spanned::get_ref) else {
            problems.push(self.problem(0, format!("no `{key}` rows")));
            return Vec::new();
        };
        let mut rows = Vec::new();
        for row in array.iter() {
            let at = row.span().start;
            match T::deserialize(ValueDeserializer::from(row.clone())) {
                Ok(value) => rows.push((at, value)),
                Err(error) => problems.push(self.problem(at, format!("{key}: {}", error.message()))),
            }
        }
        rows
    }

    pub fn problem(&self, at: usize, what: String) -> Problem {
        let (line, column) = line_and_column(self.text, at);
        let file = self.file.to_owned();
        Problem { severity: Severity::Error, file, line, column, what, limits: None, suggestion: None }
    }

    pub fn positive(&self, at: usize, what: &str, value: f64, max: f64, problems: &mut Vec<Problem>) {
        if !(value > 0.0 && value <= max) {
            problems.push(Problem {
                limits: Some(format!("above 0, up to {max}")),
                ..self.problem(at, format!("{what} is `{value}`"))
            });
        }
    }

    pub fn origin(&self, at: usize, source: &str, licence: &str, problems: &mut Vec<Problem>) {
        for (what, text) in [("source", source), ("licence", licence)] {
            if text.trim().is_empty() {
                problems.push(self.problem(at, format!("the {what} is blank")));
            }
        }
    }

    fn material(&self, at: usize, row: &CatalogueMaterial, problems: &mut Vec<Problem>) {
        let m = &row.material;
        self.origin(at, &m.source, &row.licence, problems);
        let (low, high) = m.valid_c;
        if !(low >= -50.0 && low < high && high <= 2000.0) {
            problems.push(self.problem(at, format!("{}: the range `{low}` to `{high}` °C is none", m.name)));
            return;
        }
        for t_c in [low, 0.5 * (low + high), high] {
            let name = |of: &str| format!("{}: {of} at {t_c} °C", m.name);
            self.positive(at, &name("conductivity"), m.conductivity_at_w_mk(t_c), 500.0, problems);
            self.positive(at, &name("heat capacity"), m.heat_capacity_at_j_kgk(t_c), 5000.0, problems);
        }
        for (what, value, max) in [
            ("density", m.density_kg_m3, 20_000.0),
            ("emissivity", m.emissivity, 1.0),
            ("conductivity_rel_sigma", m.conductivity_rel_sigma, 1.0),
            ("capacity_rel_sigma", m.capacity_rel_sigma, 1.0),
            ("usual_thickness_cm", row.usual_thickness_cm, 100.0),
        ] {
            self.positive(at, &format!("{}: {what}", m.name), value, max, problems);
        }
    }

    pub fn construction(
        &self,
        at: usize,
        row: &Construction,
        materials: &[CatalogueMaterial],
        problems: &mut Vec<Problem>,
    ) {
        self.origin(at, &row.source, &row.licence, problems);
        for (what, value, max) in [
            ("diameter_cm", row.diameter_cm, 1000.0),
            ("width_cm", row.width_cm, 1000.0),
            ("length_cm", row.length_cm, 1000.0),
            ("rise_cm", row.rise_cm, row.diameter_cm),
            ("mouth_width_cm", row.mouth_width_cm, row.width_cm),
            ("mouth_height_cm", row.mouth_height_cm, row.rise_cm),
            ("size_rel_sigma", row.size_rel_sigma, 1.0),
            ("thickness_rel_sigma", row.thickness_rel_sigma, 1.0),
        ] {
            self.positive(at, &format!("{}: {what}", row.name), value, max, problems);
        }
        if row.dome.is_empty() || row.floor.is_empty() {
            problems.push(self.problem(at, format!("{}: dome or floor without layers", row.name)));
        }
        for layer in row.dome.iter().chain(&row.floor).chain(&row.door) {
            self.positive(at, &format!("{}: {}", row.name, layer.material), layer.thickness_cm, 200.0, problems);
            if !materials.iter().any(|known| known.material.name == layer.material) {
                problems.push(self.problem(at, format!("{}: unknown material `{}`", row.name, layer.material)));
            }
        }
    }

    pub fn distinct_names<'n>(
        &self,
        rows: impl Iterator<Item = (usize, &'n str, &'n [String])>,
        problems: &mut Vec<Problem>,
    ) {
        let mut seen = std::collections::BTreeSet::new();
        for (at, name, aliases) in rows {
            for name in std::iter::once(name).chain(aliases.iter().map(String::as_str)) {
                if name.trim().is_empty() || !seen.insert(normal(name)) {
                    problems.push(self.problem(at, format!("the name `{name}` is blank or taken")));
                }
            }
        }
    }
}
