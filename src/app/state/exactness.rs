//! How exact the bench is, found by a job when it is asked for; given up when the bench changes or nobody looks any more.

use std::sync::Arc;

use crate::jobs::{Job, Told, Wake, spread};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::studies::exactness::{Exactness, exactness};

/// What is known of it. Editions number the states of the bench.
pub struct Finding {
    job: Job<Result<Exactness, String>>,
    stands: Stands,
}

/// How things stand.
enum Stands {
    /// Nobody asked.
    Closed,
    /// It is being found for an edition.
    Running(u64),
    /// It was found for an edition, or it is said why not.
    Found(u64, Result<Exactness, String>),
    /// The bench has changed since it was asked for.
    Outdated,
}

/// How things stand, to be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Known<'a> {
    /// It is being found; this share (0–1) is done.
    Running(f32),
    /// It is known.
    Found(&'a Exactness),
    /// Why it cannot be known.
    Failed(&'a str),
    /// The bench has changed since it was asked for.
    Outdated,
}

impl Default for Finding {
    fn default() -> Self {
        Self { job: Job::new("Finding how exact the bench is"), stands: Stands::Closed }
    }
}

impl Finding {
    /// How things stand; `None` where nobody asked.
    #[must_use]
    pub fn known(&self) -> Option<Known<'_>> {
        Some(match &self.stands {
            Stands::Closed => return None,
            #[allow(clippy::cast_possible_truncation)]
            Stands::Running(_) => Known::Running(self.job.underway().map_or(0.0, |u| u.share) as f32),
            Stands::Found(_, Ok(found)) => Known::Found(found),
            Stands::Found(_, Err(why)) => Known::Failed(why),
            Stands::Outdated => Known::Outdated,
        })
    }

    /// Asks for it.
    pub fn ask(&mut self, wake: &Wake, edition: u64, scenario: Arc<Scenario>, library: Arc<Library>) {
        let asked = self.job.ask(wake, move |work| {
            let so_far = |share: f64| work.at(share, "");
            spread(|| exactness(&scenario, &library, &|| work.wanted(), &so_far)).map_err(|e| e.to_string()).transpose()
        });
        self.stands = match asked {
            Ok(_) => Stands::Running(edition),
            Err(broken) => Stands::Found(edition, Err(broken.to_string())),
        };
    }

    /// Says at once why it cannot be found for an edition.
    pub fn refuse(&mut self, edition: u64, why: &str) {
        self.job.cancel();
        self.stands = Stands::Found(edition, Err(why.to_owned()));
    }

    /// Takes what was found since; what is of another edition is given up.
    pub fn follow(&mut self, edition: u64) {
        while let Some((_, told)) = self.job.take() {
            if let Stands::Running(of) = self.stands
                && self.job.underway().is_none()
            {
                match told {
                    Told::Done(found) => self.stands = Stands::Found(of, found),
                    Told::Broken(broken) => self.stands = Stands::Found(of, Err(broken.to_string())),
                    Told::SoFar(_) | Told::Nothing => {}
                }
            }
        }
        if let Stands::Running(of) | Stands::Found(of, _) = self.stands
            && of != edition
        {
            self.job.cancel();
            self.stands = Stands::Outdated;
        }
    }

    /// Gives it up and forgets it. Tells whether there was anything.
    pub fn close(&mut self) -> bool {
        self.job.cancel();
        !matches!(std::mem::replace(&mut self.stands, Stands::Closed), Stands::Closed)
    }
}
