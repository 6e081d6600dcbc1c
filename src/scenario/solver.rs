//! Settings of the numerical solution. The defaults meet the accuracy stated in `DEVELOPERS.md`.

use serde::{Deserialize, Serialize};

use super::container::Container;

/// Layer thickness and tolerances of the water and salt steps.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Solver {
    /// Aimed-at layer thickness, cm, 0.05–10.
    pub layer_cm: f64,
    /// Fewest layers of a column, 2–1000.
    pub min_layers: u32,
    /// Most layers of a column, `min_layers`–1000; layers grow thicker to keep within it.
    pub max_layers: u32,
    /// Estimated local error of one step, as water content (m³/m³, root mean square over the column), 1e-8–0.1; EC is held
    /// to ten times this as a share of the strongest solution. The estimate belongs to a first-order method with the same
    /// stages; what the second-order solution really misses is about a twentieth of it.
    pub tolerance: f64,
    /// What is left over when the iteration of a step is called converged, as a share of `tolerance`, 1e-9–1.
    pub convergence: f64,
    /// Longest step, s, 1–7200.
    pub max_step_s: f64,
    /// Shortest step before the run stops with an error, s, 1e-9–1.
    pub min_step_s: f64,
    /// Elastic storage of full layers, 1/cm, 1e-9–1e-3. A numerical aid: it keeps a column that is full everywhere solvable.
    pub storage_per_cm: f64,
}

impl Default for Solver {
    fn default() -> Self {
        Self {
            layer_cm: 0.75,
            min_layers: 26,
            max_layers: 64,
            tolerance: 2e-3,
            convergence: 0.3,
            max_step_s: 1800.0,
            min_step_s: 1e-6,
            storage_per_cm: 1e-7,
        }
    }
}

impl Solver {
    /// How many layers each part of a container gets, base part first: layers near `layer_cm` thick, the whole column within
    /// `min_layers` and `max_layers` as far as whole layers per part allow.
    #[must_use]
    pub fn layers_of(&self, container: &Container) -> Vec<usize> {
        let height = container.height_cm();
        let thinnest = height / f64::from(self.max_layers.max(1));
        let thickest = height / f64::from(self.min_layers.max(1));
        let thickness = self.layer_cm.max(thinnest).min(thickest.max(thinnest));
        container
            .parts
            .iter()
            .map(|part| {
                let exact = (part.height_cm / thickness).round();
                // Saturating cast: nonsense sizes are refused by validation, here they must only not panic.
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let layers = exact.clamp(1.0, 4000.0) as usize;
                layers
            })
            .collect()
    }
}
