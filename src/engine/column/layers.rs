//! The column: one plant's share of one container as a stack of layers, base first.

use std::ops::Range;

use super::stress::Evaporation;
use crate::physics::hydraulics::{Hydraulics, Main};
use crate::scenario::presets::Library;
use crate::scenario::resolve::{self, Unresolved};
use crate::scenario::{Boundaries, Crop, Lane, Medium, Part, Probe, Roots, Solver, Walls};
use crate::units::DAY_S;

/// Everything about a lane that does not change while it runs. Lengths in cm, areas cm², volumes mL, all per plant.
#[derive(Clone, Debug)]
pub struct Column {
    /// The layers, base first.
    pub layers: Vec<Layer>,
    /// Area of contact between layer i and i + 1.
    pub contact: Vec<f64>,
    /// Distance between the centres of layer i and i + 1.
    pub spacing: Vec<f64>,
    /// One over the volume of each layer, 1/mL.
    pub per_volume: Vec<f64>,
    /// Mean dispersivity over spacing at each contact.
    pub spread: Vec<f64>,
    /// Half the diffusion coefficient (of the layer below, above) × contact area over spacing, mL/s.
    pub diffusion: Vec<[f64; 2]>,
    /// ρ_b·K_d of each layer.
    pub held_salt: Vec<f64>,
    /// The parts, base first.
    pub parts: Vec<ColumnPart>,
    /// Layer that the outlet opens into.
    pub outlet: usize,
    /// Height of the outlet above the base.
    pub outlet_height: f64,
    /// Share of every drip that runs straight through.
    pub channelling: f64,
    /// How far that takes on the root zone's EC.
    pub channel_pick_up: f64,
    /// The plant.
    pub crop: Crop,
    /// Edges.
    pub boundaries: Boundaries,
    /// Settings of the solution.
    pub solver: Solver,
    /// Total volume.
    pub volume: f64,
    /// Height above the base of the top.
    pub height: f64,
    /// All pores, volume-weighted, m³/m³.
    pub pores: f64,
    /// All pores, root-weighted, m³/m³.
    pub root_pores: f64,
    /// Layers that the probe reads, with their shares of its length; none without a probe.
    probe: Vec<(usize, f64)>,
}

/// One part of the column.
#[derive(Clone, Debug)]
pub struct ColumnPart {
    /// Its name.
    pub name: String,
    /// Its layers.
    pub layers: Range<usize>,
    /// Its medium as described.
    pub medium: Medium,
    /// Its medium as tabulated.
    pub hydraulics: Hydraulics,
    /// Suction from which on its conductivity falls markedly, cm: where it has lost a fifth on the wetting branch.
    pub falls_from: f64,
    /// What its surfaces give to the air.
    pub evaporation: Evaporation,
}

/// One layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Index of its part.
    pub part: usize,
    /// Height of its centre above the base.
    pub z: f64,
    /// Thickness.
    pub dz: f64,
    /// Volume.
    pub volume: f64,
    /// Mean cross-section.
    pub area: f64,
    /// Side wall that a flood passes.
    pub flooded_wall: f64,
    /// Mean way from the wall into the layer.
    pub wall_depth: f64,
    /// Surface that evaporates freely, top and wall.
    pub evaporating: f64,
    /// That of the top alone.
    pub evaporating_top: f64,
    /// Root density × volume, summing to 1 over the column.
    pub roots: f64,
    /// Water-equivalent volume of what the medium holds of salt, ρ_b·K_d.
    pub held_salt: f64,
    /// Dispersivity.
    pub dispersivity: f64,
    /// Diffusion coefficient of salt, cm²/s.
    pub diffusion: f64,
}

/// Why a column cannot be built.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BuildError {
    /// A preset is unknown or a mix cannot be made.
    #[error("lane \"{lane}\": {cause}")]
    Unresolved {
        /// The lane.
        lane: String,
        /// What is unknown.
        cause: Unresolved,
    },
    /// A value is out of its range; validation names it.
    #[error("lane \"{lane}\" cannot be laid out in layers; check its sizes, plants and roots")]
    Layout {
        /// The lane.
        lane: String,
    },
}

impl BuildError {
    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        "Correct the lane named; `slakeline check FILE` lists every problem."
    }
}

impl Column {
    /// Lays a lane out in layers. The lane is expected to be valid; what is not valid ends in an error, never a panic.
    ///
    /// # Errors
    /// [`BuildError`] when a preset is unknown or sizes and roots give no column.
    pub fn build(lane: &Lane, solver: &Solver, library: &Library) -> Result<Self, BuildError> {
        let unresolved = |cause| BuildError::Unresolved { lane: lane.name.clone(), cause };
        let layout = || BuildError::Layout { lane: lane.name.clone() };
        let crop = resolve::crop(&lane.crop, library).map_err(unresolved)?;
        let container = &lane.container;
        let counts = solver.layers_of(container);
        let (mut layers, mut parts) = (Vec::new(), Vec::new());
        let (mut base, mut channelling, mut channel_pick_up) = (0.0, 0.0, 0.0);
        for (index, (part, &count)) in container.parts.iter().zip(&counts).enumerate() {
            let medium = resolve::medium(&part.medium, library).map_err(unresolved)?;
            let next = container.parts.get(index + 1);
            let first = layers.len();
            push_part(&mut layers, part, &medium, next, Position { index, count, base, exchange: lane.exchange });
            // Drips fall on the top part: its medium says what runs through.
            (channelling, channel_pick_up) = (medium.channelling, medium.channel_pick_up);
            let hydraulics = tabulate(&medium);
            let (name, falls_from, evaporation) = (part.name.clone(), falls_from(&hydraulics), Evaporation::of(&hydraulics));
            parts.push(ColumnPart { name, layers: first..layers.len(), hydraulics, medium, falls_from, evaporation });
            base += part.height_cm;
        }
        let volume: f64 = layers.iter().map(|l| l.volume).sum();
        if layers.is_empty() || !(volume.is_finite() && volume > 0.0) {
            return Err(layout());
        }
        set_roots(&mut layers, &lane.roots, base).ok_or_else(layout)?;
        let spacing: Vec<f64> = layers.windows(2).map(|w| w[1].z - w[0].z).collect();
        let per_volume = layers.iter().map(|l| 1.0 / l.volume).collect();
        let contact = contacts(container.parts.as_slice(), &layers);
        let pairs = || layers.windows(2).zip(&spacing);
        let spread = pairs().map(|(w, d)| 0.5 * (w[0].dispersivity + w[1].dispersivity) / d).collect();
        let diffusion = pairs().zip(&contact).map(|((w, d), area)| [w[0].diffusion, w[1].diffusion].map(|c| 0.5 * c * area / d)).collect();
        let pores_of = |l: &Layer| parts[l.part].medium.porosity;
        let pores = layers.iter().map(|l| l.volume * pores_of(l)).sum::<f64>() / volume;
        let root_pores = layers.iter().map(|l| l.roots * pores_of(l)).sum();
        let probe = probe_shares(&layers, lane.probe.as_ref());
        let held_salt = layers.iter().map(|l| l.held_salt).collect();
        let outlet_height = container.outlet_height_cm;
        let outlet = layers.iter().position(|l| outlet_height < l.z + 0.5 * l.dz).unwrap_or(0);
        Ok(Self {
            layers,
            contact,
            spacing,
            per_volume,
            spread,
            diffusion,
            held_salt,
            parts,
            outlet,
            outlet_height,
            channelling,
            channel_pick_up,
            crop,
            boundaries: lane.boundaries,
            solver: *solver,
            volume,
            height: base,
            pores,
            root_pores,
            probe,
        })
    }

    /// Number of layers.
    #[must_use]
    pub fn len(&self) -> usize {
        self.layers.len()
    }

    /// Whether there are no layers (never, once built).
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.layers.is_empty()
    }

    /// The tabulated medium of a layer.
    #[inline]
    #[must_use]
    pub fn hydraulics(&self, layer: usize) -> &Hydraulics {
        &self.parts[self.layers[layer].part].hydraulics
    }

    /// Volume-weighted mean of a value per layer.
    #[must_use]
    pub fn mean(&self, values: &[f64]) -> f64 {
        self.layers.iter().zip(values).map(|(l, v)| l.volume * v).sum::<f64>() / self.volume
    }

    /// Whether there is a probe.
    #[must_use]
    pub fn has_probe(&self) -> bool {
        !self.probe.is_empty()
    }

    /// What the probe reads of a value per layer; the mean of the whole container where there is none.
    #[must_use]
    pub fn probe_reading(&self, values: &[f64]) -> f64 {
        if self.probe.is_empty() {
            return self.mean(values);
        }
        self.probe.iter().map(|&(layer, share)| share * values[layer]).sum()
    }

    /// EC of the root zone as it could be sampled, mS/cm, of a water content (above 0) and an EC per layer: the salt in solution over the water
    /// that holds it, root-weighted. Layers that are nearly dry hold little of either and do not rule it, as they would the mean of ECs.
    #[must_use]
    pub fn root_zone_ec(&self, theta: &[f64], ec: &[f64]) -> f64 {
        let (mut salt, mut water) = (0.0, 0.0);
        for ((layer, theta), ec) in self.layers.iter().zip(theta).zip(ec) {
            let held = layer.roots * theta;
            salt += held * ec;
            water += held;
        }
        salt / water
    }

    /// All pores, volume-weighted, m³/m³.
    #[must_use]
    pub fn porosity(&self) -> f64 {
        self.pores
    }
}

/// Where a part's layers go.
#[derive(Clone, Copy)]
struct Position {
    index: usize,
    count: usize,
    base: f64,
    exchange: bool,
}

fn push_part(layers: &mut Vec<Layer>, part: &Part, medium: &Medium, above: Option<&Part>, at: Position) {
    #[allow(clippy::cast_precision_loss)]
    let dz = part.height_cm / at.count as f64;
    // kg/m³ × mL/g = 1e-3 mL of water-equivalent per mL of medium.
    let held = if at.exchange { medium.bulk_density_kg_m3 * 1e-3 * medium.exchange_ml_per_g } else { 0.0 };
    for k in 0..at.count {
        #[allow(clippy::cast_precision_loss)]
        let low = k as f64 * dz;
        let volume = part.volume_between(low, low + dz);
        let area = volume / dz;
        let wall = part.perimeter_at(low + 0.5 * dz) * dz;
        let free_top =
            if k + 1 == at.count { (part.area_at(part.height_cm) - above.map_or(0.0, |a| a.area_at(0.0))).max(0.0) } else { 0.0 };
        layers.push(Layer {
            part: at.index,
            z: at.base + low + 0.5 * dz,
            dz,
            volume,
            area,
            flooded_wall: if part.walls == Walls::Wrapped { 0.0 } else { wall },
            wall_depth: area * dz / wall,
            evaporating: free_top * part.top_exposure() + wall * part.wall_exposure(),
            evaporating_top: free_top * part.top_exposure(),
            roots: 0.0,
            held_salt: held,
            dispersivity: medium.dispersivity_cm,
            diffusion: medium.diffusion_cm2_s,
        });
    }
}

/// Layers that a probe reads, with their shares of its length; none without a probe.
#[must_use]
pub fn probe_shares(layers: &[Layer], probe: Option<&Probe>) -> Vec<(usize, f64)> {
    let Some(probe) = probe else { return Vec::new() };
    let (low, high) = probe.ends();
    let overlap = |l: &Layer| (high.min(l.z + 0.5 * l.dz) - low.max(l.z - 0.5 * l.dz)).max(0.0);
    let read: f64 = layers.iter().map(overlap).sum();
    layers.iter().enumerate().map(|(i, l)| (i, overlap(l) / read)).filter(|(_, share)| *share > 0.0).collect()
}

/// Areas of contact; between two parts the smaller one.
fn contacts(parts: &[Part], layers: &[Layer]) -> Vec<f64> {
    let mut bases = vec![0.0];
    for part in parts {
        bases.push(bases[bases.len() - 1] + part.height_cm);
    }
    layers
        .windows(2)
        .map(|w| {
            let (below, above) = (&parts[w[0].part], &parts[w[1].part]);
            if w[0].part == w[1].part {
                below.area_at(w[0].z + 0.5 * w[0].dz - bases[w[0].part])
            } else {
                below.area_at(below.height_cm).min(above.area_at(0.0))
            }
        })
        .collect()
}

fn tabulate(medium: &Medium) -> Hydraulics {
    let curve = &medium.curve;
    let shape = curve.shape(medium.full_up_to());
    Hydraulics::new(shape, curve.theta_s(), curve.theta_r(), curve.ks_cm_per_day() / DAY_S, medium.hysteresis_ratio)
}

/// Suction (cm) at which conductivity has lost a fifth on the wetting branch: bisection.
fn falls_from(hydraulics: &Hydraulics) -> f64 {
    let (mut low, mut high) = (0.0, 1e4);
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if hydraulics.conductivity(hydraulics.main(Main::Wetting, mid).0).0 > 0.8 * hydraulics.ks { low = mid } else { high = mid }
    }
    0.5 * (low + high)
}

/// Root density at each layer × volume, normalised. `None` if nothing is left to normalise.
fn set_roots(layers: &mut [Layer], roots: &Roots, height: f64) -> Option<()> {
    if let Roots::PerLayer(values) = roots
        && values.len() != layers.len()
    {
        return None;
    }
    for (i, layer) in layers.iter_mut().enumerate() {
        let density = match roots {
            Roots::Uniform => 1.0,
            Roots::Tapering { halves_every_cm } => (-(height - layer.z) / halves_every_cm).exp2(),
            Roots::ByHeight(points) => interpolate(points, layer.z),
            Roots::PerLayer(values) => values[i],
        };
        layer.roots = density.max(0.0) * layer.volume;
    }
    let sum: f64 = layers.iter().map(|l| l.roots).sum();
    if !(sum.is_finite() && sum > 0.0) {
        return None;
    }
    layers.iter_mut().for_each(|l| l.roots /= sum);
    Some(())
}

/// Straight lines between points; held at the ends.
fn interpolate(points: &[(f64, f64)], x: f64) -> f64 {
    let Some(last) = points.last() else { return 0.0 };
    match points.iter().position(|p| p.0 >= x) {
        None => last.1,
        Some(0) => points[0].1,
        Some(i) => {
            let ((x0, y0), (x1, y1)) = (points[i - 1], points[i]);
            y0 + (y1 - y0) * (x - x0) / (x1 - x0)
        }
    }
}
