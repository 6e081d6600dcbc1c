//! Lanes whose use is measured while the bench has a climate: what that means, and their use left to the climate.

use crate::scenario::presets::Library;
use crate::scenario::{Demand, Scenario, resolve};

/// Lanes (by index) whose use is measured although the bench has a climate that it could be computed from.
#[must_use]
pub fn measured(scenario: &Scenario, library: &Library) -> Vec<usize> {
    if scenario.climate.is_none() {
        return Vec::new();
    }
    let could = |lane: &crate::scenario::Lane| {
        matches!(lane.demand, Demand::Measured { .. }) && resolve::crop_of(&lane.crop, library).is_ok_and(|crop| crop.canopy.is_some())
    };
    scenario.lanes.iter().enumerate().filter(|(_, lane)| could(lane)).map(|(i, _)| i).collect()
}

/// What a climate that was just set does to lanes whose use is measured, and what not; `None` where there are none such.
#[must_use]
pub fn told(scenario: &Scenario, library: &Library) -> Option<String> {
    let lanes = measured(scenario, library);
    if lanes.is_empty() {
        return None;
    }
    let (of, stays) = (numbers(&lanes), if lanes.len() == 1 { "stays" } else { "stay" });
    Some(format!(
        "Light hours, rules by light and evaporation go by the climate. The measured litres a day of {of} {stays} as entered: its light only \
        says when they are used."
    ))
}

/// The bench with the use of those lanes computed from the climate, not scaled yet, and the name of that edit; `None` where there are none such.
#[must_use]
pub fn computed(scenario: &Scenario, library: &Library) -> Option<(String, Scenario)> {
    let lanes = measured(scenario, library);
    let mut after = scenario.clone();
    for index in &lanes {
        after.lanes[*index].demand = Demand::COMPUTED;
    }
    (!lanes.is_empty()).then(|| (format!("Compute the use of {} from the climate", numbers(&lanes)), after))
}

/// "lane 1", "lanes 1 and 3", "lanes 1, 2 and 4".
fn numbers(lanes: &[usize]) -> String {
    let numbers: Vec<String> = lanes.iter().map(|i| (i + 1).to_string()).collect();
    match numbers.as_slice() {
        [] => String::new(),
        [one] => format!("lane {one}"),
        [rest @ .., last] => format!("lanes {} and {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;
    use crate::scenario::{Climate, CropChoice};

    #[test]
    fn lanes_that_could_be_computed_are_told_and_computed() {
        let (library, mut scenario) = (Library::shipped(), demos().remove(0).1);
        assert!(told(&scenario, &library).is_none() && computed(&scenario, &library).is_none(), "there is no climate");
        scenario.climate = Some(Climate::Typical(library.climates[0].climate.clone()));
        assert!(told(&scenario, &library).unwrap().contains("of lanes 1 and 2 stay as entered"));
        let (name, after) = computed(&scenario, &library).unwrap();
        assert_eq!(name, "Compute the use of lanes 1 and 2 from the climate");
        assert!(after.validate(&library).is_empty() && after.lanes.iter().all(|l| l.demand == Demand::COMPUTED));
        assert!(told(&after, &library).is_none() && computed(&after, &library).is_none());
        // One that has no canopy cannot be.
        let mut bare = resolve::crop(&scenario.lanes[0].crop, &library).unwrap();
        bare.canopy = None;
        scenario.lanes[0].crop = CropChoice::Custom(Box::new(bare));
        assert!(told(&scenario, &library).unwrap().contains("of lane 2 stays as entered"));
        assert!(matches!(computed(&scenario, &library).unwrap().1.lanes[0].demand, Demand::Measured { .. }));
        assert_eq!(numbers(&[0, 1, 3]), "lanes 1, 2 and 4");
    }
}
