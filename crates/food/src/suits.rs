//! When a falling oven suits a dish: on one course of temperature, and on many with a chance.
//!
//! Between two given times a temperature, and a share of members, is taken to change evenly, so that the ends of an
//! interval do not snap to the grid of times.

use crate::dish::{Dish, Fit};

/// A stretch of time during which a course lies inside a dish's window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Start, minutes, on the axis of the times given.
    pub from_min: f64,
    /// End, minutes.
    pub until_min: f64,
    /// It had begun already at the first time given.
    pub under_way: bool,
    /// It goes on beyond the last time given.
    pub goes_on: bool,
}

/// A stretch of time during which at least the chance asked for lies inside a dish's window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The stretch.
    pub interval: Interval,
    /// Chances in ten at the best moment of the stretch, rounded down.
    pub chances_in_ten: u8,
    /// That moment, minutes.
    pub best_min: f64,
}

/// Why an oven never suits a dish within the time looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WhyNot {
    /// Still too hot at the end.
    TooHotUntil {
        /// The last time looked at, minutes.
        at_min: f64,
    },
    /// Too cool from the start.
    AlreadyTooCool,
    /// It passes the window, but never likely enough.
    Unlikely {
        /// The best moment, minutes.
        best_min: f64,
        /// Chances in ten then, rounded down.
        chances_in_ten: u8,
    },
    /// There is no forecast to judge by.
    Unknown,
}

/// When an oven suits a dish, or why it does not.
#[derive(Debug, Clone, PartialEq)]
pub enum Outlook {
    /// It does, during these stretches.
    Suits(Vec<Span>),
    /// It does not.
    Never(WhyNot),
}

/// Shares of members at each time: too hot, within, too cool. What is missing to one is unknown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shares {
    /// Share of members that are too hot.
    pub too_hot_share: Vec<f64>,
    /// Share of members within the window.
    pub within_share: Vec<f64>,
    /// Share of members that are too cool.
    pub too_cool_share: Vec<f64>,
}

impl Shares {
    /// Counts members at each of `times` times; `at(time, member)` is that member's temperature in °C.
    #[must_use]
    pub fn count(dish: &Dish, times: usize, members: usize, at: impl Fn(usize, usize) -> f64) -> Self {
        let mut shares = Self::default();
        for time in 0..times {
            let share = |fit: Fit| {
                let those = (0..members).filter(|&member| dish.fit(at(time, member)) == fit).count();
                those as f64 / members.max(1) as f64
            };
            shares.too_hot_share.push(share(Fit::TooHot));
            shares.within_share.push(share(Fit::Within));
            shares.too_cool_share.push(share(Fit::TooCool));
        }
        shares
    }
}

/// When one course of temperature (°C, at times in minutes, rising) lies inside a dish's window.
///
/// Values without a time, and times without a value, are left out; a value that is not a number is outside.
#[must_use]
pub fn suits(dish: &Dish, times_min: &[f64], values_c: &[f64]) -> Vec<Interval> {
    let (hot, cool) = (dish.window_c.from, dish.window_c.to.unwrap_or(f64::NEG_INFINITY));
    // Above zero inside the window, zero on its ends: the distance to the nearer end.
    let depth_k: Vec<f64> = values_c.iter().map(|value| (hot - value).min(value - cool)).collect();
    let passes = |i: usize| crossing_of_the_window(times_min, values_c, i, hot, cool);
    let mut found = stretches(times_min, &depth_k);
    found.extend((1..times_min.len().min(values_c.len())).filter_map(passes));
    found.sort_by(|a, b| a.from_min.total_cmp(&b.from_min));
    found
}

/// The stretch inside the window when a course jumps from one side of it to the other between two times.
fn crossing_of_the_window(times_min: &[f64], values_c: &[f64], i: usize, hot: f64, cool: f64) -> Option<Interval> {
    let (first, last) = (values_c[i - 1], values_c[i]);
    if !(first.max(last) > hot && first.min(last) < cool) {
        return None;
    }
    let at = |level: f64| times_min[i - 1] + (times_min[i] - times_min[i - 1]) * (level - first) / (last - first);
    let (a, b) = (at(hot), at(cool));
    Some(Interval { from_min: a.min(b), until_min: a.max(b), under_way: false, goes_on: false })
}

/// Stretches on which a quantity that changes evenly between times is at or above zero.
fn stretches(times_min: &[f64], depth: &[f64]) -> Vec<Interval> {
    let n = times_min.len().min(depth.len());
    let inside = |i: usize| depth[i] >= 0.0;
    let zero = |i: usize| {
        let (a, b) = (depth[i - 1], depth[i]);
        let part = if a.is_finite() && b.is_finite() { a / (a - b) } else { 1.0 };
        times_min[i - 1] + (times_min[i] - times_min[i - 1]) * part
    };
    let mut found = Vec::new();
    let mut open: Option<Interval> = None;
    for i in 0..n {
        if inside(i) && open.is_none() {
            let from_min = if i == 0 { times_min[0] } else { zero(i) };
            open = Some(Interval { from_min, until_min: times_min[i], under_way: i == 0, goes_on: false });
        } else if !inside(i)
            && let Some(interval) = open.take()
        {
            // Where the next value is unknown, the stretch ends with the last one that was known.
            let until_min = if depth[i].is_nan() { times_min[i - 1] } else { zero(i) };
            found.push(Interval { until_min, ..interval });
        }
    }
    found.extend(open.map(|interval| Interval { until_min: times_min[n - 1], goes_on: true, ..interval }));
    found
}

/// When the oven suits a dish with at least the chance asked for (0 to 1), or why it never does.
///
/// # Example
/// ```
/// use ovenfall_food::suits::{Outlook, Shares, WhyNot, outlook};
/// let dishes = ovenfall_food::dish::standard()?;
/// let tin_loaf = ovenfall_food::dish::find(&dishes, "tin loaf").expect("a tin loaf");
/// // Two members, an hour apart in their fall, at three times.
/// let members_c = [[260.0, 240.0], [225.0, 205.0], [190.0, 170.0]];
/// let shares = Shares::count(tin_loaf, 3, 2, |time, member| members_c[time][member]);
/// let Outlook::Suits(spans) = outlook(&[0.0, 60.0, 120.0], &shares, 0.9) else { panic!("it suits") };
/// assert_eq!(spans[0].chances_in_ten, 10);
/// # Ok::<(), ovenfall_food::error::FoodError>(())
/// ```
#[must_use]
pub fn outlook(times_min: &[f64], shares: &Shares, chance: f64) -> Outlook {
    let depth: Vec<f64> = shares.within_share.iter().map(|share| share - chance).collect();
    let spans: Vec<Span> = stretches(times_min, &depth)
        .into_iter()
        .filter_map(|interval| {
            let (best_min, share) = best(times_min, &shares.within_share, interval.from_min, interval.until_min)?;
            Some(Span { interval, chances_in_ten: in_ten(share), best_min })
        })
        .collect();
    if spans.is_empty() { Outlook::Never(why_not(times_min, shares)) } else { Outlook::Suits(spans) }
}

/// The likeliest given time between two times, with its share; the first one among equals.
fn best(times_min: &[f64], within: &[f64], from_min: f64, until_min: f64) -> Option<(f64, f64)> {
    let inside = |(time, _): &(f64, f64)| (from_min..=until_min).contains(time);
    let pairs = times_min.iter().copied().zip(within.iter().copied());
    pairs.filter(inside).reduce(|a, b| if b.1 > a.1 { b } else { a })
}

fn why_not(times_min: &[f64], shares: &Shares) -> WhyNot {
    let most = |values: &[f64], i: Option<usize>| i.and_then(|i| values.get(i)).is_some_and(|share| *share > 0.5);
    let likeliest = best(times_min, &shares.within_share, f64::NEG_INFINITY, f64::INFINITY);
    let (Some((best_min, share)), Some(&at_min)) = (likeliest, times_min.last()) else {
        return WhyNot::Unknown;
    };
    if most(&shares.too_cool_share, Some(0)) {
        WhyNot::AlreadyTooCool
    } else if most(&shares.too_hot_share, times_min.len().checked_sub(1)) {
        WhyNot::TooHotUntil { at_min }
    } else if share > 0.0 {
        WhyNot::Unlikely { best_min, chances_in_ten: in_ten(share) }
    } else if most(&shares.too_hot_share, Some(0)) {
        // It goes from too hot to too cool between two of the times: too coarse a look to give a chance.
        WhyNot::Unlikely { best_min, chances_in_ten: 0 }
    } else {
        WhyNot::Unknown
    }
}

/// A share (0 to 1) as chances in ten, rounded down: never more than it is.
#[must_use]
pub fn in_ten(share: f64) -> u8 {
    // A share of exactly nine in ten must not become eight by rounding.
    (share * 10.0 + 1e-9).floor().clamp(0.0, 10.0) as u8
}
