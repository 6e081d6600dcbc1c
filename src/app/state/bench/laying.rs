//! What stands over the tracks: laid there, and taken away.

use super::Bench;
use super::overlay::{Kind, Overlay};

impl Bench {
    /// What stands over the tracks.
    #[must_use]
    pub fn overlays(&self) -> &[Overlay] {
        &self.overlays
    }

    /// Lays projections of one kind over the tracks, in place of all of that kind; none takes them away.
    pub fn lay_over(&mut self, kind: Kind, overlays: Vec<Overlay>) {
        self.overlays.retain(|o| o.kind != kind);
        self.overlays.extend(overlays.into_iter().filter(|o| o.kind == kind));
    }
}
