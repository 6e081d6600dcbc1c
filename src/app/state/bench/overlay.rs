//! Projections that stand over the tracks without being the bench's own: what is proposed and not taken, and states that are compared.

use crate::projection::Projection;

/// Why a projection stands over the tracks. Who lays one of a kind takes away those of that kind alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A schedule that is proposed and not taken.
    Proposed,
    /// Another state or file.
    Compared,
}

/// A projection over the tracks.
#[derive(Clone, Debug)]
pub struct Overlay {
    /// Why.
    pub kind: Kind,
    /// A letter or two that stand at its curves and bars; no two overlays share it.
    pub mark: String,
    /// What it is, in words.
    pub name: String,
    /// What is drawn: its settled day on every day shown, or day by day.
    pub projection: Projection,
    /// For each of its lanes the lane of the bench that it stands for, by its index: it has that one's colour. `None`: it is not drawn.
    pub lanes: Vec<Option<usize>>,
}

impl Overlay {
    /// The valves (by their index in its own scenario) that the lanes drawn hang on, each once.
    #[must_use]
    pub fn valves(&self) -> Vec<usize> {
        let drawn = self.projection.scenario.lanes.iter().zip(&self.lanes).filter(|(_, stands_for)| stands_for.is_some());
        let mut valves: Vec<usize> = drawn.map(|(lane, _)| lane.valve).collect();
        valves.sort_unstable();
        valves.dedup();
        valves
    }
}
