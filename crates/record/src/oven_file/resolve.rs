//! From a checked sheet to the oven it describes: every unknown takes the usual value of the construction.
//!
//! Spreads, all judgement: a stated size 4 % (a tape measure inside a rough chamber), a stated thickness 4 % and a
//! millimetre together, at most 15 %; usual values as the construction says, wider when the construction itself was
//! guessed. The gap of a shut door is known within a factor of 1.6 when its fit is stated.

use std::fmt::Write;

use jiff::tz::{TimeZone, TimeZoneDatabase};
use ovenfall_engine::description::{Form, Layer, Mouth, OvenDescription, Probe, Quantity};
use ovenfall_engine::material::Material;

use super::check::shape_of;
use super::nearest_construction::{Likeness, construction_of};
use super::read::Read;
use super::sheet::{OvenSheet, Shape, SheetLayer, fire_word, fit_word, under_word};
use super::values::Fault;
use crate::catalogue::{Catalogue, Construction, UsualLayer};
use crate::problem::Severity::Error;

const TAPE_REL_SIGMA: f64 = 0.04;
const THICKNESS_SIGMA_CM: f64 = 0.1;
const MAX_STATED_REL_SIGMA: f64 = 0.15;
const MAX_USUAL_REL_SIGMA: f64 = 0.5;
/// Added to a material's spread of conductivity when the owner did not name it.
const UNNAMED_MATERIAL_REL_SIGMA: f64 = 0.20;
/// ln 1.6: a stated fit gives the gap within this factor.
const STATED_FIT_REL_SIGMA: f64 = 0.47;
/// ln 2: an unknown fit.
const USUAL_FIT_REL_SIGMA: f64 = 0.69;

// Taken when the owner does not know. Judgement, for a sheltered oven somewhere temperate.
const USUAL_ALTITUDE_M: f64 = 100.0;
const USUAL_OUTDOOR_C: f64 = 12.0;
const USUAL_OUTDOOR_SIGMA_K: f64 = 8.0;
const STATED_OUTDOOR_SIGMA_K: f64 = 4.0;
const USUAL_WIND_M_S: f64 = 1.0;
/// A common sheathed thermocouple of oxidised stainless steel. From memory.
const USUAL_PROBE_MM: f64 = 3.0;
const USUAL_PROBE_EMISSIVITY: f64 = 0.80;
/// What most infra-red thermometers are set to when bought. From memory.
const USUAL_INFRARED: f64 = 0.95;

/// What a sheet means.
pub(super) struct Resolved {
    pub description: OvenDescription,
    pub construction: String,
    pub time_zone: TimeZone,
    pub infrared_setting: f64,
    pub assumed: Vec<String>,
}

/// Completes the sheet; `None` only together with a problem.
pub(super) fn resolve(read: &mut Read<'_>, catalogue: &Catalogue) -> Option<Resolved> {
    let sheet = read.sheet.clone();
    let Some((construction, likeness)) = construction_of(&sheet, catalogue) else {
        read.add_at_key(Error, "construction", Fault::new("there is no construction to take values from".to_owned()));
        return None;
    };
    let mut filler = Filler { catalogue, construction, likeness, assumed: Vec::new() };
    match likeness {
        Likeness::Named => {}
        Likeness::Nearest => filler.note(format!("construction: {}, the nearest to what is given", construction.name)),
        Likeness::Fallback => filler.note(format!("construction: {}, as nothing tells another", construction.name)),
    }
    let Some(description) = filler.description(&sheet) else {
        read.add_at_key(Error, "construction", Fault::new("the catalogue lacks a material or a door fit".to_owned()));
        return None;
    };
    let time_zone = filler.time_zone(&sheet);
    let infrared_setting = filler.plain("infra-red thermometer set to", sheet.infrared_emissivity, USUAL_INFRARED, "");
    let construction = construction.name.clone();
    Some(Resolved { description, construction, time_zone, infrared_setting, assumed: filler.assumed })
}

/// Inner sizes, cm.
struct Sizes {
    across: f64,
    length: f64,
    rise: f64,
    mouth_width: f64,
    mouth_height: f64,
}

struct Filler<'a> {
    catalogue: &'a Catalogue,
    construction: &'a Construction,
    likeness: Likeness,
    assumed: Vec<String>,
}

impl Filler<'_> {
    fn note(&mut self, words: String) {
        self.assumed.push(words);
    }

    fn description(&mut self, sheet: &OvenSheet) -> Option<OvenDescription> {
        let usual = self.construction;
        let shape = shape_of(sheet).unwrap_or(usual.form);
        let sizes = usual_sizes(sheet, usual, shape);
        let name = sheet.name.clone().unwrap_or_else(|| "oven".to_owned());
        let form = self.form(sheet, shape, &sizes);
        let dome =
            self.stack(if shape == Shape::Dome { "dome" } else { "vault" }, sheet.dome.as_deref(), &usual.dome)?;
        let floor = self.stack("floor", sheet.floor.as_deref(), &usual.floor)?;
        let under = self.word("under the floor", sheet.under, usual.under, under_word);
        let mouth = self.mouth(sheet, &sizes)?;
        let fire_place = self.word("fire", sheet.fire, usual.fire, fire_word);
        let new_or_damp = sheet.new_or_damp.unwrap_or_else(|| {
            self.note("neither new nor damp".to_owned());
            false
        });
        let altitude_m = self.plain("altitude", sheet.altitude_m, USUAL_ALTITUDE_M, " m");
        let ambient_c = self.plain("outdoor temperature", sheet.outdoor_c, USUAL_OUTDOOR_C, " °C");
        let ambient_sigma_k = if sheet.outdoor_c.is_some() { STATED_OUTDOOR_SIGMA_K } else { USUAL_OUTDOOR_SIGMA_K };
        let wind_m_s = self.plain("wind", sheet.wind_m_s, USUAL_WIND_M_S, " m/s");
        let probe_mm =
            self.plain("sheath of the chamber probe", sheet.probe_cm.map(|cm| 10.0 * cm), USUAL_PROBE_MM, " mm");
        let emissivity = self.plain("emissivity of that sheath", sheet.probe_emissivity, USUAL_PROBE_EMISSIVITY, "");
        let probe = Probe { diameter_m: probe_mm / 1000.0, emissivity };
        Some(OvenDescription {
            name,
            form,
            dome,
            floor,
            under,
            mouth,
            fire_place,
            altitude_m,
            ambient_c,
            ambient_sigma_k,
            wind_m_s,
            new_or_damp,
            probe,
        })
    }

    fn form(&mut self, sheet: &OvenSheet, shape: Shape, sizes: &Sizes) -> Form {
        match shape {
            Shape::Dome => Form::Dome {
                inner_diameter_m: self.size("inner diameter", sheet.diameter_cm, sizes.across),
                rise_m: self.size("height of the crown", sheet.rise_cm, sizes.rise),
            },
            Shape::Vault => Form::Vault {
                width_m: self.size("inner width", sheet.width_cm, sizes.across),
                length_m: self.size("inner length", sheet.length_cm, sizes.length),
                rise_m: self.size("height of the crown", sheet.rise_cm, sizes.rise),
            },
        }
    }

    fn mouth(&mut self, sheet: &OvenSheet, sizes: &Sizes) -> Option<Mouth> {
        let width_m = self.size("width of the mouth", sheet.mouth_width_cm, sizes.mouth_width);
        let height_m = self.size("height of the mouth", sheet.mouth_height_cm, sizes.mouth_height);
        let door = self.stack("door", sheet.door.as_deref(), &self.construction.door)?;
        let fit = sheet.door_fit.unwrap_or(self.construction.door_fit);
        let area_m2 = 2.0 * (width_m.value + height_m.value) * self.catalogue.gap_m(fit)?;
        let gap_m2 = if sheet.door_fit.is_some() {
            Quantity::stated(area_m2, STATED_FIT_REL_SIGMA)
        } else {
            if !door.is_empty() {
                self.note(format!("the door's fit: {}", fit_word(fit)));
            }
            Quantity::usual(area_m2, USUAL_FIT_REL_SIGMA)
        };
        Some(Mouth { width_m, height_m, door, fit, gap_m2 })
    }

    fn size(&mut self, what: &str, stated_cm: Option<f64>, usual_cm: f64) -> Quantity {
        match stated_cm {
            Some(cm) => Quantity::stated(cm / 100.0, TAPE_REL_SIGMA),
            None => {
                self.note(format!("{what} {usual_cm:.0} cm"));
                Quantity::usual(usual_cm / 100.0, self.usual_rel_sigma(self.construction.size_rel_sigma))
            }
        }
    }

    fn usual_rel_sigma(&self, rel_sigma: f64) -> f64 {
        let wider = match self.likeness {
            Likeness::Named => 1.0,
            Likeness::Nearest => 1.25,
            Likeness::Fallback => 1.5,
        };
        (rel_sigma * wider).min(MAX_USUAL_REL_SIGMA)
    }

    fn plain(&mut self, what: &str, stated: Option<f64>, usual: f64, unit: &str) -> f64 {
        stated.unwrap_or_else(|| {
            self.note(format!("{what} {usual}{unit}"));
            usual
        })
    }

    fn word<T: Copy>(&mut self, what: &str, stated: Option<T>, usual: T, say: fn(T) -> &'static str) -> T {
        stated.unwrap_or_else(|| {
            self.note(format!("{what}: {}", say(usual)));
            usual
        })
    }

    fn stack(&mut self, part: &str, stated: Option<&[SheetLayer]>, usual: &[UsualLayer]) -> Option<Vec<Layer>> {
        if let Some(stated) = stated {
            let layers = stated.iter().enumerate();
            return layers.map(|(index, layer)| self.stated_layer(part, index, layer, usual)).collect();
        }
        let mut words = format!("{part}:");
        for (index, layer) in usual.iter().enumerate() {
            let comma = if index == 0 { "" } else { "," };
            // Writing to a String cannot fail.
            let _ = write!(words, "{comma} {} cm {}", layer.thickness_cm, layer.material);
        }
        self.note(words);
        usual.iter().map(|layer| self.usual_layer(layer)).collect()
    }

    fn usual_layer(&self, layer: &UsualLayer) -> Option<Layer> {
        let material = self.unnamed(&layer.material)?;
        let rel_sigma = self.usual_rel_sigma(self.construction.thickness_rel_sigma);
        Some(Layer { material, thickness_m: Quantity::usual(layer.thickness_cm / 100.0, rel_sigma) })
    }

    /// A material the owner did not name: of the usual kind, but who knows which.
    fn unnamed(&self, name: &str) -> Option<Material> {
        let known = &self.catalogue.material(name)?.material;
        let conductivity_rel_sigma = known.conductivity_rel_sigma.hypot(UNNAMED_MATERIAL_REL_SIGMA);
        Some(Material { conductivity_rel_sigma, ..known.clone() })
    }

    fn stated_layer(&mut self, part: &str, index: usize, layer: &SheetLayer, usual: &[UsualLayer]) -> Option<Layer> {
        let nth = index + 1;
        let material = match &layer.material {
            Some(name) => self.catalogue.material(name)?.material.clone(),
            None => {
                let like = usual.get(index).or(usual.last()).map_or("firebrick", |layer| layer.material.as_str());
                self.note(format!("{part}, layer {nth}: {like}"));
                self.unnamed(like)?
            }
        };
        let thickness_m = match layer.thickness_cm {
            Some(cm) => {
                let rel_sigma = TAPE_REL_SIGMA.hypot(THICKNESS_SIGMA_CM / cm).min(MAX_STATED_REL_SIGMA);
                Quantity::stated(cm / 100.0, rel_sigma)
            }
            None => {
                let in_construction = usual.iter().find(|layer| layer.material == material.name);
                let cm = match in_construction {
                    Some(layer) => layer.thickness_cm,
                    None => self.catalogue.material(&material.name)?.usual_thickness_cm,
                };
                self.note(format!("{part}, layer {nth}: {cm} cm thick"));
                Quantity::usual(cm / 100.0, self.usual_rel_sigma(self.construction.thickness_rel_sigma))
            }
        };
        Some(Layer { material, thickness_m })
    }

    fn time_zone(&mut self, sheet: &OvenSheet) -> TimeZone {
        let known = sheet.time_zone.as_deref().and_then(|name| TimeZoneDatabase::bundled().get(name).ok());
        known.unwrap_or_else(|| {
            self.note("time zone UTC".to_owned());
            TimeZone::UTC
        })
    }
}

/// Stated sizes as they are, unknown ones scaled with them in the proportions of the construction.
fn usual_sizes(sheet: &OvenSheet, usual: &Construction, shape: Shape) -> Sizes {
    let (usual_across, usual_length, stated_across) = match shape {
        Shape::Dome => (usual.diameter_cm, usual.diameter_cm, sheet.diameter_cm),
        Shape::Vault => (usual.width_cm, usual.length_cm, sheet.width_cm),
    };
    let scaled = [
        (sheet.length_cm, usual_length),
        (sheet.rise_cm, usual.rise_cm),
        (sheet.mouth_width_cm, usual.mouth_width_cm),
        (sheet.mouth_height_cm, usual.mouth_height_cm),
    ]
    .iter()
    .find_map(|(stated, usual)| stated.map(|stated| usual_across * stated / usual))
    .unwrap_or(usual_across);
    // A guess must leave room for what was measured.
    let room = [sheet.rise_cm, sheet.mouth_width_cm, sheet.mouth_height_cm].into_iter().flatten();
    let across = stated_across.unwrap_or_else(|| room.fold(scaled, |widest, x| widest.max(1.1 * x)));
    let mouth_share = usual.mouth_height_cm / usual.rise_cm;
    let rise = sheet.rise_cm.unwrap_or_else(|| {
        let rise = across * usual.rise_cm / usual_across;
        match sheet.mouth_height_cm {
            Some(mouth) if mouth > 0.9 * rise => (mouth / mouth_share).min(across),
            _ => rise,
        }
    });
    Sizes {
        across,
        length: sheet.length_cm.unwrap_or(across * usual_length / usual_across),
        rise,
        mouth_width: sheet.mouth_width_cm.unwrap_or(across * usual.mouth_width_cm / usual_across),
        mouth_height: sheet.mouth_height_cm.unwrap_or(rise * mouth_share),
    }
}
