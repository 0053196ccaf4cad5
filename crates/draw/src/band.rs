//! A quantity's spread over time: five quantiles on the times of the picture.

use std::ops::Range;

/// Quantiles of one quantity, one value for each time of the picture. Where any of the five is not finite the
/// quantity is not drawn; vectors that are too short end the drawing early, empty ones leave the quantity out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bands {
    /// 5 % of the chances lie below.
    pub p05: Vec<f64>,
    /// 25 % of the chances lie below.
    pub p25: Vec<f64>,
    /// Half of the chances lie below.
    pub p50: Vec<f64>,
    /// 75 % of the chances lie below.
    pub p75: Vec<f64>,
    /// 95 % of the chances lie below.
    pub p95: Vec<f64>,
}

/// The five quantiles at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Spread {
    pub p05: f64,
    pub p25: f64,
    pub p50: f64,
    pub p75: f64,
    pub p95: f64,
}

impl Bands {
    /// The spread at an index, if all of it is finite.
    pub(crate) fn at(&self, index: usize) -> Option<Spread> {
        let get = |v: &Vec<f64>| v.get(index).copied().filter(|x| x.is_finite());
        Some(Spread {
            p05: get(&self.p05)?,
            p25: get(&self.p25)?,
            p50: get(&self.p50)?,
            p75: get(&self.p75)?,
            p95: get(&self.p95)?,
        })
    }

    /// The spread at a time between samples that both have one.
    pub(crate) fn at_min(&self, times_min: &[f64], at_min: f64) -> Option<Spread> {
        let next = times_min.partition_point(|t| *t < at_min);
        if times_min.get(next).is_some_and(|t| *t <= at_min) {
            return self.at(next);
        }
        let before = next.checked_sub(1)?;
        let (a, b) = (self.at(before)?, self.at(next)?);
        let (t0, t1) = (times_min.get(before)?, times_min.get(next)?);
        Some(a.towards(b, (at_min - t0) / (t1 - t0)))
    }

    /// Stretches of indices without a hole.
    pub(crate) fn runs(&self, count: usize) -> Vec<Range<usize>> {
        let mut out: Vec<Range<usize>> = Vec::new();
        for index in (0..count).filter(|i| self.at(*i).is_some()) {
            match out.last_mut() {
                Some(run) if run.end == index => run.end += 1,
                _ => out.push(index..index + 1),
            }
        }
        out
    }

    /// The last index below `count` that has a spread.
    pub(crate) fn last(&self, count: usize) -> Option<usize> {
        (0..count).rev().find(|i| self.at(*i).is_some())
    }

    /// The samples at `keep`; values outside `sane` become holes.
    pub(crate) fn picked(&self, keep: &[usize], sane: (f64, f64)) -> Self {
        let pick = |v: &Vec<f64>| {
            keep.iter()
                .map(|i| v.get(*i).copied().filter(|x| *x >= sane.0 && *x <= sane.1).unwrap_or(f64::NAN))
                .collect()
        };
        Self {
            p05: pick(&self.p05),
            p25: pick(&self.p25),
            p50: pick(&self.p50),
            p75: pick(&self.p75),
            p95: pick(&self.p95),
        }
    }
}

impl Spread {
    fn towards(self, other: Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        Self {
            p05: mix(self.p05, other.p05),
            p25: mix(self.p25, other.p25),
            p50: mix(self.p50, other.p50),
            p75: mix(self.p75, other.p75),
            p95: mix(self.p95, other.p95),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flat(values: &[f64]) -> Bands {
        let v = values.to_vec();
        Bands { p05: v.clone(), p25: v.clone(), p50: v.clone(), p75: v.clone(), p95: v }
    }

    #[test]
    fn holes_split_runs() {
        assert_eq!(flat(&[1.0, f64::NAN, 3.0, 4.0]).runs(6), vec![0..1, 2..4]);
        assert_eq!(flat(&[1.0, f64::NAN]).last(2), Some(0));
    }

    #[test]
    fn between_samples_the_value_is_on_the_chord_and_never_across_a_hole() {
        let bands = flat(&[100.0, 200.0, f64::NAN]);
        let times = [0.0, 10.0, 20.0];
        assert!((bands.at_min(&times, 2.5).unwrap().p50 - 125.0).abs() < 1e-12);
        assert!((bands.at_min(&times, 10.0).unwrap().p50 - 200.0).abs() < 1e-12);
        assert_eq!(bands.at_min(&times, 15.0), None);
        assert_eq!(bands.at_min(&times, 25.0), None);
        assert_eq!(bands.at_min(&times, -1.0), None);
    }
}
