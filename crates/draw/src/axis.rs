//! The two kinds of axis: clock time across, a quantity upward.

use crate::clock::Clock;

/// Clock time across the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TimeAxis {
    pub from_min: f64,
    pub to_min: f64,
    pub left_px: f64,
    pub right_px: f64,
}

/// A whole hour on the time axis.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HourTick {
    pub at_min: f64,
    /// The hour, where there is room to write it.
    pub label: Option<String>,
    /// A new day begins here.
    pub midnight: bool,
}

impl TimeAxis {
    pub(crate) fn x_px(&self, at_min: f64) -> f64 {
        let share = (at_min - self.from_min) / (self.to_min - self.from_min);
        self.left_px + share * (self.right_px - self.left_px)
    }

    /// Within the axis.
    pub(crate) fn holds(&self, at_min: f64) -> bool {
        at_min >= self.from_min && at_min <= self.to_min
    }

    /// The part of a stretch that is on the axis.
    pub(crate) fn clip(&self, from_min: f64, to_min: f64) -> Option<(f64, f64)> {
        let (from, to) = (from_min.max(self.from_min), to_min.min(self.to_min));
        (from < to).then_some((from, to))
    }

    /// Whole hours, every one of them a line, those written that stand `label_px` apart.
    pub(crate) fn hours(&self, clock: &Clock, label_px: f64) -> Vec<HourTick> {
        let hour_px = 60.0 * (self.right_px - self.left_px) / (self.to_min - self.from_min);
        let step = label_step(hour_px, label_px);
        let tick = |at_min: f64| {
            let hour = clock.hour(at_min);
            let written = hour.is_multiple_of(step);
            HourTick { at_min, label: written.then(|| clock.hhmm(at_min)), midnight: hour == 0 }
        };
        let mut ticks: Vec<HourTick> = clock.whole_hours(self.from_min, self.to_min).into_iter().map(tick).collect();
        // Where the clock changes, written hours can come closer to each other.
        let mut free_px = f64::NEG_INFINITY;
        for tick in &mut ticks {
            let x = self.x_px(tick.at_min);
            if tick.label.is_some() && x < free_px {
                tick.label = None;
            } else if tick.label.is_some() {
                free_px = x + label_px;
            }
        }
        if hour_px < 8.0 {
            ticks.retain(|t| t.label.is_some());
        }
        ticks
    }
}

/// Hours from one written hour to the next; it divides the day.
pub(crate) fn label_step(hour_width: f64, label_width: f64) -> u32 {
    [1, 2, 3, 4, 6, 12].into_iter().find(|s| f64::from(*s) * hour_width >= label_width).unwrap_or(24)
}

/// A quantity upward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ValueAxis {
    pub low: f64,
    pub high: f64,
    pub step: f64,
    pub top_px: f64,
    pub bottom_px: f64,
}

impl ValueAxis {
    /// From a round value below the least to one above the greatest, in about `steps` steps of 1, 2, 2.5 or 5.
    pub(crate) fn covering(values: impl Iterator<Item = f64>, steps: f64, top_px: f64, bottom_px: f64) -> Self {
        let fold = |(low, high): (f64, f64), v: f64| (low.min(v), high.max(v));
        let (low, high) = values.filter(|v| v.is_finite()).fold((f64::INFINITY, f64::NEG_INFINITY), fold);
        let (low, high) = if low <= high { (low, high) } else { (0.0, 1.0) };
        let high = if high - low < 1e-6 { low + 1.0 } else { high };
        let step = round_step((high - low) / steps);
        // A step down to −200 for a frost of a few degrees would waste the picture; what is a little below is drawn at the edge.
        let floor = if low < 0.0 && low > -0.3 * step { 0.0 } else { (low / step).floor() * step };
        Self { low: floor, high: (high / step).ceil() * step, step, top_px, bottom_px }
    }

    /// The same steps, but no further than the values and `margin` reach.
    pub(crate) fn tightened(self, values: impl Iterator<Item = f64>, margin: f64) -> Self {
        let fold = |(low, high): (f64, f64), v: f64| (low.min(v), high.max(v));
        let (low, high) = values.filter(|v| v.is_finite()).fold((self.high, self.low), fold);
        if low > high {
            return self;
        }
        Self { low: (low - margin).max(self.low), high: (high + margin).min(self.high), ..self }
    }

    /// Height of a value; what lies beyond the axis is drawn at its edge.
    pub(crate) fn y_px(&self, value: f64) -> f64 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.bottom_px - share * (self.bottom_px - self.top_px)
    }

    pub(crate) fn ticks(&self) -> Vec<f64> {
        let first = (self.low / self.step - 1e-9).ceil() * self.step;
        let at = |i: u32| first + f64::from(i) * self.step;
        (0..=50).map(at).take_while(|v| *v <= self.high + 1e-9 * self.step).collect()
    }

    /// Decimals that the step needs.
    pub(crate) fn decimals(&self) -> usize {
        if self.step >= 1.0 && (self.step - self.step.round()).abs() < 1e-9 { 0 } else { 1 }
    }
}

/// The next of 1, 2, 2.5, 5 times a power of ten at or above `least`.
pub(crate) fn round_step(least: f64) -> f64 {
    let power = 10.0_f64.powf(least.max(1e-6).log10().floor());
    [1.0, 2.0, 2.5, 5.0].into_iter().map(|m| m * power).find(|s| *s >= least * 0.999).unwrap_or(10.0 * power)
}

/// Middles moved apart to keep `gap` between them and, as far as they fit, between `top` and `bottom`; their order
/// from top to bottom stays.
pub(crate) fn spread_apart(wanted: &[f64], gap: f64, top: f64, bottom: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let mut placed = wanted.to_vec();
    let mut free = top;
    for i in &order {
        placed[*i] = placed[*i].max(free);
        free = placed[*i] + gap;
    }
    let mut free = bottom;
    for i in order.iter().rev() {
        placed[*i] = placed[*i].min(free);
        free = placed[*i] - gap;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_axis_is_round_and_covers() {
        let axis = ValueAxis::covering([108.0, 331.0, f64::NAN].into_iter(), 6.0, 0.0, 100.0);
        assert_eq!((axis.low, axis.high, axis.step), (100.0, 350.0, 50.0));
        assert_eq!(axis.ticks().len(), 6);
        assert!(axis.y_px(331.0) < axis.y_px(108.0));
        let empty = ValueAxis::covering(std::iter::empty(), 6.0, 0.0, 100.0);
        assert!(empty.ticks().iter().all(|t| t.is_finite()));
    }

    #[test]
    fn labels_keep_their_distance_and_their_order() {
        let placed = spread_apart(&[50.0, 52.0, 51.0], 15.0, 0.0, 60.0);
        assert_eq!(placed, vec![30.0, 60.0, 45.0]);
    }

    #[test]
    fn written_hours_divide_the_day() {
        for px in [1.0, 4.0, 9.0, 20.0, 40.0, 90.0] {
            assert_eq!(24 % label_step(px, 45.0), 0);
        }
    }
}
