//! A building material: conductivity, heat capacity and density, with the range they hold in and where they come from.
//!
//! # Equation
//! With t the temperature in °C:
//!
//! - conductivity      k(t) = k0 + k1 t + k2 t²                    W/(m K)
//! - heat capacity     c(t) = c0 + c1 t                            J/(kg K), the *local* value, not a mean
//! - enthalpy          h(t) = c0 t + c1 t²/2                       J/kg, zero at 0 °C
//! - Kirchhoff         Θ(t) = k0 t + k1 t²/2 + k2 t³/3             W/m, so that a steady flux is a difference of Θ
//!
//! Handbooks of refractories often list the *mean* heat capacity from ambient to t. A solver needs the local one; the
//! rows in `data/materials.toml` are local, and a validation case guards the difference.
//!
//! # Validity
//! Each row carries its own range. Outside it the polynomials go on unchanged; `in_range` tells.
//!
//! # Source
//! Carried by each row.

/// One material, as a row of data.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Name used in files, for example `firebrick`.
    pub name: String,
    /// Dry density, kg/m³.
    pub density_kg_m3: f64,
    /// Conductivity polynomial k0 + k1 t + k2 t² (t in °C), W/(m K).
    pub conductivity_w_mk: [f64; 3],
    /// Local heat capacity c0 + c1 t (t in °C), J/(kg K).
    pub heat_capacity_j_kgk: [f64; 2],
    /// Total hemispherical emissivity of the bare surface.
    pub emissivity: f64,
    /// Temperatures over which the row holds, °C.
    pub valid_c: (f64, f64),
    /// One-sigma relative spread of the conductivity between samples of this material.
    pub conductivity_rel_sigma: f64,
    /// One-sigma relative spread of the heat capacity per volume.
    pub capacity_rel_sigma: f64,
    /// What the material does in an oven; decides which of a member's multipliers applies.
    pub role: MaterialRole,
    /// Where the numbers come from.
    pub source: String,
}

/// What a material does in an oven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MaterialRole {
    /// Stores heat: brick, castable, clay, stone, concrete.
    Dense,
    /// Keeps heat in: fibre blanket, calcium silicate, vermiculite concrete, perlite.
    Insulation,
    /// Neither to speak of: door skins, render.
    Skin,
}

impl Material {
    /// Conductivity at `t_c`, W/(m K).
    #[must_use]
    pub fn conductivity_at_w_mk(&self, t_c: f64) -> f64 {
        let [k0, k1, k2] = self.conductivity_w_mk;
        k0 + t_c * (k1 + t_c * k2)
    }

    /// Local heat capacity at `t_c`, J/(kg K).
    #[must_use]
    pub fn heat_capacity_at_j_kgk(&self, t_c: f64) -> f64 {
        let [c0, c1] = self.heat_capacity_j_kgk;
        c0 + t_c * c1
    }

    /// Enthalpy per mass at `t_c` above 0 °C, J/kg.
    #[must_use]
    pub fn enthalpy_j_kg(&self, t_c: f64) -> f64 {
        let [c0, c1] = self.heat_capacity_j_kgk;
        t_c * (c0 + 0.5 * c1 * t_c)
    }

    /// Whether `t_c` lies in the range the row holds in.
    #[must_use]
    pub fn in_range(&self, t_c: f64) -> bool {
        (self.valid_c.0..=self.valid_c.1).contains(&t_c)
    }
}
