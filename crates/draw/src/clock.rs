//! From minutes after now to the clock on the wall.

/// The clock change of spring or autumn, if it falls into the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClockChange {
    /// When it happens, minutes after now (negative: it has happened).
    pub after_now_min: f64,
    /// How far the clock jumps then, min: +60 in spring, −60 in autumn.
    pub by_min: f64,
}

/// What the clock on the wall says now.
#[derive(Debug, Clone, PartialEq)]
pub struct Clock {
    /// Minutes since local midnight.
    pub now_of_day_min: f64,
    /// Day of the week, Monday 0; `None` when days are not to be named.
    pub weekday_monday0: Option<u8>,
    /// The clock's zone as shown beside the hours, for example `UTC+01:00`; empty for none.
    pub zone: String,
    /// A clock change within the picture.
    pub change: Option<ClockChange>,
}

const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const DAY_MIN: f64 = 1440.0;

impl Clock {
    /// Minutes since the midnight before now, as the wall clock counts.
    pub(crate) fn wall_min(&self, after_now_min: f64) -> f64 {
        let base = if self.now_of_day_min.is_finite() { self.now_of_day_min.rem_euclid(DAY_MIN) } else { 0.0 };
        base + after_now_min + self.jump_min(after_now_min)
    }

    fn jump_min(&self, after_now_min: f64) -> f64 {
        let Some(change) = self.change else { return 0.0 };
        let sound = change.by_min.is_finite() && change.by_min.abs() <= DAY_MIN;
        match (sound, after_now_min >= change.after_now_min, change.after_now_min <= 0.0) {
            (true, true, false) => change.by_min,
            (true, false, true) => -change.by_min,
            _ => 0.0,
        }
    }

    /// Hours and minutes, for example `17:20`.
    #[must_use]
    pub fn hhmm(&self, after_now_min: f64) -> String {
        if !after_now_min.is_finite() {
            return "–".to_owned();
        }
        let minutes = self.wall_min(after_now_min).round().rem_euclid(DAY_MIN);
        format!("{:02}:{:02}", (minutes / 60.0).floor(), minutes % 60.0)
    }

    /// Day of the week and time; without the day where days are not named.
    #[must_use]
    pub fn day_hhmm(&self, after_now_min: f64) -> String {
        match self.day_name(after_now_min) {
            Some(day) => format!("{day} {}", self.hhmm(after_now_min)),
            None => self.hhmm(after_now_min),
        }
    }

    /// Short name of the day of the week.
    #[must_use]
    pub fn day_name(&self, after_now_min: f64) -> Option<&'static str> {
        let first = f64::from(self.weekday_monday0?);
        let day = (self.wall_min(after_now_min).round() / DAY_MIN).floor() + first;
        DAYS.get(day.rem_euclid(7.0) as usize).copied()
    }

    /// Times of whole hours from `from_min` to `to_min`, minutes after now.
    pub(crate) fn whole_hours(&self, from_min: f64, to_min: f64) -> Vec<f64> {
        let into = |t: f64| self.wall_min(t).rem_euclid(60.0);
        let mut out = Vec::new();
        let first_into = into(from_min);
        let mut at = if first_into < 1e-6 { from_min } else { from_min + 60.0 - first_into };
        while at <= to_min + 1e-6 && out.len() < 1000 {
            out.push(at);
            // A hair before the hour is the hour: the figures are rounded.
            let rest = into(at + 1e-6);
            at += if (1e-3..=60.0 - 1e-3).contains(&rest) { 60.0 - rest + 1e-6 } else { 60.0 };
        }
        out
    }

    /// The whole hour of a time (0 to 23).
    pub(crate) fn hour(&self, after_now_min: f64) -> u32 {
        (self.wall_min(after_now_min).round().rem_euclid(DAY_MIN) / 60.0) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn evening() -> Clock {
        Clock { now_of_day_min: 17.0 * 60.0 + 20.0, weekday_monday0: Some(5), zone: String::new(), change: None }
    }

    #[test]
    fn midnight_is_crossed_into_the_next_day() {
        let clock = evening();
        assert_eq!(clock.day_hhmm(0.0), "Sat 17:20");
        assert_eq!(clock.day_hhmm(400.0), "Sun 00:00");
        assert_eq!(clock.day_hhmm(399.6), "Sun 00:00");
        assert_eq!(clock.day_hhmm(-17.0 * 60.0 - 21.0), "Fri 23:59");
        assert_eq!(clock.day_hhmm(400.0 + 1440.0), "Mon 00:00");
    }

    #[test]
    fn whole_hours_are_whole() {
        let clock = evening();
        let hours = clock.whole_hours(-60.0, 720.0);
        assert_eq!(hours.len(), 13);
        assert!(hours.iter().all(|t| clock.hhmm(*t).ends_with(":00")));
        assert_eq!(clock.hhmm(hours[0]), "17:00");
        assert_eq!(clock.hour(hours[7]), 0);
    }

    #[test]
    fn the_spring_change_leaves_an_hour_out_and_the_autumn_change_repeats_one() {
        let mut clock = evening();
        clock.change = Some(ClockChange { after_now_min: 8.0 * 60.0 + 40.0, by_min: 60.0 });
        let labels: Vec<String> = clock.whole_hours(480.0, 660.0).iter().map(|t| clock.hhmm(*t)).collect();
        assert_eq!(labels, ["03:00", "04:00", "05:00"]);
        clock.change = Some(ClockChange { after_now_min: 9.0 * 60.0 + 40.0, by_min: -60.0 });
        let labels: Vec<String> = clock.whole_hours(500.0, 660.0).iter().map(|t| clock.hhmm(*t)).collect();
        assert_eq!(labels, ["02:00", "02:00", "03:00"]);
        clock.change = Some(ClockChange { after_now_min: -60.0, by_min: 60.0 });
        assert_eq!(clock.hhmm(-61.0), "15:19");
    }

    #[test]
    fn odd_input_does_not_hang() {
        let mut clock = evening();
        clock.now_of_day_min = f64::NAN;
        clock.change = Some(ClockChange { after_now_min: f64::NAN, by_min: f64::INFINITY });
        assert!(clock.whole_hours(0.0, 1e9).len() <= 1000);
        assert_eq!(clock.hhmm(f64::NAN), "–");
        clock.now_of_day_min = 0.0;
        clock.change = Some(ClockChange { after_now_min: 1102.16, by_min: -1_195.948_945_859_904_4 });
        let hours = clock.whole_hours(966.83, 2139.6);
        assert!(hours.len() <= 21 && hours.windows(2).all(|w| w[1] - w[0] > 1.0), "{hours:?}");
    }
}
