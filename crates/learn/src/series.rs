//! A quantity over time on every member, and the band the members make.
//!
//! # Equation
//! A band holds the quantiles (type 7, see [`crate::score`]) of the members at each time. Members whose value is not a
//! number then (a pot that is not in the oven) do not count; where none counts the band is not a number either.
//!
//! # Validity
//! Bands are read time by time: the 5 % line is not the course of any one member.
//!
//! # Source
//! Not applicable.

use crate::score::{crps, quantile};
use rayon::prelude::*;

/// Values over time on every member.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    members: usize,
    /// Time by time, all members of one time together.
    values: Vec<f64>,
}

/// Quantiles over time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Band {
    /// 5 % of the members lie below.
    pub p05: Vec<f64>,
    /// 25 % of the members lie below.
    pub p25: Vec<f64>,
    /// Median.
    pub p50: Vec<f64>,
    /// 75 % of the members lie below.
    pub p75: Vec<f64>,
    /// 95 % of the members lie below.
    pub p95: Vec<f64>,
}

/// What can be seen of an oven, as bands or as series, at shared times.
#[derive(Debug, Clone, PartialEq)]
pub struct Visible<T> {
    /// Times, s after the start of the day.
    pub times_s: Vec<f64>,
    /// Chamber probe, °C: what it would show without an error of its own.
    pub probe_c: T,
    /// Air and gas in the chamber, °C.
    pub gas_c: T,
    /// Free floor, °C.
    pub floor_c: T,
    /// Crown, °C.
    pub crown_c: T,
    /// Heat in store above 100 °C, kWh.
    pub store_kwh: T,
    /// One for each placing of the drive.
    pub placings: Vec<PlacingVisible<T>>,
}

/// What can be seen of one placing; not a number while it is outside.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacingVisible<T> {
    /// Its name.
    pub name: String,
    /// Free liquid left, kg.
    pub liquid_kg: T,
    /// Temperature of the liquid, °C.
    pub liquid_c: T,
    /// Temperature at the coldest point of the solids, °C.
    pub core_c: T,
    /// Share of the members in which it is in the oven with a valid core temperature, at each time.
    pub valid_share: Vec<f64>,
}

impl Series {
    /// Values time by time; a rest that does not fill a time is dropped.
    #[must_use]
    pub fn new(members: usize, mut values: Vec<f64>) -> Self {
        values.truncate(values.len() - values.len().checked_rem(members).unwrap_or(values.len()));
        Self { members, values }
    }

    /// Number of members.
    #[must_use]
    pub fn members(&self) -> usize {
        self.members
    }

    /// Number of times.
    #[must_use]
    pub fn times(&self) -> usize {
        self.values.len().checked_div(self.members).unwrap_or(0)
    }

    /// All members at each time, first to last.
    pub fn by_time(&self) -> impl Iterator<Item = &[f64]> {
        self.values.chunks_exact(self.members.max(1))
    }

    /// One member over time; empty beyond the last.
    pub fn member(&self, member: usize) -> impl Iterator<Item = f64> + '_ {
        self.by_time().filter_map(move |row| row.get(member).copied())
    }

    /// Changes each value; `change` is given time, member and value.
    #[must_use]
    pub fn map(mut self, change: impl Fn(usize, usize, f64) -> f64) -> Self {
        for (t, row) in self.values.chunks_exact_mut(self.members.max(1)).enumerate() {
            for (member, value) in row.iter_mut().enumerate() {
                *value = change(t, member, *value);
            }
        }
        self
    }

    /// Share of members whose value is a number, at each time.
    #[must_use]
    pub fn valid_share(&self) -> Vec<f64> {
        self.share(f64::is_finite)
    }

    /// Share of members for which `holds`, at each time; where the value is not a number it does not hold.
    #[must_use]
    pub fn share(&self, holds: impl Fn(f64) -> bool) -> Vec<f64> {
        let of_row = |row: &[f64]| {
            let count = row.iter().filter(|v| v.is_finite() && holds(**v)).count();
            count as f64 / row.len() as f64
        };
        self.by_time().map(of_row).collect()
    }

    /// Share of members inside a window, limits included, at each time.
    #[must_use]
    pub fn share_inside(&self, low: f64, high: f64) -> Vec<f64> {
        self.share(|v| low <= v && v <= high)
    }

    /// The band the members make. Times are shared out among the threads of the current pool.
    #[must_use]
    pub fn band(&self) -> Band {
        let rows = self.values.par_chunks_exact(self.members.max(1));
        let quantiles: Vec<[f64; 5]> = rows.map(quantiles).collect();
        let line = |i: usize| quantiles.iter().map(|q| q[i]).collect();
        Band { p05: line(0), p25: line(1), p50: line(2), p75: line(3), p95: line(4) }
    }

    /// Mean over the times of the continuous ranked probability score (see [`crate::score`]) against the values seen,
    /// in their unit. `None` when there are not as many as times, or where a member or a value seen is not a number.
    #[must_use]
    pub fn crps(&self, seen: &[f64]) -> Option<f64> {
        if seen.is_empty() || seen.len() != self.times() {
            return None;
        }
        let scores = self.by_time().zip(seen).map(|(row, &seen)| {
            let sorted = sorted(row);
            if sorted.len() == row.len() { crps(&sorted, seen) } else { None }
        });
        Some(scores.sum::<Option<f64>>()? / seen.len() as f64)
    }
}

/// Members that are numbers at one time, sorted upwards.
fn sorted(row: &[f64]) -> Vec<f64> {
    let mut valid: Vec<f64> = row.iter().copied().filter(|v| v.is_finite()).collect();
    valid.sort_unstable_by(f64::total_cmp);
    valid
}

/// The five lines of a band at one time.
fn quantiles(row: &[f64]) -> [f64; 5] {
    let sorted = sorted(row);
    [0.05, 0.25, 0.50, 0.75, 0.95].map(|p| quantile(&sorted, p).unwrap_or(f64::NAN))
}

impl Visible<Series> {
    /// The bands the members make.
    #[must_use]
    pub fn bands(&self) -> Visible<Band> {
        Visible {
            times_s: self.times_s.clone(),
            probe_c: self.probe_c.band(),
            gas_c: self.gas_c.band(),
            floor_c: self.floor_c.band(),
            crown_c: self.crown_c.band(),
            store_kwh: self.store_kwh.band(),
            placings: self.placings.iter().map(PlacingVisible::bands).collect(),
        }
    }
}

impl PlacingVisible<Series> {
    fn bands(&self) -> PlacingVisible<Band> {
        PlacingVisible {
            name: self.name.clone(),
            liquid_kg: self.liquid_kg.band(),
            liquid_c: self.liquid_c.band(),
            core_c: self.core_c.band(),
            valid_share: self.valid_share.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two_times() -> Series {
        Series::new(4, vec![4.0, 1.0, 3.0, 2.0, f64::NAN, 10.0, f64::NAN, 20.0])
    }

    #[test]
    fn band_sorts_members_and_leaves_out_what_is_no_number() {
        let band = two_times().band();
        assert_eq!(band.p25, [1.75, 12.5]);
        assert_eq!(band.p50, [2.5, 15.0]);
        assert!(Series::new(1, vec![f64::NAN]).band().p05[0].is_nan());
    }

    #[test]
    fn shares_count_all_members() {
        let series = two_times();
        assert_eq!(series.valid_share(), [1.0, 0.5]);
        assert_eq!(series.share_inside(2.0, 10.0), [0.75, 0.25]);
    }

    /// By hand: members 1 to 4 against 2.5, mean distance 1, half the mean over pairs 0.625.
    #[test]
    fn crps_is_the_mean_over_times() {
        let series = Series::new(4, vec![4.0, 1.0, 3.0, 2.0, 2.5, 2.5, 2.5, 2.5]);
        let score = series.crps(&[2.5, 3.5]).unwrap();
        assert!((score - 0.5 * (0.375 + 1.0)).abs() < 1e-12, "{score}");
        assert_eq!(series.crps(&[2.5]), None);
        assert_eq!(two_times().crps(&[2.5, 3.5]), None);
    }

    #[test]
    fn members_and_times_are_told_apart() {
        let series = two_times();
        assert_eq!((series.members(), series.times()), (4, 2));
        assert_eq!(series.member(1).collect::<Vec<_>>(), [1.0, 10.0]);
        assert_eq!(series.member(9).count(), 0);
        let moved = series.map(|t, member, v| v + 100.0 * t as f64 + 10.0 * member as f64);
        assert_eq!(moved.member(3).collect::<Vec<_>>(), [32.0, 150.0]);
        assert_eq!(Series::new(0, Vec::new()).times(), 0);
    }
}
