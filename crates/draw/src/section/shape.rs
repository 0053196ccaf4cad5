//! Outlines of walls in metres: x to the back, y up from the floor, the middle of the floor at the origin.

use ovenfall_engine::description::{Form, Layer, OvenDescription, Quantity};
use std::f64::consts::PI;

/// A section through the oven.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Cut {
    /// What is cut.
    pub name: &'static str,
    pub outline: Outline,
    /// Inner width at the floor.
    pub span_m: Quantity,
    pub rise_m: Quantity,
    /// Height of the mouth where it is cut through, on the left.
    pub mouth_m: Option<f64>,
    /// Outer faces of the wall's layers, m from the hot face; the first is 0.
    pub wall_m: Vec<f64>,
    /// Lower faces of the floor's layers, m below its top; the first is 0.
    pub floor_m: Vec<f64>,
    /// Outer faces of the door's layers, m from its hot face; the first is 0.
    pub door_m: Vec<f64>,
}

/// The chamber's outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Outline {
    /// A circular arc over the floor: its radius, and its centre's height over the floor (negative: below).
    Arc { radius_m: f64, centre_m: f64 },
    /// A flat roof between upright walls.
    Box,
}

/// Points on an arc.
const POINTS: u32 = 60;

/// The cuts that show the oven; none if a size is not one of an oven.
pub(crate) fn cuts(oven: &OvenDescription) -> Vec<Cut> {
    let mouth_m = oven.mouth.height_m.value;
    let all = match oven.form {
        Form::Dome { inner_diameter_m, rise_m } => {
            vec![cut(
                oven,
                "from mouth to back, to scale",
                arc(inner_diameter_m, rise_m),
                inner_diameter_m,
                rise_m,
                Some(mouth_m),
            )]
        }
        Form::Vault { width_m, length_m, rise_m } => vec![
            cut(oven, "from mouth to back, to scale", Outline::Box, length_m, rise_m, Some(mouth_m)),
            cut(oven, "across, seen from the mouth, to scale", arc(width_m, rise_m), width_m, rise_m, None),
        ],
    };
    if all.iter().all(Cut::is_drawable) { all } else { Vec::new() }
}

/// The circle through both feet and the crown.
fn arc(span_m: Quantity, rise_m: Quantity) -> Outline {
    let (half, rise) = (span_m.value / 2.0, rise_m.value);
    let radius_m = (half * half + rise * rise) / (2.0 * rise);
    Outline::Arc { radius_m, centre_m: rise - radius_m }
}

fn cut(
    oven: &OvenDescription,
    name: &'static str,
    outline: Outline,
    span_m: Quantity,
    rise_m: Quantity,
    mouth_m: Option<f64>,
) -> Cut {
    Cut {
        name,
        outline,
        span_m,
        rise_m,
        mouth_m: mouth_m.map(|h| h.min(rise_m.value * 0.95)),
        wall_m: faces(&oven.dome),
        floor_m: faces(&oven.floor),
        door_m: faces(&oven.mouth.door),
    }
}

fn faces(layers: &[Layer]) -> Vec<f64> {
    let mut depth = 0.0;
    let deeper = layers.iter().map(|l| {
        depth += l.thickness_m.value;
        depth
    });
    std::iter::once(0.0).chain(deeper).collect()
}

impl Cut {
    fn is_drawable(&self) -> bool {
        let size = |v: f64| v > 0.02 && v < 30.0;
        let stack = |v: &[f64]| v.windows(2).all(|w| w[1] > w[0]) && v.iter().all(|d| *d < 10.0);
        size(self.span_m.value)
            && size(self.rise_m.value)
            && self.mouth_m.is_none_or(size)
            && [&self.wall_m, &self.floor_m, &self.door_m].into_iter().all(|v| stack(v))
    }

    /// A line parallel to the hot face, `depth_m` outside it, from the mouth (or the left foot) to the right foot.
    pub(crate) fn parallel(&self, depth_m: f64) -> Vec<(f64, f64)> {
        let left_m = self.mouth_m.unwrap_or(0.0);
        match self.outline {
            Outline::Arc { radius_m, centre_m } => {
                let r = radius_m + depth_m;
                let angle = |y: f64| ((y - centre_m) / r).clamp(-1.0, 1.0).acos();
                let (from, to) = (-angle(left_m), angle(0.0));
                let at = |i: u32| from + (to - from) * f64::from(i) / f64::from(POINTS);
                (0..=POINTS).map(at).map(|a| (r * a.sin(), centre_m + r * a.cos())).collect()
            }
            Outline::Box => {
                let (x, y) = (self.span_m.value / 2.0 + depth_m, self.rise_m.value + depth_m);
                vec![(-x, left_m), (-x, y), (x, y), (x, 0.0)]
            }
        }
    }

    /// A layer of the wall between two depths, as a closed outline.
    pub(crate) fn wall_layer(&self, from_m: f64, to_m: f64) -> Vec<(f64, f64)> {
        let mut points = self.parallel(from_m);
        points.extend(self.parallel(to_m).into_iter().rev());
        points
    }

    /// A point in the wall, high on the right, `depth_m` outside the hot face.
    pub(crate) fn shoulder(&self, depth_m: f64) -> (f64, f64) {
        match self.outline {
            Outline::Arc { radius_m, centre_m } => {
                let (r, angle) = (radius_m + depth_m, self.shoulder_angle());
                (r * angle.sin(), centre_m + r * angle.cos())
            }
            Outline::Box => (self.span_m.value * 0.3, self.rise_m.value + depth_m),
        }
    }

    fn shoulder_angle(&self) -> f64 {
        match self.outline {
            Outline::Arc { radius_m, centre_m } => (0.6 * (-centre_m / radius_m).clamp(-1.0, 1.0).acos()).min(PI / 3.0),
            Outline::Box => 0.0,
        }
    }

    pub(crate) fn wall_thickness_m(&self) -> f64 {
        self.wall_m.last().copied().unwrap_or(0.0)
    }

    /// Half the outer width at the floor.
    pub(crate) fn half_foot_m(&self) -> f64 {
        match self.outline {
            Outline::Arc { radius_m, centre_m } => {
                let r = radius_m + self.wall_thickness_m();
                (r * r - centre_m * centre_m).max(0.0).sqrt()
            }
            Outline::Box => self.span_m.value / 2.0 + self.wall_thickness_m(),
        }
    }

    /// Least and greatest x, and height over the floor.
    pub(crate) fn extent_m(&self) -> (f64, f64, f64) {
        let bulge = match self.outline {
            Outline::Arc { radius_m, centre_m } if centre_m > 0.0 => radius_m + self.wall_thickness_m(),
            _ => 0.0,
        };
        let half = self.half_foot_m().max(bulge);
        let door = self.door_m.last().filter(|_| self.mouth_m.is_some()).copied().unwrap_or(0.0);
        ((-half).min(-self.span_m.value / 2.0 - door), half, self.rise_m.value + self.wall_thickness_m())
    }

    pub(crate) fn floor_thickness_m(&self) -> f64 {
        self.floor_m.last().copied().unwrap_or(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dome(span: f64, rise: f64) -> Cut {
        let (span_m, rise_m) = (Quantity::stated(span, 0.01), Quantity::stated(rise, 0.01));
        Cut {
            name: "",
            outline: arc(span_m, rise_m),
            span_m,
            rise_m,
            mouth_m: Some(0.2),
            wall_m: vec![0.0, 0.1, 0.2],
            floor_m: vec![0.0, 0.06],
            door_m: vec![0.0, 0.04],
        }
    }

    #[test]
    fn the_hot_face_stands_on_the_edge_of_the_floor_and_touches_the_crown() {
        for rise in [0.3, 0.5, 0.7] {
            let line = dome(1.0, rise).parallel(0.0);
            let foot = line.last().unwrap();
            assert!((foot.0 - 0.5).abs() < 1e-9 && foot.1.abs() < 1e-9, "{foot:?}");
            let crown = line.iter().map(|p| p.1).fold(0.0, f64::max);
            assert!((crown - rise).abs() < 1e-3, "{crown}");
            assert!((line[0].1 - 0.2).abs() < 1e-9, "the cut over the mouth is level");
        }
    }

    #[test]
    fn a_layer_is_as_thick_as_stated_along_its_normal() {
        let cut = dome(1.0, 0.45);
        let (a, b) = (cut.shoulder(0.0), cut.shoulder(0.1));
        assert!(((a.0 - b.0).hypot(a.1 - b.1) - 0.1).abs() < 1e-12);
    }
}
