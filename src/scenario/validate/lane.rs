//! Checks of lanes: crop, demand, targets, edges, roots and start.

use super::container::check_container;
use super::{Check, Number, printable, unknown_preset};
use crate::scenario::presets::Library;
use crate::scenario::ranges;
use crate::scenario::{Base, Crop, CropChoice, Demand, Lane, Roots, Solver, StartSalt, StartWater, Top, resolve};

pub(super) fn check_lane(check: &mut Check<'_>, lane: &Lane, solver: &Solver, library: &Library) {
    check.name(&lane.name);
    check.whole("plants", lane.plants, ranges::PLANTS, "plants standing like this");
    check.range("dose", lane.dose, ranges::DOSE, "times the scheduled volume");
    check_container(&mut check.at("container"), &lane.container, library);
    match &lane.crop {
        CropChoice::Preset(name) if library.crop(name).is_none() => {
            unknown_preset(check, "crop", name, library.crops.iter().map(|c| &c.name));
        }
        CropChoice::Preset(_) => {}
        CropChoice::Custom(crop) => check_crop(&mut check.at("crop"), crop),
    }
    let Demand::Measured { litres_per_day, steady_share } = lane.demand;
    check.range("demand.litres_per_day", litres_per_day, ranges::LITRES_PER_DAY, "litres a plant uses in a day");
    check.range("demand.steady_share", steady_share, ranges::SHARE, "a share of the day's use");
    check_targets(&mut check.at("targets"), lane);
    check_edges(check, lane);
    let layers = solver.layers_of(&lane.container);
    check_roots(check, &lane.roots, lane.container.height_cm(), layers.iter().sum());
    check_start(&mut check.at("start"), lane, &layers, library);
}

pub(super) fn check_crop(check: &mut Check<'_>, crop: &Crop) {
    check.name(&crop.name);
    check.text("source", &crop.source);
    check.range("uptake_ec", crop.uptake_ec, ranges::CROP_EC, "mS/cm that leave with the water taken up");
    let s = &crop.stress;
    let mut at = check.at("stress");
    at.range("stops_cm", s.stops_cm, ranges::STOPS, "cm of pressure head, negative");
    if !(s.begins_cm <= 0.0 && s.begins_cm > s.stops_cm) {
        at.fail("begins_cm", Number(s.begins_cm), format!("above {} to 0", Number(s.stops_cm)), "stress begins before uptake stops");
    }
    at.range("air_none", s.air_none, ranges::AIR_NONE, "m³/m³");
    if !(s.air_enough > s.air_none && s.air_enough <= ranges::air_enough(crop).1) {
        at.fail("air_enough", Number(s.air_enough), format!("above {} to 0.95", Number(s.air_none)), "more air than `air_none`");
    }
    at.range("air_floor", s.air_floor, ranges::SHARE, "share of uptake");
    at.range("air_memory_h", s.air_memory_h, ranges::AIR_MEMORY, "hours");
    at.range("compensation", s.compensation, ranges::COMPENSATION, "1 is no compensation");
    if let Some(salt) = s.salt {
        at.range("salt.threshold_ece", salt.threshold_ece, ranges::SALT_THRESHOLD, "dS/m");
        at.range("salt.slope_percent", salt.slope_percent, ranges::SALT_SLOPE, "percent per dS/m");
    }
    for (field, ec) in [("guide_feed_ec", crop.guide_feed_ec), ("guide_root_zone_ec", crop.guide_root_zone_ec)] {
        if let Some(ec) = ec {
            check.range(field, ec, ranges::CROP_EC, "mS/cm");
        }
    }
}

fn check_targets(check: &mut Check<'_>, lane: &Lane) {
    let t = &lane.targets;
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
    if let Some(air) = t.lowest_air {
        check.range("lowest_air", air, ranges::SHARE, "m³/m³");
    }
}

fn check_edges(check: &mut Check<'_>, lane: &Lane) {
    match lane.boundaries.top {
        Top::Emitters => {}
        Top::FixedHead(h) => check.range("boundaries.top", h, ranges::HEAD, "cm of pressure head"),
        Top::FixedFlux(q) => check.range("boundaries.top", q, ranges::FLUX, "cm/h into the surface"),
    }
    if let Base::FixedHead(h) = lane.boundaries.base {
        check.range("boundaries.base", h, ranges::HEAD, "cm of pressure head");
    }
}

fn check_roots(check: &mut Check<'_>, roots: &Roots, height: f64, layers: usize) {
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
            check.count("roots", values.len(), layers, layers, "one density for each layer of this column");
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
        StartWater::Head(h) => check.range("water", *h, ranges::HEAD, "cm of pressure head"),
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
        StartSalt::Feed => {}
        StartSalt::Ec(ec) => check.range("salt", *ec, ranges::ROOT_ZONE_EC, "mS/cm"),
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
