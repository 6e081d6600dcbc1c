//! A medium by plain answers: how much water and how much air a container of it keeps when it was soaked and has drained.
//!
//! The letters of its curve follow the answers, and no further than they must. Air and water together are all its pores. The share of the air
//! that stays trapped when soaked, and the water held too tightly for roots, stay what they are as long as they leave room for what drains
//! ([`ROOM`]). The suction at which the curve begins to drain (α) is then sought so that the container holds what was answered; where the
//! medium would have to let go at less than a centimetre of suction, it is made to empty over a narrower range (n) first, then to hold less
//! that is tight, then to drain from its very base, and at last coarser still. How a medium of no known curve does it nobody can tell from
//! two numbers: that order is judgement, and whoever knows the letters sets them.

use crate::physics::drained::mean_saturation;
use crate::scenario::{Curve, Medium, ranges};

/// Water or air of a container that was soaked and has drained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kept {
    /// Water, m³/m³: the container's capacity.
    Water,
    /// Air, m³/m³.
    Air,
}

/// Why no medium has the answers that were given.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Cannot {
    /// More than a medium has room for.
    #[error(
        "{:.0} % of water and {:.0} % of air are {:.0} % together, and a medium is no more than {:.0} % pores.",
        100.0 * water, 100.0 * air, 100.0 * (water + air), 100.0 * ranges::MOST_PORES
    )]
    TooMuch {
        /// m³/m³.
        water: f64,
        /// m³/m³.
        air: f64,
    },
    /// Less than any medium keeps.
    #[error(
        "A container {height_cm:.0} cm high keeps at least {:.0} % of water and {:.1} % of air: less of either no pores would do.",
        100.0 * LEAST_WATER, 100.0 * LEAST_AIR
    )]
    TooLittle {
        /// cm.
        height_cm: f64,
    },
    /// Answers are for curves after van Genuchten.
    #[error("A curve after Gardner or Haverkamp is set by its letters alone.")]
    OtherCurve,
}

/// Least water that can be answered, m³/m³ (judgement: the coarsest curve that the engine takes keeps less in a container of 5 cm).
pub const LEAST_WATER: f64 = 0.08;
/// Least air that can be answered, m³/m³ (judgement: less than growers can measure).
pub const LEAST_AIR: f64 = 0.005;
/// Trapped air takes at most this share of the air when drained, and water held too tightly at most this share of the water (judgement).
const ROOM: f64 = 0.75;
/// α that the letters go to before anything else is changed, 1/cm (judgement: it drains at a suction of a centimetre, as the coarsest media
/// that are sold do).
const COARSE: f64 = 1.0;
/// Halvings of a range: to the last digits that a number has.
const HALVINGS: u32 = 60;

/// Water of a straight container of a medium that was soaked and has drained, m³/m³; its height in cm.
#[must_use]
pub fn water(medium: &Medium, height_cm: f64) -> f64 {
    let (theta_s, theta_r) = (medium.curve.theta_s(), medium.curve.theta_r());
    theta_r + (theta_s - theta_r) * mean_saturation(&medium.curve.shape(medium.full_up_to()), height_cm)
}

/// Its air then, m³/m³.
#[must_use]
pub fn air(medium: &Medium, height_cm: f64) -> f64 {
    medium.porosity - water(medium, height_cm)
}

/// Whether answers can be given for a medium: its curve is one after van Genuchten.
#[must_use]
pub fn answers(medium: &Medium) -> bool {
    matches!(medium.curve, Curve::VanGenuchten { .. })
}

/// What can be answered beside the other answer, m³/m³.
#[must_use]
pub fn range(medium: &Medium, height_cm: f64, kept: Kept) -> ranges::Range {
    let (least, other) = match kept {
        Kept::Water => (LEAST_WATER, air(medium, height_cm)),
        Kept::Air => (LEAST_AIR, water(medium, height_cm)),
    };
    (least, (ranges::MOST_PORES - other).max(least))
}

/// Why no more can be answered beside the other answer, in words.
#[must_use]
pub fn beside(medium: &Medium, height_cm: f64, kept: Kept) -> String {
    let (_, most) = range(medium, height_cm, kept);
    let (one, other, held) = match kept {
        Kept::Water => ("water", "air", air(medium, height_cm)),
        Kept::Air => ("air", "water", water(medium, height_cm)),
    };
    format!(
        "Beside {:.1} % of {other} there is room for {:.1} % of {one}: no more than {:.0} % of a medium are pores.",
        100.0 * held,
        100.0 * most,
        100.0 * ranges::MOST_PORES
    )
}

/// The medium with one answer given, m³/m³, and the other kept, in a container of a height, cm.
///
/// ```
/// use slakeline::edits::drained::{Kept, air, answered, water};
/// use slakeline::scenario::presets::Library;
/// let coir = Library::shipped().media.into_iter().find(|m| m.name == "coir pith").unwrap();
/// let made = answered(&coir, 20.0, Kept::Water, 0.60).unwrap();
/// assert!((water(&made, 20.0) - 0.60).abs() < 1e-9 && (air(&made, 20.0) - air(&coir, 20.0)).abs() < 1e-9);
/// // 90 % of water beside that much air is more than pores can be
/// assert!(answered(&coir, 20.0, Kept::Water, 0.90).unwrap_err().to_string().contains("together"));
/// ```
///
/// # Errors
/// [`Cannot`]: why no medium has both.
pub fn answered(medium: &Medium, height_cm: f64, kept: Kept, value: f64) -> Result<Medium, Cannot> {
    let (water, air) = match kept {
        Kept::Water => (value, air(medium, height_cm)),
        Kept::Air => (water(medium, height_cm), value),
    };
    keeping(medium, height_cm, water, air)
}

/// The medium that keeps so much water and air, m³/m³, in a container of a height, cm: the nearest to another that does.
///
/// # Errors
/// [`Cannot`]: why no medium does.
pub fn keeping(medium: &Medium, height_cm: f64, water: f64, air: f64) -> Result<Medium, Cannot> {
    const ROUNDING: f64 = 1e-9;
    if !answers(medium) {
        return Err(Cannot::OtherCurve);
    }
    if water + air > ranges::MOST_PORES + ROUNDING {
        return Err(Cannot::TooMuch { water, air });
    }
    // Not a number fails every comparison.
    if !(water >= LEAST_WATER - ROUNDING && air >= LEAST_AIR - ROUNDING) {
        return Err(Cannot::TooLittle { height_cm });
    }
    let trapped = (medium.porosity - medium.curve.theta_s()).clamp(0.0, ROOM * air);
    let porosity = (water + air).min(ranges::MOST_PORES);
    let mut next = Medium { porosity, ..medium.clone() };
    if let Curve::VanGenuchten { theta_s, theta_r, .. } = &mut next.curve {
        *theta_s = porosity - trapped;
        *theta_r = theta_r.min(ROOM * water).max(ranges::LEAST_THETA_R);
    }
    sought(next, height_cm, water).ok_or(Cannot::TooLittle { height_cm })
}

/// The curve's letters, each in its turn, until the container holds so much water.
fn sought(mut medium: Medium, height_cm: f64, wanted: f64) -> Option<Medium> {
    let turns: [fn(&mut Medium) -> Turn; 5] = [
        // From where it hardly drains to where it drains at a centimetre, or at less where it does so already.
        |m| turn('α', ranges::ALPHA.0, COARSE.max(letter(m, 'α')), true),
        |m| {
            // What is usual for a curve's n would jump on the way.
            m.capillary_height_cm = Some(m.full_up_to());
            let (n, alpha) = (letter(m, 'n'), letter(m, 'α'));
            turn('n', n, steepest(alpha).max(n), true)
        },
        |m| turn('r', letter(m, 'r'), ranges::LEAST_THETA_R, false),
        |m| turn('h', m.full_up_to(), 0.0, false),
        |m| turn('α', letter(m, 'α'), ranges::ALPHA.1, true),
    ];
    for turn in turns {
        let turn = turn(&mut medium);
        let n = letter(&mut medium, 'n');
        let held = |m: &mut Medium, share: f64| {
            put(m, turn.letter, turn.at(share));
            if turn.letter == 'α' {
                // The coarser, the less steep it may be.
                put(m, 'n', n.min(steepest(turn.at(share))));
            }
            water(m, height_cm)
        };
        if held(&mut medium, 1.0) > wanted {
            continue;
        }
        // It holds less the further a letter goes: halving finds where it holds what is wanted.
        let (mut more, mut less) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (more + less);
            *(if held(&mut medium, middle) > wanted { &mut more } else { &mut less }) = middle;
        }
        let reached = held(&mut medium, 0.5 * (more + less));
        return ((reached - wanted).abs() < 1e-6).then_some(medium);
    }
    None
}

/// The largest n for an α, a little less, so that rounding never carries it over the limit.
fn steepest(alpha: f64) -> f64 {
    ranges::n(alpha).1 * (1.0 - 1e-9)
}

/// A letter that is changed, from where it leaves more water to where it leaves less.
#[derive(Clone, Copy)]
struct Turn {
    letter: char,
    from: f64,
    to: f64,
    in_proportion: bool,
}

fn turn(letter: char, from: f64, to: f64, in_proportion: bool) -> Turn {
    Turn { letter, from, to, in_proportion }
}

impl Turn {
    fn at(self, share: f64) -> f64 {
        if self.in_proportion { self.from * (self.to / self.from).powf(share) } else { self.from + (self.to - self.from) * share }
    }
}

fn place(medium: &mut Medium, letter: char) -> Option<&mut f64> {
    match (&mut medium.curve, letter) {
        (Curve::VanGenuchten { alpha_per_cm, .. }, 'α') => Some(alpha_per_cm),
        (Curve::VanGenuchten { n, .. }, 'n') => Some(n),
        (Curve::VanGenuchten { theta_r, .. }, 'r') => Some(theta_r),
        (_, 'h') => medium.capillary_height_cm.as_mut(),
        _ => None,
    }
}

fn letter(medium: &mut Medium, letter: char) -> f64 {
    place(medium, letter).map_or(0.0, |value| *value)
}

fn put(medium: &mut Medium, letter: char, to: f64) {
    if let Some(value) = place(medium, letter) {
        *value = to;
    }
}
