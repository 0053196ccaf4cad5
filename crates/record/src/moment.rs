//! A time as a person writes it: an instant, and the offset from UTC of the clock on the wall.

use jiff::Timestamp;
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;
use std::fmt;

/// Years a moment may lie in.
const YEARS: std::ops::RangeInclusive<i16> = 1970..=2200;

/// Largest offset from UTC in use, s (UTC+14, with room).
const MAX_OFFSET_S: i32 = 15 * 3600;

/// An instant with the offset it was written in. Two moments of one instant in different offsets are not equal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// The instant.
    pub instant: Timestamp,
    /// Offset of the wall clock from UTC.
    pub offset: Offset,
}

/// Why a text is not a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MomentFault {
    /// Not a date and time at all.
    NotATime,
    /// A date without a time of day.
    NoTimeOfDay,
    /// A date and time without an offset: the instant is not known.
    NoOffset,
    /// The year or the offset is outside the limits.
    OutOfRange,
}

impl Moment {
    /// A moment from its parts.
    #[must_use]
    pub const fn new(instant: Timestamp, offset: Offset) -> Self {
        Self { instant, offset }
    }

    /// Reads RFC 3339: date, `T` or a space, time of day, offset. Seconds may be left out.
    ///
    /// # Errors
    /// Says what is missing or outside the limits.
    pub fn parse(text: &str) -> Result<Self, MomentFault> {
        let pieces = Pieces::parse(text).map_err(|_| MomentFault::NotATime)?;
        let time = pieces.time().ok_or(MomentFault::NoTimeOfDay)?;
        let offset = pieces.to_numeric_offset().ok_or(MomentFault::NoOffset)?;
        if pieces.time_zone_annotation().is_some() {
            return Err(MomentFault::NotATime);
        }
        let date = pieces.date();
        if !YEARS.contains(&date.year()) || offset.seconds().abs() > MAX_OFFSET_S {
            return Err(MomentFault::OutOfRange);
        }
        let instant = offset.to_timestamp(date.to_datetime(time)).map_err(|_| MomentFault::OutOfRange)?;
        Ok(Self { instant, offset })
    }

    /// Seconds from `earlier` to this moment; negative when this one is first.
    #[must_use]
    pub fn seconds_since(&self, earlier: Timestamp) -> f64 {
        self.instant.duration_since(earlier).as_secs_f64()
    }

    /// Time of day on the wall clock, `HH:MM`, for messages.
    #[must_use]
    pub fn clock(&self) -> String {
        let local = self.offset.to_datetime(self.instant);
        format!("{:02}:{:02}", local.hour(), local.minute())
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.instant.display_with_offset(self.offset))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_it_writes() {
        for text in ["2026-01-10T17:00:00+00:00", "2026-07-01T05:30:06.5+02:00", "2026-01-10T08:00:00-09:30"] {
            assert_eq!(Moment::parse(text).unwrap().to_string(), text);
        }
        assert_eq!(Moment::parse("2026-01-10 17:00Z").unwrap().to_string(), "2026-01-10T17:00:00+00:00");
    }

    #[test]
    fn says_what_is_missing() {
        assert_eq!(Moment::parse("2026-01-10T17:00:00"), Err(MomentFault::NoOffset));
        assert_eq!(Moment::parse("2026-01-10"), Err(MomentFault::NoTimeOfDay));
        assert_eq!(Moment::parse("10/01/2026 17:00"), Err(MomentFault::NotATime));
        assert_eq!(Moment::parse("0012-01-10T17:00:00+00:00"), Err(MomentFault::OutOfRange));
    }
}
