//! What is proposed for the bench: run until it settles, drawn over the tracks, and taken or dismissed.

use std::sync::Arc;

use super::Bench;
use super::overlay::{Kind, Overlay};
use super::proposal::Proposal;
use crate::jobs::{Told, Wake};
use crate::projection::Projection;
use crate::projection::settled::settle;

impl Bench {
    /// What is proposed and neither taken nor dismissed.
    #[must_use]
    pub fn proposal(&self) -> Option<&Proposal> {
        self.proposing.proposal.as_ref()
    }

    /// Why what is proposed cannot be drawn, if so.
    #[must_use]
    pub fn proposal_failed(&self) -> Option<&str> {
        self.proposing.failed.as_deref()
    }

    /// Proposes a schedule in place of one proposed before; `None` dismisses it.
    pub fn propose(&mut self, proposal: Option<Proposal>) {
        if self.proposing.proposal == proposal {
            return;
        }
        self.proposing.job.cancel();
        (self.proposing.proposal, self.proposing.asked, self.proposing.failed) = (proposal, None, None);
        self.lay_over(Kind::Proposed, Vec::new());
    }

    /// Makes what is proposed the bench's own, as one change.
    pub fn take_proposal(&mut self, proposal: &Proposal) {
        self.propose(None);
        let after = proposal.on(self.document.scenario());
        self.apply(proposal.name.clone(), after);
    }

    /// Runs what is proposed on the bench as it stands, beside the frames, and lays it over the tracks. What was laid there for the bench as it
    /// was before a change stays until then.
    pub(super) fn follow_proposal(&mut self, wake: &Wake) {
        while let Some((number, told)) = self.proposing.job.take() {
            if self.proposing.asked != Some((self.edition, number)) {
                continue;
            }
            match told {
                Told::Done(projection) => self.lay_proposal(projection),
                Told::Broken(broken) => self.proposing.failed = Some(broken.to_string()),
                Told::Nothing => self.proposing.failed = Some("its lanes cannot be made ready".to_owned()),
                Told::SoFar(_) => {}
            }
        }
        let is_new = self.proposing.asked.is_none_or(|(of, _)| of != self.edition);
        let Some(proposal) = self.proposing.proposal.as_ref().filter(|_| is_new && self.trial.is_none() && !self.is_behind()) else {
            return;
        };
        let scenario = Arc::new(proposal.on(&self.standing.scenario));
        let (library, mut workshop) = (Arc::clone(&self.library), self.workshop.clone());
        let asked = self.proposing.job.ask(wake, move |work| {
            let bench = workshop.ready(&scenario, &library).ok()?;
            settle(scenario, &bench, &|| work.wanted(), &|share, words| work.at(share, words))
        });
        self.proposing.failed = asked.as_ref().err().map(|broken| broken.why.clone());
        self.proposing.asked = Some((self.edition, asked.unwrap_or(0)));
    }

    fn lay_proposal(&mut self, projection: Projection) {
        let Some(proposal) = &self.proposing.proposal else { return };
        self.proposing.failed = projection.troubles.first().cloned();
        let lanes = projection.scenario.lanes.iter().enumerate().map(|(i, lane)| (lane.valve == proposal.valve).then_some(i)).collect();
        let name = format!("proposed, not taken: {} events", proposal.events.len());
        self.lay_over(Kind::Proposed, vec![Overlay { kind: Kind::Proposed, mark: "P".to_owned(), name, projection, lanes }]);
    }
}
