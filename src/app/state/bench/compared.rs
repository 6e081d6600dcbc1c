//! The states beside the bench that stand on its tracks: laid over them as soon as their curves are there, lane by lane of the same name.

use super::Bench;
use super::overlay::{Kind, Overlay};
use crate::app::state::others::Other;
use crate::projection::Projection;

/// One that is to stand there: its run, and for each lane of that the lane shown that has its name.
struct Wanted<'a> {
    other: &'a Other,
    drawn: &'a Projection,
    lanes: Vec<Option<usize>>,
}

impl Wanted<'_> {
    fn is_laid(&self, o: &Overlay) -> bool {
        o.mark.starts_with(self.other.letter)
            && o.name == self.other.name
            && o.projection.stamp == self.drawn.stamp
            && o.lanes == self.lanes
    }

    fn overlay(self) -> Overlay {
        let mut projection = self.drawn.clone();
        // Where the bench shows one day that stands for all, it is its last.
        projection.show_day(self.other.last_day());
        Overlay { kind: Kind::Compared, mark: self.other.letter.to_string(), name: self.other.name.clone(), projection, lanes: self.lanes }
    }
}

impl Bench {
    /// Lays them over the tracks where what lies there is not what is to.
    pub(super) fn lay_compared(&mut self) {
        let shown = &self.shown().scenario.lanes;
        let wanted = self.others.on_tracks().filter_map(|other| {
            let drawn = other.drawn().filter(|p| !p.run.lanes.is_empty())?;
            let place = |name: &str| shown.iter().position(|l| l.name == name);
            Some(Wanted { other, drawn, lanes: drawn.scenario.lanes.iter().map(|lane| place(&lane.name)).collect() })
        });
        let wanted: Vec<Wanted<'_>> = wanted.collect();
        let laid = || self.overlays.iter().filter(|o| o.kind == Kind::Compared);
        if laid().count() == wanted.len() && laid().zip(&wanted).all(|(o, wanted)| wanted.is_laid(o)) {
            return;
        }
        let overlays = wanted.into_iter().map(Wanted::overlay).collect();
        self.lay_over(Kind::Compared, overlays);
    }
}
