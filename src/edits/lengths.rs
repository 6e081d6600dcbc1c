//! Lengths of time and what events give, in words; and lengths as people write them.

use super::refused::Refused;
use crate::scenario::ranges::EVENT_SECONDS;
use crate::scenario::{Event, Give};
use crate::units::HOUR_S;

/// What an event gives, in words.
#[must_use]
pub fn given(event: &Event) -> String {
    match event.give {
        Give::Drip { ml } => format!("{ml:.0} mL"),
        Give::Flood { depth_cm } => format!("flood {depth_cm} cm"),
    }
}

/// How long an event lasts, in words.
#[must_use]
pub fn lasting(event: &Event) -> String {
    length(event.seconds)
}

/// A length of time (s) in words.
#[must_use]
pub fn length(seconds: u32) -> String {
    match (seconds / 60, seconds % 60) {
        (0, s) => format!("{s} s"),
        (m, 0) => format!("{m} min"),
        (m, s) => format!("{m} min {s} s"),
    }
}

/// From one row of a log to the next, in words.
#[must_use]
pub fn every(seconds: u32) -> String {
    if seconds.is_multiple_of(60) { format!("{} min", seconds / 60) } else { format!("{seconds} s") }
}
/// A length from text, s: "5" and "5 min" are minutes, "90 s" seconds, "1:30" minutes and seconds, "1 h 5 min" all of it.
///
/// # Errors
/// [`Refused`], with what it takes.
pub fn length_s(text: &str) -> Result<f64, Refused> {
    let bad = || format!("\"{}\" is no length; write 5 min, 90 s or 1:30, from 5 s to 12 h", text.chars().take(30).collect::<String>());
    any_length_s(text).filter(|s| (EVENT_SECONDS.0..=EVENT_SECONDS.1).contains(s)).ok_or_else(|| bad().into())
}

/// A length of any size from text, whole s; `None` where it is no length.
#[must_use]
pub fn any_length_s(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase().replace(',', ".");
    let number = |part: &str| part.trim().parse::<f64>().ok().filter(|v| v.is_finite() && *v >= 0.0);
    let seconds = if let Some((minutes, seconds)) = text.split_once(':') {
        60.0 * number(minutes)? + number(seconds).filter(|s| *s < 60.0)?
    } else {
        let mut sum = 0.0;
        let mut rest = text.as_str();
        while !rest.is_empty() {
            let digits = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
            let value = number(&rest[..digits])?;
            rest = rest[digits..].trim_start();
            let letters = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
            sum += value
                * match &rest[..letters] {
                    "" | "m" | "min" | "minutes" | "minute" => 60.0,
                    "s" | "sec" | "second" | "seconds" => 1.0,
                    "h" | "hour" | "hours" => HOUR_S,
                    _ => return None,
                };
            rest = rest[letters..].trim_start();
        }
        sum
    };
    (!text.is_empty()).then(|| seconds.round())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::length_s;

    #[test]
    fn lengths_are_read_as_people_write_them() {
        let cases = [("5", 300.0), ("5 min", 300.0), ("90 s", 90.0), ("1:30", 90.0), ("1 min 30 s", 90.0), ("2h", 7200.0), ("0,5", 30.0)];
        for (text, seconds) in cases {
            assert_eq!(length_s(text).unwrap(), seconds, "{text}");
        }
        for text in ["", "soon", "-5", "5 km", "1:90", "4 s", "13 h", "1e9", "nan", "5 5 x", "..", "é"] {
            assert!(length_s(text).is_err(), "{text}");
        }
    }
}
