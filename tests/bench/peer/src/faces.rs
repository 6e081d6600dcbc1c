//! The flow of water between two layers, written down a second time: the engine keeps its own to itself.
//!
//! This is the one place that has to follow when the engine's flow between layers changes. `agreement` holds it against the engine's
//! flows before anything is timed, and the run ends there when neither rule below meets them.

use slakeline::engine::boundary::Flows;
use slakeline::engine::column::Column;
use slakeline::engine::hydro::Nodes;
use slakeline::physics::hydraulics::Main;

/// What conducts between two layers of different parts; within a part it is the mean of the two layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contact {
    /// The mean of the two layers there too.
    Mean,
    /// One head at the contact, found from equal flow through the two half layers.
    CommonHead,
}

impl Contact {
    /// Both rules.
    pub const ALL: [Self; 2] = [Self::Mean, Self::CommonHead];

    /// The rule in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Mean => "the mean of the two layers' conductivities at the contact of two parts",
            Self::CommonHead => "one head at the contact of two parts",
        }
    }
}

/// Derivatives of the flows between layers, mL/s per cm: of the flow between layer i and i + 1 by the head of each.
#[derive(Clone, Debug)]
pub struct Slopes {
    /// By the head of layer i.
    pub by_below: Vec<f64>,
    /// By the head of layer i + 1.
    pub by_above: Vec<f64>,
}

impl Slopes {
    /// Room for the faces of `n` layers.
    pub fn new(n: usize) -> Self {
        Self { by_below: vec![0.0; n - 1], by_above: vec![0.0; n - 1] }
    }
}

/// Flows between the layers, mL/s, upward positive, into `flows.face`, and their slopes. `nodes` are at `head`.
pub fn flows(column: &Column, contact: Contact, nodes: &Nodes, head: &[f64], flows: &mut Flows, slopes: &mut Slopes) {
    let faces = head.len() - 1;
    let (k, k_slope, q) = (&nodes.k[..=faces], &nodes.k_slope[..=faces], &mut flows.face[..faces]);
    let (by_below, by_above) = (&mut slopes.by_below[..faces], &mut slopes.by_above[..faces]);
    let (area, spacing) = (&column.contact[..faces], &column.spacing[..faces]);
    for i in 0..faces {
        let mean = 0.5 * (k[i] + k[i + 1]);
        let drive = area[i] * ((head[i + 1] - head[i]) / spacing[i] + 1.0);
        let steep = mean * area[i] / spacing[i];
        q[i] = -mean * drive;
        by_below[i] = steep - 0.5 * k_slope[i] * drive;
        by_above[i] = -steep - 0.5 * k_slope[i + 1] * drive;
    }
    if contact == Contact::CommonHead {
        for part in &column.parts[1..] {
            let i = part.layers.start - 1;
            (q[i], by_below[i], by_above[i]) = through_contact(column, nodes, head, i);
        }
    }
}

/// Flow through half a layer next to a contact, cm/s downward, and its derivatives by the layer's head and by the contact's.
#[derive(Clone, Copy)]
struct Half {
    flux: f64,
    by_layer: f64,
    by_contact: f64,
}

/// Flow upward through the contact of layer `i` and the one above it, mL/s, and its derivatives by their heads. The head at the contact
/// lies between those at which nothing would flow on one side; Newton's method within that bracket, which closes in from both ends.
fn through_contact(column: &Column, nodes: &Nodes, head: &[f64], i: usize) -> (f64, f64, f64) {
    let halves = [0.5 * column.layers[i].dz, 0.5 * column.layers[i + 1].dz];
    let rest = [head[i] - halves[0], head[i + 1] + halves[1]];
    let (mut low, mut high) = (rest[0].min(rest[1]), rest[0].max(rest[1]));
    let mut at = 0.5 * (low + high);
    let half = |layer: usize, at: f64, length: f64, upper: bool| {
        let medium = column.hydraulics(layer);
        let (se, slope) = medium.main(Main::Drying, (-at).max(0.0));
        let (k_at, by_se) = medium.conductivity(se);
        let k_at_slope = if at < 0.0 { -by_se * slope } else { 0.0 };
        let k = 0.5 * (k_at + nodes.k[layer]);
        let sign = if upper { 1.0 } else { -1.0 };
        let drive = sign * (head[layer] - at) / length + 1.0;
        Half {
            flux: k * drive,
            by_layer: 0.5 * nodes.k_slope[layer] * drive + sign * k / length,
            by_contact: 0.5 * k_at_slope * drive - sign * k / length,
        }
    };
    let both = |at: f64| (half(i, at, halves[0], false), half(i + 1, at, halves[1], true));
    let (mut below, mut above) = both(at);
    for _ in 0..100 {
        let off = below.flux - above.flux;
        if off.abs() <= 1e-11 * below.flux.abs().max(above.flux.abs()) || high - low <= 1e-14 * (1.0 + at.abs()) {
            break;
        }
        if off > 0.0 {
            high = at;
        } else {
            low = at;
        }
        let newton = at - off / (below.by_contact - above.by_contact);
        at = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        (below, above) = both(at);
    }
    let area = column.contact[i];
    let steep = below.by_contact - above.by_contact;
    // As much passes both halves, so what one layer's head changes is shared between them.
    let (by_below, by_above) =
        if steep == 0.0 { (0.0, 0.0) } else { (-below.by_layer * above.by_contact / steep, above.by_layer * below.by_contact / steep) };
    (-area * 0.5 * (below.flux + above.flux), -area * by_below, -area * by_above)
}
