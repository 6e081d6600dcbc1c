//! What a grower aims for.

use serde::{Deserialize, Serialize};

/// What the grower aims for; each is optional, as (low, high).
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Targets {
    /// Water content of the whole container, m³/m³.
    pub water_content: Option<(f64, f64)>,
    /// Night dry-back, points of volume (percent).
    pub dry_back_points: Option<(f64, f64)>,
    /// Drained share of what was applied, percent.
    pub drain_percent: Option<(f64, f64)>,
    /// Root-zone EC, mS/cm.
    pub root_zone_ec: Option<(f64, f64)>,
    /// Lowest air in the root zone worth keeping, m³/m³.
    pub lowest_air: Option<f64>,
}
