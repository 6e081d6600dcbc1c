//! Scanning curves between the main branches, with memory of the points where the layer turned.
//!
//! Source: main branches after Kool & Parker (1987, Water Resour. Res. 23:105); scanning curves as rescaled main branches after
//! Scott, Farquhar & Kouwen (1983, Advances in Infiltration, ASAE 11-83:163). Rescaled through the last turning point alone
//! they creep under small oscillations ("pumping"). Here an inner curve is rescaled through the last *two* turning points, so
//! that every loop closes, and a closed loop is forgotten. A curve that starts from a main branch is the published one.

use super::hydraulics::{Hydraulics, Main};

/// Turning points remembered per layer. When a further one comes, the innermost loop is forgotten.
const MOST_TURNS: usize = 8;

/// A point where a layer changed between wetting and drying.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Turn {
    /// Suction, cm.
    pub suction: f64,
    /// Effective saturation.
    pub se: f64,
}

/// One piece of retention curve: `se = a + b·main(suction)`, in force up to its target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    branch: Main,
    a: f64,
    b: f64,
    /// Suction of the turning point it leads back to; infinite or 0 if it leads to the end of the main branch.
    target: f64,
}

impl Piece {
    fn main(branch: Main) -> Self {
        let target = if branch == Main::Drying { f64::INFINITY } else { 0.0 };
        Self { branch, a: 0.0, b: 1.0, target }
    }

    /// From `start` towards `target`, or towards the end of the main branch.
    fn scanning(medium: &Hydraulics, branch: Main, start: Turn, target: Option<Turn>) -> Self {
        let end = target.unwrap_or(match branch {
            Main::Drying => Turn { suction: f64::INFINITY, se: 0.0 },
            Main::Wetting => Turn { suction: 0.0, se: 1.0 },
        });
        let at_start = medium.main(branch, start.suction).0;
        let at_end = if end.suction.is_infinite() { 0.0 } else { medium.main(branch, end.suction).0 };
        let span = at_end - at_start;
        let b = if span.abs() < 1e-12 { 0.0 } else { ((end.se - start.se) / span).max(0.0) };
        Self { branch, a: start.se - b * at_start, b, target: end.suction }
    }

    /// Whether `suction` lies between the piece's start and its target.
    #[inline(always)]
    #[must_use]
    pub fn reaches(&self, suction: f64) -> bool {
        match self.branch {
            Main::Drying => suction <= self.target,
            Main::Wetting => suction >= self.target,
        }
    }

    /// Effective saturation at a suction, and its derivative by suction.
    #[inline(always)]
    #[must_use]
    pub fn at(&self, medium: &Hydraulics, suction: f64) -> (f64, f64) {
        let (se, slope) = medium.main(self.branch, suction);
        (self.a + self.b * se, self.b * slope)
    }
}

/// What a movement made of a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moved {
    /// On along the same curve.
    Onward,
    /// Onto the curve that [`Path::back`] gives.
    Turned,
    /// Past an older turning point, onto the curve that led there.
    ClosedLoop,
}

/// The branch a layer is on and the turning points that led there.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    root: Main,
    turns: [Turn; MOST_TURNS],
    count: usize,
}

impl Path {
    /// On a main branch, with no turning point.
    #[must_use]
    pub fn on(root: Main) -> Self {
        Self { root, turns: [Turn::default(); MOST_TURNS], count: 0 }
    }

    /// On a main branch or, from there, past turning points, oldest first; of more than eight the first eight.
    #[must_use]
    pub fn past(root: Main, turns: &[Turn]) -> Self {
        let mut path = Self::on(root);
        for (kept, turn) in path.turns.iter_mut().zip(turns) {
            *kept = *turn;
            path.count += 1;
        }
        path
    }

    /// The main branch it began on.
    #[must_use]
    pub fn root(&self) -> Main {
        self.root
    }

    /// Whether the layer is drying or wetting.
    #[inline(always)]
    #[must_use]
    pub fn direction(&self) -> Main {
        if self.count.is_multiple_of(2) { self.root } else { self.root.other() }
    }

    /// Turning points in force, oldest first.
    #[must_use]
    pub fn turns(&self) -> &[Turn] {
        &self.turns[..self.count]
    }

    /// The curve the layer follows if it goes on as it does.
    #[must_use]
    pub fn onward(&self, medium: &Hydraulics) -> Piece {
        self.piece(medium, self.count)
    }

    /// The piece with only the first `count` turning points in force.
    fn piece(&self, medium: &Hydraulics, count: usize) -> Piece {
        let branch = if count.is_multiple_of(2) { self.root } else { self.root.other() };
        match count {
            0 => Piece::main(branch),
            1 => Piece::scanning(medium, branch, self.turns[0], None),
            _ => Piece::scanning(medium, branch, self.turns[count - 1], Some(self.turns[count - 2])),
        }
    }

    /// The curve the layer follows if it turns at `here`.
    #[must_use]
    pub fn back(&self, medium: &Hydraulics, here: Turn) -> Piece {
        self.turned(here).onward(medium)
    }

    /// The path as it stands once the layer has turned at `here`: a step computes on what is recorded after it, also where
    /// the turn makes the path forget a loop.
    #[must_use]
    pub fn turned(&self, here: Turn) -> Self {
        let mut path = self.clone();
        path.turn(here);
        path
    }

    /// The curve in force at a suction past the target of [`onward`](Self::onward).
    #[must_use]
    pub fn beyond(&self, medium: &Hydraulics, suction: f64) -> Piece {
        let mut count = self.count;
        loop {
            count = count.saturating_sub(2);
            let piece = self.piece(medium, count);
            if count < 2 || piece.reaches(suction) {
                return piece;
            }
        }
    }

    /// Records that the layer moved to `suction`, having stood at `here`; returns what became of the path.
    pub fn move_to(&mut self, here: Turn, suction: f64) -> Moved {
        let branch = self.direction();
        let turned = match branch {
            Main::Drying => suction < here.suction,
            Main::Wetting => suction > here.suction,
        };
        if turned {
            self.turn(here);
        }
        let before = self.count;
        // A loop that closed is forgotten with both its turning points.
        while self.count >= 2 {
            let target = self.turns[self.count - 2].suction;
            let passed = match self.direction() {
                Main::Drying => suction > target,
                Main::Wetting => suction < target,
            };
            if !passed {
                break;
            }
            self.count -= 2;
        }
        match (turned, self.count < before) {
            (_, true) => Moved::ClosedLoop,
            (true, false) => Moved::Turned,
            (false, false) => Moved::Onward,
        }
    }

    fn turn(&mut self, here: Turn) {
        let full = self.direction() == Main::Wetting && here.se >= 1.0;
        if full {
            *self = Self::on(Main::Drying);
            return;
        }
        if self.count == MOST_TURNS {
            self.count -= 2;
        }
        self.turns[self.count] = here;
        self.count += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::curves::Shape;

    fn wool() -> Hydraulics {
        Hydraulics::new(Shape::VanGenuchten { alpha: 0.065, n: 3.5, l: 0.5, capillary_height: 0.0 }, 0.95, 0.02, 0.05, 2.0)
    }

    /// Moves a layer to a suction and returns its saturation there.
    fn walk(medium: &Hydraulics, path: &mut Path, here: &mut Turn, suction: f64) -> f64 {
        path.move_to(*here, suction);
        let se = path.onward(medium).at(medium, suction).0;
        *here = Turn { suction, se };
        se
    }

    fn start(medium: &Hydraulics, branch: Main, suction: f64) -> (Path, Turn) {
        (Path::on(branch), Turn { suction, se: medium.main(branch, suction).0 })
    }

    /// The published first-order curves: wetting θs − (θs − θ_w(h))·(θs − θ_rev)/(θs − θ_w(h_rev)), drying likewise.
    #[test]
    fn first_order_curves_are_the_published_ones() {
        let m = wool();
        let (mut path, mut here) = start(&m, Main::Drying, 20.0);
        let turned_at = here.se;
        let se = walk(&m, &mut path, &mut here, 6.0);
        let expected = 1.0 - (1.0 - m.main(Main::Wetting, 6.0).0) * (1.0 - turned_at) / (1.0 - m.main(Main::Wetting, 20.0).0);
        assert!((se - expected).abs() < 1e-12);

        let (mut path, mut here) = start(&m, Main::Wetting, 6.0);
        let turned_at = here.se;
        let se = walk(&m, &mut path, &mut here, 20.0);
        let expected = m.main(Main::Drying, 20.0).0 * turned_at / m.main(Main::Drying, 6.0).0;
        assert!((se - expected).abs() < 1e-12);
    }

    #[test]
    fn a_thousand_small_cycles_do_not_pump() {
        let m = wool();
        for root in [Main::Drying, Main::Wetting] {
            let (mut path, mut here) = start(&m, root, 12.0);
            let first = (walk(&m, &mut path, &mut here, 11.0), walk(&m, &mut path, &mut here, 11.5));
            for _ in 0..1000 {
                let cycle = (walk(&m, &mut path, &mut here, 11.0), walk(&m, &mut path, &mut here, 11.5));
                assert!((cycle.0 - first.0).abs() < 1e-12 && (cycle.1 - first.1).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn nested_loops_close_and_are_forgotten() {
        let m = wool();
        let (mut path, mut here) = start(&m, Main::Drying, 25.0);
        let out = walk(&m, &mut path, &mut here, 10.0);
        for s in [18.0, 12.0, 15.0, 13.0] {
            walk(&m, &mut path, &mut here, s);
        }
        assert_eq!(path.turns().len(), 5);
        assert!((walk(&m, &mut path, &mut here, 10.0) - out).abs() < 1e-12);
        // On past the outermost turning point: the main drying branch again.
        walk(&m, &mut path, &mut here, 40.0);
        assert_eq!((path.turns().len(), path.direction()), (0, Main::Drying));
        assert_eq!(here.se, m.main(Main::Drying, 40.0).0);
    }

    #[test]
    fn memory_is_bounded_and_stays_between_the_branches() {
        let m = wool();
        let (mut path, mut here) = start(&m, Main::Drying, 30.0);
        for i in 0..60 {
            let spread = 10.0 * 0.9_f64.powi(i);
            let se = walk(&m, &mut path, &mut here, 14.0 + if i % 2 == 0 { -spread } else { spread });
            let (wet, dry) = (m.main(Main::Wetting, here.suction).0, m.main(Main::Drying, here.suction).0);
            assert!(se >= wet - 1e-9 && se <= dry + 1e-9, "{i}: {wet} {se} {dry}");
            assert!(path.turns().len() <= MOST_TURNS);
        }
    }

    #[test]
    fn full_forgets_everything() {
        let m = wool();
        let (mut path, mut here) = start(&m, Main::Wetting, 15.0);
        walk(&m, &mut path, &mut here, 0.0);
        walk(&m, &mut path, &mut here, 9.0);
        assert_eq!(here.se, m.main(Main::Drying, 9.0).0);
    }
}
