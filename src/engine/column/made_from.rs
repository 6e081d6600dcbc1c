//! What a column is made from, by which one that is kept is known again.

use crate::scenario::presets::Library;
use crate::scenario::resolve::{self, Unresolved};
use crate::scenario::{Boundaries, Container, Crop, Lane, Medium, MediumChoice, Probe, Roots, Solver};

/// Everything that [`Column::build`](super::layers::Column::build) looks at, with what presets named held by value: whoever changes a
/// preset under its old name has made something else.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::engine) struct MadeFrom {
    /// With the choice of each part's medium, which says how it was made of the media below.
    container: Container,
    /// Each part's medium, or what it is mixed of. Mixing is a fit, so what goes in is compared, not what came out.
    media: Vec<Vec<Medium>>,
    crop: Crop,
    roots: Roots,
    probe: Option<Probe>,
    exchange: bool,
    boundaries: Boundaries,
    solver: Solver,
}

/// Whether two lanes of one bench are built alike: their columns are the same as long as presets and solver are.
#[must_use]
pub fn built_alike(a: &Lane, b: &Lane) -> bool {
    let of = |l: &Lane| (l.probe, l.exchange, l.boundaries);
    a.container == b.container && a.crop == b.crop && a.roots == b.roots && of(a) == of(b)
}

impl MadeFrom {
    /// What a lane's column is made from.
    ///
    /// # Errors
    /// [`Unresolved`] when a preset is not in the library.
    pub fn of(lane: &Lane, solver: &Solver, library: &Library) -> Result<Self, Unresolved> {
        let owned = |choice| Ok(resolve::ingredients(choice, library)?.into_iter().cloned().collect());
        Ok(Self {
            container: lane.container.clone(),
            media: lane.container.parts.iter().map(|p| owned(&p.medium)).collect::<Result<_, Unresolved>>()?,
            crop: resolve::crop(&lane.crop, library)?,
            roots: lane.roots.clone(),
            probe: lane.probe,
            exchange: lane.exchange,
            boundaries: lane.boundaries,
            solver: *solver,
        })
    }

    /// Whether a lane's column would be made from the same.
    pub fn is(&self, lane: &Lane, solver: &Solver, library: &Library) -> bool {
        let same_medium =
            |(choice, kept): (&MediumChoice, &Vec<Medium>)| resolve::ingredients(choice, library).is_ok_and(|now| now.into_iter().eq(kept));
        let choices = lane.container.parts.iter().map(|p| &p.medium);
        self.container == lane.container
            && self.roots == lane.roots
            && self.probe == lane.probe
            && self.exchange == lane.exchange
            && self.boundaries == lane.boundaries
            && self.solver == *solver
            && resolve::crop_of(&lane.crop, library).is_ok_and(|now| *now == self.crop)
            && choices.zip(&self.media).all(same_medium)
    }
}
