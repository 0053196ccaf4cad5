//! The materials and ready-made constructions an oven file may name, read from the data files of this project.
//!
//! A row without a source, a range or a licence does not load, nor one whose values cannot be right.

mod load;

use std::sync::LazyLock;

use ovenfall_engine::description::{DoorFit, FirePlace, Under};
use ovenfall_engine::material::Material;
use serde::Deserialize;

use self::load::{Document, read_materials};
use crate::oven_file::sheet::Shape;
use crate::problem::Problem;
use crate::suggest::nearest;
use crate::wording::normal;

const MATERIALS: (&str, &str) = ("materials.toml", include_str!("../../../../data/materials.toml"));
const CONSTRUCTIONS: (&str, &str) = ("constructions.toml", include_str!("../../../../data/constructions.toml"));

/// A material with the names it goes by.
#[derive(Debug, Clone, PartialEq)]
pub struct CatalogueMaterial {
    /// What the engine needs.
    pub material: Material,
    /// Everyday names.
    pub aliases: Vec<String>,
    /// Thickness taken when neither the owner nor the construction says one, cm.
    pub usual_thickness_cm: f64,
    /// Licence of the numbers, or "fact".
    pub licence: String,
}

/// A layer of a construction.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UsualLayer {
    /// Name of the material.
    pub material: String,
    /// Usual thickness, cm.
    pub thickness_cm: f64,
}

/// A ready-made construction: what an oven of its kind usually is.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Construction {
    /// Name used in files.
    pub name: String,
    /// Everyday names.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// Taken when nothing tells the construction.
    #[serde(default)]
    pub default: bool,
    /// Usual shape.
    #[serde(deserialize_with = "shape")]
    pub form: Shape,
    /// Inner diameter, cm.
    pub diameter_cm: f64,
    /// Inner width, cm.
    pub width_cm: f64,
    /// Inner length, cm.
    pub length_cm: f64,
    /// Height of the crown, cm.
    pub rise_cm: f64,
    /// Width of the mouth, cm.
    pub mouth_width_cm: f64,
    /// Height of the mouth, cm.
    pub mouth_height_cm: f64,
    /// Layers of the door, hot face first.
    pub door: Vec<UsualLayer>,
    /// How the door closes.
    #[serde(deserialize_with = "door_fit")]
    pub door_fit: DoorFit,
    /// Layers of dome or vault, hot face first.
    pub dome: Vec<UsualLayer>,
    /// Layers of the floor, hot face first.
    pub floor: Vec<UsualLayer>,
    /// What is under the floor.
    #[serde(deserialize_with = "under")]
    pub under: Under,
    /// Where the fire lies.
    #[serde(deserialize_with = "fire")]
    pub fire: FirePlace,
    /// One-sigma relative spread of a size taken from here.
    pub size_rel_sigma: f64,
    /// One-sigma relative spread of a thickness taken from here.
    pub thickness_rel_sigma: f64,
    /// Where it comes from.
    pub source: String,
    /// Licence, or "fact".
    pub licence: String,
}

/// How wide the gap of a shut door is.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FitGap {
    /// The word for the fit.
    #[serde(deserialize_with = "door_fit")]
    pub name: DoorFit,
    /// Mean width all round the mouth, mm.
    pub gap_mm: f64,
    /// Where it comes from.
    pub source: String,
    /// Licence, or "fact".
    pub licence: String,
}

/// Everything an oven file may name.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    materials: Vec<CatalogueMaterial>,
    constructions: Vec<Construction>,
    gaps: Vec<FitGap>,
    default_construction: usize,
}

static BUILT_IN: LazyLock<Result<Catalogue, Vec<Problem>>> =
    LazyLock::new(|| Catalogue::read(MATERIALS, CONSTRUCTIONS));

impl Catalogue {
    /// The catalogue this program carries.
    ///
    /// # Errors
    /// Every problem of the data files; a test keeps them free of any.
    pub fn built_in() -> Result<&'static Self, Vec<Problem>> {
        BUILT_IN.as_ref().map_err(Clone::clone)
    }

    /// Reads a catalogue from (file name, text) of materials and of constructions.
    ///
    /// # Errors
    /// Every problem of both files.
    pub fn read(materials: (&str, &str), constructions: (&str, &str)) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let materials = read_materials(materials, &mut problems);
        let doc = Document::parse(constructions, &mut problems);
        let fits: Vec<(usize, FitGap)> = doc.rows("door_fit", &mut problems);
        for (at, fit) in &fits {
            doc.positive(*at, "gap_mm", fit.gap_mm, 100.0, &mut problems);
            doc.origin(*at, &fit.source, &fit.licence, &mut problems);
        }
        let rows: Vec<(usize, Construction)> = doc.rows("construction", &mut problems);
        for (at, construction) in &rows {
            doc.construction(*at, construction, &materials, &mut problems);
        }
        for fit in [DoorFit::Tight, DoorFit::Ordinary, DoorFit::Loose] {
            if !fits.iter().any(|(_, row)| row.name == fit) {
                problems.push(doc.problem(0, format!("no `door_fit` row for {fit:?}")));
            }
        }
        let names = rows.iter().map(|(at, row)| (*at, row.name.as_str(), row.aliases.as_slice()));
        doc.distinct_names(names, &mut problems);
        let default = rows.iter().position(|(_, row)| row.default);
        if default.is_none() {
            problems.push(doc.problem(0, "no construction is the default".to_owned()));
        }
        match (problems.is_empty(), default) {
            (true, Some(default_construction)) => Ok(Self {
                materials,
                constructions: rows.into_iter().map(|(_, row)| row).collect(),
                gaps: fits.into_iter().map(|(_, row)| row).collect(),
                default_construction,
            }),
            _ => Err(problems),
        }
    }

    /// All materials, in the order of the file.
    #[must_use]
    pub fn materials(&self) -> &[CatalogueMaterial] {
        &self.materials
    }

    /// All constructions, in the order of the file.
    #[must_use]
    pub fn constructions(&self) -> &[Construction] {
        &self.constructions
    }

    /// The construction taken when nothing tells it.
    #[must_use]
    pub fn default_construction(&self) -> Option<&Construction> {
        self.constructions.get(self.default_construction)
    }

    /// The material that goes by this name or alias.
    #[must_use]
    pub fn material(&self, name: &str) -> Option<&CatalogueMaterial> {
        let name = normal(name);
        self.materials.iter().find(|row| goes_by(&name, &row.material.name, &row.aliases))
    }

    /// The construction that goes by this name or alias.
    #[must_use]
    pub fn construction(&self, name: &str) -> Option<&Construction> {
        let name = normal(name);
        self.constructions.iter().find(|row| goes_by(&name, &row.name, &row.aliases))
    }

    /// The name or alias of a material nearest to a misspelt one.
    #[must_use]
    pub fn nearest_material(&self, name: &str) -> Option<&str> {
        let names = self
            .materials
            .iter()
            .flat_map(|row| std::iter::once(row.material.name.as_str()).chain(row.aliases.iter().map(String::as_str)));
        nearest(name, names)
    }

    /// The name or alias of a construction nearest to a misspelt one.
    #[must_use]
    pub fn nearest_construction_name(&self, name: &str) -> Option<&str> {
        let names = self
            .constructions
            .iter()
            .flat_map(|row| std::iter::once(row.name.as_str()).chain(row.aliases.iter().map(String::as_str)));
        nearest(name, names)
    }

    /// Mean width of the gap of a shut door, m.
    #[must_use]
    pub fn gap_m(&self, fit: DoorFit) -> Option<f64> {
        self.gaps.iter().find(|row| row.name == fit).map(|row| row.gap_mm / 1000.0)
    }
}

fn goes_by(normal_name: &str, name: &str, aliases: &[String]) -> bool {
    normal(name) == normal_name || aliases.iter().any(|alias| normal(alias) == normal_name)
}

macro_rules! word_of {
    ($fn:ident, $type:ty, $($word:literal => $value:expr),+) => {
        fn $fn<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<$type, D::Error> {
            let word = String::deserialize(deserializer)?;
            match word.as_str() {
                $($word => Ok($value),)+
                _ => Err(serde::de::Error::unknown_variant(&word, &[$($word),+])),
            }
        }
    };
}
word_of!(shape, Shape, "dome" => Shape::Dome, "vault" => Shape::Vault);
word_of!(door_fit, DoorFit, "tight" => DoorFit::Tight, "ordinary" => DoorFit::Ordinary, "loose" => DoorFit::Loose);
word_of!(under, Under, "air" => Under::Air, "ground" => Under::Ground);
word_of!(fire, FirePlace, "left" => FirePlace::Left, "right" => FirePlace::Right, "back" => FirePlace::Back, "centre" => FirePlace::Centre);
