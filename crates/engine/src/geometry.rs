//! The chamber's shape: areas, radii, volume.
//!
//! # Equation
//! Dome, a spherical cap of base radius r and rise h: sphere radius R = (r² + h²)/(2h), area 2πRh, volume
//! πh(3r² + h²)/6. Vault, a circular segment of width w and rise h over length l: R = (w²/4 + h²)/(2h), opening angle
//! 2θ with sin θ = w/(2R) (θ > π/2 when h > w/2), arc 2Rθ, segment area R²(θ − sin θ cos θ); the two flat ends count
//! as wall of the same build.
//!
//! # Validity
//! 0.3 ≤ h/r ≤ 2 for domes, 0.2 ≤ h/w ≤ 1 for vaults; steeper walls are built as straight sides, which this smooths.
//!
//! # Source
//! Solid geometry.

use crate::description::{Form, OvenDescription};
use crate::error::{EngineError, positive, within};
use std::f64::consts::PI;

/// Sizes of one member's chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    /// Whole floor, m².
    pub floor_m2: f64,
    /// Perimeter of the floor, m.
    pub floor_perimeter_m: f64,
    /// Dome or vault with its ends, less the mouth, m².
    pub dome_m2: f64,
    /// Mouth, m².
    pub mouth_m2: f64,
    /// Clear height of the mouth, m.
    pub mouth_height_m: f64,
    /// Clear width of the mouth, m.
    pub mouth_width_m: f64,
    /// Height of the crown, m.
    pub rise_m: f64,
    /// Radius of curvature of dome or vault, m.
    pub curvature_m: f64,
    /// Whether the dome is a sphere (else a barrel).
    pub spherical: bool,
    /// Air volume, m³.
    pub volume_m3: f64,
}

struct Shell {
    floor_m2: f64,
    perimeter_m: f64,
    area_m2: f64,
    curvature_m: f64,
    volume_m3: f64,
    rise_m: f64,
}

fn dome(radius_m: f64, rise_m: f64) -> Shell {
    let curvature_m = (radius_m * radius_m + rise_m * rise_m) / (2.0 * rise_m);
    Shell {
        floor_m2: PI * radius_m * radius_m,
        perimeter_m: 2.0 * PI * radius_m,
        area_m2: 2.0 * PI * curvature_m * rise_m,
        curvature_m,
        volume_m3: PI * rise_m * (3.0 * radius_m * radius_m + rise_m * rise_m) / 6.0,
        rise_m,
    }
}

fn vault(width_m: f64, length_m: f64, rise_m: f64) -> Shell {
    let curvature_m = (0.25 * width_m * width_m + rise_m * rise_m) / (2.0 * rise_m);
    let half_sine = (0.5 * width_m / curvature_m).min(1.0);
    let theta = if rise_m <= 0.5 * width_m { libm::asin(half_sine) } else { PI - libm::asin(half_sine) };
    let end_m2 = curvature_m * curvature_m * (theta - libm::sin(theta) * libm::cos(theta));
    Shell {
        floor_m2: width_m * length_m,
        perimeter_m: 2.0 * (width_m + length_m),
        area_m2: 2.0 * curvature_m * theta * length_m + 2.0 * end_m2,
        curvature_m,
        volume_m3: end_m2 * length_m,
        rise_m,
    }
}

impl Chamber {
    /// The chamber of a described oven with its inner sizes scaled by `size`.
    ///
    /// # Errors
    /// When a size is not positive, the rise is out of proportion, or the mouth is larger than the wall allows.
    pub fn new(oven: &OvenDescription, size: f64) -> Result<Self, EngineError> {
        positive("the factor on sizes", size)?;
        let (shell, spherical) = match oven.form {
            Form::Dome { inner_diameter_m, rise_m } => {
                let radius = 0.5 * size * positive("the inner diameter (m)", inner_diameter_m.value)?;
                let rise = size * positive("the rise (m)", rise_m.value)?;
                within("the rise over half the diameter", rise / radius, 0.3, 2.0)?;
                (dome(radius, rise), true)
            }
            Form::Vault { width_m, length_m, rise_m } => {
                let width = size * positive("the inner width (m)", width_m.value)?;
                let length = size * positive("the inner length (m)", length_m.value)?;
                let rise = size * positive("the rise (m)", rise_m.value)?;
                within("the rise over the width", rise / width, 0.2, 1.0)?;
                (vault(width, length, rise), false)
            }
        };
        let mouth_width_m = size * positive("the mouth's width (m)", oven.mouth.width_m.value)?;
        let mouth_height_m = size * positive("the mouth's height (m)", oven.mouth.height_m.value)?;
        let mouth_m2 = mouth_width_m * mouth_height_m;
        within("the mouth's height over the rise", mouth_height_m / shell.rise_m, 0.05, 1.0)?;
        within("the mouth's share of the wall", mouth_m2 / shell.area_m2, 0.001, 0.4)?;
        Ok(Self {
            floor_m2: shell.floor_m2,
            floor_perimeter_m: shell.perimeter_m,
            dome_m2: shell.area_m2 - mouth_m2,
            mouth_m2,
            mouth_height_m,
            mouth_width_m,
            rise_m: shell.rise_m,
            curvature_m: shell.curvature_m,
            spherical,
            volume_m3: shell.volume_m3,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_round_vault_and_hemisphere_have_their_textbook_areas() {
        let d = dome(0.5, 0.5);
        assert!((d.area_m2 - 2.0 * PI * 0.25).abs() < 1e-12);
        assert!((d.volume_m3 - 2.0 / 3.0 * PI * 0.125).abs() < 1e-12);
        let v = vault(1.0, 2.0, 0.5);
        assert!((v.area_m2 - (PI * 0.5 * 2.0 + PI * 0.25)).abs() < 1e-12);
        assert!((v.volume_m3 - PI * 0.25).abs() < 1e-12);
    }
}
