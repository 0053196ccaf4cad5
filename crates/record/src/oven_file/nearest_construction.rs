//! Which ready-made construction an oven is most like, when its owner does not say.
//!
//! The likeness is a sum of simple differences, weighted by judgement: the shape counts most, then the
//! hot face, then the insulation.

use ovenfall_engine::material::MaterialRole;

use super::check::shape_of;
use super::sheet::{OvenSheet, Shape};
use crate::catalogue::{Catalogue, Construction};

/// How the construction was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Likeness {
    /// The owner named it.
    Named,
    /// It is the nearest to what is given.
    Nearest,
    /// Nothing that is given tells constructions apart.
    Fallback,
}

/// The construction to take unknown values from.
pub(super) fn construction_of<'c>(sheet: &OvenSheet, catalogue: &'c Catalogue) -> Option<(&'c Construction, Likeness)> {
    if let Some(named) = sheet.construction.as_deref().and_then(|name| catalogue.construction(name)) {
        return Some((named, Likeness::Named));
    }
    let traits = Traits::of_sheet(sheet, catalogue);
    if traits == Traits::default() {
        return catalogue.default_construction().map(|usual| (usual, Likeness::Fallback));
    }
    let unlike = |usual: &Construction| traits.unlike(&Traits::of_construction(usual, traits.shape, catalogue));
    let nearest = catalogue.constructions().iter().min_by(|a, b| unlike(a).total_cmp(&unlike(b)));
    nearest.map(|usual| (usual, Likeness::Nearest))
}

/// What tells constructions apart.
#[derive(Debug, Default, PartialEq)]
struct Traits {
    shape: Option<Shape>,
    across_cm: Option<f64>,
    dome: Option<StackTraits>,
}

#[derive(Debug, Default, PartialEq)]
struct StackTraits {
    hot_face: Option<String>,
    insulation: Option<String>,
    dense_cm: Option<f64>,
}

impl Traits {
    fn of_sheet(sheet: &OvenSheet, catalogue: &Catalogue) -> Self {
        let layers = sheet.dome.as_ref().map(|layers| {
            layers.iter().map(|layer| (layer.material.as_deref(), layer.thickness_cm)).collect::<Vec<_>>()
        });
        Self {
            shape: shape_of(sheet),
            across_cm: sheet.diameter_cm.or(sheet.width_cm),
            dome: layers
                .map(|layers| StackTraits::of(&layers, catalogue))
                .filter(|stack| *stack != StackTraits::default()),
        }
    }

    fn of_construction(usual: &Construction, shape: Option<Shape>, catalogue: &Catalogue) -> Self {
        let layers: Vec<_> =
            usual.dome.iter().map(|layer| (Some(layer.material.as_str()), Some(layer.thickness_cm))).collect();
        let across_cm = if shape == Some(Shape::Vault) { usual.width_cm } else { usual.diameter_cm };
        let dome = Some(StackTraits::of(&layers, catalogue));
        Self { shape: Some(usual.form), across_cm: Some(across_cm), dome }
    }

    fn unlike(&self, usual: &Self) -> f64 {
        let shape = if self.shape.is_some() && self.shape != usual.shape { 2.5 } else { 0.0 };
        let dome = match (&self.dome, &usual.dome) {
            (Some(own), Some(usual)) => own.unlike(usual),
            _ => 0.0,
        };
        shape + log_ratio(self.across_cm, usual.across_cm) + dome
    }
}

impl StackTraits {
    fn of(layers: &[(Option<&str>, Option<f64>)], catalogue: &Catalogue) -> Self {
        let mut stack = Self::default();
        // Unknown as soon as one dense layer's thickness is.
        let mut dense_cm = Some(0.0);
        for (index, (name, thickness_cm)) in layers.iter().enumerate() {
            let Some(row) = name.and_then(|name| catalogue.material(name)) else { continue };
            if index == 0 {
                stack.hot_face = Some(row.material.name.clone());
            }
            match row.material.role {
                MaterialRole::Dense => dense_cm = dense_cm.zip(*thickness_cm).map(|(sum, cm)| sum + cm),
                MaterialRole::Insulation => {
                    stack.insulation.get_or_insert_with(|| row.material.name.clone());
                }
                MaterialRole::Skin => {}
            }
        }
        stack.dense_cm = dense_cm.filter(|cm| *cm > 0.0);
        stack
    }

    fn unlike(&self, usual: &Self) -> f64 {
        let hot_face = if self.hot_face.is_some() && self.hot_face != usual.hot_face { 2.0 } else { 0.0 };
        let insulation = match (&self.insulation, &usual.insulation) {
            (Some(own), Some(usual)) if own == usual => 0.0,
            (None, None) => 0.0,
            (Some(_), Some(_)) => 0.5,
            _ => 1.5,
        };
        hot_face + insulation + log_ratio(self.dense_cm, usual.dense_cm)
    }
}

/// How far two sizes are apart, as a factor; nothing when one is unknown.
fn log_ratio(a: Option<f64>, b: Option<f64>) -> f64 {
    match (a, b) {
        (Some(a), Some(b)) if a > 0.0 && b > 0.0 => (a / b).ln().abs(),
        _ => 0.0,
    }
}
