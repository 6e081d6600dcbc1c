//! What keeps a plant from the water it asks for, as the ledger has it.

use crate::engine::step::lost::Lost;
use crate::figures::day::DayFigures;
use crate::scenario::Crop;
use crate::units::suction_kpa;

/// Loss of the day's demand below which nothing is said, as a share (judgement).
pub const WORTH_TELLING: f64 = 0.005;
/// A second cause is told where it costs at least this share of what the first one costs (judgement).
const CLOSE: f64 = 0.6;

/// What can keep a plant from its water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeldBack {
    /// Too little water at the roots.
    Water,
    /// Too little air at the roots.
    Air,
    /// Too much salt at the roots.
    Salt,
}

/// What cost a plant most of what it lost, and what came close to that if anything did; `None` where less than half a percent of the demand
/// was lost.
#[must_use]
pub fn held_back(lost: &Lost, demanded_ml: f64) -> Option<(HeldBack, Option<HeldBack>)> {
    if demanded_ml <= 0.0 || lost.total() < WORTH_TELLING * demanded_ml {
        return None;
    }
    let mut causes = [(HeldBack::Water, lost.water), (HeldBack::Air, lost.air), (HeldBack::Salt, lost.salt)];
    causes.sort_by(|a, b| b.1.total_cmp(&a.1));
    let [(first, most), (second, next), _] = causes;
    Some((first, (next >= CLOSE * most).then_some(second)))
}

/// That the plant gets less than it asks for and why, if so.
pub(super) fn sentence(figures: &DayFigures, crop: &Crop) -> Option<String> {
    let lost = &figures.uptake_lost_ml;
    let (first, second) = held_back(lost, figures.taken_up_ml + lost.total())?;
    let why = |cause| match cause {
        HeldBack::Water if figures.highest_suction_kpa > suction_kpa(crop.stress.begins_cm) => "the roots run short of water",
        HeldBack::Water => "some of the roots run short of water",
        HeldBack::Air if figures.lowest_air < crop.stress.air_enough => "the roots lack air",
        HeldBack::Air => "some of the roots lack air",
        HeldBack::Salt => "salt holds the roots back",
    };
    let both = second.map_or_else(String::new, |second| format!(", and {}", why(second)));
    // Of a loss that is told no percent is rounded away.
    let decimals = usize::from(figures.uptake_met > 0.95);
    let met = format!("{:.decimals$} %", 100.0 * figures.uptake_met);
    Some(format!("The plant gets {met} of what it asks for: {}{both}.", why(first)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(water: f64, air: f64, salt: f64) -> Option<(HeldBack, Option<HeldBack>)> {
        held_back(&Lost { water, air, salt }, 1000.0)
    }

    #[test]
    fn the_largest_is_told_and_what_comes_close_to_it() {
        use HeldBack::{Air, Salt, Water};
        assert_eq!(told(100.0, 59.0, 0.0), Some((Water, None)));
        assert_eq!(told(100.0, 60.0, 0.0), Some((Water, Some(Air))));
        assert_eq!(told(0.0, 10.0, 100.0), Some((Salt, None)));
        assert_eq!(told(1.0, 90.0, 80.0), Some((Air, Some(Salt))));
    }

    #[test]
    fn a_small_loss_and_a_plant_that_asks_for_nothing_are_passed_over() {
        assert_eq!(told(2.0, 2.0, 0.9), None);
        assert_eq!(told(2.0, 2.0, 1.1), Some((HeldBack::Water, Some(HeldBack::Air))));
        assert_eq!(held_back(&Lost::default(), 0.0), None);
        assert_eq!(held_back(&Lost::default(), 1.0), None);
    }
}
