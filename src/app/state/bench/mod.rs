//! The bench behind the window: the document, its projection, and the change being tried.

mod compared;
pub mod computing;
mod editing;
mod laying;
pub mod overlay;
pub mod proposal;
mod proposing;
mod recomputing;
mod trial;
mod trying;

use std::sync::Arc;

use eframe::egui::Context;

use self::computing::{Computing, FullDay};
use self::overlay::Overlay;
use self::proposal::Proposing;
use self::trial::Trial;
use super::days::Days;
use super::exactness::{Finding, Known};
use super::others::{Failed, Others};
use super::patience::Pace;
use super::settling::{Settling, Why};
use super::waking;
use crate::edits::document::Document;
use crate::edits::steps::Steps;
use crate::engine::run::Workshop;
use crate::jobs::Wake;
use crate::projection::Projection;
use crate::projection::change::Change;
use crate::projection::origin::Origin;
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::units::Units;

/// Ends the name of a change whose settled day is compared.
const SETTLED: &str = ", settled";

/// A state kept as a reference until it is unpinned.
#[derive(Clone, Debug)]
pub struct Pin {
    /// What it was: the change it stood after.
    pub name: String,
    /// Its projection.
    pub projection: Projection,
}

/// The document with everything computed from it.
pub struct Bench {
    library: Arc<Library>,
    workshop: Workshop,
    document: Document,
    /// Counts the documents that have stood here.
    documents: u64,
    /// The document's own run, or that of the document as it was before its last changes while theirs is computed.
    standing: Projection,
    /// Counts the states of `standing`, so that what was settled for one is never taken for another.
    edition: u64,
    days: Days,
    settling: Settling,
    exactness: Finding,
    pin: Option<Pin>,
    /// What stands over the tracks.
    overlays: Vec<Overlay>,
    proposing: Proposing,
    trial: Option<Trial>,
    /// What is computed beside the frames.
    computing: Computing,
    full_day: FullDay,
    /// Who is told that something was computed; not known before the first frame.
    wake: Option<Wake>,
    last_change: Option<Change>,
    /// The event that is selected, by its place in the document's schedule.
    pub selected: Option<usize>,
    /// All events that are selected, in order.
    set: Vec<usize>,
    /// The valve in hand: its index and, for as long as it is called so, its name.
    in_hand: (usize, String),
    /// The figure whose place on the tracks is shown.
    pub origin: Option<Origin>,
    /// The units that numbers are shown in.
    pub units: Units,
    /// What drags and arrow keys snap to.
    pub steps: Steps,
    /// States and files beside it; they stay when another document comes.
    pub others: Others,
    /// What could not be done with one of them and was not told yet.
    others_failed: Option<Failed>,
}

impl Bench {
    /// A bench with a document on it, showing its first day.
    #[must_use]
    pub fn new(library: Library, document: Document) -> Self {
        let mut workshop = Workshop::default();
        let standing = Projection::of(Arc::clone(document.scenario()), &mut workshop, &library, 0);
        Self {
            library: Arc::new(library),
            workshop,
            document,
            documents: 1,
            days: Days::One(standing.day),
            standing,
            edition: 0,
            settling: Settling::default(),
            exactness: Finding::default(),
            pin: None,
            overlays: Vec::new(),
            proposing: Proposing::default(),
            trial: None,
            computing: Computing::default(),
            full_day: FullDay::default(),
            wake: None,
            last_change: None,
            selected: None,
            set: Vec::new(),
            in_hand: (0, String::new()),
            origin: None,
            units: Units::default(),
            steps: Steps::default(),
            others: Others::default(),
            others_failed: None,
        }
    }

    /// Takes a run as the document's own.
    fn stand(&mut self, standing: Projection) {
        self.standing = standing;
        self.edition += 1;
        let days = self.standing.days();
        self.days = match self.days {
            Days::One(day) => Days::One(day.min(days - 1)),
            Days::All if days == 1 => Days::One(0),
            other => other,
        };
    }

    /// The presets at hand.
    #[must_use]
    pub fn library(&self) -> &Arc<Library> {
        &self.library
    }

    /// The document.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// A number that each document has for itself: what is typed into one is not for the next.
    #[must_use]
    pub fn documents(&self) -> u64 {
        self.documents
    }

    /// The scenario that fields and menus speak of: the change being tried, or the document. What is drawn may still be of before.
    #[must_use]
    pub fn scenario(&self) -> &Arc<Scenario> {
        self.trial.as_ref().map_or(self.document.scenario(), |t| &t.scenario)
    }

    /// What is to be drawn: the change being tried, or the document; while that is computed, the last good picture.
    #[must_use]
    pub fn shown(&self) -> &Projection {
        if self.trial.is_some() {
            return self.plain();
        }
        let settled = (self.days == Days::Settled).then(|| self.settling.found(self.edition)).flatten();
        settled.unwrap_or_else(|| self.plain())
    }

    /// The run of all days, whichever of them are shown: that of the change being tried, or the document's.
    #[must_use]
    pub fn plain(&self) -> &Projection {
        let tried = self.trial.as_ref().and_then(|t| t.shown.as_ref());
        tried.or(self.computing.so_far.as_ref()).unwrap_or(&self.standing)
    }

    /// A lane of [`scenario`](Self::scenario), by its index, in what is drawn; `None` where it is not there, or stood in another container.
    #[must_use]
    pub fn lane_drawn(&self, index: usize) -> Option<usize> {
        let (wanted, drawn) = (self.scenario(), self.shown());
        let lane = wanted.lanes.get(index)?;
        let of = |other: &crate::scenario::Lane| other.container == lane.container;
        if Arc::ptr_eq(wanted, &drawn.scenario) || drawn.settled.is_some() {
            return Some(index);
        }
        let named = drawn.scenario.lanes.iter().position(|l| l.name == lane.name);
        // One that is renamed stays in its place.
        let is_new = |i: &usize| drawn.scenario.lanes.get(*i).is_some_and(|l| wanted.lanes.iter().all(|w| w.name != l.name));
        named.or(Some(index).filter(is_new)).filter(|i| drawn.scenario.lanes.get(*i).is_some_and(of))
    }

    /// The document's settled day, if it was asked for and found.
    #[must_use]
    pub fn settled(&self) -> Option<&Projection> {
        self.settling.found(self.edition)
    }

    /// The settled day where the day shown is one of those that a lane (by its index) comes to it from: a day under the schedule that is in
    /// force at the end and, where a log of several days repeats, the same day of the log.
    #[must_use]
    pub fn settles(&self, lane: usize) -> Option<&Projection> {
        let (scenario, day) = (&self.standing.scenario, self.standing.day);
        let round = scenario.round_days();
        let same_day = |p: &Projection| p.run.lanes.get(lane).is_some_and(|lane| lane.first_day % round == day % round);
        let comes_to_it = |p: &&Projection| day >= scenario.last_plans_begin() && same_day(p);
        self.settled().filter(|_| self.trial.is_none() && !self.is_behind()).filter(comes_to_it)
    }

    /// The document's projection while another is shown.
    #[must_use]
    pub fn ghost(&self) -> Option<&Projection> {
        self.trial.as_ref()?.shown.as_ref().map(|_| &self.standing)
    }

    /// What the change being tried, or else the last one, did.
    #[must_use]
    pub fn change(&self) -> Option<&Change> {
        self.trial.as_ref().map(|t| &t.change).or(self.last_change.as_ref())
    }

    /// Shows other days. The figures are of the day shown, or of the run's last.
    pub fn show_days(&mut self, days: Days) {
        self.let_trial_go();
        if !self.is_behind() {
            self.last_change = None;
        }
        let before = self.edited();
        self.days = days;
        let day = if let Days::One(day) = days { day } else { usize::MAX };
        self.standing.show_day(day);
        if let Some(so_far) = &mut self.computing.so_far {
            so_far.show_day(day);
        }
        self.let_go_of_others(before);
    }

    /// Which days are shown.
    #[must_use]
    pub fn days(&self) -> Days {
        self.days
    }

    /// Days of the document's run.
    #[must_use]
    pub fn run_days(&self) -> usize {
        self.standing.days()
    }

    /// Whether a change is shown that is not made.
    #[must_use]
    pub fn is_trying(&self) -> bool {
        self.trial.is_some()
    }

    /// Why the settled day will not be found, if so.
    #[must_use]
    pub fn settling_failed(&self) -> Option<&str> {
        self.settling.failed()
    }

    /// Why the settled day is not looked for any longer, if so. It is when it is shown.
    #[must_use]
    pub fn settling_given_up(&self) -> Option<Why> {
        self.settling.given_up(self.edition)
    }

    /// Whether the settled day is being found, or will be in a moment, beside whatever is shown.
    #[must_use]
    pub fn is_settling(&self) -> bool {
        self.settling.is_sought()
    }

    /// Takes what jobs have computed since the last frame, and asks them for what is wanted; never waits.
    pub fn follow(&mut self, ctx: &Context) {
        let wake = self.wake.get_or_insert_with(|| waking::by(ctx)).clone();
        self.take_computed();
        self.fill_trial(&wake);
        self.fill_day(&wake);
        self.settle(&wake);
        self.follow_proposal(&wake);
        self.exactness.follow(self.edition);
        let shown = self.shown();
        let day = shown.settled.is_none().then_some(shown.day);
        if let Some(failed) = self.others.follow(&wake, &self.library, day) {
            self.others_failed = Some(failed);
        }
        self.lay_compared();
    }

    /// What could not be done with a state beside the bench since this was last asked.
    pub fn others_failed(&mut self) -> Option<Failed> {
        self.others_failed.take()
    }

    /// What the bench stands after: its last change, in words.
    #[must_use]
    pub fn stands_after(&self) -> String {
        self.document.next_undo().map_or_else(|| "as opened".to_owned(), |e| format!("after {}", e.name))
    }

    /// How exact the document's run is, as far as it is known; `None` where nobody asked.
    #[must_use]
    pub fn exactness(&self) -> Option<Known<'_>> {
        self.exactness.known()
    }

    /// Finds out how exact the document's run is, beside the frames.
    pub fn find_exactness(&mut self, ctx: &Context) {
        if self.standing.run.lanes.is_empty() {
            self.exactness.refuse(self.edition, "the bench cannot be projected as it stands");
        } else {
            let (scenario, library) = (Arc::clone(&self.standing.scenario), Arc::clone(&self.library));
            self.exactness.ask(&waking::by(ctx), self.edition, scenario, library);
        }
    }

    /// Gives that up. Tells whether it was asked for.
    pub fn close_exactness(&mut self) -> bool {
        self.exactness.close()
    }

    /// The settled day is found whichever days are shown: a figure that is as it should be today may not be once the day repeats itself. Where
    /// it is not on show, that waits until all else is done.
    fn settle(&mut self, wake: &Wake) {
        let is_tried = self.trial.is_some() || self.is_behind();
        let pace = match self.days {
            Days::Settled => Pace::Asked,
            _ if is_tried || self.computing.asked.is_some() || self.full_day.job.underway().is_some() => Pace::Held,
            _ => Pace::Aside,
        };
        self.settling.go_at(pace);
        if is_tried {
            return;
        }
        if let Some(Some((of, before))) = self.settling.take(self.edition)
            && self.days == Days::Settled
            // What was settled before other changes does not tell what the last one did.
            && of + 1 == self.edition
            && let (Some(after), Some(change)) = (self.settling.found(self.edition), &self.last_change)
        {
            let title = if change.title.ends_with(SETTLED) { change.title.clone() } else { format!("{}{SETTLED}", change.title) };
            self.last_change = Some(Change::between(title, String::new(), &before, after));
        }
        if !self.settling.is_to_ask(self.edition, pace) || !self.standing.troubles.is_empty() || self.standing.is_waiting() {
            return;
        }
        // A copy of its own, by which pictures of the settled day are told from those of the plain run.
        let scenario = Arc::new(Scenario::clone(&self.standing.scenario));
        self.settling.ask(wake, self.edition, scenario, Arc::clone(&self.library), self.workshop.clone(), pace);
    }

    /// Keeps what is shown as a reference, in place of any before it.
    pub fn pin(&mut self) {
        let name = self.stands_after();
        self.pin = Some(Pin { name, projection: self.shown().clone() });
    }

    /// Gives the reference up.
    pub fn unpin(&mut self) {
        self.pin = None;
    }

    /// The reference.
    #[must_use]
    pub fn pinned(&self) -> Option<&Pin> {
        self.pin.as_ref()
    }

    /// How the figures shown differ from those of the reference.
    #[must_use]
    pub fn against_pin(&self) -> Option<Change> {
        let pin = self.pin.as_ref()?;
        Some(Change::between(format!("Against the pinned state, {}", pin.name), String::new(), &pin.projection, self.shown()))
    }

    /// Notes that the document is on disk as it stands.
    pub fn mark_saved(&mut self) {
        self.document.mark_saved();
    }

    /// Notes that a scenario is on disk; the document may have changed since.
    pub fn mark_saved_as(&mut self, scenario: Arc<Scenario>) {
        self.document.mark_saved_as(scenario);
    }

    /// Notes that no file holds the document any more.
    pub fn mark_unsaved(&mut self) {
        self.document.mark_unsaved();
    }

    /// Has what is computed next break off, or no longer.
    #[cfg(test)]
    pub(in crate::app) fn spoil_workshop(&mut self, spoilt: bool) {
        if spoilt { self.workshop.spoil() } else { self.workshop = Workshop::default() }
    }

    /// Spoils the document's run by hand: the program itself is not to have one that does not close.
    #[cfg(test)]
    pub(in crate::app) fn spoil(&mut self, spoil: impl FnOnce(&mut crate::engine::run::Run)) {
        let mut spoilt = self.standing.clone();
        spoil(Arc::make_mut(&mut spoilt.run));
        self.stand(spoilt);
    }
}
