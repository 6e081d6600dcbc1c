//! What a day is worth in a few words: which figure of which lane is furthest off its aim.

use serde::Serialize;

use super::aims::Aims;
use super::day::DayFigures;
use super::marks::SUFFERS;
use super::miss::misses_against;
use super::verdict::Mood;
use crate::units::{EcUnit, Quantity, Units};

/// What is the matter with a figure, with the value it has.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Fault {
    /// The run did not reach the day's end.
    Stopped,
    /// The run's books do not close: none of its figures can be relied on.
    Unclosed,
    /// The plant gets this share of what it asks for, 0–1.
    Uptake(f64),
    /// Highest water content under the band.
    TooDry,
    /// Highest water content over the band.
    TooWet,
    /// Night dry-back below its range.
    DriesTooLittle,
    /// Night dry-back above its range.
    DriesTooFar,
    /// Share drained below its range.
    DrainLow,
    /// Share drained above its range.
    DrainHigh,
    /// Root-zone EC below its range, mS/cm.
    SaltLow(f64),
    /// Root-zone EC above its range, mS/cm.
    SaltHigh(f64),
    /// Lowest air below what is worth keeping, m³/m³.
    AirLow(f64),
}

impl Fault {
    /// Two or three plain words, in the units shown: what is off first, then the number, so that where there is no room for both the words stay.
    #[must_use]
    pub fn words(self, units: Units) -> String {
        // Ppm name their scale: the same water reads differently on each.
        let salt = |ec: f64| match units.ec {
            EcUnit::MsCm => format!("{ec:.1}"),
            _ => Quantity::Ec.text(ec, units),
        };
        match self {
            Self::Stopped => "run stopped".to_owned(),
            Self::Unclosed => "run failed".to_owned(),
            // No break before a sign of percent.
            Self::Uptake(share) => format!("uptake {:.0}\u{a0}%", 100.0 * share),
            Self::TooDry => "stays too dry".to_owned(),
            Self::TooWet => "too wet".to_owned(),
            Self::DriesTooLittle => "shallow dry-back".to_owned(),
            Self::DriesTooFar => "deep dry-back".to_owned(),
            Self::DrainLow => "drain low".to_owned(),
            Self::DrainHigh => "drain high".to_owned(),
            Self::SaltLow(ec) => format!("salt low, {}", salt(ec)),
            Self::SaltHigh(ec) => format!("salt high, {}", salt(ec)),
            Self::AirLow(air) => format!("air low, {:.0}\u{a0}%", 100.0 * air),
        }
    }

    /// What is alarming whatever else is off: it comes first.
    fn is_alarming(self) -> bool {
        matches!(self, Self::Stopped | Self::Unclosed) || matches!(self, Self::Uptake(met) if met < SUFFERS)
    }
}

/// The figure that is furthest off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FurthestOff {
    /// The lane's index.
    pub lane: usize,
    /// What is the matter.
    pub fault: Fault,
    /// How far off it is: 1 is the width of its band past the band's end.
    pub off: f64,
}

/// What a day is worth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum DayState {
    /// The tank gave some events less than they asked for, or nothing.
    TankEmpty,
    /// Every lane gets enough, and no aim is set that could be missed.
    NoAims,
    /// Every figure that has an aim is within it.
    Good,
    /// At least one figure is off; this one furthest.
    Attention(FurthestOff),
}

impl DayState {
    /// Its mood.
    #[must_use]
    pub fn mood(&self) -> Mood {
        match self {
            Self::NoAims => Mood::Plain,
            Self::Good => Mood::Good,
            Self::Attention(_) | Self::TankEmpty => Mood::Attention,
        }
    }

    /// The same where the books of a lane (its index) do not close: whatever its figures say, that comes first.
    #[must_use]
    pub fn with_unclosed(self, lane: Option<usize>) -> Self {
        lane.map_or(self, |lane| Self::Attention(FurthestOff { lane, fault: Fault::Unclosed, off: f64::INFINITY }))
    }

    /// The same where the tank ran empty: that is what to look at first, unless a run stopped.
    #[must_use]
    pub fn with_tank(self, short: u32) -> Self {
        match self {
            Self::Attention(FurthestOff { fault: Fault::Stopped, .. }) => self,
            _ if short > 0 => Self::TankEmpty,
            _ => self,
        }
    }

    /// The words for a bench of some lanes, in the units shown: the lane is named where there are several.
    #[must_use]
    pub fn words(&self, lanes: usize, units: Units) -> String {
        match self {
            Self::TankEmpty => "tank ran empty".to_owned(),
            Self::NoAims => "no aims set".to_owned(),
            Self::Good => "all within aims".to_owned(),
            Self::Attention(furthest) if lanes > 1 => format!("lane {}: {}", furthest.lane + 1, furthest.fault.words(units)),
            Self::Attention(furthest) => furthest.fault.words(units),
        }
    }
}

/// What a day is worth: the lanes' figures with what they are held against, `None` for a lane that did not reach the day's end. Of two that
/// are as far off, the earlier lane's earlier figure is told.
#[must_use]
pub fn day_state<'a>(lanes: impl Iterator<Item = Option<(&'a DayFigures, &'a Aims)>>) -> DayState {
    let (mut furthest, mut any) = (None::<FurthestOff>, false);
    for (lane, day) in lanes.enumerate() {
        any |= day.is_some_and(|(_, aims)| !aims.none());
        for (fault, off) in day.map_or_else(|| vec![(Fault::Stopped, f64::INFINITY)], |(f, aims)| faults(f, aims)) {
            let rank = |w: &FurthestOff| (w.fault.is_alarming(), w.off);
            let this = FurthestOff { lane, fault, off };
            if furthest.is_none_or(|w| rank(&this) > rank(&w)) {
                furthest = Some(this);
            }
        }
    }
    match furthest {
        Some(furthest) => DayState::Attention(furthest),
        None if any => DayState::Good,
        None => DayState::NoAims,
    }
}

/// What is off in a lane's day, and how far.
fn faults(f: &DayFigures, aims: &Aims) -> Vec<(Fault, f64)> {
    let missed = misses_against(f, aims);
    let (uptake, air, ec) = (Fault::Uptake(f.uptake_met), Fault::AirLow(f.lowest_air), f.root_zone_ec);
    let sides = [
        (missed.uptake_met, uptake, uptake),
        (missed.peak, Fault::TooDry, Fault::TooWet),
        (missed.dry_back, Fault::DriesTooLittle, Fault::DriesTooFar),
        (missed.drain, Fault::DrainLow, Fault::DrainHigh),
        (missed.root_zone_ec, Fault::SaltLow(ec), Fault::SaltHigh(ec)),
        (missed.lowest_air, air, air),
    ];
    let off = |(by, below, above): (Option<f64>, Fault, Fault)| {
        let by = by.filter(|by| *by != 0.0)?;
        Some((if by < 0.0 { below } else { above }, by.abs()))
    };
    sides.into_iter().filter_map(off).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::{Workshop, run};
    use crate::figures::{day_figures, verdicts};
    use crate::scenario::Lane;
    use crate::scenario::presets::{Library, demos};

    /// A lane of the first demo and a day of it that keeps every aim.
    fn day() -> (Lane, DayFigures) {
        let (library, mut scenario) = (Library::shipped(), demos().remove(0).1);
        scenario.days = 1;
        let run = run(&Workshop::default().ready(&scenario, &library).unwrap().for_its_days(), 1);
        let mut lane = scenario.lanes[0].clone();
        let figures = day_figures(&run.lanes[0], &lane, 0).unwrap();
        let around = |x: f64, by: f64| Some((x - by, x + by));
        lane.targets.water_content = around(figures.peak, 0.05);
        lane.targets.dry_back_points = around(figures.dry_back.unwrap().points, 2.0);
        lane.targets.drain_percent = around(100.0 * figures.drain_fraction.unwrap(), 5.0);
        lane.targets.root_zone_ec = around(figures.root_zone_ec, 0.5);
        lane.targets.lowest_air = Some(0.5 * figures.lowest_air);
        (lane, DayFigures { uptake_met: 1.0, ..figures })
    }

    fn of(lane: &Lane, figures: &DayFigures) -> DayState {
        let aims = Aims::set(&lane.targets);
        day_state([Some((figures, &aims))].into_iter())
    }

    fn words(lane: &Lane, figures: &DayFigures) -> String {
        of(lane, figures).words(1, Units::default())
    }

    #[test]
    fn a_day_that_keeps_its_aims_is_good_and_one_without_aims_is_neither() {
        let (mut lane, figures) = day();
        assert_eq!((of(&lane, &figures), words(&lane, &figures).as_str()), (DayState::Good, "all within aims"));
        lane.targets = crate::scenario::Targets::default();
        assert_eq!((of(&lane, &figures), words(&lane, &figures).as_str()), (DayState::NoAims, "no aims set"));
        assert_eq!(of(&lane, &figures).mood(), Mood::Plain);
    }

    #[test]
    fn each_figure_is_told_on_the_side_that_it_is_off() {
        let (lane, figures) = day();
        let f = &figures;
        let dry_back = |by: f64| f.dry_back.map(|d| crate::figures::DryBack { points: d.points + by, ..d });
        let cases = [
            (DayFigures { peak: f.peak - 0.06, ..f.clone() }, "stays too dry"),
            (DayFigures { peak: f.peak + 0.06, ..f.clone() }, "too wet"),
            (DayFigures { dry_back: dry_back(-2.5), ..f.clone() }, "shallow dry-back"),
            (DayFigures { dry_back: dry_back(2.5), ..f.clone() }, "deep dry-back"),
            (DayFigures { drain_fraction: f.drain_fraction.map(|d| d - 0.06), ..f.clone() }, "drain low"),
            (DayFigures { drain_fraction: f.drain_fraction.map(|d| d + 0.06), ..f.clone() }, "drain high"),
            (DayFigures { root_zone_ec: f.root_zone_ec - 0.6, ..f.clone() }, "salt low,"),
            (DayFigures { root_zone_ec: f.root_zone_ec + 0.6, ..f.clone() }, "salt high,"),
            (DayFigures { lowest_air: 0.4 * f.lowest_air, ..f.clone() }, "air low,"),
            (DayFigures { uptake_met: 0.95, ..f.clone() }, "uptake 95\u{a0}%"),
        ];
        for (figures, said) in cases {
            assert!(words(&lane, &figures).contains(said), "{} is not {said}", words(&lane, &figures));
            assert_eq!(of(&lane, &figures).mood(), Mood::Attention);
        }
    }

    #[test]
    fn the_figure_furthest_off_in_widths_of_its_band_is_told() {
        let (lane, mut figures) = day();
        // Half a band's width of salt, a tenth of a band's width of water.
        figures.root_zone_ec += 1.0;
        figures.peak += 0.06;
        let DayState::Attention(furthest) = of(&lane, &figures) else { panic!("two figures are off") };
        assert!(matches!(furthest.fault, Fault::SaltHigh(_)) && (furthest.off - 0.5).abs() < 1e-9, "{furthest:?}");
        figures.peak += 0.10;
        assert_eq!(words(&lane, &figures), "too wet");
    }

    #[test]
    fn the_lane_furthest_off_is_named_and_a_plant_that_suffers_comes_first() {
        let (lane, good) = day();
        let salty = DayFigures { root_zone_ec: good.root_zone_ec + 3.0, ..good.clone() };
        let thirsty = DayFigures { uptake_met: 0.89, ..good.clone() };
        let aims = Aims::set(&lane.targets);
        let told = |days: [Option<&DayFigures>; 2]| day_state(days.map(|f| Some((f?, &aims))).into_iter()).words(2, Units::default());
        assert!(told([Some(&good), Some(&salty)]).starts_with("lane 2: salt "));
        assert_eq!(told([Some(&salty), Some(&thirsty)]), "lane 2: uptake 89\u{a0}%");
        assert_eq!(told([None, Some(&thirsty)]), "lane 1: run stopped");
        assert_eq!(told([Some(&good), Some(&good)]), "all within aims");
    }

    #[test]
    fn a_run_whose_books_do_not_close_comes_before_all() {
        let (lane, good) = day();
        let state = of(&lane, &good);
        assert_eq!(state.with_unclosed(None), DayState::Good);
        for state in [state, state.with_tank(1), day_state([None].into_iter())] {
            let failed = state.with_unclosed(Some(1));
            assert_eq!((failed.words(2, Units::default()).as_str(), failed.mood()), ("lane 2: run failed", Mood::Attention));
        }
    }

    #[test]
    fn an_empty_tank_comes_before_all_but_a_lane_that_stopped() {
        let (lane, good) = day();
        let salty = DayFigures { root_zone_ec: good.root_zone_ec + 3.0, ..good.clone() };
        for figures in [&good, &salty] {
            let state = of(&lane, figures);
            assert_eq!(state.with_tank(0), state);
            assert_eq!(state.with_tank(2).words(1, Units::default()), "tank ran empty");
            assert_eq!(state.with_tank(2).mood(), Mood::Attention);
        }
        let stopped = day_state([None].into_iter());
        assert_eq!(stopped.with_tank(2), stopped);
    }

    #[test]
    fn a_band_of_no_width_makes_nothing_endless() {
        let (mut lane, mut figures) = day();
        lane.targets.root_zone_ec = Some((figures.root_zone_ec, figures.root_zone_ec));
        figures.root_zone_ec *= 1.001;
        figures.peak += 0.08;
        assert_eq!(words(&lane, &figures), "too wet");
    }

    #[test]
    fn attention_is_paid_where_a_verdict_asks_for_it() {
        let library = Library::shipped();
        for (name, scenario) in demos() {
            let run = run(&Workshop::default().ready(&scenario, &library).unwrap().for_its_days(), scenario.days);
            for day in 0..scenario.days as usize {
                let lanes = || scenario.lanes.iter().zip(&run.lanes);
                let figures: Vec<_> = lanes().map(|(l, r)| day_figures(r, l, day)).collect();
                let aims: Vec<Aims> = scenario.lanes.iter().map(|l| Aims::set(&l.targets)).collect();
                let asked = aims.iter().zip(&figures).any(|(aims, f)| {
                    let v = f.as_ref().map(|f| verdicts(f, aims)).unwrap();
                    let all = [v.peak, v.dry_back, v.drain, v.root_zone_ec, v.lowest_air, v.uptake_met];
                    all.iter().any(|v| v.mood == Mood::Attention)
                });
                let state = day_state(figures.iter().zip(&aims).map(|(f, aims)| Some((f.as_ref()?, aims))));
                assert_eq!(state.mood() == Mood::Attention, asked, "{name}, day {day}: {state:?}");
            }
        }
    }

    #[test]
    fn salt_is_told_in_the_units_shown() {
        let ppm = Units { ec: EcUnit::Ppm500, ..Units::default() };
        assert_eq!(Fault::SaltHigh(4.13).words(Units::default()), "salt high, 4.1");
        assert_eq!(Fault::SaltHigh(4.13).words(ppm), "salt high, 2065 ppm (500)");
    }
}
