//! What every track says at one instant, in words: for those who hear the window.

use super::scene::{Scene, day_of};
use super::{air, curves, demand, drain, salt, suction, tank, water_content, water_in};
use crate::units::Quantity;

/// What every track says at an hour.
#[must_use]
pub fn words(scene: &Scene<'_>, hour: f64) -> String {
    let (shown, units) = (scene.shown(), scene.units);
    let mut out = vec![scene.when(hour)];
    let valve = scene.bench.valve();
    out.extend(water_in::so_far_words(shown.events(valve, day_of(hour)), hour, units));
    out.push(format!("feed {}", Quantity::Ec.text(salt::feed_ec(shown, valve, hour), units)));
    out.extend(air::deficit(scene, hour).map(air::words));
    out.extend(tank::at(scene, hour).map(|point| tank::words(scene, &point)));
    for (i, _, run) in shown.lanes() {
        let mut lane = vec![format!("lane {}", i + 1)];
        lane.extend(scene.read(run, hour, water_content::value).map(|v| format!("water content {v:.1} %")));
        lane.extend(scene.read(run, hour, water_content::at_probe).map(|v| format!("probe {v:.1} %")));
        lane.extend(scene.read(run, hour, salt::value).map(|v| format!("root zone {}", Quantity::Ec.text(v, units))));
        lane.extend(salt::drain_ec(run, hour).map(|d| format!("{}{}", d.words(), Quantity::Ec.text(d.ec, units))));
        lane.extend(scene.read(run, hour, drain::value).map(|v| format!("drained {v:.1} % so far")));
        let (taken, asked) = (scene.read(run, hour, demand::taken_up), scene.read(run, hour, demand::asked));
        lane.extend(taken.zip(asked).map(|(t, a)| format!("uptake an hour {}", demand::words(t, a, scene))));
        lane.extend(scene.read(run, hour, suction::value).map(|kpa| format!("suction {}", suction::words(kpa, units))));
        out.push(lane.join(", "));
    }
    for (overlay, layer) in scene.over() {
        for (i, run) in layer.lanes() {
            let read = |value: curves::Value<'_>| curves::read(layer, run, hour, value);
            let mut lane = vec![format!("{} {}, lane {}", overlay.mark, overlay.name, i + 1)];
            lane.extend(read(&water_content::value).map(|v| format!("water content {v:.1} %")));
            lane.extend(read(&salt::value).map(|v| format!("root zone {}", Quantity::Ec.text(v, units))));
            lane.extend(read(&drain::value).map(|v| format!("drained {v:.1} % so far")));
            out.push(lane.join(", "));
        }
    }
    out.join("; ")
}
