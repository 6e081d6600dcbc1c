//! The first demo teaches that one schedule rarely suits two root zones, and both can live with it: what drains is honest and salt stays where
//! growers see it.

use slakeline::engine::run::{LaneRun, Settled, Workshop};
use slakeline::figures::{DayFigures, day_figures};
use slakeline::scenario::Scenario;
use slakeline::scenario::presets::{Library, demos};

fn settled(scenario: &Scenario) -> Vec<DayFigures> {
    let days = Workshop::default().ready(scenario, &Library::shipped()).unwrap().settled_days(&|| true).unwrap();
    let figures = |(i, (_, run)): (usize, &(Settled, LaneRun))| day_figures(run, &scenario.lanes[i], 0).unwrap();
    days.iter().enumerate().map(figures).collect()
}

#[test]
fn both_root_zones_of_the_first_demo_settle_where_plants_live() {
    let scenario = demos().remove(0).1;
    let lanes = settled(&scenario);
    for (lane, f) in scenario.lanes.iter().zip(&lanes) {
        let drain = f.drain_fraction.unwrap();
        assert!(f.root_zone_ec <= 6.5 && f.uptake_met > 0.99, "{}: EC {}, uptake {}", lane.name, f.root_zone_ec, f.uptake_met);
        assert!((0.10..=0.20).contains(&drain), "{}: drain {drain}", lane.name);
        assert!(f.channelled_ml < 0.7 * f.drained_ml, "{}: {} of {} mL ran straight through", lane.name, f.channelled_ml, f.drained_ml);
    }
    // Whom does it suit? The slab dries back within its aim, the pot hardly at all.
    let points = |i: usize| lanes[i].dry_back.unwrap().points;
    let aims = |i: usize| scenario.lanes[i].targets.dry_back_points.unwrap();
    assert!((aims(0).0..=aims(0).1).contains(&points(0)) && points(1) < aims(1).0, "{} and {}", points(0), points(1));
    // As its text says: with no more than the slab's dripper gives the pot's salt rises until its plants go short.
    assert!(scenario.note.contains("set the pot's dose to 1"));
    let mut same = scenario.clone();
    same.lanes[1].dose = 1.0;
    let pot = settled(&same).remove(1);
    assert!(pot.root_zone_ec > 2.0 * lanes[1].root_zone_ec && pot.uptake_met < 0.95, "EC {}, uptake {}", pot.root_zone_ec, pot.uptake_met);
}
