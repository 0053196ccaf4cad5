//! Shape factors of the chamber's surfaces, and of the standard shapes they are checked on.
//!
//! # Equation
//! Floor patches lie in one plane and see none of each other: F_floor→dome = 1 less what pots hide. A concave shell over
//! a plane floor is taken as evenly lit, which is exact on a sphere (between any two patches of one sphere
//! F_ij = A_j/(4πR²)): every shell patch (dome, fire side, mouth, door) gets a share of a view in proportion
//! to its area. A flat patch in the shell takes the place of a curved one: it counts with the area A_c of the cap it cuts
//! off, A_c (1 − s A_c) = A with s the shell's self-view for each area.
//! A vault is taken in the same way, which in section gives the factor
//! of crossed strings between the floor and the whole shell, but not how it differs along it. A pot sees the floor with half of its
//! side and the shell with the rest and its top; pots do not see each other. All other factors follow from reciprocity
//! A_i F_ij = A_j F_ji and closure Σ_j F_ij = 1.
//!
//! # Validity
//! Exact for empty domes. With pots: neglects the pots' sight of each other and their shadow on one another. Pots whose
//! sides would claim more than 80 % of the floor's view see that share less of it.
//!
//! # Source
//! Sphere: Siegel & Howell, Thermal Radiation Heat Transfer. Crossed strings: Hottel. Rectangles: Howell, A Catalog of
//! Radiation Heat Transfer Configuration Factors, C-11 and C-14 (formulas from memory, checked by closure of the cube).

use std::f64::consts::PI;

/// What a surface is to the view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sight {
    /// A patch of the plane floor.
    Floor,
    /// A curved patch of the shell: dome or vault.
    Shell,
    /// A flat patch set in the shell, the mouth or the door: it sees none of itself and none of its like.
    Flat,
    /// A standing vessel's side.
    PotSide,
    /// A vessel's top: sees the shell only.
    PotTop,
}

/// Largest share of the shell that may look at what stands inside.
const CROWDED_SHARE: f64 = 0.95;
/// Rounds of the fixed point for flat patches; each gains two digits or more.
const FLAT_ROUNDS: usize = 40;

/// Largest share of the floor's view that pots may take.
const POT_SHARE_OF_FLOOR_VIEW: f64 = 0.8;

/// Shape factors of an enclosure, row-major n × n, from its surfaces' areas (m²) and kinds. Rows sum to one and
/// reciprocity holds to rounding.
#[must_use]
pub fn enclosure(areas_m2: &[f64], sights: &[Sight]) -> Vec<f64> {
    let n = areas_m2.len();
    let total = |kind: Sight| -> f64 { areas_m2.iter().zip(sights).filter(|(_, s)| **s == kind).map(|(a, _)| a).sum() };
    let (floor, side) = (total(Sight::Floor), total(Sight::PotSide));
    // Share of a pot side's view that goes to the floor.
    let down = if side > 0.0 { (0.5 * side).min(POT_SHARE_OF_FLOOR_VIEW * floor) / side } else { 0.0 };
    let mut exchange = vec![0.0; n * n];
    // Direct exchange areas A_i F_ij, symmetric by construction.
    let mut set = |i: usize, j: usize, a: f64| {
        exchange[i * n + j] = a;
        exchange[j * n + i] = a;
    };
    for i in 0..n {
        for j in 0..=i {
            let (first, second) = (i.min(j), i.max(j));
            let area = match (sights[first], sights[second]) {
                (Sight::Floor, Sight::PotSide) | (Sight::PotSide, Sight::Floor) => {
                    areas_m2[i] * areas_m2[j] * down / floor.max(f64::MIN_POSITIVE)
                }
                _ => 0.0,
            };
            set(i, j, area);
        }
    }
    // What each surface outside the shell has left goes to the shell, in proportion to the weights of its patches.
    let in_shell = |i: usize| matches!(sights[i], Sight::Shell | Sight::Flat);
    let left: Vec<f64> =
        (0..n)
            .map(|i| {
                if in_shell(i) {
                    0.0
                } else {
                    (areas_m2[i] - exchange[i * n..(i + 1) * n].iter().sum::<f64>()).max(0.0)
                }
            })
            .collect();
    // Crowded with tall pots, the inside can have more to give than the shell has area: what is too much stays among
    // themselves.
    let curved: f64 = total(Sight::Shell);
    let given = (CROWDED_SHARE * curved / left.iter().sum::<f64>()).min(1.0);
    for i in 0..n {
        exchange[i * n + i] += left[i] * (1.0 - given);
    }
    let left: Vec<f64> = left.iter().map(|a| a * given).collect();
    let (own, weights) = shell_weights(areas_m2, sights, left.iter().sum());
    let whole: f64 = weights.iter().sum();
    for i in 0..n {
        for j in 0..n {
            exchange[i * n + j] = match (in_shell(i), in_shell(j)) {
                (false, false) => exchange[i * n + j],
                (false, true) => left[i] * weights[j] / whole,
                (true, false) => left[j] * weights[i] / whole,
                (true, true) if sights[i] == Sight::Flat && sights[j] == Sight::Flat => 0.0,
                (true, true) => own * weights[i] * weights[j],
            };
        }
    }
    for i in 0..n {
        for j in 0..n {
            exchange[i * n + j] /= areas_m2[i];
        }
    }
    exchange
}

/// Self-view of the shell for each area, and the weight of each surface in it: curved patches count with their area,
/// flat ones with the cap they cut off. `to_shell_m2` is the exchange area from everything else to the shell.
fn shell_weights(areas_m2: &[f64], sights: &[Sight], to_shell_m2: f64) -> (f64, Vec<f64>) {
    let total = |kind: Sight| -> f64 { areas_m2.iter().zip(sights).filter(|(_, s)| **s == kind).map(|(a, _)| a).sum() };
    let (curved, flat) = (total(Sight::Shell), total(Sight::Flat));
    let (mut cap, mut own) = (flat, 0.0);
    for _ in 0..FLAT_ROUNDS {
        let whole = curved + cap;
        own = (whole - to_shell_m2).max(0.0) / (whole * whole);
        cap = flat / (1.0 - own * cap).max(0.5);
    }
    let weight = |(area, sight): (&f64, &Sight)| match sight {
        Sight::Shell => *area,
        Sight::Flat => area * cap / flat,
        Sight::Floor | Sight::PotSide | Sight::PotTop => 0.0,
    };
    (own, areas_m2.iter().zip(sights).map(weight).collect())
}

/// Crossed strings: factor from strip `a` to strip `b` in a plane section, each given by its end points (m). The strips
/// must see each other freely; ends are ordered so that the strings a0–b1 and a1–b0 cross.
#[must_use]
pub fn crossed_strings(a: [(f64, f64); 2], b: [(f64, f64); 2]) -> f64 {
    let length = |p: (f64, f64), q: (f64, f64)| libm::hypot(p.0 - q.0, p.1 - q.1);
    let crossed = length(a[0], b[1]) + length(a[1], b[0]);
    let uncrossed = length(a[0], b[0]) + length(a[1], b[1]);
    (crossed - uncrossed) / (2.0 * length(a[0], a[1]))
}

/// Two equal parallel rectangles of sides `a_m` × `b_m`, `gap_m` apart.
#[must_use]
pub fn parallel_rectangles(a_m: f64, b_m: f64, gap_m: f64) -> f64 {
    let (x, y) = (a_m / gap_m, b_m / gap_m);
    let (x2, y2) = (1.0 + x * x, 1.0 + y * y);
    let log = 0.5 * libm::log(x2 * y2 / (x2 + y2 - 1.0));
    let arms = x * y2.sqrt() * libm::atan(x / y2.sqrt()) + y * x2.sqrt() * libm::atan(y / x2.sqrt());
    2.0 / (PI * x * y) * (log + arms - x * libm::atan(x) - y * libm::atan(y))
}

/// Two rectangles at right angles with a common edge of `edge_m`: from the one of depth `from_m` to the one of depth
/// `to_m`.
#[must_use]
pub fn perpendicular_rectangles(edge_m: f64, from_m: f64, to_m: f64) -> f64 {
    let (w, h) = (from_m / edge_m, to_m / edge_m);
    let (w2, h2) = (w * w, h * h);
    let root = (w2 + h2).sqrt();
    let arms = w * libm::atan(1.0 / w) + h * libm::atan(1.0 / h) - root * libm::atan(1.0 / root);
    let sum = 1.0 + w2 + h2;
    let first = libm::log((1.0 + w2) * (1.0 + h2) / sum);
    let second = w2 * libm::log(w2 * sum / ((1.0 + w2) * (w2 + h2)));
    let third = h2 * libm::log(h2 * sum / ((1.0 + h2) * (w2 + h2)));
    (arms + 0.25 * (first + second + third)) / (PI * w)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closure_and_reciprocity_hold_with_pots_inside() {
        for areas in [[0.4, 0.7, 0.2, 0.05, 0.08, 0.04, 0.09, 0.05], [0.1, 0.5, 0.2, 0.05, 0.9, 0.1, 0.8, 0.1]] {
            closes(areas);
        }
    }

    fn closes(areas: [f64; 8]) {
        let kinds = [
            Sight::Floor,
            Sight::Shell,
            Sight::Shell,
            Sight::Flat,
            Sight::PotSide,
            Sight::PotTop,
            Sight::PotSide,
            Sight::PotTop,
        ];
        let f = enclosure(&areas, &kinds);
        for i in 0..8 {
            let row: f64 = f[i * 8..(i + 1) * 8].iter().sum();
            assert!((row - 1.0).abs() < 1e-14, "row {i}: {row}");
            for j in 0..8 {
                assert!((areas[i] * f[i * 8 + j] - areas[j] * f[j * 8 + i]).abs() < 1e-15);
            }
        }
    }

    #[test]
    fn hemisphere_over_its_floor() {
        let f = enclosure(&[1.0, 2.0], &[Sight::Floor, Sight::Shell]);
        assert_eq!(f, [0.0, 1.0, 0.5, 0.5]);
    }
}
