//! A finished forecast held against what came: which times count, how far off it was, whether its band was honest.
//!
//! # Equation
//! - Scored are the times with the door shut, from the hour of the forecast on, but for the first ten minutes after
//!   each closing: there the probe follows a draught and its own lag.
//! - Each time counts for the time it stands for: half the way to its neighbours, a gap counting for no more than ten
//!   minutes, so that a logger that writes every minute has no more say than one that writes every ten.
//! - With these weights: rms of median − seen, mean CRPS of the members (see [`crate::score`]), share of the time inside
//!   the middle half and the middle nine tenths of the members, mean width of the latter.
//! - skill = 1 − error / error of a baseline: 0 is no better, 1 is perfect.
//!
//! # Validity
//! Members are read linearly between their output times. A value that was seen outside those times does not count.
//!
//! # Source
//! As [`crate::score`]; the weights are judgement.

use crate::score::{crps, quantile};
use crate::series::Series;
use ovenfall_engine::drive::{Action, Door, Drive, Event};

/// Time after a closing of the door that is not scored, s.
pub const UNSETTLED_S: f64 = 600.0;
/// Values closer together than this are one, s.
const SAME_TIME_S: f64 = 1e-3;
/// Most time one value seen stands for on either side, s.
const LONGEST_GAP_S: f64 = 600.0;

/// A door shut for so long is shut for good, s.
const STAYS_SHUT_S: f64 = 1800.0;

/// A temperature at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// The time, s after the start of the day.
    pub at_s: f64,
    /// The temperature, °C.
    pub value_c: f64,
}

/// A value that came, and the time it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// When and what.
    pub point: Point,
    /// The time it stands for, s.
    pub stands_for_s: f64,
}

/// The largest miss of a forecast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// When, s after the start of the day.
    pub at_s: f64,
    /// Median less what came, K: above zero where the forecast was too high.
    pub off_k: f64,
}

/// How good one forecast of the chamber probe was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score {
    /// How many values it was held against.
    pub count: usize,
    /// Root of the mean square of median less seen, K.
    pub rms_k: f64,
    /// Mean of median less seen, K: above zero where it was too high on the whole.
    pub mean_off_k: f64,
    /// Mean continuous ranked probability score, K.
    pub crps_k: f64,
    /// Share of the time inside the middle half of the members.
    pub inside_half_share: f64,
    /// Share of the time inside the middle nine tenths of the members.
    pub inside_ninety_share: f64,
    /// Mean width of the middle nine tenths, K.
    pub width_ninety_k: f64,
    /// Where it was furthest off.
    pub miss: Miss,
}

/// How good one curve without a spread was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveScore {
    /// Root of the mean square of curve less seen, K.
    pub rms_k: f64,
    /// Mean size of curve less seen, K: what the CRPS of a curve without a spread comes to.
    pub crps_k: f64,
}

/// Share by which an error is smaller than that of a baseline.
#[must_use]
pub fn skill_share(error_k: f64, baseline_error_k: f64) -> Option<f64> {
    (baseline_error_k > 0.0 && error_k.is_finite()).then(|| 1.0 - error_k / baseline_error_k)
}

/// When a day's oven was shut, s after its start: the first time that the door stays shut for half an hour with the fire
/// out. `end_s` is the end of what is known of the day.
#[must_use]
pub fn shutting_s(drive: &Drive, end_s: f64) -> Option<f64> {
    let set = |event: &Event| match event.action {
        Action::Door(door) => Some((event.at_s, door == Door::Shut)),
        _ => None,
    };
    let doors: Vec<(f64, bool)> = drive.events.iter().filter_map(set).collect();
    let mut was_shut = false;
    for (i, (at_s, shut)) in doors.iter().copied().enumerate() {
        let opened_s = doors[i..].iter().find(|(_, shut)| !shut).map_or(end_s, |(open_s, _)| *open_s);
        if shut && !was_shut && opened_s - at_s >= STAYS_SHUT_S && !drive.fire_in_at(at_s) {
            return Some(at_s);
        }
        was_shut = shut;
    }
    None
}

/// Whether the door has been shut for ten minutes at a time.
#[must_use]
pub fn settled(events: &[Event], at_s: f64) -> bool {
    let doors = events.iter().filter_map(|event| match event.action {
        Action::Door(door) if event.at_s <= at_s => Some((event.at_s, door == Door::Shut)),
        _ => None,
    });
    // Shutting a shut door again moves nothing.
    let since = doors.fold(None, |since, (set_s, shut)| if shut { since.or(Some(set_s)) } else { None });
    since.is_some_and(|shut_s: f64| at_s - shut_s > UNSETTLED_S)
}

/// The values that count of those in `points`: after `from_s`, up to `to_s`, with the door settled.
#[must_use]
pub fn scored(points: &[Point], events: &[Event], from_s: f64, to_s: f64) -> Vec<Seen> {
    let counts = |p: &&Point| p.value_c.is_finite() && p.at_s > from_s && p.at_s <= to_s && settled(events, p.at_s);
    let mut points: Vec<Point> = points.iter().filter(counts).copied().collect();
    points.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    points.dedup_by(|a, b| a.at_s - b.at_s < SAME_TIME_S);
    let gap = |i: usize| {
        let (a, b) = (points.get(i)?, points.get(i + 1)?);
        Some((b.at_s - a.at_s).min(LONGEST_GAP_S))
    };
    let one = |(i, point): (usize, &Point)| {
        let (before, after) = (i.checked_sub(1).and_then(gap), gap(i));
        let side = |own: Option<f64>, other: Option<f64>| own.or(other).unwrap_or(LONGEST_GAP_S);
        Seen { point: *point, stands_for_s: 0.5 * (side(before, after) + side(after, before)) }
    };
    points.iter().enumerate().map(one).collect()
}

/// The mean of `of` over what was seen, each counting for its time.
fn weighted_mean(seen: &[Seen], of: impl Fn(usize) -> f64) -> f64 {
    let total_s: f64 = seen.iter().map(|s| s.stands_for_s).sum();
    seen.iter().enumerate().map(|(i, s)| s.stands_for_s * of(i)).sum::<f64>() / total_s
}

/// Scores members of a forecast; `times_s` are the times of `members`. `None` where nothing that was seen lies within them
/// or a member is not a number.
#[must_use]
pub fn score(times_s: &[f64], members: &Series, seen: &[Seen]) -> Option<Score> {
    let rows: Vec<&[f64]> = members.by_time().collect();
    let (seen, sorted): (Vec<Seen>, Vec<Vec<f64>>) =
        seen.iter().filter_map(|s| Some((*s, members_at(times_s, &rows, s.point.at_s)?))).unzip();
    let off: Vec<f64> =
        sorted.iter().zip(&seen).map(|(row, s)| Some(quantile(row, 0.5)? - s.point.value_c)).collect::<Option<_>>()?;
    let crps: Vec<f64> = sorted.iter().zip(&seen).map(|(row, s)| crps(row, s.point.value_c)).collect::<Option<_>>()?;
    let limit = |i: usize, p: f64| sorted.get(i).and_then(|row| quantile(row, p)).unwrap_or(f64::NAN);
    let inside = |i: usize, low: f64, high: f64| {
        let value_c = seen.get(i).map_or(f64::NAN, |s| s.point.value_c);
        f64::from(u8::from(limit(i, low) <= value_c && value_c <= limit(i, high)))
    };
    let worst = (0..seen.len()).max_by(|a, b| off[*a].abs().total_cmp(&off[*b].abs()))?;
    Some(Score {
        count: seen.len(),
        rms_k: weighted_mean(&seen, |i| off[i] * off[i]).sqrt(),
        mean_off_k: weighted_mean(&seen, |i| off[i]),
        crps_k: weighted_mean(&seen, |i| crps[i]),
        inside_half_share: weighted_mean(&seen, |i| inside(i, 0.25, 0.75)),
        inside_ninety_share: weighted_mean(&seen, |i| inside(i, 0.05, 0.95)),
        width_ninety_k: weighted_mean(&seen, |i| limit(i, 0.95) - limit(i, 0.05)),
        miss: Miss { at_s: seen[worst].point.at_s, off_k: off[worst] },
    })
}

/// All members at a time, sorted upwards; `None` outside the times.
fn members_at(times_s: &[f64], rows: &[&[f64]], at_s: f64) -> Option<Vec<f64>> {
    let above = times_s.partition_point(|t_s| *t_s < at_s);
    let (below, above) = (above.checked_sub(1).unwrap_or(above), above);
    let (from_s, to_s) = (*times_s.get(below)?, *times_s.get(above)?);
    let part = if to_s > from_s { (at_s - from_s) / (to_s - from_s) } else { 0.0 };
    if !(0.0..=1.0).contains(&part) || at_s < from_s {
        return None;
    }
    let pairs = rows.get(below)?.iter().zip(rows.get(above)?.iter());
    let mut row: Vec<f64> = pairs.map(|(a, b)| a + part * (b - a)).collect();
    row.sort_unstable_by(f64::total_cmp);
    Some(row)
}

/// Scores a curve without a spread, `curve_c` at the times of `seen`.
#[must_use]
pub fn score_curve(curve_c: &[f64], seen: &[Seen]) -> Option<CurveScore> {
    if seen.is_empty() || curve_c.len() != seen.len() || curve_c.iter().any(|t_c| !t_c.is_finite()) {
        return None;
    }
    let off = |i: usize| curve_c[i] - seen[i].point.value_c;
    Some(CurveScore {
        rms_k: weighted_mean(seen, |i| off(i) * off(i)).sqrt(),
        crps_k: weighted_mean(seen, |i| off(i).abs()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door(at_s: f64, door: Door) -> Event {
        Event { at_s, action: Action::Door(door) }
    }

    fn minutes(range: std::ops::RangeInclusive<u32>) -> Vec<Point> {
        range.map(|m| Point { at_s: 60.0 * f64::from(m), value_c: 100.0 }).collect()
    }

    #[test]
    fn only_a_door_shut_for_ten_minutes_counts() {
        let events = [door(0.0, Door::Shut), door(1800.0, Door::Ajar(0.2)), door(2400.0, Door::Shut)];
        let seen = scored(&minutes(0..=60), &events, 900.0, 3300.0);
        let times: Vec<f64> = seen.iter().map(|s| s.point.at_s / 60.0).collect();
        let expected: Vec<f64> = (16..30).chain(51..=55).map(f64::from).collect();
        assert_eq!(times, expected);
        assert!(!settled(&[], 9e9), "a door nobody shut is open");
        assert!(settled(&[door(0.0, Door::Shut), door(700.0, Door::Shut)], 750.0), "shut again while shut");
    }

    #[test]
    fn a_day_is_shut_when_the_door_stays_on_with_the_fire_out() {
        use ovenfall_engine::drive::Wood;
        let wood = Action::WoodOn(Wood { mass_kg: 3.0, moisture: 0.18, dry_ncv_mj_kg: 18.8 });
        let over_fire = [door(600.0, Door::Shut), door(4000.0, Door::Open)];
        let out = Event { at_s: 4000.0, action: Action::RakeOut };
        let load = [door(5000.0, Door::Shut), door(6000.0, Door::Open), door(6200.0, Door::Shut)];
        let mut events = vec![Event { at_s: 0.0, action: wood }];
        events.extend(over_fire);
        events.push(out);
        events.extend(load);
        let drive = Drive { events, ..Drive::default() };
        assert_eq!(shutting_s(&drive, 9000.0), Some(6200.0));
        assert_eq!(shutting_s(&drive, 7000.0), None, "not known for long enough");
    }

    /// One value in an hour counts for no more than ten minutes to either side; the ends have the weight of their
    /// inner side.
    #[test]
    fn values_count_for_the_time_they_stand_for() {
        let at = |m: f64| Point { at_s: 60.0 * m, value_c: 1.0 };
        let seen = scored(&[at(20.0), at(21.0), at(23.0), at(90.0)], &[door(0.0, Door::Shut)], 0.0, 1e6);
        let for_min: Vec<f64> = seen.iter().map(|s| s.stands_for_s / 60.0).collect();
        assert_eq!(for_min, [1.0, 1.5, 6.0, 10.0]);
        let alone = scored(&[at(20.0)], &[door(0.0, Door::Shut)], 0.0, 1e6);
        assert!((alone[0].stands_for_s - LONGEST_GAP_S).abs() < 1e-9);
    }

    fn seen(at_s: f64, value_c: f64, stands_for_s: f64) -> Seen {
        Seen { point: Point { at_s, value_c }, stands_for_s }
    }

    /// Members 90, 100, 110 falling by 10 an hour; by hand.
    #[test]
    fn a_score_by_hand() {
        let members = Series::new(3, vec![110.0, 90.0, 100.0, 100.0, 80.0, 90.0]);
        let came = [seen(0.0, 103.0, 1.0), seen(1800.0, 95.0, 3.0), seen(7200.0, 0.0, 1.0)];
        let score = score(&[0.0, 3600.0], &members, &came).unwrap();
        assert_eq!(score.count, 2, "what came after the end is not scored");
        assert!((score.rms_k - (0.25 * 9.0_f64).sqrt()).abs() < 1e-12, "{score:?}");
        assert!((score.mean_off_k + 0.75).abs() < 1e-12);
        assert_eq!((score.inside_half_share, score.inside_ninety_share), (1.0, 1.0));
        assert!((score.width_ninety_k - 18.0).abs() < 1e-12);
        assert_eq!(score.miss, Miss { at_s: 0.0, off_k: -3.0 });
        // Distances 7, 3, 13 and 10, 0, 10; half the mean over pairs is 40/9.
        let crps = 0.25 * (23.0 / 3.0 - 40.0 / 9.0) + 0.75 * (20.0 / 3.0 - 40.0 / 9.0);
        assert!((score.crps_k - crps).abs() < 1e-12, "{score:?} {crps}");
    }

    #[test]
    fn nothing_seen_is_no_score() {
        let members = Series::new(2, vec![1.0, 2.0]);
        assert_eq!(score(&[0.0], &members, &[]), None);
        assert_eq!(score(&[0.0], &members, &[seen(5.0, 1.0, 1.0)]), None);
        assert!(score(&[5.0], &members, &[seen(5.0, 1.0, 1.0)]).is_some(), "at the only time");
        let torn = Series::new(2, vec![1.0, f64::NAN]);
        assert_eq!(score(&[0.0], &torn, &[seen(0.0, 1.0, 1.0)]), None);
    }

    #[test]
    fn curves_and_skill_by_hand() {
        let came = [seen(0.0, 10.0, 1.0), seen(1.0, 10.0, 3.0)];
        let score = score_curve(&[14.0, 8.0], &came).unwrap();
        assert!((score.rms_k - 7.0_f64.sqrt()).abs() < 1e-12);
        assert!((score.crps_k - 2.5).abs() < 1e-12);
        assert_eq!(score_curve(&[1.0], &came), None);
        assert_eq!(score_curve(&[1.0, f64::NAN], &came), None);
        assert_eq!(skill_share(5.0, 20.0), Some(0.75));
        assert_eq!(skill_share(5.0, 0.0), None);
    }
}
