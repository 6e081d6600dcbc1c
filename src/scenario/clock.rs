//! Time of day as growers write it.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

pub use crate::units::DAY_S;
use crate::units::{HOUR_S, WHOLE_DAY_S, WHOLE_HOUR_S};

/// A time of day, whole seconds after midnight, 00:00:00 to 24:00:00.
///
/// Written in files as `"08:15"` or `"08:15:30"`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Clock(u32);

impl Clock {
    /// Midnight at the start of the day.
    pub const MIDNIGHT: Self = Self(0);
    /// Midnight at the end of the day.
    pub const END: Self = Self(WHOLE_DAY_S);

    /// From hours and minutes; values past 24:00 are held at 24:00.
    #[must_use]
    pub const fn hm(hours: u32, minutes: u32) -> Self {
        Self::from_seconds(hours * WHOLE_HOUR_S + minutes * 60)
    }

    /// From seconds after midnight; values past 24:00 are held at 24:00.
    #[must_use]
    pub const fn from_seconds(seconds: u32) -> Self {
        if seconds > WHOLE_DAY_S { Self::END } else { Self(seconds) }
    }

    /// From hours after midnight, rounded to the second and held within the day. Not a number counts as midnight.
    #[must_use]
    pub fn from_hours(hours: f64) -> Self {
        // A float-to-integer cast saturates and maps NaN to zero: both are what is wanted here.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        Self::from_seconds((hours * HOUR_S).round().clamp(0.0, DAY_S) as u32)
    }

    /// Seconds after midnight.
    #[must_use]
    pub fn seconds(self) -> f64 {
        f64::from(self.0)
    }

    /// Hours after midnight.
    #[must_use]
    pub fn hours(self) -> f64 {
        f64::from(self.0) / HOUR_S
    }
}

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (h, m, s) = (self.0 / WHOLE_HOUR_S, self.0 / 60 % 60, self.0 % 60);
        if s == 0 { write!(f, "{h:02}:{m:02}") } else { write!(f, "{h:02}:{m:02}:{s:02}") }
    }
}

/// A text that is not a time of day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a time of day; write it as \"08:15\" or \"08:15:30\", from 00:00 to 24:00")]
pub struct ClockError(String);

impl FromStr for Clock {
    type Err = ClockError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = || ClockError(text.chars().take(40).collect());
        let mut fields = [0_u32; 3];
        let mut count = 0;
        for part in text.trim().split(':') {
            // An hour may stand alone, "8:15"; a minute may not: "17:0" could be 17:00 or the beginning of 17:05.
            let figures = if count == 0 { 1..=2 } else { 2..=2 };
            let plain = figures.contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
            if count == 3 || !plain {
                return Err(bad());
            }
            fields[count] = part.parse().map_err(|_| bad())?;
            count += 1;
        }
        let [h, m, s] = fields;
        let seconds = h * WHOLE_HOUR_S + m * 60 + s;
        if count < 2 || m > 59 || s > 59 || seconds > WHOLE_DAY_S {
            return Err(bad());
        }
        Ok(Self(seconds))
    }
}

impl Serialize for Clock {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Clock {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_and_writes_what_growers_write() {
        for (text, seconds) in [("08:15", 29_700), ("8:15", 29_700), ("23:59:59", 86_399), ("24:00", 86_400)] {
            assert_eq!(text.parse::<Clock>().unwrap(), Clock(seconds));
        }
        assert_eq!(Clock::hm(8, 5).to_string(), "08:05");
        assert_eq!(Clock::from_seconds(29_730).to_string(), "08:15:30");
    }

    #[test]
    fn refuses_what_is_not_a_time() {
        for text in ["", "8", "24:01", "08:60", "8:15 am", "-1:00", "08:15:00:00", "17:0", "17:00:5", "017:00", "٠٨:١٥", "999999999999:00"]
        {
            assert!(text.parse::<Clock>().is_err(), "{text}");
        }
        assert_eq!(Clock::from_hours(f64::NAN), Clock::MIDNIGHT);
        assert_eq!(Clock::from_hours(99.0), Clock::END);
    }
}
