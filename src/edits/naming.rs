//! What is changed by hand is called so: names follow values.
//!
//! A container, a medium, a crop or a climate that has the name of a preset and no longer its values is called "changed from" it; with those
//! values again it has its name back. Whoever names it by hand is right. What bears no name is told by `called.rs`.

use super::called;
use crate::scenario::presets::Library;
use crate::scenario::{Climate, Container, Crop, CropChoice, LightLevel, Medium, MediumChoice, Scenario, TypicalDay};
use crate::scenario::{Light, naming};

/// How far a container may be from the litres that its name states, as a share of them.
const ABOUT: f64 = 0.1;

/// Gives what was changed a name that agrees with its values. `before` is the scenario that the change was made from.
pub fn follow(scenario: &mut Scenario, before: &Scenario, library: &Library) {
    if scenario.lanes.len() == before.lanes.len() {
        for (lane, before) in scenario.lanes.iter_mut().zip(&before.lanes).filter(|(lane, before)| lane.name == before.name) {
            follow_container(&mut lane.container, &before.container, library);
            if let (CropChoice::Custom(crop), CropChoice::Custom(before)) = (&mut lane.crop, &before.crop) {
                follow_crop(crop, before, library);
            }
        }
    }
    called::follow(scenario, before, library);
    let light = scenario.light;
    if let (Some(Climate::Typical(day)), Some(Climate::Typical(before_day))) = (&mut scenario.climate, &before.climate)
        && (day != before_day || light != before.light)
        && day.name == before_day.name
    {
        follow_climate(day, light, library);
    }
}

fn follow_container(container: &mut Container, before: &Container, library: &Library) {
    if container.parts.len() == before.parts.len() {
        for (part, before) in container.parts.iter_mut().zip(&before.parts) {
            if let (MediumChoice::Custom(medium), MediumChoice::Custom(before)) = (&mut part.medium, &before.medium) {
                follow_medium(medium, before, library);
            }
        }
    }
    if container.name != before.name || *container == *before {
        return;
    }
    let base = naming::preset_of(&container.name);
    if let Some(preset) = library.container(base) {
        let is_it = Container { name: preset.name.clone(), source: preset.source.clone(), ..container.clone() } == *preset;
        container.name = if is_it { base.to_owned() } else { naming::changed_from(base) };
    } else if states_otherwise(container) && !naming::is_changed(&container.name) {
        container.name = naming::changed_from(&container.name);
    }
}

/// Whether a name states litres that a container does not hold, for one plant or for all that share it.
fn states_otherwise(container: &Container) -> bool {
    let one = container.volume_per_plant_ml() / 1000.0;
    let all: f64 = container.parts.iter().map(|p| p.volume_per_plant_ml() * f64::from(p.shared_by) / 1000.0).sum();
    naming::litres(&container.name).is_some_and(|stated| [one, all].iter().all(|litres| (litres - stated).abs() > ABOUT * stated))
}

fn follow_medium(medium: &mut Medium, before: &Medium, library: &Library) {
    if medium.name == before.name
        && *medium != *before
        && let Some(preset) = library.medium(naming::preset_of(&medium.name))
    {
        // The height that its answers are told for is nothing of the medium.
        let told_at_cm = preset.told_at_cm;
        let is_it = Medium { name: preset.name.clone(), source: preset.source.clone(), told_at_cm, ..medium.clone() } == *preset;
        medium.name = if is_it { naming::own(&preset.name) } else { naming::changed_from(&preset.name) };
    }
}

fn follow_crop(crop: &mut Crop, before: &Crop, library: &Library) {
    if crop.name == before.name
        && *crop != *before
        && let Some(preset) = library.crop(naming::preset_of(&crop.name))
    {
        let is_it = Crop { name: preset.name.clone(), source: preset.source.clone(), ..crop.clone() } == *preset;
        crop.name = if is_it { naming::own(&preset.name) } else { naming::changed_from(&preset.name) };
    }
}

/// The light belongs to a climate as far as its name says something of it: its shape, and under lamps its hours.
fn follow_climate(day: &mut TypicalDay, light: Light, library: &Library) {
    let base = naming::preset_of(&day.name);
    let Some(preset) = library.climates.iter().find(|p| p.climate.name == base) else { return };
    let hours = |light: Light| light.off.seconds() - light.on.seconds();
    let lit = light.shape == preset.light.shape
        && (matches!(day.level, LightLevel::Sun { .. }) || (hours(light) - hours(preset.light)).abs() < 0.5);
    let same = TypicalDay { name: preset.climate.name.clone(), source: preset.climate.source.clone(), ..day.clone() } == preset.climate;
    day.name = if lit && same { base.to_owned() } else { naming::changed_from(base) };
}
