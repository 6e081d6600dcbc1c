//! Where two media touch, one head holds on both sides and as much leaves the one as enters the other. The mean of two conductivities of
//! different media is no conductivity of either: it makes the flow there wrong to first order in the layers' thickness. So the head at the
//! contact is solved for: equal flow through the half layer below and the half layer above, each with its own medium's conductivity there.

use super::between::{self, End};
use crate::engine::column::hydro::Hydro;
use crate::engine::column::layers::Column;
use crate::engine::column::state::State;

/// A contact of two media and the head last found there.
#[derive(Clone, Debug)]
pub struct Contact {
    /// Index of the layer below it.
    pub face: usize,
    /// Area over half the thickness of the layer below and above, cm: a half layer conducts with its own area, so that what the narrower
    /// part holds back does not hang on how thin the layers are.
    per_cm: [f64; 2],
    half_below: f64,
    half_above: f64,
    area: [f64; 2],
    head: f64,
}

/// Flow upward through a contact, mL/s, and its derivatives by the heads of the layers below and above, mL/s per cm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Through {
    /// Flow upward.
    pub upward: f64,
    /// By the head of the layer below.
    pub by_below: f64,
    /// By the head of the layer above.
    pub by_above: f64,
}

/// One half layer at a trial head of the contact: downward flow, mL/s, and its derivatives by the layer's head and by the contact's.
#[derive(Clone, Copy)]
struct Half {
    flux: f64,
    by_layer: f64,
    by_contact: f64,
}

/// Most tries at the head of a contact; halving alone needs about fifty.
const MOST_TRIES: u32 = 80;
/// Share by which the flows through the two halves may differ when the head is taken for found. One more step of Newton's method along
/// the halves' slopes then makes them equal, and leaves of what was missing its square.
const NEARLY: f64 = 1e-5;

impl Contact {
    /// The contacts of a column.
    #[must_use]
    pub fn all(column: &Column) -> Vec<Self> {
        let touch = |w: &[crate::engine::column::layers::Layer]| w[0].part != w[1].part;
        let faces = column.layers.windows(2).enumerate().filter(|(_, w)| touch(w));
        faces
            .map(|(face, w)| Self {
                face,
                area: [w[0].area, w[1].area],
                per_cm: [2.0 * w[0].area / w[0].dz, 2.0 * w[1].area / w[1].dz],
                half_below: 0.5 * w[0].dz,
                half_above: 0.5 * w[1].dz,
                head: f64::NAN,
            })
            .collect()
    }

    /// The head last found there, cm, where the next search begins; no number before the first.
    #[must_use]
    pub fn memory(&self) -> f64 {
        self.head
    }

    /// Takes a memory over.
    pub fn recall(&mut self, head: f64) {
        self.head = head;
    }

    /// The flow at trial heads of the layers; `hydro`'s nodes are at them.
    pub fn flow(&mut self, column: &Column, hydro: &mut Hydro, state: &State, head: &[f64]) -> Through {
        let (below, above) = (self.face, self.face + 1);
        // With nothing flowing on either side the contact's head would be one of these two; it lies between them.
        let (rest_below, rest_above) = (head[below] - self.half_below, head[above] + self.half_above);
        let (mut low, mut high) = if rest_below < rest_above { (rest_below, rest_above) } else { (rest_above, rest_below) };
        let mut at = if self.head > low && self.head < high { self.head } else { 0.5 * (low + high) };
        let mut halves = None;
        for _ in 0..MOST_TRIES {
            let lower = self.half(column, hydro, state, head, below, at);
            let upper = self.half(column, hydro, state, head, above, at);
            halves = Some((lower, upper));
            let off = lower.flux - upper.flux;
            let scale = lower.flux.abs().max(upper.flux.abs());
            if off.abs() <= NEARLY * scale || high - low <= 1e-13 * (1.0 + at.abs()) {
                break;
            }
            // A contact too wet lets more out of the lower half than comes in through the upper one.
            if off > 0.0 {
                high = at;
            } else {
                low = at;
            }
            let newton = at - off / (lower.by_contact - upper.by_contact);
            at = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        }
        self.head = at;
        let Some((lower, upper)) = halves else { return Through::default() };
        let slope = lower.by_contact - upper.by_contact;
        // As much through both halves: what a layer's head changes is shared between them.
        let (by_below, by_above) =
            if slope == 0.0 { (0.0, 0.0) } else { (-lower.by_layer * upper.by_contact / slope, upper.by_layer * lower.by_contact / slope) };
        // What both let through once the head has moved by the little that is missing.
        let down = if slope == 0.0 {
            0.5 * (lower.flux + upper.flux)
        } else {
            (upper.flux * lower.by_contact - lower.flux * upper.by_contact) / slope
        };
        Through { upward: -down, by_below: -by_below, by_above: -by_above }
    }

    /// Flux downward through the half layer of `layer` next to the contact at head `at`.
    fn half(&self, column: &Column, hydro: &mut Hydro, state: &State, head: &[f64], layer: usize, at: f64) -> Half {
        let (se, se_by_head) = hydro.saturation_at(column, state, layer, at);
        let (k_at, k_by_se) = column.hydraulics(layer).conductivity(se);
        let there = End { head: at, k: k_at, slope: k_by_se * se_by_head };
        let here = End { head: head[layer], k: hydro.nodes.k[layer], slope: hydro.nodes.k_slope[layer] };
        let mean = between::plain(here, there);
        let side = usize::from(layer != self.face);
        let drop = if side == 0 { at - head[layer] } else { head[layer] - at };
        let drive = self.per_cm[side] * drop + self.area[side];
        let steep = if side == 0 { mean.k * self.per_cm[side] } else { -mean.k * self.per_cm[side] };
        Half { flux: mean.k * drive, by_layer: mean.by_first * drive - steep, by_contact: mean.by_second * drive + steep }
    }
}
