//! Water flow: an exact transient solution and two published infiltration problems.

use crate::common::{advance, at_height, bisect, case, height_of, require, simulation};
use slakeline::scenario::StartWater;

/// Exact solution of Srivastava & Yeh 1991 (Water Resour. Res. 27:753) for K = Ks·e^(ah), h(0) = 0 and a surface flux that
/// jumps at t = 0. Closed form.
struct SrivastavaYeh {
    a: f64,
    ks: f64,
    span: f64,
    length: f64,
    /// Fluxes before and after, in units of Ks.
    before: f64,
    after: f64,
    roots: Vec<f64>,
}

impl SrivastavaYeh {
    /// The published problem: cm and hours.
    fn published() -> Self {
        let (a, length) = (0.1, 100.0);
        let scaled = a * length;
        // tan(λΛ) + 2λ = 0 has one root in each half-open branch (kπ − π/2, kπ) of λΛ.
        let pi = std::f64::consts::PI;
        let root = |k: u32| {
            let top = f64::from(k) * pi;
            bisect(|x| x.sin() + 2.0 * x / scaled * x.cos(), top - 0.5 * pi, top) / scaled
        };
        Self { a, ks: 1.0, span: 0.34, length, before: 0.1, after: 0.9, roots: (1..=400).map(root).collect() }
    }

    /// K/Ks long after a constant flux (units of Ks).
    fn steady(&self, flux: f64, z: f64) -> f64 {
        flux - (flux - 1.0) * (-self.a * z).exp()
    }

    /// Head at a height (cm) and a time (h).
    fn head(&self, z: f64, t: f64) -> f64 {
        let (scaled_z, scaled_l) = (self.a * z, self.a * self.length);
        let tau = self.a * self.ks * t / self.span;
        let sum: f64 = self
            .roots
            .iter()
            .map(|&l| {
                let weight = 1.0 + 0.5 * scaled_l + 2.0 * l * l * scaled_l;
                (l * scaled_z).sin() * (l * scaled_l).sin() * (-l * l * tau).exp() / weight
            })
            .sum();
        let decaying = 4.0 * (self.after - self.before) * (0.5 * (scaled_l - scaled_z)).exp() * (-0.25 * tau).exp() * sum;
        (self.steady(self.after, z) - decaying).ln() / self.a
    }
}

/// Heads (cm) at z = 10/30/50/70/90/100 cm. Closed form, evaluated independently of this project's code.
const SRIVASTAVA_YEH: [(f64, [f64; 6]); 3] = [
    (5.0, [-8.414, -19.305, -21.523, -15.331, -6.000, -3.066]),
    (20.0, [-6.046, -8.487, -5.429, -2.921, -1.604, -1.286]),
    (40.0, [-1.730, -2.171, -1.660, -1.288, -1.118, -1.081]),
];

/// Check 1. Tolerance 0.1 cm over the whole profile, against the listed numbers and against the series.
#[test]
fn srivastava_and_yeh() {
    let exact = SrivastavaYeh::published();
    let mut scenario = case("srivastava-yeh");
    let layers = scenario.solver.layers_of(&scenario.lanes[0].container)[0];
    let start = |i: usize| 0.06 + 0.34 * exact.steady(0.1, 100.0 * (i as f64 + 0.5) / layers as f64);
    scenario.lanes[0].start.water = StartWater::Layers((0..layers).map(start).collect());
    let mut simulation = simulation(&scenario);
    let (mut listed, mut profile, mut series) = (0.0_f64, 0.0_f64, 0.0_f64);
    for (hours, heads) in SRIVASTAVA_YEH {
        advance(&mut simulation, hours * 3600.0);
        let head = &simulation.state().head;
        for (z, expected) in [10.0, 30.0, 50.0, 70.0, 90.0, 100.0].into_iter().zip(heads) {
            series = series.max((exact.head(z, hours) - expected).abs());
            listed = listed.max((at_height(&simulation, head, z) - expected).abs());
        }
        for (layer, h) in simulation.column().layers.iter().zip(head) {
            profile = profile.max((exact.head(layer.z, hours) - h).abs());
        }
    }
    require("1 Srivastava & Yeh", "series against listed heads", series, 6e-4, "cm");
    require("1 Srivastava & Yeh", "engine against listed heads", listed, 0.1, "cm");
    require("1 Srivastava & Yeh", "engine against series, all layers", profile, 0.1, "cm");
}

/// Check 2. Celia et al. 1990 (Water Resour. Res. 26:1483): problem published, values computed. Tolerances: water content
/// 0.003, storage gain 0.5 %, heads 0.3 % of the listed head at 10–40 cm and 1 % at 50 cm (on the front), position of
/// h = −200 cm within 0.1 cm.
#[test]
fn celia() {
    let scenario = case("celia");
    let mut simulation = simulation(&scenario);
    advance(&mut simulation, 86_400.0);
    let state = simulation.state();
    let theta_of = |h: f64| 0.102 + 0.266 / (1.0 + (0.0335_f64 * h).powi(2)).sqrt();
    let (mut water, mut heads, mut front) = (0.0_f64, 0.0_f64, 0.0_f64);
    for (depth, expected) in [(10.0, -76.87_f64), (20.0, -80.28), (30.0, -86.73), (40.0, -100.46), (50.0, -142.9)] {
        let h = at_height(&simulation, &state.head, 100.0 - depth);
        let theta = at_height(&simulation, &state.theta, 100.0 - depth);
        water = water.max((theta - theta_of(expected)).abs());
        let off = (h / expected - 1.0).abs();
        if depth < 45.0 { heads = heads.max(off) } else { front = front.max(off) }
    }
    require("2 Celia", "water content", water, 0.003, "m³/m³");
    require("2 Celia", "head at 10–40 cm", heads, 0.003, "relative");
    require("2 Celia", "head at 50 cm", front, 0.01, "relative");
    let position = 100.0 - height_of(&simulation, &state.head, -200.0);
    require("2 Celia", "depth of h = −200 cm", (position - 53.67).abs(), 0.1, "cm");
    let gain = gain(&simulation);
    require("2 Celia", "storage gain", (gain / 4.113 - 1.0).abs(), 0.005, "relative");
}

/// Check 3. Haverkamp sand, problem 1 of Celia et al. 1990: problem published, values computed. Tolerances: water content
/// 0.003, storage gain 0.5 %.
#[test]
fn haverkamp() {
    let scenario = case("haverkamp");
    let mut simulation = simulation(&scenario);
    advance(&mut simulation, 360.0);
    let expected = [(2.0, 0.2663), (5.0, 0.2631), (8.0, 0.2570), (10.0, 0.2494), (12.0, 0.2350), (15.0, 0.1799), (20.0, 0.1009)];
    let theta = &simulation.state().theta;
    let off = expected.map(|(depth, expected)| (at_height(&simulation, theta, 40.0 - depth) - expected).abs());
    require("3 Haverkamp", "water content", off.into_iter().fold(0.0, f64::max), 0.003, "m³/m³");
    require("3 Haverkamp", "storage gain", (gain(&simulation) / 2.368 - 1.0).abs(), 0.005, "relative");
}

/// Water gained since the start, cm.
fn gain(simulation: &slakeline::engine::run::simulation::Simulation) -> f64 {
    let ledger = simulation.ledger();
    (ledger.water_stored - ledger.water_at_start) / simulation.column().layers[0].area
}
