//! What is known of the settled day, which is found on a thread of its own: the window never waits for it.

use std::sync::Arc;

use eframe::egui::Context;

use super::background::Background;
use crate::engine::run::ReadyBench;
use crate::projection::Projection;
use crate::projection::settled::settle;
use crate::scenario::Scenario;

/// What is known of the settled day. Editions number the states of the bench.
pub struct Settling {
    thread: Background<Projection>,
    asked: Option<u64>,
    found: Option<(u64, Projection)>,
    /// Why it will not be found, if so.
    failed: Option<String>,
}

impl Default for Settling {
    fn default() -> Self {
        Self { thread: Background::new("settling"), asked: None, found: None, failed: None }
    }
}

impl Settling {
    /// The settled day of an edition, once it is found.
    #[must_use]
    pub fn found(&self, edition: u64) -> Option<&Projection> {
        self.found.as_ref().filter(|f| f.0 == edition).map(|f| &f.1)
    }

    /// Why it will never be found, if so.
    #[must_use]
    pub fn failed(&self) -> Option<&str> {
        self.failed.as_deref()
    }

    /// Whether an edition was asked for already.
    #[must_use]
    pub fn was_asked(&self, edition: u64) -> bool {
        self.asked == Some(edition)
    }

    /// Asks for the settled day of an edition. The window is drawn anew when it is found.
    pub fn ask(&mut self, ctx: &Context, edition: u64, scenario: Arc<Scenario>, bench: ReadyBench) {
        self.asked = Some(edition);
        self.failed = self.thread.ask(ctx, edition, move |go_on| settle(scenario, &bench, go_on)).err();
    }

    /// Takes what was found since, if it is of this edition, and gives back what it replaces.
    pub fn take(&mut self, edition: u64) -> Option<Option<Projection>> {
        let done = self.thread.take().filter(|d| d.0 == edition)?;
        Some(self.found.replace(done).map(|f| f.1))
    }

    /// Forgets what was found: it was of another bench.
    pub fn forget(&mut self) {
        self.found = None;
    }
}
