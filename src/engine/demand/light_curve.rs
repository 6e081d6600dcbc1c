//! How a day's light comes: its share so far, and where it bends.

use crate::scenario::{DAY_S, Light, LightShape};

/// Length of the ramp of lamps, s.
const RAMP_S: f64 = 900.0;

/// Share of the day's light that has fallen by a time of day in seconds, 0–1.
#[must_use]
pub fn light_so_far(light: &Light, t_s: f64) -> f64 {
    let (on, off) = (light.on.seconds(), light.off.seconds());
    let length = off - on;
    if length <= 0.0 {
        return 0.0;
    }
    let x = (t_s - on).clamp(0.0, length);
    match light.shape {
        LightShape::Sun => 0.5 * (1.0 - (std::f64::consts::PI * x / length).cos()),
        LightShape::Lamps => {
            let ramp = RAMP_S.min(0.5 * length);
            let level = 1.0 / (length - ramp);
            let up = |x: f64| 0.5 * level * x * x / ramp;
            if x < ramp {
                up(x)
            } else if x > length - ramp {
                1.0 - up(length - x)
            } else {
                up(ramp) + level * (x - ramp)
            }
        }
    }
}

/// The next time after `t_s` at which a light begins, ends, or its lamps are fully on.
#[must_use]
pub fn next_bend(light: &Light, t_s: f64) -> Option<f64> {
    let (on, off) = (light.on.seconds(), light.off.seconds());
    let ramp = RAMP_S.min(0.5 * (off - on));
    let bends = match light.shape {
        LightShape::Sun => [on, off, on, off],
        LightShape::Lamps => [on, on + ramp, off - ramp, off],
    };
    let day = (t_s / DAY_S).floor();
    let next = |day: f64| bends.iter().map(|b| day * DAY_S + b).filter(|&b| b > t_s + 1e-6).fold(f64::INFINITY, f64::min);
    let found = next(day);
    Some(if found.is_finite() { found } else { next(day + 1.0) })
}
