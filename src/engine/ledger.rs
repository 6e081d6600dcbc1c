//! The ledger: every millilitre and every unit of salt that came, went or stayed.

use serde::Serialize;

/// Amounts of water, mL per plant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Water {
    /// Given by emitters, flood or a boundary's inflow.
    pub applied: f64,
    /// Left through outlet, base or flooded walls.
    pub outlet: f64,
    /// Found no way in and ran down the outside.
    pub overflow: f64,
    /// Ran straight through the medium.
    pub channelled: f64,
    /// Taken up by roots.
    pub taken_up: f64,
    /// Asked for by the plant.
    pub demanded: f64,
    /// Evaporated from surfaces.
    pub evaporated: f64,
}

impl Water {
    fn zip(&self, other: &Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            applied: f(self.applied, other.applied),
            outlet: f(self.outlet, other.outlet),
            overflow: f(self.overflow, other.overflow),
            channelled: f(self.channelled, other.channelled),
            taken_up: f(self.taken_up, other.taken_up),
            demanded: f(self.demanded, other.demanded),
            evaporated: f(self.evaporated, other.evaporated),
        }
    }

    /// Everything that drained: outlet, overflow and channelling.
    #[must_use]
    pub fn drained(&self) -> f64 {
        self.outlet + self.overflow + self.channelled
    }
}

/// Amounts of salt, mS/cm·mL per plant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Salt {
    /// Came with what was applied, or by dispersion through a held inlet.
    pub applied: f64,
    /// Left with outlet, base or flooded walls.
    pub outlet: f64,
    /// Left with overflow.
    pub overflow: f64,
    /// Left with channelled water.
    pub channelled: f64,
    /// Taken up by roots.
    pub taken_up: f64,
}

impl Salt {
    fn zip(&self, other: &Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            applied: f(self.applied, other.applied),
            outlet: f(self.outlet, other.outlet),
            overflow: f(self.overflow, other.overflow),
            channelled: f(self.channelled, other.channelled),
            taken_up: f(self.taken_up, other.taken_up),
        }
    }

    /// All salt that drained.
    #[must_use]
    pub fn drained(&self) -> f64 {
        self.outlet + self.overflow + self.channelled
    }
}

/// What passed since the start, and what is stored.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Ledger {
    /// Water that passed.
    pub water: Water,
    /// Salt that passed.
    pub salt: Salt,
    /// Water stored at the start, mL.
    pub water_at_start: f64,
    /// Water stored now, mL.
    pub water_stored: f64,
    /// Salt stored at the start, mS/cm·mL.
    pub salt_at_start: f64,
    /// Salt stored now, mS/cm·mL.
    pub salt_stored: f64,
}

impl Ledger {
    /// What water is missing or too much, as a share of all that was handled (start + in).
    #[must_use]
    pub fn water_closure(&self) -> f64 {
        let out = self.water.drained() + self.water.taken_up + self.water.evaporated;
        let handled = self.water_at_start + self.water.applied;
        (self.water_at_start + self.water.applied - out - self.water_stored).abs() / handled.max(f64::MIN_POSITIVE)
    }

    /// What salt is missing or too much, as a share of all that was handled; 0 where there is no salt.
    #[must_use]
    pub fn salt_closure(&self) -> f64 {
        let out = self.salt.drained() + self.salt.taken_up;
        let handled = self.salt_at_start + self.salt.applied;
        if handled <= 0.0 {
            return 0.0;
        }
        (handled - out - self.salt_stored).abs() / handled
    }

    /// What passed between an earlier ledger of the same run and this one; its start is the earlier one's store.
    #[must_use]
    pub fn since(&self, earlier: &Self) -> Self {
        Self {
            water: self.water.zip(&earlier.water, |now, then| now - then),
            salt: self.salt.zip(&earlier.salt, |now, then| now - then),
            water_at_start: earlier.water_stored,
            water_stored: self.water_stored,
            salt_at_start: earlier.salt_stored,
            salt_stored: self.salt_stored,
        }
    }

    /// The ledger a share `x` (0–1) of the way to a later one, on a straight line.
    #[must_use]
    pub fn between(&self, later: &Self, x: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * x;
        Self {
            water: self.water.zip(&later.water, mix),
            salt: self.salt.zip(&later.salt, mix),
            water_at_start: self.water_at_start,
            water_stored: mix(self.water_stored, later.water_stored),
            salt_at_start: self.salt_at_start,
            salt_stored: mix(self.salt_stored, later.salt_stored),
        }
    }
}
