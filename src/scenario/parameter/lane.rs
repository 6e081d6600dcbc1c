//! The numbers of a lane beside its container and crop: what it gets and asks for, roots, start, targets, probe and edges.

use super::entry::{CONTENT, EC, Entry, HEAD, LENGTH, PERCENT, SHARE, Spread, whole};
use crate::scenario::crop::{Canopy, Demand, Roots};
use crate::scenario::lane::{Base, Lane, Probe, StartSalt, StartWater, Top};
use crate::scenario::presets::library::Library;
use crate::scenario::targets::Targets;
use crate::scenario::{ranges, resolve};
use crate::units::Quantity;

/// How many plants stand like it.
pub static PLANTS: &[Entry<Lane>] = &[Entry::<Lane>::new(
    "plants",
    (Quantity::Plain("", 0), "plants"),
    ranges::PLANTS,
    |l, _| Some(f64::from(l.plants)),
    |l, v| l.plants = whole(v),
)
.called("Plants", "How many plants stand like this. It scales litres for the tank, not the root zone of one plant.")
.since("plants standing like this")
.in_whole_numbers()];

/// What each plant gets.
pub static DOSE: &[Entry<Lane>] =
    &[Entry::<Lane>::new("dose", (Quantity::Plain("times", 2), ""), ranges::DOSE, |l, _| Some(l.dose), |l, v| l.dose = v)
        .called("Dose", "Times the scheduled volume each plant gets: 2 with two drippers where the schedule counts one.")
        .since("times the scheduled volume")
        .within(Spread::Factor(1.09), "memory: emitters of a coefficient of variation of 0.07, between good and fair")];

/// The height of the outlet.
pub static OUTLET: &[Entry<Lane>] = &[Entry::<Lane>::new(
    "container.outlet_height_cm",
    LENGTH,
    (0.0, ranges::TALLEST),
    |l, _| Some(l.container.outlet_height_cm),
    |l, v| l.container.outlet_height_cm = v,
)
.called("Outlet height", "Above the base. Water below it cannot drain: it stands there and keeps the base wet.")
.beside(|l, _| ranges::outlet(&l.container))];

fn canopy(lane: &Lane, library: &Library) -> Option<Canopy> {
    resolve::crop_of(&lane.crop, library).ok()?.canopy
}

/// What the plant asks for, measured.
pub static MEASURED: &[Entry<Lane>] = &[
    Entry::<Lane>::new(
        "demand.litres_per_day",
        (Quantity::Litres, "L"),
        ranges::LITRES_PER_DAY,
        |l, _| match l.demand {
            Demand::Measured { litres_per_day, .. } => Some(litres_per_day),
            Demand::Climate { .. } => None,
        },
        |l, v| {
            if let Demand::Measured { litres_per_day, .. } = &mut l.demand {
                *litres_per_day = v;
            }
        },
    )
    .called("Uses a day", "What a plant uses in a day. More dries the root zone further between events and leaves less to drain.")
    .since("litres a plant uses in a day")
    .within(Spread::Factor(1.15), "judgement: what is given less what drains, of one day"),
    Entry::<Lane>::new(
        "demand.steady_share",
        SHARE,
        ranges::SHARE,
        |l, _| match l.demand {
            Demand::Measured { steady_share, .. } => Some(steady_share),
            Demand::Climate { .. } => None,
        },
        |l, v| {
            if let Demand::Measured { steady_share, .. } = &mut l.demand {
                *steady_share = v;
            }
        },
    )
    .called("Used evenly", "Share of the day's use that goes on day and night, whatever the light. More deepens the night's dry-back.")
    .since("a share of the day's use")
    .within(Spread::Amount(0.05), "judgement"),
];

/// What the plant asks for, computed from the climate.
pub static COMPUTED: &[Entry<Lane>] = &[
    Entry::<Lane>::new(
        "demand.leaf_area_index",
        (Quantity::Plain("m²/m²", 2), "m²/m²"),
        ranges::LEAF_AREA,
        |l, library| match l.demand {
            Demand::Climate { leaf_area_index, .. } => leaf_area_index.or_else(|| Some(canopy(l, library)?.leaf_area_index)),
            Demand::Measured { .. } => None,
        },
        |l, v| {
            if let Demand::Climate { leaf_area_index, .. } = &mut l.demand {
                *leaf_area_index = Some(v);
            }
        },
    )
    .called("Leaf area", "m² of leaf on a m² of floor. Leaves catch light: use rises quickly up to 3, then ever more slowly.")
    .within(Spread::Factor(1.2), "judgement: estimated by eye"),
    Entry::<Lane>::new(
        "demand.plants_per_m2",
        (Quantity::Plain("", 1), "plants/m²"),
        ranges::PLANTS_PER_M2,
        |l, library| match l.demand {
            Demand::Climate { plants_per_m2, .. } => plants_per_m2.or_else(|| Some(canopy(l, library)?.plants_per_m2)),
            Demand::Measured { .. } => None,
        },
        |l, v| {
            if let Demand::Climate { plants_per_m2, .. } = &mut l.demand {
                *plants_per_m2 = Some(v);
            }
        },
    )
    .called("Plants per m²", "The floor's use is shared by its plants: the denser they stand, the less each draws."),
    Entry::<Lane>::new(
        "demand.scale",
        (Quantity::Plain("times", 2), ""),
        ranges::SCALE,
        |l, _| match l.demand {
            Demand::Climate { scale, .. } => Some(scale),
            Demand::Measured { .. } => None,
        },
        |l, v| {
            if let Demand::Climate { scale, .. } = &mut l.demand {
                *scale = v;
            }
        },
    )
    .called("Scaled by", "What the computed use is multiplied by to meet what was measured")
    .since("what the computed use is multiplied by")
    .within(Spread::Factor(1.3), "judgement: the formula alone is within 30 % until it is scaled to what is measured"),
];

/// Where the roots are, as one number.
pub static ROOTS: &[Entry<Lane>] = &[Entry::<Lane>::new(
    "roots.halves_every_cm",
    LENGTH,
    ranges::HALVES_EVERY,
    |l, _| match l.roots {
        Roots::Tapering { halves_every_cm } => Some(halves_every_cm),
        _ => None,
    },
    |l, v| {
        if let Roots::Tapering { halves_every_cm } = &mut l.roots {
            *halves_every_cm = v;
        }
    },
)
.called("Halve every", "Depth over which the roots thin to half. Small: nearly all roots near the top.")
.since("cm of depth")
.within(Spread::Factor(1.5), "judgement: roots are seldom looked at")];

/// How the first day begins: water.
pub static START_WATER: &[Entry<Lane>] = &[
    Entry::<Lane>::new(
        "start.water",
        CONTENT,
        ranges::SHARE,
        |l, _| match l.start.water {
            StartWater::Mean(theta) => Some(theta),
            _ => None,
        },
        |l, v| l.start.water = StartWater::Mean(v),
    )
    .called("Water at the start", "Mean water content as it begins, before any run-in; no more than the media hold")
    .beside(|l, library| ranges::mean_water(l, library).unwrap_or(ranges::SHARE))
    .within(Spread::Amount(0.03), "judgement: a probe or a scale, once"),
    Entry::<Lane>::new(
        "start.water",
        HEAD,
        ranges::HEAD,
        |l, _| match l.start.water {
            StartWater::Head(h) => Some(h),
            _ => None,
        },
        |l, v| l.start.water = StartWater::Head(v),
    )
    .called("Suction at the start", "The same everywhere as it begins, before any run-in: the base then holds no more than the top")
    .since("cm of pressure head")
    .beside(|_, _| ranges::SUCTION)
    .within(Spread::Factor(1.3), "judgement"),
];

/// How the first day begins: salt.
pub static START_SALT: &[Entry<Lane>] = &[Entry::<Lane>::new(
    "start.salt",
    EC,
    ranges::ROOT_ZONE_EC,
    |l, _| match l.start.salt {
        StartSalt::Ec(ec) => Some(ec),
        _ => None,
    },
    |l, v| l.start.salt = StartSalt::Ec(v),
)
.called("EC at the start", "Salt in the pore water as it begins, before any run-in, the same everywhere")
.since("mS/cm")
.within(Spread::Factor(1.15), "judgement: one sample of the root zone")];

/// How the first day begins: days like it that come before.
pub static START_RUN_IN: &[Entry<Lane>] = &[Entry::<Lane>::new(
    "start.run_in_days",
    (Quantity::Plain("days", 0), "days"),
    ranges::RUN_IN_DAYS,
    |l, _| l.start.run_in_days.map(f64::from),
    |l, v| l.start.run_in_days = Some(whole(v)),
)
.called("Run in for", "Days like the first that come before it. Water forgets how it began within days; salt may take months.")
.since("days that come before the first")
.in_whole_numbers()];

/// Edges that are held, as in published problems; these are changed in files.
pub static EDGES: &[Entry<Lane>] = &[
    Entry::<Lane>::new(
        "boundaries.top",
        HEAD,
        ranges::HEAD,
        |l, _| match l.boundaries.top {
            Top::FixedHead(h) => Some(h),
            _ => None,
        },
        |l, v| l.boundaries.top = Top::FixedHead(v),
    )
    .called("Head held at the top", "Pressure head held at the surface")
    .since("cm of pressure head"),
    Entry::<Lane>::new(
        "boundaries.top",
        (Quantity::Plain("cm/h", 2), "cm/h"),
        ranges::FLUX,
        |l, _| match l.boundaries.top {
            Top::FixedFlux(q) => Some(q),
            _ => None,
        },
        |l, v| l.boundaries.top = Top::FixedFlux(v),
    )
    .called("Flux into the top", "Water that enters the surface all the time")
    .since("cm/h into the surface"),
    Entry::<Lane>::new(
        "boundaries.base",
        HEAD,
        ranges::HEAD,
        |l, _| match l.boundaries.base {
            Base::FixedHead(h) => Some(h),
            _ => None,
        },
        |l, v| l.boundaries.base = Base::FixedHead(v),
    )
    .called("Head held at the base", "Pressure head held at the base")
    .since("cm of pressure head"),
];

/// A probe, with the height of its container.
pub struct Placed {
    /// The probe.
    pub probe: Probe,
    /// Height of the container, cm.
    pub container_cm: f64,
}

/// A lane's probe.
pub static PROBE: &[Entry<Placed>] = &[
    Entry::<Placed>::new("height_cm", LENGTH, (0.0, ranges::TALLEST), |p, _| Some(p.probe.height_cm), |p, v| p.probe.height_cm = v)
        .called("Probe height", "Height of the probe's middle above the base. Lower it reads wetter, and answers later to an event.")
        .beside(|p, _| (0.5 * p.probe.length_cm, p.container_cm - 0.5 * p.probe.length_cm)),
    Entry::<Placed>::new(
        "length_cm",
        LENGTH,
        (ranges::LEAST_PROBE, ranges::TALLEST),
        |p, _| Some(p.probe.length_cm),
        |p, v| {
            p.probe.length_cm = v;
            p.probe.height_cm = p.probe.height_cm.max(0.5 * v).min(p.container_cm - 0.5 * v);
        },
    )
    .called("Probe length", "Height that it reads over; the reading is the mean of that stretch.")
    .beside(|p, _| (ranges::LEAST_PROBE, p.container_cm)),
];

/// A share of what a band can be at most, that its ends keep apart at least.
const GAP: f64 = 1e-3;

/// The two ends of a band.
macro_rules! band {
    ($field:ident, $label:literal, $unit:expr, $most:expr) => {
        [
            Entry::new(
                concat!(stringify!($field), ".0"),
                $unit,
                (0.0, $most),
                |t: &Targets, _| t.$field.map(|b| b.0),
                |t, v| {
                    if let Some((low, _)) = &mut t.$field {
                        *low = v;
                    }
                },
            )
            .called(concat!($label, ", least"), BAND)
            .beside(|t, _| (0.0, t.$field.map_or($most, |b| (b.1 - GAP * $most).max(0.0)))),
            Entry::new(
                concat!(stringify!($field), ".1"),
                $unit,
                (0.0, $most),
                |t: &Targets, _| t.$field.map(|b| b.1),
                |t, v| {
                    if let Some((_, high)) = &mut t.$field {
                        *high = v;
                    }
                },
            )
            .called(concat!($label, ", most"), BAND)
            .beside(|t, _| (t.$field.map_or(0.0, |b| (b.0 + GAP * $most).min($most)), $most)),
        ]
    };
}

const BAND: &str = "An end of the band to aim for; the figures and the track show it";

/// The bands to aim for, each with its two ends.
pub static BANDS: [[Entry<Targets>; 2]; 4] = [
    band!(water_content, "Water content", CONTENT, ranges::SHARE.1),
    band!(dry_back_points, "Night dry-back", (Quantity::Plain("pt", 1), "points of volume"), ranges::PERCENT.1),
    band!(drain_percent, "Drain", PERCENT, ranges::PERCENT.1),
    band!(root_zone_ec, "Root-zone EC", EC, ranges::ROOT_ZONE_EC.1),
];

/// The lowest air to aim for.
pub static AIR: &[Entry<Targets>] =
    &[Entry::<Targets>::new("lowest_air", CONTENT, ranges::SHARE, |t, _| t.lowest_air, |t, v| t.lowest_air = Some(v))
        .called("Air, least", "Roots that breathe too little take up less")
        .since("m³/m³")];
