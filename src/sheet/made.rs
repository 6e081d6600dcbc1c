//! A bench that is run for its exports: the one way that commands and window go, so that both write the same bytes.

use std::io;
use std::sync::Arc;

use rayon::prelude::*;

use super::{Export, figures_json, series_csv};
use crate::engine::column::BuildError;
use crate::engine::run::{Failed, Run, Settled, Workshop};
use crate::projection::Projection;
use crate::scenario::Scenario;
use crate::scenario::presets::Library;

/// What is exported of a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Results {
    /// The series, as CSV.
    Series,
    /// The figures of every day, as JSON.
    Figures,
}

impl Results {
    /// What it is called, and how its files end.
    #[must_use]
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Series => ("series", "csv"),
            Self::Figures => ("figures", "json"),
        }
    }

    /// Whether it tells of the settled day, which takes long to find.
    #[must_use]
    pub fn tells_settled(self) -> bool {
        self == Self::Figures
    }
}

/// A bench as it was run.
pub struct Made {
    /// The run of its days.
    pub projection: Projection,
    /// Whether each lane's day repeats itself; empty where it was not asked.
    pub settled: Vec<Result<Settled, Failed>>,
}

impl Made {
    /// Runs a bench, and finds out whether its days repeat themselves where that is asked (`settles`). `go_on` is asked before each day;
    /// `None` when it said no.
    ///
    /// # Errors
    /// [`BuildError`].
    pub fn of(scenario: Scenario, library: &Library, settles: bool, go_on: &(dyn Fn() -> bool + Sync)) -> Result<Option<Self>, BuildError> {
        let ready = Workshop::default().ready(&scenario, library)?;
        let lanes: Option<Vec<_>> = ready.for_its_days().par_iter().map(|lane| lane.run_while(scenario.days, go_on)).collect();
        let settled = if settles { ready.settle_while(go_on) } else { Some(Vec::new()) };
        let (Some(lanes), Some(settled)) = (lanes, settled) else { return Ok(None) };
        Ok(Some(Self { projection: Projection::of_run(Arc::new(scenario), Run { lanes }), settled }))
    }

    /// What is exported, without a look at how exact it is.
    #[must_use]
    pub fn export(&self) -> Export<'_> {
        Export { projection: &self.projection, settled: &self.settled, refined: None }
    }

    /// The bytes of its results.
    ///
    /// # Errors
    /// What the writers say.
    pub fn bytes(&self, results: Results) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        match results {
            Results::Series => series_csv::write(&mut bytes, &self.export())?,
            Results::Figures => figures_json::write(&mut bytes, &self.export())?,
        }
        Ok(bytes)
    }
}
