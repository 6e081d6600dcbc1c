//! Checks of lanes: crop, demand, targets, edges, roots and start.

use super::check::{Check, Number, unknown_preset};
use super::container::check_container;
use crate::scenario::crop::{Crop, CropChoice, Demand, Roots};
use crate::scenario::lane::{Lane, StartSalt, StartWater, Top};
use crate::scenario::parameter::crop::{CANOPY_OF, CROP, GUIDES};
use crate::scenario::parameter::lane::{AIR, COMPUTED, DOSE, EDGES, MEASURED, PLANTS, START_RUN_IN, START_SALT, START_WATER};
use crate::scenario::presets::library::Library;
use crate::scenario::solver::Solver;
use crate::scenario::targets::Targets;
use crate::scenario::text::printable;
use crate::scenario::{ranges, resolve};

pub(super) fn check_lane(check: &mut Check<'_>, lane: &Lane, solver: &Solver, has_climate: bool, library: &Library) {
    check.name(&lane.name);
    check.numbers(lane, PLANTS, library);
    check.numbers(lane, DOSE, library);
    check_container(&mut check.at("container"), &lane.container, library);
    if lane.boundaries.top == Top::Emitters {
        check_curves(&mut check.at("container"), lane, library);
    }
    match &lane.crop {
        CropChoice::Preset(name) if library.crop(name).is_none() => {
            unknown_preset(check, "crop", name, library.crops.iter().map(|c| &c.name));
        }
        CropChoice::Preset(_) => {}
        CropChoice::Custom(crop) => check_crop(&mut check.at("crop"), crop, library),
    }
    check_demand(check, lane, has_climate, library);
    check_targets(&mut check.at("targets"), &lane.targets, library);
    check.numbers(lane, EDGES, library);
    let layers = solver.layers_of(&lane.container);
    if let Some(probe) = &lane.probe {
        super::plan::check_probe(&mut check.at("probe"), probe, lane.container.height_cm());
    }
    let count = layers.iter().sum();
    check_roots(check, &lane.roots, lane.container.height_cm(), (count, count));
    for table in [START_WATER, START_SALT, START_RUN_IN] {
        check.numbers(lane, table, library);
    }
    check_start(&mut check.at("start"), lane, &layers, library);
}

/// Curves of published problems are for held edges: a plant dries them to where they say nothing.
fn check_curves(check: &mut Check<'_>, lane: &Lane, library: &Library) {
    for (i, part) in lane.container.parts.iter().enumerate() {
        let unfit = resolve::medium(&part.medium, library).ok().and_then(|m| m.curve.unfit_for_plants());
        if let Some(why) = unfit {
            let allowed = "a curve that still holds water at 1000 cm of suction and conducts while nearly full";
            check.item("parts", i).fail("medium.curve", "a curve for a problem without plants", allowed, why);
        }
    }
}

fn check_demand(check: &mut Check<'_>, lane: &Lane, has_climate: bool, library: &Library) {
    check.numbers(lane, MEASURED, library);
    match lane.demand {
        Demand::Measured { .. } => {}
        Demand::Climate { leaf_area_index, plants_per_m2, .. } => {
            if let Some(lai) = leaf_area_index {
                check.range("demand.leaf_area_index", lai, ranges::LEAF_AREA, "m² of leaf per m² of floor");
            }
            if let Some(plants) = plants_per_m2 {
                check.range("demand.plants_per_m2", plants, ranges::PLANTS_PER_M2, "plants on a square metre of floor");
            }
            check.numbers(lane, COMPUTED, library);
            if !has_climate {
                check.fail("demand", "Climate", "Measured, or a climate for the bench", "the use is computed from the bench's climate");
            }
            if resolve::crop(&lane.crop, library).is_ok_and(|crop| crop.canopy.is_none()) {
                check.fail("demand", "Climate", "Measured, or a crop with `canopy` values", "the use is computed from the crop's canopy");
            }
        }
    }
}

pub(super) fn check_crop(check: &mut Check<'_>, crop: &Crop, library: &Library) {
    check.name(&crop.name);
    check.text("source", &crop.source);
    for table in [CROP, CANOPY_OF, GUIDES] {
        check.numbers(crop, table, library);
    }
    if let Some(ec) = crop.uptake_rises_above {
        check.range("uptake_rises_above", ec, ranges::CROP_EC, "mS/cm of the root zone from which uptake rises");
    }
    if crop.uptake_rise > 0.0 && crop.rises_above().is_none() {
        let why = "without either it is not said from which EC of the root zone the uptake EC rises";
        check.fail("uptake_rise", Number(crop.uptake_rise), "0, or a crop with `uptake_rises_above` or `guide_root_zone_ec`", why);
    }
    let s = &crop.stress;
    let mut at = check.at("stress");
    if !(s.begins_cm <= 0.0 && s.begins_cm > s.stops_cm) {
        at.fail("begins_cm", Number(s.begins_cm), format!("above {} to 0", Number(s.stops_cm)), "stress begins before uptake stops");
    }
    if !(s.air_enough > s.air_none && s.air_enough <= ranges::air_enough(crop).1) {
        at.fail("air_enough", Number(s.air_enough), format!("above {} to 0.95", Number(s.air_none)), "more air than `air_none`");
    }
    check.count("stages", crop.stages.len(), 0, 12, "stages of growth in a menu");
    for (i, stage) in crop.stages.iter().enumerate() {
        let mut at = check.at(&format!("stages[{i}]"));
        at.name(&stage.name);
        at.range("leaf_area_index", stage.leaf_area_index, ranges::LEAF_AREA, "m² of leaf per m² of floor");
        // What a stage's roots will stand in is not known yet.
        check_roots(&mut at, &stage.roots, ranges::TALLEST, (ranges::LAYERS.0 as usize, ranges::LAYERS.1 as usize));
        check_targets(&mut at.at("targets"), &stage.targets, library);
    }
}

pub(super) fn check_targets(check: &mut Check<'_>, t: &Targets, library: &Library) {
    let bands = [
        ("water_content", t.water_content, ranges::SHARE.1, "m³/m³"),
        ("dry_back_points", t.dry_back_points, ranges::PERCENT.1, "points of volume"),
        ("drain_percent", t.drain_percent, ranges::PERCENT.1, "percent"),
        ("root_zone_ec", t.root_zone_ec, ranges::ROOT_ZONE_EC.1, "mS/cm"),
    ];
    for (field, band, most, unit) in bands {
        if let Some((low, high)) = band
            && !(low >= 0.0 && low < high && high <= most)
        {
            check.fail(field, format!("{} to {}", Number(low), Number(high)), format!("0 to {most}, low before high"), unit);
        }
    }
    check.numbers(t, AIR, library);
}

/// Roots in a container of a height (cm) at most, whose column has so many layers.
fn check_roots(check: &mut Check<'_>, roots: &Roots, height: f64, (fewest, most): (usize, usize)) {
    let dense = |d: f64| d.is_finite() && (ranges::ROOT_DENSITY.0..=ranges::ROOT_DENSITY.1).contains(&d);
    match roots {
        Roots::Uniform => {}
        Roots::Tapering { halves_every_cm } => check.range("roots.halves_every_cm", *halves_every_cm, ranges::HALVES_EVERY, "cm of depth"),
        Roots::ByHeight(points) => {
            if !check.count("roots", points.len(), 2, 64, "points of height and density") {
                return;
            }
            let rising = points.windows(2).all(|w| w[0].0 < w[1].0);
            let inside = points.iter().all(|p| (0.0..=height).contains(&p.0) && dense(p.1));
            if !rising || !inside || points.iter().all(|p| p.1 <= 0.0) {
                let allowed = format!("heights rising from 0 to {} cm, densities 0 to 1e6, one of them above 0", Number(height));
                check.fail("roots", printable(&format!("{points:?}"), 120), allowed, "roots by height above the base");
            }
        }
        Roots::PerLayer(values) => {
            check.count("roots", values.len(), fewest, most, "one density for each layer of the column");
            if !values.iter().all(|&d| dense(d)) || values.iter().all(|&d| d <= 0.0) {
                check.fail("roots", "a list with other values", "densities 0 to 1e6, one of them above 0", "relative root density");
            }
        }
    }
}

fn check_start(check: &mut Check<'_>, lane: &Lane, layers: &[usize], library: &Library) {
    let count: usize = layers.iter().sum();
    // Residual and full water content of each part; a part whose medium is unknown has been named already.
    let parts = &lane.container.parts;
    let media: Vec<_> = parts.iter().filter_map(|p| resolve::medium(&p.medium, library).ok()).collect();
    let known = media.len() == parts.len();
    match &lane.start.water {
        StartWater::AsWetted | StartWater::AtCapacity => {}
        StartWater::Mean(theta) => {
            // Media and sizes that cannot be have been named already.
            if let Some(range) = ranges::mean_water(lane, library) {
                check.range("water", *theta, range, "m³/m³, above residual and no more than the media hold");
            }
        }
        StartWater::Head(_) => {}
        StartWater::Layers(values) => {
            check.count("water", values.len(), count, count, "one value for each layer of this column");
            if known && values.len() == count {
                let of_layer = media.iter().zip(layers).flat_map(|(m, &n)| std::iter::repeat_n(&m.curve, n));
                for (i, (&theta, curve)) in values.iter().zip(of_layer).enumerate() {
                    let why = "m³/m³, above residual and no more than the medium holds";
                    check.range(&format!("water[{i}]"), theta, ranges::layer_water(curve), why);
                }
            }
        }
    }
    match &lane.start.salt {
        StartSalt::Feed | StartSalt::Ec(_) => {}
        StartSalt::Layers(values) => {
            if !check.count("salt", values.len(), count, count, "one value for each layer of this column") {
                return;
            }
            for (i, &ec) in values.iter().enumerate() {
                check.range(&format!("salt[{i}]"), ec, ranges::ROOT_ZONE_EC, "mS/cm");
            }
        }
    }
}
