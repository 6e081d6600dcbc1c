//! Water content, capacity and conductivity of every layer at trial heads, along the wetting and drying history.

use super::layers::Column;
use super::state::State;
use crate::physics::hydraulics::{Hydraulics, Main};
use crate::physics::hysteresis::{Moved, Path, Piece, Turn};

/// What the curves say at the trial heads of a step.
#[derive(Clone, Debug, Default)]
pub struct Nodes {
    /// Water content, m³/m³.
    pub theta: Vec<f64>,
    /// Its derivative by head, 1/cm.
    pub capacity: Vec<f64>,
    /// Conductivity, cm/s.
    pub k: Vec<f64>,
    /// Its derivative by head, 1/s.
    pub k_slope: Vec<f64>,
    /// Effective saturation.
    pub se: Vec<f64>,
}

/// Where each layer stood when the step began, and the two curves it may follow from there.
#[derive(Clone, Debug)]
struct Fork {
    here: Turn,
    direction: Main,
    onward: Piece,
    /// Filled when a trial head first asks for it.
    back: Option<Piece>,
}

impl Fork {
    /// Effective saturation at a suction and its derivative, on the curve that leads there from where the layer stood.
    #[inline(always)]
    fn saturation(&mut self, medium: &Hydraulics, path: &Path, suction: f64) -> (f64, f64) {
        let onward = match self.direction {
            Main::Drying => suction >= self.here.suction,
            Main::Wetting => suction <= self.here.suction,
        };
        let piece = if onward { &self.onward } else { self.back.get_or_insert_with(|| path.back(medium, self.here)) };
        if piece.reaches(suction) { piece.at(medium, suction) } else { beyond(medium, path, (!onward).then_some(self.here), suction) }
    }
}

/// The rare case that a trial head lies past the turning point its curve leads to.
#[cold]
#[inline(never)]
fn beyond(medium: &Hydraulics, path: &Path, turned_at: Option<Turn>, suction: f64) -> (f64, f64) {
    let piece = match turned_at {
        None => path.beyond(medium, suction),
        Some(here) => path.turned(here).beyond(medium, suction),
    };
    piece.at(medium, suction)
}

/// The forks of a step and the nodes at its trial heads.
#[derive(Clone, Debug)]
pub struct Hydro {
    /// What the curves say at the last heads [`evaluate`](Self::evaluate)d.
    pub nodes: Nodes,
    forks: Vec<Fork>,
    /// Derivative of effective saturation by suction, 1/cm.
    se_slope: Vec<f64>,
}

/// Least capacity kept in the equations, 1/cm: bone-dry curves are flat.
const LEAST_CAPACITY: f64 = 1e-24;

impl Hydro {
    /// Set up for a state; the nodes are those of its heads.
    #[must_use]
    pub fn new(column: &Column, state: &State) -> Self {
        let n = column.len();
        let zeros = || vec![0.0; n];
        let nodes = Nodes { theta: zeros(), capacity: zeros(), k: zeros(), k_slope: zeros(), se: zeros() };
        let forks = (0..n)
            .map(|i| {
                let medium = column.hydraulics(i);
                let suction = (-state.head[i]).max(0.0);
                let onward = state.path[i].onward(medium);
                let here = Turn { suction, se: onward.at(medium, suction).0 };
                Fork { here, direction: state.path[i].direction(), onward, back: None }
            })
            .collect();
        let mut hydro = Self { nodes, forks, se_slope: zeros() };
        hydro.evaluate(column, state, &state.head);
        hydro
    }

    /// Puts the nodes at trial heads, each layer on the curve that its own movement since the step began puts it on.
    pub fn evaluate(&mut self, column: &Column, state: &State, head: &[f64]) {
        for part in &column.parts {
            let medium = &part.hydraulics;
            let layers = part.layers.clone();
            let n = layers.len();
            let head = &head[layers.clone()];
            let (forks, paths) = (&mut self.forks[layers.clone()], &state.path[layers.clone()]);
            let (se, se_slope) = (&mut self.nodes.se[layers.clone()], &mut self.se_slope[layers]);
            for i in 0..n {
                (se[i], se_slope[i]) = forks[i].saturation(medium, &paths[i], (-head[i]).max(0.0));
            }
        }
        self.follow_saturation(column, head);
    }

    /// What follows from the saturations at heads.
    fn follow_saturation(&mut self, column: &Column, head: &[f64]) {
        let storage = column.solver.storage_per_cm;
        for part in &column.parts {
            let medium = &part.hydraulics;
            let span = medium.theta_s - medium.theta_r;
            let layers = part.layers.clone();
            let n = layers.len();
            let head = &head[layers.clone()];
            let (se, se_slope) = (&self.nodes.se[layers.clone()], &self.se_slope[layers.clone()]);
            let (k, k_slope) = (&mut self.nodes.k[layers.clone()], &mut self.nodes.k_slope[layers.clone()]);
            for i in 0..n {
                let (value, by_se) = medium.conductivity(se[i]);
                k[i] = value;
                k_slope[i] = -by_se * se_slope[i];
            }
            let (theta, capacity) = (&mut self.nodes.theta[layers.clone()], &mut self.nodes.capacity[layers]);
            for i in 0..n {
                theta[i] = medium.theta_r + span * se[i] + storage * head[i].max(0.0);
                let elastic = if head[i] >= 0.0 { storage } else { LEAST_CAPACITY };
                capacity[i] = elastic - span * se_slope[i];
            }
        }
    }

    /// What is remembered of each layer besides its state: where it stood (suction, cm, and effective saturation), and its effective saturation
    /// and that one's slope (1/cm) at its head.
    pub fn memory(&self) -> impl Iterator<Item = [f64; 4]> {
        let nodes = self.nodes.se.iter().zip(&self.se_slope);
        self.forks.iter().zip(nodes).map(|(fork, (se, slope))| [fork.here.suction, fork.here.se, *se, *slope])
    }

    /// Set up for a state with a [`memory`](Self::memory) of the same column, to the bit as it was.
    #[must_use]
    pub fn recalled(column: &Column, state: &State, memory: impl Iterator<Item = [f64; 4]>) -> Self {
        let mut hydro = Self::new(column, state);
        for (i, [suction, stood_at, se, slope]) in memory.enumerate() {
            hydro.forks[i].here = Turn { suction, se: stood_at };
            hydro.forks[i].back = None;
            (hydro.nodes.se[i], hydro.se_slope[i]) = (se, slope);
        }
        hydro.follow_saturation(column, &state.head);
        hydro
    }

    /// Effective saturation of a layer at another head (cm) than its own, on the curve that leads there from where it stood when the step
    /// began, and its derivative by head (1/cm).
    pub fn saturation_at(&mut self, column: &Column, state: &State, layer: usize, head: f64) -> (f64, f64) {
        let (se, slope) = self.forks[layer].saturation(column.hydraulics(layer), &state.path[layer], (-head).max(0.0));
        (se, if head < 0.0 { -slope } else { 0.0 })
    }

    /// Takes the heads of a finished step as the place the next one starts from. `state.head` holds them, and the nodes are at them.
    pub fn settle(&mut self, column: &Column, state: &mut State) {
        for i in 0..self.forks.len() {
            let suction = (-state.head[i]).max(0.0);
            let fork = &mut self.forks[i];
            // Movements below a ten-millionth are rounding, not a turn.
            if (suction - fork.here.suction).abs() <= 1e-7 * (1.0 + suction) {
                continue;
            }
            let path = &mut state.path[i];
            match (path.move_to(fork.here, suction), fork.back) {
                (Moved::Onward, _) => {}
                (Moved::Turned, Some(back)) => fork.onward = back,
                (Moved::Turned, None) | (Moved::ClosedLoop, _) => fork.onward = path.onward(column.hydraulics(i)),
            }
            fork.direction = path.direction();
            fork.here = Turn { suction, se: self.nodes.se[i] };
            fork.back = None;
        }
    }
}
