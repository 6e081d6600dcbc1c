//! Figures beyond belief: what the equations give and no root zone could have.

use serde::Serialize;

use super::day::DayFigures;
use crate::units::{Quantity, Units};

/// EC above which a figure is not to be believed, mS/cm at 25 °C. Our judgement: fruiting crops are run at 3 to 8 in the root zone and no crop
/// of these grows past 15 or so; well before 30 calcium salts fall out of a feed, which the equations keep in solution, and EC no longer
/// rises in step with the salt.
pub const CEILING: f64 = 30.0;

/// What of a day is beyond belief.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Doubtful {
    /// The root zone's EC: of its mean and of midnight before and after the day, the highest.
    RootZone,
    /// The drain's EC.
    Drain,
}

/// A figure beyond belief.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Remark {
    /// Which.
    pub of: Doubtful,
    /// Its value, mS/cm at 25 °C.
    pub ec: f64,
}

/// What of a day's figures is beyond belief; nothing of most.
#[must_use]
pub fn remarks(figures: &DayFigures) -> Vec<Remark> {
    let [before, after] = figures.root_zone_ec_ends;
    let root_zone = figures.root_zone_ec.max(before).max(after);
    let all = [(Doubtful::RootZone, Some(root_zone)), (Doubtful::Drain, figures.drain_ec)];
    all.into_iter().filter_map(|(of, ec)| Some(Remark { of, ec: ec.filter(|ec| *ec > CEILING)? })).collect()
}

impl Remark {
    /// A sentence, in the units shown.
    #[must_use]
    pub fn words(&self, units: Units) -> String {
        let shown = |ec: f64| {
            let decimals = Quantity::Ec.decimals(units).min(1);
            format!("{:.decimals$} {}", Quantity::Ec.shown(ec, units), Quantity::Ec.unit(units))
        };
        let what = match self.of {
            Doubtful::RootZone => "A root-zone EC",
            Doubtful::Drain => "A drain EC",
        };
        format!(
            "{what} of {} is beyond belief: above {} salts fall out, and no crop goes on drinking. Look at the feed's EC, the salt at the \
             start and how much drains.",
            shown(self.ec),
            shown(CEILING)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::{Workshop, run};
    use crate::figures::day_figures;
    use crate::scenario::presets::{Library, demos};
    use crate::units::EcUnit;

    #[test]
    fn what_is_past_the_ceiling_is_remarked_on_and_nothing_else() {
        let library = Library::shipped();
        let scenario = crate::scenario::Scenario { days: 1, ..demos().remove(0).1 };
        let run = run(&Workshop::default().ready(&scenario, &library).unwrap().for_its_days(), 1);
        let day = day_figures(&run.lanes[0], &scenario.lanes[0], 0).unwrap();
        assert_eq!(remarks(&day), []);
        let at = DayFigures { root_zone_ec: CEILING, root_zone_ec_ends: [CEILING; 2], drain_ec: Some(CEILING), ..day.clone() };
        assert_eq!(remarks(&at), []);
        let above = DayFigures { root_zone_ec_ends: [2.0, 31.0], drain_ec: Some(55.25), ..day.clone() };
        let [root_zone, drain] = remarks(&above)[..] else { panic!("two are beyond it") };
        assert_eq!((root_zone, drain), (Remark { of: Doubtful::RootZone, ec: 31.0 }, Remark { of: Doubtful::Drain, ec: 55.25 }));
        assert!(drain.words(Units::default()).starts_with("A drain EC of 55.2 mS/cm is beyond belief: above 30.0 mS/cm "));
        let ppm = Units { ec: EcUnit::Ppm500, ..Units::default() };
        assert!(root_zone.words(ppm).starts_with("A root-zone EC of 15500 ppm"), "{}", root_zone.words(ppm));
        assert_eq!(remarks(&DayFigures { drain_ec: None, root_zone_ec: 40.0, ..day })[0].ec, 40.0);
    }

    #[test]
    fn no_demo_is_beyond_belief() {
        let library = Library::shipped();
        for (name, scenario) in demos() {
            let run = run(&Workshop::default().ready(&scenario, &library).unwrap().for_its_days(), scenario.days);
            for (lane, lane_run) in scenario.lanes.iter().zip(&run.lanes) {
                for day in 0..scenario.days as usize {
                    assert_eq!(remarks(&day_figures(lane_run, lane, day).unwrap()), [], "{name}");
                }
            }
        }
    }
}
