//! The numbers of a crop, in the order of its form.

use super::entry::{CONTENT, EC, Entry, HEAD, PLAIN, SHARE, Spread};
use crate::scenario::crop::{Canopy, Crop, SaltStress};
use crate::scenario::ranges;
use crate::units::Quantity;

const PLANT: &str = "judgement: varieties and states of a plant differ";
const CANOPY: &str = "judgement: the formula alone is within 30 %, shared among its values";

fn salt(crop: &mut Crop, set: impl FnOnce(&mut SaltStress)) {
    if let Some(salt) = &mut crop.stress.salt {
        set(salt);
    }
}

fn canopy(crop: &mut Crop, set: impl FnOnce(&mut Canopy)) {
    if let Some(canopy) = &mut crop.canopy {
        set(canopy);
    }
}

/// Sets the rise of the EC taken up; a crop that says nowhere from where it rises gets it from the EC taken up on.
pub fn set_rise(crop: &mut Crop, rise: f64) {
    crop.uptake_rise = rise;
    if rise > 0.0 && crop.rises_above().is_none() {
        crop.uptake_rises_above = Some(crop.uptake_ec);
    }
}

/// All of them.
pub static CROP: &[Entry<Crop>] = &[
    Entry::<Crop>::new("uptake_ec", EC, ranges::CROP_EC, |c, _| Some(c.uptake_ec), |c, v| c.uptake_ec = v)
        .called("EC taken up", "EC that leaves with the water. Below the feed's EC, salt is left behind and builds up.")
        .since("mS/cm that leave with the water taken up")
        .within(Spread::Factor(1.2), PLANT),
    Entry::<Crop>::new("uptake_rise", SHARE, ranges::UPTAKE_RISE, |c, _| Some(c.uptake_rise), set_rise)
        .called(
            "Taken up rises",
            "How much the EC taken up rises with the root zone's, from the next value on. Larger: less salt builds up.",
        )
        .since("mS/cm more taken up per mS/cm of the root zone")
        .within(Spread::Amount(0.04), PLANT),
    Entry::<Crop>::new(
        "uptake_rises_above",
        EC,
        ranges::CROP_EC,
        |c, _| Some(c.rises_above().unwrap_or(c.uptake_ec)),
        |c, v| c.uptake_rises_above = Some(v),
    )
    .called("Rises from", "EC of the root zone from which the EC taken up rises. Lower: less salt builds up.")
    .within(Spread::Amount(0.5), PLANT),
    Entry::<Crop>::new("stress.begins_cm", HEAD, ranges::SUCTION, |c, _| Some(c.stress.begins_cm), |c, v| c.stress.begins_cm = v)
        .called("Dry begins at", "Suction at which the roots begin to take less: an earlier start of stress as the root zone dries")
        .beside(|c, _| ranges::begins(c))
        .within(Spread::Factor(1.5), "judgement; Montesano et al. 2015 for the range"),
    Entry::<Crop>::new("stress.stops_cm", HEAD, ranges::STOPS, |c, _| Some(c.stress.stops_cm), |c, v| c.stress.stops_cm = v)
        .called("Dry stops at", "Suction at which the roots take nothing; the root zone dries no further by uptake")
        .since("cm of pressure head, negative")
        .beside(|c, _| ranges::stops(c))
        .within(Spread::Factor(2.0), PLANT),
    Entry::<Crop>::new(
        "stress.air_enough",
        CONTENT,
        (0.0, ranges::MOST_AIR),
        |c, _| Some(c.stress.air_enough),
        |c, v| c.stress.air_enough = v,
    )
    .called("Enough air", "Air around the roots from which they breathe freely. Higher: the crop needs an airier root zone.")
    .beside(|c, _| ranges::air_enough(c))
    .within(Spread::Amount(0.03), "judgement around the critical air content of 0.10 (published: Acta Agrophysica 2007)"),
    Entry::<Crop>::new("stress.air_none", CONTENT, ranges::AIR_NONE, |c, _| Some(c.stress.air_none), |c, v| c.stress.air_none = v)
        .called("No air left", "Air at which uptake has sunk as far as it goes")
        .since("m³/m³")
        .beside(|c, _| ranges::air_none(c))
        .within(Spread::Amount(0.01), PLANT),
    Entry::<Crop>::new("stress.air_floor", SHARE, ranges::SHARE, |c, _| Some(c.stress.air_floor), |c, v| c.stress.air_floor = v)
        .called("Uptake without air", "What is still taken up after long soaking, against a well aired root zone")
        .since("share of uptake")
        .within(Spread::Amount(0.1), PLANT),
    Entry::<Crop>::new(
        "stress.air_memory_h",
        (Quantity::Plain("h", 1), "h"),
        ranges::AIR_MEMORY,
        |c, _| Some(c.stress.air_memory_h),
        |c, v| c.stress.air_memory_h = v,
    )
    .called("Air is felt in", "How slowly roots feel a lack of air. Short soaking after an event does little harm when this is long.")
    .since("hours")
    .within(Spread::Factor(2.0), PLANT),
    Entry::<Crop>::new(
        "stress.compensation",
        PLAIN,
        ranges::COMPENSATION,
        |c, _| Some(c.stress.compensation),
        |c, v| c.stress.compensation = v,
    )
    .called("Made up from", "How far wet layers make up for dry ones; small: readily, 1: not at all")
    .since("1 is no compensation")
    .within(Spread::Amount(0.2), PLANT),
    Entry::<Crop>::new(
        "stress.salt.threshold_ece",
        EC,
        ranges::SALT_THRESHOLD,
        |c, _| c.stress.salt.map(|s| s.threshold_ece),
        |c, v| salt(c, |s| s.threshold_ece = v),
    )
    .called("Salt begins at", "EC of the saturated paste from which salt slows the roots")
    .since("dS/m")
    .within(Spread::Factor(1.3), PLANT),
    Entry::<Crop>::new(
        "stress.salt.slope_percent",
        (Quantity::Plain("% per mS/cm", 1), "percent per mS/cm"),
        ranges::SALT_SLOPE,
        |c, _| c.stress.salt.map(|s| s.slope_percent),
        |c, v| salt(c, |s| s.slope_percent = v),
    )
    .called("Loss above that", "Percent of uptake lost per mS/cm of saturated paste above")
    .since("percent per dS/m")
    .within(Spread::Factor(1.3), PLANT),
];

/// Guide values, which the form switches on and off.
pub static GUIDES: &[Entry<Crop>] = &[
    Entry::<Crop>::new("guide_feed_ec", EC, ranges::CROP_EC, |c, _| c.guide_feed_ec, |c, v| c.guide_feed_ec = Some(v))
        .called("Feed guide", "Shown for orientation; it changes nothing in the run")
        .since("mS/cm"),
    Entry::<Crop>::new("guide_root_zone_ec", EC, ranges::CROP_EC, |c, _| c.guide_root_zone_ec, |c, v| c.guide_root_zone_ec = Some(v))
        .called("Root guide", "Shown for orientation; where nothing else says so, the EC taken up rises from here on")
        .since("mS/cm"),
];

/// How the canopy answers light and air; these values are changed in files.
pub static CANOPY_OF: &[Entry<Crop>] = &[
    Entry::<Crop>::new(
        "canopy.light_share",
        SHARE,
        ranges::SHARE,
        |c, _| c.canopy.map(|k| k.light_share),
        |c, v| canopy(c, |k| k.light_share = v),
    )
    .called("Light that draws", "Share of the light caught that goes into transpiration. More draws more by day.")
    .since("share of the light caught")
    .within(Spread::Factor(1.2), CANOPY),
    Entry::<Crop>::new(
        "canopy.extinction",
        PLAIN,
        ranges::EXTINCTION,
        |c, _| c.canopy.map(|k| k.extinction),
        |c, v| canopy(c, |k| k.extinction = v),
    )
    .called("Leaves shade", "How fast light fades from leaf to leaf. More: few leaves catch most of it.")
    .since("per unit of leaf area index")
    .within(Spread::Amount(0.1), CANOPY),
    Entry::<Crop>::new(
        "canopy.air_by_day",
        (Quantity::Plain("W/m² per kPa", 1), "W/m² per kPa"),
        ranges::AIR_ANSWER,
        |c, _| c.canopy.map(|k| k.air_by_day),
        |c, v| canopy(c, |k| k.air_by_day = v),
    )
    .called("Dry air draws by day", "How much dry air draws from each m² of leaf by day")
    .since("W/m² per kPa and unit of leaf area index")
    .within(Spread::Factor(1.4), CANOPY),
    Entry::<Crop>::new(
        "canopy.air_by_night",
        (Quantity::Plain("W/m² per kPa", 1), "W/m² per kPa"),
        ranges::AIR_ANSWER,
        |c, _| c.canopy.map(|k| k.air_by_night),
        |c, v| canopy(c, |k| k.air_by_night = v),
    )
    .called("Dry air draws by night", "How much dry air draws from each m² of leaf by night")
    .since("W/m² per kPa and unit of leaf area index")
    .within(Spread::Factor(1.4), CANOPY),
    Entry::<Crop>::new(
        "canopy.leaf_area_index",
        (Quantity::Plain("m²/m²", 2), "m²/m²"),
        ranges::LEAF_AREA,
        |c, _| c.canopy.map(|k| k.leaf_area_index),
        |c, v| canopy(c, |k| k.leaf_area_index = v),
    )
    .called("Full leaf area", "m² of leaf on a m² of floor of a full canopy")
    .since("m² of leaf per m² of floor")
    .within(Spread::Factor(1.2), PLANT),
    Entry::<Crop>::new(
        "canopy.plants_per_m2",
        (Quantity::Plain("", 1), "plants/m²"),
        ranges::PLANTS_PER_M2,
        |c, _| c.canopy.map(|k| k.plants_per_m2),
        |c, v| canopy(c, |k| k.plants_per_m2 = v),
    )
    .called("Usual plants per m²", "How dense the crop commonly stands")
    .since("plants on a square metre of floor"),
];
