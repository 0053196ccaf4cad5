//! An oven that is being described: drawn, appraised, and what is wrong with it by field.

use ovenfall_answer::oven_glance::{Glance, appraise, at_a_glance};
use ovenfall_answer::oven_words::{assumed, cautions};
use ovenfall_draw::section;
use ovenfall_draw::theme::{Look, Mode};
use ovenfall_record::oven_file::OvenFile;
use ovenfall_record::oven_file::fields::{LayerFields, OvenFieldProblem, OvenFields};
use ovenfall_record::oven_file::usual;
use serde::Serialize;
use std::collections::BTreeMap;

/// Width of the section, px.
const SECTION_PX: f64 = 366.0;

/// What reading a form gave.
pub type Read = Result<OvenFile, Vec<OvenFieldProblem>>;

/// An oven as far as it is described.
#[derive(Debug, Default, Serialize)]
pub struct Preview {
    /// Dome or vault, as said or as taken.
    pub form: &'static str,
    /// Its section as SVG; empty while something is wrong.
    pub svg: String,
    /// What it holds and loses.
    pub figures: Vec<Glance>,
    /// The same in one line.
    pub line: String,
    /// What is taken for each field that is empty.
    pub usual: BTreeMap<&'static str, String>,
    /// Layers as they are taken, from the hot face on, for each part.
    pub layers: BTreeMap<&'static str, Vec<UsualLayer>>,
    /// What was assumed.
    pub assumed: Vec<String>,
    /// What to take care of.
    pub cautions: Vec<String>,
    /// What looks wrong, by field.
    pub doubts: Vec<FieldSaid>,
    /// What is wrong, by field.
    pub problems: Vec<FieldSaid>,
}

/// A layer as taken.
#[derive(Debug, Serialize)]
pub struct UsualLayer {
    material: String,
    thickness: String,
}

/// Something said of a field.
#[derive(Debug, Serialize)]
pub struct FieldSaid {
    /// The key; `dome 0 thickness` for a layer.
    field: String,
    /// In words, to stand at the field.
    words: String,
    /// What is wrong, as of a file.
    what: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    limits: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    suggestion: Option<String>,
}

impl From<&OvenFieldProblem> for FieldSaid {
    fn from(found: &OvenFieldProblem) -> Self {
        Self {
            field: found.field.clone(),
            words: found.words(),
            what: found.problem.what.clone(),
            limits: found.problem.limits.clone(),
            suggestion: found.problem.suggestion.clone(),
        }
    }
}

impl From<LayerFields> for UsualLayer {
    fn from(row: LayerFields) -> Self {
        Self { material: row.material, thickness: row.thickness }
    }
}

impl Preview {
    /// What is told of an oven that was read from fields.
    #[must_use]
    pub fn of(fields: &OvenFields, read: &Read) -> Self {
        match read {
            Ok(file) => Self::well(fields, file),
            Err(problems) => Self { problems: problems.iter().map(FieldSaid::from).collect(), ..Self::default() },
        }
    }

    fn well(fields: &OvenFields, file: &OvenFile) -> Self {
        let is = &file.description;
        let (figures, line) = match appraise(file) {
            Ok(appraised) => {
                let glance = at_a_glance(file, &appraised);
                (glance.figures, glance.line)
            }
            Err(why) => {
                let value = why.to_string().trim_start_matches("error: ").to_owned();
                (vec![Glance { what: "No figures".to_owned(), value }], String::new())
            }
        };
        let rows = |rows: Vec<LayerFields>| rows.into_iter().map(UsualLayer::from).collect();
        Self {
            form: usual::form(file),
            svg: section::svg(is, &Look::new(SECTION_PX, Mode::Page, "section").without_heading()),
            figures,
            line,
            usual: usual::usual(file).into_iter().collect(),
            layers: usual::layers(file).into_iter().map(|(part, layers)| (part, rows(layers))).collect(),
            assumed: assumed(file),
            cautions: cautions(is),
            doubts: fields.doubts(file).iter().map(FieldSaid::from).collect(),
            problems: Vec::new(),
        }
    }
}
