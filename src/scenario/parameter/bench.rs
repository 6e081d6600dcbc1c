//! The numbers that lanes share: feed, days, climate, valves with their events and rules, pump, tank and the settings of the solution.

use super::entry::{CONTENT, EC, Entry, LENGTH, PERCENT, Spread, THIN, whole};
use crate::scenario::bench::{MAX_DAYS, Scenario};
use crate::scenario::climate::{LightLevel, TypicalDay};
use crate::scenario::ranges;
use crate::scenario::rule::{LightSum, Rule, When};
use crate::scenario::schedule::{Event, Give, OnDays};
use crate::scenario::solver::Solver;
use crate::scenario::tank::{Refill, Tank};
use crate::scenario::valve::{Pump, Valve};
use crate::units::Quantity;

const METER: &str = "judgement: a hand-held meter, calibrated now and then";

/// Feed, days and evaporation.
pub static BENCH: &[Entry<Scenario>] = &[
    Entry::<Scenario>::new("feed.ec", EC, ranges::FEED_EC, |s, _| Some(s.feed.ec), |s, v| s.feed.ec = v)
        .called("Feed EC", "EC of the nutrient solution at 25 °C. Stronger feed raises the root zone's EC, the more so the less drains.")
        .since("mS/cm; stronger is no longer a feed")
        .within(Spread::Factor(1.05), METER),
    Entry::<Scenario>::new(
        "days",
        (Quantity::Plain("", 0), "days"),
        (1.0, MAX_DAYS as f64),
        |s, _| Some(f64::from(s.days)),
        |s, v| s.days = whole(v),
    )
    .called("Days in a row", "The same day is run this often; later days forget how the first began.")
    .since("a run needs a day, and a year is the most it takes")
    .in_whole_numbers(),
    Entry::<Scenario>::new(
        "evaporation_mm_per_day",
        (Quantity::WaterPerDay, "mm/day"),
        ranges::EVAPORATION,
        |s, _| Some(s.evaporation_mm_per_day),
        |s, v| s.evaporation_mm_per_day = v,
    )
    .called(
        "Evaporation",
        "From freely exposed wet surfaces, where no climate says so. It dries open tops and fabric walls, and leaves salt behind.",
    )
    .since("mm of water a day from a free wet surface")
    .within(Spread::Factor(1.5), "judgement"),
];

/// How the run is computed.
pub static SOLVER: &[Entry<Solver>] = &[
    Entry::<Solver>::new("layer_cm", THIN, ranges::LAYER, |s, _| Some(s.layer_cm), |s, v| s.layer_cm = v)
        .called("Layer", "Aimed-at thickness of a layer. Thinner is finer and slower.")
        .since("cm"),
    Entry::<Solver>::new(
        "min_layers",
        (Quantity::Plain("", 0), "layers"),
        ranges::LAYERS,
        |s, _| Some(f64::from(s.min_layers)),
        |s, v| s.min_layers = whole(v),
    )
    .called("Fewest layers", "A shallow column gets at least so many")
    .since("layers")
    .beside(|s, _| ranges::min_layers(s))
    .in_whole_numbers(),
    Entry::<Solver>::new(
        "max_layers",
        (Quantity::Plain("", 0), "layers"),
        ranges::LAYERS,
        |s, _| Some(f64::from(s.max_layers)),
        |s, v| s.max_layers = whole(v),
    )
    .called("Most layers", "A tall column gets at most so many")
    .beside(|s, _| ranges::max_layers(s))
    .in_whole_numbers(),
    Entry::<Solver>::new(
        "tolerance",
        (Quantity::Plain("", 4), "m³/m³"),
        ranges::TOLERANCE,
        |s, _| Some(s.tolerance),
        |s, v| s.tolerance = v,
    )
    .called("Error of a step", "Water content that one step may miss. Smaller is slower.")
    .since("m³/m³ in one step"),
    Entry::<Solver>::new(
        "convergence",
        (Quantity::Plain("", 3), "share"),
        ranges::CONVERGENCE,
        |s, _| Some(s.convergence),
        |s, v| s.convergence = v,
    )
    .called("Left over", "Share of that error at which a step is called solved")
    .since("share of the tolerance"),
    Entry::<Solver>::new(
        "max_step_s",
        (Quantity::Plain("s", 0), "s"),
        ranges::MAX_STEP,
        |s, _| Some(s.max_step_s),
        |s, v| s.max_step_s = v,
    )
    .called("Longest step", "No step is longer")
    .since("s"),
    Entry::<Solver>::new(
        "min_step_s",
        (Quantity::Plain("s", 3), "s"),
        ranges::MIN_STEP,
        |s, _| Some(s.min_step_s),
        |s, v| s.min_step_s = v,
    )
    .called("Shortest step", "Below this the run stops and says why")
    .since("s"),
    Entry::<Solver>::new(
        "storage_per_cm",
        (Quantity::Plain("1/cm", 3), "1/cm"),
        ranges::STORAGE,
        |s, _| Some(s.storage_per_cm),
        |s, v| s.storage_per_cm = v,
    )
    .called("Give when full", "A numerical aid that keeps a wholly full column solvable")
    .since("1/cm"),
];

/// How much light falls on a typical day.
pub static LEVEL: &[Entry<TypicalDay>] = &[
    Entry::<TypicalDay>::new(
        "level.mj_per_m2",
        (Quantity::Plain("MJ/m²", 1), "MJ/m²"),
        ranges::DAY_LIGHT,
        |d, _| match d.level {
            LightLevel::Sun { mj_per_m2 } => Some(mj_per_m2),
            LightLevel::Lamps { .. } => None,
        },
        |d, v| {
            if let LightLevel::Sun { mj_per_m2 } = &mut d.level {
                *mj_per_m2 = v;
            }
        },
    )
    .called("Light sum", "Shortwave radiation above the canopy, inside the glass, in a day. More light, more use.")
    .since("MJ of light on a square metre in a day")
    .within(Spread::Factor(1.1), "judgement: a logged sum; the weather itself varies far more"),
    Entry::<TypicalDay>::new(
        "level.ppfd",
        (Quantity::Plain("µmol/m²/s", 0), "µmol/m²/s"),
        ranges::PPFD,
        |d, _| match d.level {
            LightLevel::Lamps { ppfd, .. } => Some(ppfd),
            LightLevel::Sun { .. } => None,
        },
        |d, v| {
            if let LightLevel::Lamps { ppfd, .. } = &mut d.level {
                *ppfd = v;
            }
        },
    )
    .called("Light", "Photons on the canopy while the lamps are on. More light, more use.")
    .since("µmol/m²/s under the lamps")
    .within(Spread::Factor(1.1), "judgement: lamps are uneven over a bench"),
];

const WARM: &str = "Of the air above the canopy. Warmer air of the same humidity draws more.";
const DRY: &str = "Relative humidity above the canopy. The drier the air, the more the leaves give off, by night too.";
const CELSIUS: (Quantity, &str) = (Quantity::Temperature, "°C");
const SENSOR: &str = "judgement: a shaded sensor of the usual kind";

/// A temperature and a humidity of a part of the day.
macro_rules! air {
    ($part:ident) => {
        [
            Entry::new(
                concat!(stringify!($part), ".celsius"),
                CELSIUS,
                ranges::CELSIUS,
                |d: &TypicalDay, _| Some(d.$part.celsius),
                |d, v| d.$part.celsius = v,
            )
            .called("Temperature", WARM)
            .since("°C above the canopy")
            .within(Spread::Amount(0.7), SENSOR),
            Entry::new(
                concat!(stringify!($part), ".humidity_percent"),
                PERCENT,
                ranges::PERCENT,
                |d: &TypicalDay, _| Some(d.$part.humidity_percent),
                |d, v| d.$part.humidity_percent = v,
            )
            .called("Humidity", DRY)
            .since("percent of relative humidity")
            .within(Spread::Amount(4.0), SENSOR),
        ]
    };
}

/// The air of a typical day: by day and by night.
pub static AIRS: [[Entry<TypicalDay>; 2]; 2] = [air!(by_day), air!(by_night)];

/// The numbers of a valve beside those of its events and rules.
pub static VALVE: &[Entry<Valve>] = &[Entry::<Valve>::new("ec", EC, ranges::FEED_EC, |v, _| v.ec, |valve, v| valve.ec = Some(v))
    .called("EC of this valve", "EC of what this valve gives where its events have none of their own. It is then not drawn from the tank.")
    .since("mS/cm; plain water is about 0.3")
    .within(Spread::Factor(1.05), METER)];

/// The numbers of the pump.
pub static PUMP: &[Entry<Pump>] = &[Entry::<Pump>::new(
    "litres_per_hour",
    (Quantity::Litres, "L/h"),
    ranges::PUMP,
    |p, _| Some(p.litres_per_hour),
    |p, v| p.litres_per_hour = v,
)
.called("Pump gives, an hour", "All that is open at one time shares it: a valve that would ask for more than is left waits its turn.")
.since("litres an hour, all plants together")];

/// The numbers of one event.
pub static EVENT: &[Entry<Event>] = &[
    Entry::<Event>::new(
        "seconds",
        (Quantity::Plain("s", 0), "s"),
        ranges::EVENT_SECONDS,
        |e, _| Some(f64::from(e.seconds)),
        |e, v| e.seconds = whole(v),
    )
    .called("Lasts", "How long the event lasts")
    .since("an event lasts from 5 seconds to 12 hours")
    .in_whole_numbers(),
    Entry::<Event>::new("give.ml", (Quantity::Millilitres, "mL"), ranges::EVENT_ML, |e, _| ml(e.give), |e, v| give_ml(&mut e.give, v))
        .called("Volume", "For each plant")
        .since("mL per plant of one event"),
    Entry::<Event>::new("give.depth_cm", LENGTH, ranges::FLOOD_CM, |e, _| depth(e.give), |e, v| give_depth(&mut e.give, v))
        .called("Depth", "Above the base of the container")
        .since("cm of flood above the container's base"),
    Entry::<Event>::new("ec", EC, ranges::FEED_EC, |e, _| e.ec, |e, v| e.ec = Some(v))
        .called("EC", "EC of what this event gives. 0 is plain water without any salt; tap water is nearer 0.3 mS/cm.")
        .since("mS/cm; plain water is about 0.3"),
    Entry::<Event>::new(
        "days.every",
        (Quantity::Plain("days", 0), "days"),
        ranges::EVERY_DAYS,
        |e, _| Some(f64::from(e.days.every)),
        |e, v| e.days = OnDays { every: whole(v), from: e.days.from.clamp(1, whole(v).max(1)) },
    )
    .called("Every", "Days from this event to the same event again; 1 is every day")
    .since("an event comes every day, or every so many")
    .in_whole_numbers(),
    Entry::<Event>::new(
        "days.from",
        (Quantity::Plain("", 0), ""),
        ranges::EVERY_DAYS,
        |e, _| (!e.days.are_all()).then(|| f64::from(e.days.from)),
        |e, v| e.days.from = whole(v).clamp(1, e.days.every.max(1)),
    )
    .called("First on day", "The first day on which it comes, counted from the bench's first")
    .since("the first of its days is among the first `every`")
    .in_whole_numbers(),
];

fn ml(give: Give) -> Option<f64> {
    if let Give::Drip { ml } = give { Some(ml) } else { None }
}

fn depth(give: Give) -> Option<f64> {
    if let Give::Flood { depth_cm } = give { Some(depth_cm) } else { None }
}

fn give_ml(give: &mut Give, v: f64) {
    if let Give::Drip { ml } = give {
        *ml = v;
    }
}

fn give_depth(give: &mut Give, v: f64) {
    if let Give::Flood { depth_cm } = give {
        *depth_cm = v;
    }
}

/// The numbers of one rule: when it calls, and what its events give.
pub static RULE: &[Entry<Rule>] = &[
    Entry::<Rule>::new(
        "when",
        (Quantity::Plain("J/cm²", 0), "J/cm²"),
        ranges::LIGHT_JOULES,
        |r, _| match r.when {
            When::Light(LightSum::Joules(v)) => Some(v),
            _ => None,
        },
        |r, v| r.when = When::Light(LightSum::Joules(v)),
    )
    .called("Light sum", CALLS)
    .since("J/cm² of light for an event"),
    Entry::<Rule>::new(
        "when",
        (Quantity::Plain("mol/m²", 1), "mol/m²"),
        ranges::LIGHT_MOLES,
        |r, _| match r.when {
            When::Light(LightSum::Moles(v)) => Some(v),
            _ => None,
        },
        |r, v| r.when = When::Light(LightSum::Moles(v)),
    )
    .called("Light sum", CALLS)
    .since("mol/m² of light for an event"),
    Entry::<Rule>::new(
        "when.falls_to",
        CONTENT,
        ranges::SHARE,
        |r, _| match r.when {
            When::Dry { falls_to, .. } => Some(falls_to),
            When::Light(_) => None,
        },
        |r, v| {
            if let When::Dry { falls_to, .. } = &mut r.when {
                *falls_to = v;
            }
        },
    )
    .called("Threshold", "The water content at the probe that calls for an event. Lower dries further between events.")
    .since("m³/m³ at the probe"),
    Entry::<Rule>::new(
        "when.pause_s",
        (Quantity::Plain("s", 0), "s"),
        ranges::PAUSE,
        |r, _| match r.when {
            When::Dry { pause_s, .. } => Some(f64::from(pause_s)),
            When::Light(_) => None,
        },
        |r, v| {
            if let When::Dry { pause_s, .. } = &mut r.when {
                *pause_s = whole(v);
            }
        },
    )
    .called("Pause", "Least time from the end of any event to the next of this rule: water needs it to reach the probe.")
    .since("s between two events")
    .in_whole_numbers(),
    Entry::<Rule>::new(
        "seconds",
        (Quantity::Plain("s", 0), "s"),
        ranges::EVENT_SECONDS,
        |r, _| Some(f64::from(r.seconds)),
        |r, v| r.seconds = whole(v),
    )
    .called("Lasts", "How long each of its events lasts")
    .since("an event lasts from 5 seconds to 12 hours")
    .beside(|r, _| (ranges::EVENT_SECONDS.0, crate::units::DAY_S - r.last.seconds()))
    .in_whole_numbers(),
    Entry::<Rule>::new("give.ml", (Quantity::Millilitres, "mL"), ranges::EVENT_ML, |r, _| ml(r.give), |r, v| give_ml(&mut r.give, v))
        .called("Volume", "What each of its events gives a plant")
        .since("mL per plant of one event"),
    Entry::<Rule>::new("give.depth_cm", LENGTH, ranges::FLOOD_CM, |r, _| depth(r.give), |r, v| give_depth(&mut r.give, v))
        .called("Depth", "How deep each of its events floods the table")
        .since("cm of flood above the container's base"),
    Entry::<Rule>::new("ec", EC, ranges::FEED_EC, |r, _| r.ec, |r, v| r.ec = Some(v))
        .called("EC", "EC of what its events give; tap water is near 0.3 mS/cm")
        .since("mS/cm; plain water is about 0.3"),
];

const CALLS: &str =
    "An event each time so much light has come in above the canopy, counted from the first time below. Less calls more often.";

/// The numbers of the tank.
pub static TANK: &[Entry<Tank>] = &[
    Entry::<Tank>::new("litres", (Quantity::Litres, "L"), ranges::TANK, |t, _| Some(t.litres), |t, v| t.litres = v)
        .called("Size", "What it holds when full. A small tank answers quickly to what comes back, and is soon empty.")
        .since("litres when it is full"),
    Entry::<Tank>::new("start_ec", EC, ranges::FEED_EC, |t, _| t.start_ec, |t, v| t.start_ec = Some(v))
        .called("EC at first", "EC of what is in it on the first morning")
        .since("mS/cm")
        .within(Spread::Factor(1.05), METER),
    Entry::<Tank>::new(
        "refill.ec",
        EC,
        ranges::FEED_EC,
        |t, _| match t.refill {
            Refill::Water { ec } => Some(ec),
            Refill::Feed => None,
        },
        |t, v| {
            if let Refill::Water { ec } = &mut t.refill {
                *ec = v;
            }
        },
    )
    .called("Water's EC", "EC of the water; tap water is near 0.3 mS/cm")
    .since("mS/cm; plain water is about 0.3")
    .within(Spread::Factor(1.1), METER),
];
