//! How uncertain a description leaves an oven, where the description itself says so.
//!
//! # Equation
//! One factor of a member moves several lengths or layers together. Its spread is the mean of their spreads, weighted
//! by what each contributes: thickness for thickness, t/k for conductivity (layers in series), ρ c t for capacity. The
//! errors of separate measurements would partly cancel in a sum, so the mean errs on the wide side; that makes up for
//! errors of shape, which one factor cannot hold.
//!
//! # Validity
//! `None` where the description says nothing; the row's own spread then holds. Spreads that are negative or not finite
//! count as not said.
//!
//! # Source
//! The spreads are the description's; the weighting is judgement.

use ovenfall_engine::description::{Form, Layer, OvenDescription, Quantity};
use ovenfall_engine::drive::{Action, Drive, Wood};
use ovenfall_engine::material::MaterialRole;

/// Temperature at which layers are weighed against each other, °C: about the middle of a falling day.
const WEIGHED_AT_C: f64 = 200.0;
/// Spread of the energy of a day's wood that all feeds share (moisture, kind, scales): judgement.
const WOOD_COMMON: f64 = 0.075;
/// Spread of one feed on top of it (reading the scales, bark and splinters): judgement.
const WOOD_PER_FEED: f64 = 0.04;
/// Spread of an outdoor temperature that was read on the day, K: judgement.
const AMBIENT_READ_K: f64 = 1.5;

fn said(sigma: f64) -> Option<f64> {
    (sigma.is_finite() && sigma >= 0.0).then_some(sigma)
}

/// Weighted mean of (weight, spread) pairs; `None` without weight.
fn mean(pairs: impl Iterator<Item = (f64, f64)>) -> Option<f64> {
    let (weight, sum) = pairs.fold((0.0, 0.0), |(w, s), (wi, si)| (w + wi, s + wi * si));
    if weight > 0.0 { said(sum / weight) } else { None }
}

fn equally(quantities: &[Quantity]) -> Option<f64> {
    mean(quantities.iter().map(|q| (1.0, q.rel_sigma)))
}

fn of_role(layers: &[Layer], role: MaterialRole) -> impl Iterator<Item = &Layer> {
    layers.iter().filter(move |layer| layer.material.role == role)
}

fn walls(oven: &OvenDescription, role: MaterialRole) -> impl Iterator<Item = &Layer> {
    of_role(&oven.dome, role).chain(of_role(&oven.floor, role))
}

fn thickness<'a>(layers: impl Iterator<Item = &'a Layer>) -> Option<f64> {
    mean(layers.map(|layer| (layer.thickness_m.value, layer.thickness_m.rel_sigma)))
}

/// Only layers whose material states a spread count.
fn conductivity<'a>(layers: impl Iterator<Item = &'a Layer>) -> Option<f64> {
    let stated = layers.filter(|layer| layer.material.conductivity_rel_sigma > 0.0);
    mean(stated.map(|layer| {
        let k = layer.material.conductivity_at_w_mk(WEIGHED_AT_C);
        (layer.thickness_m.value / k, layer.material.conductivity_rel_sigma)
    }))
}

/// Only layers whose material states a spread count.
fn capacity<'a>(layers: impl Iterator<Item = &'a Layer>) -> Option<f64> {
    let stated = layers.filter(|layer| layer.material.capacity_rel_sigma > 0.0);
    mean(stated.map(|layer| {
        let c = layer.material.heat_capacity_at_j_kgk(WEIGHED_AT_C);
        let weight = layer.material.density_kg_m3 * c * layer.thickness_m.value;
        (weight, layer.material.capacity_rel_sigma)
    }))
}

/// Spread of the inner sizes.
#[must_use]
pub fn size(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    match oven.form {
        Form::Dome { inner_diameter_m, rise_m } => equally(&[inner_diameter_m, inner_diameter_m, rise_m]),
        Form::Vault { width_m, length_m, rise_m } => equally(&[width_m, length_m, rise_m]),
    }
}

/// Spread of the thickness of dense layers.
#[must_use]
pub fn dense_thickness(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    thickness(walls(oven, MaterialRole::Dense))
}

/// Spread of the thickness of insulating layers.
#[must_use]
pub fn insulation_thickness(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    thickness(walls(oven, MaterialRole::Insulation))
}

/// Spread of the conductivity of dense layers of dome or vault.
#[must_use]
pub fn dome_conductivity(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    conductivity(of_role(&oven.dome, MaterialRole::Dense))
}

/// Spread of the conductivity of dense layers of the floor.
#[must_use]
pub fn floor_conductivity(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    conductivity(of_role(&oven.floor, MaterialRole::Dense))
}

/// Spread of the conductivity of insulating layers.
#[must_use]
pub fn insulation_conductivity(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    conductivity(walls(oven, MaterialRole::Insulation))
}

/// Spread of the heat capacity of dense layers.
#[must_use]
pub fn dense_capacity(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    capacity(walls(oven, MaterialRole::Dense))
}

/// Spread of the heat capacity of insulating layers.
#[must_use]
pub fn insulation_capacity(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    capacity(walls(oven, MaterialRole::Insulation))
}

/// Spread of the free area around the shut door.
#[must_use]
pub fn gap(oven: &OvenDescription, _: &Drive) -> Option<f64> {
    said(oven.mouth.gap_m2.rel_sigma)
}

fn feeds(drive: &Drive) -> impl Iterator<Item = Wood> {
    drive.events.iter().filter_map(|event| match event.action {
        Action::WoodOn(wood) => Some(wood),
        _ => None,
    })
}

/// Spread of the energy of a day's wood: the common part, and what is left of the errors of single feeds in their sum.
#[must_use]
pub fn wood(_: &OvenDescription, drive: &Drive) -> Option<f64> {
    let (total, squares) = feeds(drive).fold((0.0, 0.0), |(t, s), f| (t + f.mass_kg, s + f.mass_kg * f.mass_kg));
    if total <= 0.0 {
        return None;
    }
    let of_feeds = WOOD_PER_FEED * WOOD_PER_FEED * squares / (total * total);
    said(libm::sqrt(WOOD_COMMON * WOOD_COMMON + of_feeds))
}

/// Spread of the outdoor temperature, K: the description's, narrower when the day itself says a temperature.
#[must_use]
pub fn ambient(oven: &OvenDescription, drive: &Drive) -> Option<f64> {
    let described = said(oven.ambient_sigma_k);
    if drive.ambient_c.is_none() {
        return described;
    }
    Some(described.map_or(AMBIENT_READ_K, |sigma| sigma.min(AMBIENT_READ_K)))
}

/// Spread of the temperature of what is placed, K.
#[must_use]
pub fn start(_: &OvenDescription, drive: &Drive) -> Option<f64> {
    let starts = drive.placings.iter().map(|placing| placing.contents.start_c);
    mean(starts.map(|q| (1.0, q.value.abs() * q.rel_sigma)))
}
