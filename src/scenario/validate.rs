//! Checks every value of a scenario against its range, and names field, value, range and reason.

use std::collections::HashSet;
use std::fmt;

use super::{
    Base, Container, Crop, CropChoice, Curve, Demand, Event, FORMAT, Give, Lane, MAX_DAYS, MAX_EVENTS, MAX_LANES, Medium, MediumChoice,
    Part, Roots, Scenario, Shape, Solver, StartSalt, StartWater, Top, file::printable, presets::Library, resolve,
};

/// One value that cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where it stands, for example `lanes[0].container.parts[1].height_cm`.
    pub field: String,
    /// The value found.
    pub value: String,
    /// What is allowed.
    pub allowed: String,
    /// Why.
    pub why: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is {}; allowed: {} ({})", self.field, self.value, self.allowed, self.why)
    }
}

/// Gathers problems under a path.
struct Check<'a> {
    problems: &'a mut Vec<Problem>,
    path: String,
}

impl Check<'_> {
    fn at(&mut self, field: &str) -> Check<'_> {
        let path = if self.path.is_empty() { field.to_owned() } else { format!("{}.{field}", self.path) };
        Check { problems: self.problems, path }
    }

    fn item(&mut self, field: &str, index: usize) -> Check<'_> {
        self.at(&format!("{field}[{index}]"))
    }

    fn fail(&mut self, field: &str, value: impl fmt::Display, allowed: impl Into<String>, why: &str) {
        let field = self.at(field).path;
        self.problems.push(Problem { field, value: value.to_string(), allowed: allowed.into(), why: why.to_owned() });
    }

    fn range(&mut self, field: &str, value: f64, low: f64, high: f64, why: &str) {
        // Not a number fails every comparison.
        if !(low..=high).contains(&value) {
            self.fail(field, Number(value), format!("{} to {}", Number(low), Number(high)), why);
        }
    }

    /// Returns whether the count is within its range.
    fn count(&mut self, field: &str, value: usize, low: usize, high: usize, why: &str) -> bool {
        let fits = (low..=high).contains(&value);
        if !fits {
            let allowed = if low == high { low.to_string() } else { format!("{low} to {high}") };
            self.fail(field, value, allowed, why);
        }
        fits
    }

    fn name(&mut self, value: &str) {
        if value.trim().is_empty() || value.chars().count() > 80 || !value.chars().all(is_plain) {
            self.fail("name", quoted(value), "1 to 80 printable characters", "names are shown on the bench and in tables");
        }
    }

    fn text(&mut self, field: &str, value: &str) {
        let fits = value.chars().count() <= MAX_TEXT;
        if !fits || !value.chars().all(|c| is_plain(c) || c == '\n' || c == '\r' || c == '\t') {
            self.fail(field, quoted(value), format!("at most {MAX_TEXT} printable characters"), "it is shown on the bench and on sheets");
        }
    }
}

/// Longest note or source, characters.
const MAX_TEXT: usize = 4000;

/// Whether a character stands on its line and leaves its neighbours where they are: no control characters, no marks that
/// turn the direction of the text around.
pub(super) fn is_plain(c: char) -> bool {
    !c.is_control() && !matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", printable(text, 80))
}

/// A number as a person would write it, however large or small.
struct Number(f64);

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = self.0.abs();
        if size == 0.0 || !size.is_finite() || (1e-4..1e7).contains(&size) { write!(f, "{}", self.0) } else { write!(f, "{:e}", self.0) }
    }
}

impl Scenario {
    /// Everything that is wrong with the values; empty when the scenario can be run. `library` resolves preset names.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        let mut problems = Vec::new();
        let mut check = Check { problems: &mut problems, path: String::new() };
        if self.format != FORMAT {
            check.fail("format", self.format, FORMAT.to_string(), "the format this version knows");
        }
        check.name(&self.name);
        check.text("note", &self.note);
        check.count("days", self.days as usize, 1, MAX_DAYS as usize, "a run needs a day, and a year is the most it takes");
        check.range("evaporation_mm_per_day", self.evaporation_mm_per_day, 0.0, 30.0, "mm of water a day from a free wet surface");
        check.range("feed.ec", self.feed.ec, 0.0, 20.0, "mS/cm; stronger is no longer a feed");
        if self.light.off <= self.light.on {
            let both = format!("{} to {}", self.light.on, self.light.off);
            check.fail("light", both, "`on` before `off`, on one day", "the demand follows the light of one day");
        }
        check_schedule(&mut check, &self.schedule);
        check.count("lanes", self.lanes.len(), 1, MAX_LANES, "lanes shown together");
        let mut names = HashSet::new();
        for (i, lane) in self.lanes.iter().enumerate().take(MAX_LANES) {
            let mut at = check.item("lanes", i);
            check_lane(&mut at, lane, &self.solver, library);
            if !names.insert(lane.name.trim()) {
                at.fail("name", quoted(&lane.name), "a name no other lane has", "results are told apart by it");
            }
        }
        check_solver(&mut check.at("solver"), &self.solver);
        problems
    }
}

impl Medium {
    /// Everything that is wrong with the values. A medium refers to nothing, so the library is not looked at.
    #[must_use]
    pub fn validate(&self, _library: &Library) -> Vec<Problem> {
        gathered(|check| check_medium(check, self))
    }
}

impl Crop {
    /// Everything that is wrong with the values. A crop refers to nothing, so the library is not looked at.
    #[must_use]
    pub fn validate(&self, _library: &Library) -> Vec<Problem> {
        gathered(|check| check_crop(check, self))
    }
}

impl Container {
    /// Everything that is wrong with the values; `library` resolves the names of media.
    #[must_use]
    pub fn validate(&self, library: &Library) -> Vec<Problem> {
        gathered(|check| check_container(check, self, library))
    }
}

fn gathered(checks: impl FnOnce(&mut Check<'_>)) -> Vec<Problem> {
    let mut problems = Vec::new();
    checks(&mut Check { problems: &mut problems, path: String::new() });
    problems
}

fn check_schedule(check: &mut Check<'_>, schedule: &[Event]) {
    if !check.count("schedule", schedule.len(), 0, MAX_EVENTS, "events of one day") {
        return;
    }
    for (i, event) in schedule.iter().enumerate() {
        let mut at = check.item("schedule", i);
        at.count("seconds", event.seconds as usize, 5, 43_200, "an event lasts from 5 seconds to 12 hours");
        match event.give {
            Give::Drip { ml } => at.range("give.ml", ml, 0.1, 20_000.0, "mL per plant of one event"),
            Give::Flood { depth_cm } => at.range("give.depth_cm", depth_cm, 0.1, 100.0, "cm of flood above the container's base"),
        }
        if let Some(ec) = event.ec {
            at.range("ec", ec, 0.0, 20.0, "mS/cm; plain water is about 0.3");
        }
        if event.end_s() > super::DAY_S {
            let span = format!("{} for {} s", event.start, event.seconds);
            at.fail("start", span, "an end by 24:00", "a daily schedule repeats at midnight; split the event in two");
        }
    }
    let mut order: Vec<usize> = (0..schedule.len()).collect();
    order.sort_by_key(|&i| schedule[i].start);
    for pair in order.windows(2) {
        let (first, second) = (&schedule[pair[0]], &schedule[pair[1]]);
        if second.start_s() < first.end_s() {
            check.item("schedule", pair[1]).fail(
                "start",
                second.start,
                format!("after schedule[{}] ends ({} and {} s)", pair[0], first.start, first.seconds),
                "one pump gives one event at a time",
            );
        }
    }
}

fn check_lane(check: &mut Check<'_>, lane: &Lane, solver: &Solver, library: &Library) {
    check.name(&lane.name);
    check.count("plants", lane.plants as usize, 1, 1_000_000, "plants standing like this");
    check.range("dose", lane.dose, 0.01, 100.0, "times the scheduled volume");
    check_container(&mut check.at("container"), &lane.container, library);
    match &lane.crop {
        CropChoice::Preset(name) if library.crop(name).is_none() => {
            unknown_preset(check, "crop", name, library.crops.iter().map(|c| &c.name));
        }
        CropChoice::Preset(_) => {}
        CropChoice::Custom(crop) => check_crop(&mut check.at("crop"), crop),
    }
    let Demand::Measured { litres_per_day, steady_share } = lane.demand;
    check.range("demand.litres_per_day", litres_per_day, 0.0, 50.0, "litres a plant uses in a day");
    check.range("demand.steady_share", steady_share, 0.0, 1.0, "a share of the day's use");
    check_targets(&mut check.at("targets"), lane);
    check_edges(check, lane);
    let layers = solver.layers_of(&lane.container);
    check_roots(check, &lane.roots, lane.container.height_cm(), layers.iter().sum());
    check_start(&mut check.at("start"), lane, &layers, library);
}

fn unknown_preset<'n>(check: &mut Check<'_>, field: &str, name: &str, known: impl Iterator<Item = &'n String>) {
    let known: Vec<&str> = known.map(String::as_str).collect();
    check.fail(field, quoted(name), known.join(", "), "the name of a preset that this program or its user's folder holds");
}

fn check_container(check: &mut Check<'_>, container: &Container, library: &Library) {
    check.name(&container.name);
    check.text("source", &container.source);
    if !check.count("parts", container.parts.len(), 1, 6, "parts stacked from the base up") {
        return;
    }
    for (i, part) in container.parts.iter().enumerate() {
        check_part(&mut check.item("parts", i), part, library);
    }
    let height = container.height_cm();
    if !(container.outlet_height_cm >= 0.0 && container.outlet_height_cm < height) {
        let allowed = format!("0 to below {}", Number(height));
        check.fail("outlet_height_cm", Number(container.outlet_height_cm), allowed, "the outlet is in the wall or base, below the top");
    }
}

fn check_part(check: &mut Check<'_>, part: &Part, library: &Library) {
    check.name(&part.name);
    check.range("height_cm", part.height_cm, 0.5, 200.0, "cm from the part's base to its top");
    check.count("shared_by", part.shared_by as usize, 1, 1000, "plants that share the part");
    let lengths: Vec<(&str, f64)> = match part.shape {
        Shape::Rectangular { length_cm, width_cm } => vec![("shape.length_cm", length_cm), ("shape.width_cm", width_cm)],
        Shape::Round { diameter_cm } => vec![("shape.diameter_cm", diameter_cm)],
        Shape::TaperedRectangular { bottom_cm, top_cm } => vec![
            ("shape.bottom_cm.0", bottom_cm.0),
            ("shape.bottom_cm.1", bottom_cm.1),
            ("shape.top_cm.0", top_cm.0),
            ("shape.top_cm.1", top_cm.1),
        ],
        Shape::TaperedRound { bottom_diameter_cm, top_diameter_cm } => {
            vec![("shape.bottom_diameter_cm", bottom_diameter_cm), ("shape.top_diameter_cm", top_diameter_cm)]
        }
    };
    for (field, value) in lengths {
        check.range(field, value, 0.5, 500.0, "cm");
    }
    for (field, share) in [("top_exposed", part.top_exposed), ("wall_exposed", part.wall_exposed)] {
        if let Some(share) = share {
            check.range(field, share, 0.0, 1.0, "a share of the surface");
        }
    }
    match &part.medium {
        MediumChoice::Preset(name) if library.medium(name).is_none() => {
            unknown_preset(check, "medium", name, library.media.iter().map(|m| &m.name));
        }
        MediumChoice::Preset(_) => {}
        MediumChoice::Custom(medium) => check_medium(&mut check.at("medium"), medium),
        MediumChoice::Mix(components) => {
            if !check.count("medium", components.len(), 2, 6, "components of a mix") {
                return;
            }
            for (i, component) in components.iter().enumerate() {
                let mut at = check.item("medium", i);
                at.range("percent", component.percent, 0.1, 100.0, "percent of the volume");
                match library.medium(&component.medium) {
                    None => unknown_preset(&mut at, "medium", &component.medium, library.media.iter().map(|m| &m.name)),
                    Some(m) if !matches!(m.curve, Curve::VanGenuchten { .. }) => {
                        at.fail("medium", quoted(&m.name), "a medium with a van Genuchten curve", "mixes are refitted to that curve");
                    }
                    Some(_) => {}
                }
            }
            let sum: f64 = components.iter().map(|c| c.percent).sum();
            if sum.is_nan() || (sum - 100.0).abs() > 0.01 {
                check.fail("medium", format!("a mix of {} %", Number(sum)), "shares that sum to 100", "a mix fills the whole volume");
            }
        }
    }
}

fn check_medium(check: &mut Check<'_>, medium: &Medium) {
    check.name(&medium.name);
    check.text("source", &medium.source);
    check.range("hysteresis_ratio", medium.hysteresis_ratio, 1.0, 5.0, "wetting against drying suction; 1 is none");
    if let Some(h) = medium.capillary_height_cm {
        check.range("capillary_height_cm", h, 0.0, 5.0, "cm of suction below which the medium stays full");
    }
    check.range("channelling", medium.channelling, 0.0, 0.9, "share of a drip that runs straight through");
    check.range("bulk_density_kg_m3", medium.bulk_density_kg_m3, 1.0, 2500.0, "kg of dry medium in a cubic metre");
    check.range("cec_cmol_kg", medium.cec_cmol_kg, 0.0, 300.0, "cmol/kg");
    check.range("exchange_ml_per_g", medium.exchange_ml_per_g, 0.0, 100.0, "mL/g; 0 is no exchange");
    check.range("dispersivity_cm", medium.dispersivity_cm, 0.0, 100.0, "cm");
    check.range("diffusion_cm2_s", medium.diffusion_cm2_s, 0.0, 0.1, "cm²/s; salt in free water is about 1.5e-5");
    let curve = &medium.curve;
    let (theta_s, theta_r) = (curve.theta_s(), curve.theta_r());
    check.range("curve.theta_s", theta_s, 0.05, 0.99, "m³ of water in a m³ when full");
    if !(theta_r >= 0.0 && theta_r <= theta_s - 0.01) {
        check.fail("curve.theta_r", Number(theta_r), format!("0 to {:.2}", theta_s - 0.01), "residual water content, below theta_s");
    }
    if !(medium.porosity >= theta_s && medium.porosity <= 0.99) {
        check.fail("porosity", Number(medium.porosity), format!("{} to 0.99", Number(theta_s)), "all pores, at least theta_s");
    }
    check.range("curve.ks_cm_per_day", curve.ks_cm_per_day(), 0.01, 1e6, "saturated conductivity, cm/day");
    match *curve {
        Curve::VanGenuchten { alpha_per_cm, n, l, .. } => {
            check.range("curve.alpha_per_cm", alpha_per_cm, 1e-4, 5.0, "1/cm");
            check.range("curve.n", n, 1.05, 12.0, "the curve needs n above 1; below 1.05 it hardly drains");
            check.range("curve.l", l, -2.0, 4.0, "Mualem's exponent, usually 0.5");
        }
        Curve::Gardner { a_per_cm, .. } => check.range("curve.a_per_cm", a_per_cm, 1e-4, 5.0, "1/cm"),
        Curve::Haverkamp { alpha, beta, a, gamma, .. } => {
            check.range("curve.alpha", alpha, 1e-3, 1e12, "cm^β");
            check.range("curve.beta", beta, 0.5, 12.0, "exponent of the retention");
            check.range("curve.a", a, 1e-3, 1e12, "cm^γ");
            check.range("curve.gamma", gamma, 0.5, 12.0, "exponent of the conductivity");
        }
    }
}

fn check_crop(check: &mut Check<'_>, crop: &Crop) {
    check.name(&crop.name);
    check.text("source", &crop.source);
    check.range("uptake_ec", crop.uptake_ec, 0.0, 20.0, "mS/cm that leave with the water taken up");
    let s = &crop.stress;
    let mut at = check.at("stress");
    at.range("stops_cm", s.stops_cm, -15_000.0, -1.0, "cm of pressure head, negative");
    if !(s.begins_cm <= 0.0 && s.begins_cm > s.stops_cm) {
        at.fail("begins_cm", Number(s.begins_cm), format!("above {} to 0", Number(s.stops_cm)), "stress begins before uptake stops");
    }
    at.range("air_none", s.air_none, 0.0, 0.9, "m³/m³");
    if !(s.air_enough > s.air_none && s.air_enough <= 0.95) {
        at.fail("air_enough", Number(s.air_enough), format!("above {} to 0.95", Number(s.air_none)), "more air than `air_none`");
    }
    at.range("air_floor", s.air_floor, 0.0, 1.0, "share of uptake");
    at.range("air_memory_h", s.air_memory_h, 0.01, 240.0, "hours");
    at.range("compensation", s.compensation, 0.05, 1.0, "1 is no compensation");
    if let Some(salt) = s.salt {
        at.range("salt.threshold_ece", salt.threshold_ece, 0.0, 50.0, "dS/m");
        at.range("salt.slope_percent", salt.slope_percent, 0.0, 100.0, "percent per dS/m");
    }
    for (field, ec) in [("guide_feed_ec", crop.guide_feed_ec), ("guide_root_zone_ec", crop.guide_root_zone_ec)] {
        if let Some(ec) = ec {
            check.range(field, ec, 0.0, 20.0, "mS/cm");
        }
    }
}

fn check_targets(check: &mut Check<'_>, lane: &Lane) {
    let t = &lane.targets;
    let bands = [
        ("water_content", t.water_content, 1.0, "m³/m³"),
        ("dry_back_points", t.dry_back_points, 100.0, "points of volume"),
        ("drain_percent", t.drain_percent, 100.0, "percent"),
        ("root_zone_ec", t.root_zone_ec, 40.0, "mS/cm"),
    ];
    for (field, band, most, unit) in bands {
        if let Some((low, high)) = band
            && !(low >= 0.0 && low < high && high <= most)
        {
            check.fail(field, format!("{} to {}", Number(low), Number(high)), format!("0 to {most}, low before high"), unit);
        }
    }
    if let Some(air) = t.lowest_air {
        check.range("lowest_air", air, 0.0, 1.0, "m³/m³");
    }
}

fn check_edges(check: &mut Check<'_>, lane: &Lane) {
    match lane.boundaries.top {
        Top::Emitters => {}
        Top::FixedHead(h) => check.range("boundaries.top", h, -15_000.0, 200.0, "cm of pressure head"),
        Top::FixedFlux(q) => check.range("boundaries.top", q, 0.0, 1000.0, "cm/h into the surface"),
    }
    if let Base::FixedHead(h) = lane.boundaries.base {
        check.range("boundaries.base", h, -15_000.0, 200.0, "cm of pressure head");
    }
}

fn check_roots(check: &mut Check<'_>, roots: &Roots, height: f64, layers: usize) {
    let dense = |d: f64| d.is_finite() && (0.0..=1e6).contains(&d);
    match roots {
        Roots::Uniform => {}
        Roots::Tapering { halves_every_cm } => check.range("roots.halves_every_cm", *halves_every_cm, 0.5, 500.0, "cm of depth"),
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
        StartWater::Mean(theta) if known => {
            let whole = lane.container.volume_per_plant_ml();
            let mean = |value: fn(&Curve) -> f64| {
                media.iter().zip(parts).map(|(m, p)| value(&m.curve) * p.volume_per_plant_ml()).sum::<f64>() / whole
            };
            let (low, high) = (mean(Curve::theta_r) + 0.01, mean(Curve::theta_s));
            // Sizes that cannot be have been named already.
            if !(low.is_finite() && high.is_finite()) {
                return;
            }
            check.range("water", *theta, low, high, "m³/m³, above residual and no more than the media hold");
        }
        StartWater::Head(h) => check.range("water", *h, -15_000.0, 200.0, "cm of pressure head"),
        StartWater::Layers(values) => {
            check.count("water", values.len(), count, count, "one value for each layer of this column");
            if known && values.len() == count {
                let of_layer = media.iter().zip(layers).flat_map(|(m, &n)| std::iter::repeat_n(&m.curve, n));
                for (i, (&theta, curve)) in values.iter().zip(of_layer).enumerate() {
                    let why = "m³/m³, above residual and no more than the medium holds";
                    check.range(&format!("water[{i}]"), theta, curve.theta_r() + 1e-4, curve.theta_s(), why);
                }
            }
        }
        StartWater::Mean(_) => {}
    }
    match &lane.start.salt {
        StartSalt::Feed => {}
        StartSalt::Ec(ec) => check.range("salt", *ec, 0.0, 40.0, "mS/cm"),
        StartSalt::Layers(values) => {
            if !check.count("salt", values.len(), count, count, "one value for each layer of this column") {
                return;
            }
            for (i, &ec) in values.iter().enumerate() {
                check.range(&format!("salt[{i}]"), ec, 0.0, 40.0, "mS/cm");
            }
        }
    }
}

fn check_solver(check: &mut Check<'_>, s: &Solver) {
    check.range("layer_cm", s.layer_cm, 0.05, 10.0, "cm");
    check.count("min_layers", s.min_layers as usize, 2, 1000, "layers");
    check.count("max_layers", s.max_layers as usize, (s.min_layers as usize).max(2), 1000, "layers, at least `min_layers`");
    check.range("tolerance", s.tolerance, 1e-8, 0.1, "m³/m³ in one step");
    check.range("convergence", s.convergence, 1e-9, 1.0, "share of the tolerance");
    check.range("max_step_s", s.max_step_s, 1.0, 7200.0, "s");
    check.range("min_step_s", s.min_step_s, 1e-9, 1.0, "s");
    check.range("storage_per_cm", s.storage_per_cm, 1e-9, 1e-3, "1/cm");
}
