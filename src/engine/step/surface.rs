//! Evaporation through the top: what the air asks for, as far as the half layer below the surface brings it up. The surface may be bone dry
//! over a layer that is moist at its centre; the head there is solved for, so that how dry a crust gets does not hang on how thin the
//! layers are.

use super::between::{self, End};
use crate::engine::column::hydro::Hydro;
use crate::engine::column::layers::Column;
use crate::engine::column::state::State;

/// Tries at the surface's head; halving alone needs about forty.
const MOST_TRIES: u32 = 60;

/// Share of the potential evaporation (mL/s, above 0) that the top layer lets through, and its derivative by the layer's head, 1/cm.
pub fn share(column: &Column, hydro: &mut Hydro, state: &State, head: &[f64], most: f64) -> (f64, f64) {
    let last = column.len() - 1;
    let layer = &column.layers[last];
    let here = End { head: head[last], k: hydro.nodes.k[last], slope: hydro.nodes.k_slope[last] };
    let (knee, evaporation) = (column.parts[layer.part].falls_from, column.parts[layer.part].evaporation);
    let per_cm = 2.0 * layer.area / layer.dz;
    if here.head > evaporation.falls_cm {
        // More rises to a drier surface, and on the way there nothing conducts less than the surface does: where that is enough already to a
        // surface a little drier than the layer, nothing has to be sought.
        let drier = here.head - layer.dz;
        let (se, _) = hydro.saturation_at(column, state, last, drier);
        let least = column.hydraulics(last).conductivity(se).0 * (per_cm * layer.dz - layer.area);
        if drier >= evaporation.falls_cm && least >= most {
            return (1.0, 0.0);
        }
    }
    // Upward through the half layer to a surface at `at`, and its derivatives by the layer's head and by the surface's.
    let mut rises = |at: f64| {
        let (se, se_by_head) = hydro.saturation_at(column, state, last, at);
        let (k, k_by_se) = column.hydraulics(last).conductivity(se);
        let mean = between::front(here, End { head: at, k, slope: k_by_se * se_by_head }, knee);
        let drive = per_cm * (here.head - at) - layer.area;
        (mean.k * drive, mean.by_first * drive + mean.k * per_cm, mean.by_second * drive - mean.k * per_cm)
    };
    let mut high = evaporation.falls_cm.min(here.head);
    if here.head > evaporation.falls_cm && rises(evaporation.falls_cm).0 >= most {
        return (1.0, 0.0);
    }
    let mut low = evaporation.stops_cm;
    if high <= low {
        return (0.0, 0.0);
    }
    let mut at = 0.5 * (low + high);
    let mut found = (0.0, 0.0);
    for _ in 0..MOST_TRIES {
        let (given, given_slope) = evaporation.share(at);
        let (rising, by_layer, by_surface) = rises(at);
        let off = most * given - rising;
        let slope = most * given_slope - by_surface;
        found = (given, if slope > 0.0 { given_slope * by_layer / slope } else { 0.0 });
        if off.abs() <= 1e-9 * most || high - low <= 1e-10 * at.abs() {
            break;
        }
        if off > 0.0 {
            high = at;
        } else {
            low = at;
        }
        let newton = at - off / slope;
        at = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
    }
    found
}
