//! The document's run follows the document: within the frame where that is quick, beside the frames where it is not, with the last good
//! picture meanwhile.

use std::sync::Arc;

use super::Bench;
use super::computing::{Beside, Computed, For, Order, Owed, Running};
use crate::app::state::days::Days;
use crate::edits::document::Document;
use crate::jobs::{Broken, Told, Underway, Wake, spread};
use crate::projection::Projection;
use crate::projection::change::Change;
use crate::projection::effort::Effort;
use crate::projection::prepared::{Hasty, Patient, Prepared};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;

/// How the step is called that takes back what was not computed, where undo does not lead there.
const BACK: &str = "Take back what was not computed";

impl Bench {
    /// Whether a scenario is computed so quickly that a frame can wait for it. Before there is a window to wake, everything is.
    #[must_use]
    pub fn is_quick(&self, scenario: &Scenario, before: Option<&Projection>) -> bool {
        self.wake.is_none() || Effort::of(scenario, before).fits_in_a_frame()
    }

    /// Who is woken when something was computed beside the frames; without, everything is computed at once.
    pub fn wake_by(&mut self, wake: Wake) {
        self.wake = Some(wake);
    }

    /// Who is woken, if that is known.
    #[must_use]
    pub(in crate::app) fn wake(&self) -> Option<Wake> {
        self.wake.clone()
    }

    /// Days of a scenario that a frame can wait for: all of them, those up to the one shown, or none. `is_tried`: lanes may begin as they do in
    /// the document's own run, so that a drag does not wait for their run-in.
    pub(super) fn days_at_once(&self, scenario: &Scenario, is_tried: bool) -> usize {
        let (standing, all) = (&self.standing, scenario.days as usize);
        let effort = if is_tried { Effort::of_trial } else { Effort::of_days };
        let fits = |days| self.wake.is_none() || effort(scenario, Some(standing), days).fits_in_a_frame();
        if fits(all) {
            return all;
        }
        let days = standing.day + 1;
        if matches!(self.days, Days::One(_)) && fits(days) { days.min(all) } else { 0 }
    }

    /// What is to be computed for a scenario of this bench, taking over what did not change.
    pub(super) fn order(&self, scenario: Arc<Scenario>) -> Order {
        let tried = self.trial.as_ref().and_then(|t| t.shown.as_ref());
        let begun = [tried, self.computing.so_far.as_ref()].into_iter().flatten().find(|p| Arc::ptr_eq(&p.scenario, &scenario));
        let (before, day) = (Some(begun.unwrap_or(&self.standing).clone()), self.standing.day);
        Order { scenario, library: Arc::clone(&self.library), workshop: self.workshop.clone(), before, day }
    }

    /// What is to be computed for a scenario that is to come on the bench.
    #[must_use]
    pub(in crate::app) fn order_anew(&self, scenario: Arc<Scenario>) -> Order {
        Order { before: None, day: 0, ..self.order(scenario) }
    }

    /// Computes a scenario within the frame.
    pub(super) fn at_once(&mut self, scenario: Arc<Scenario>) -> Projection {
        let prepared = Prepared::new(Arc::clone(&scenario), &mut self.workshop, &self.library);
        prepared.run(Some(&self.standing), self.standing.day, &Patient).unwrap_or_else(|| Projection::waiting(scenario))
    }

    /// Computes so many days of a scenario within the frame, as [`days_at_once`](Self::days_at_once) tells them; `None` for none.
    pub(super) fn first_at_once(&mut self, scenario: &Arc<Scenario>, days: usize, is_tried: bool) -> Option<Projection> {
        // Before there is a window to wake, there is time for everything.
        let hasty = Hasty::new(days, is_tried && self.wake.is_some());
        let prepared = (days > 0).then(|| Prepared::new(Arc::clone(scenario), &mut self.workshop, &self.library))?;
        prepared.run(Some(&self.standing), self.standing.day, &hasty).or_else(|| hasty.first_days())
    }

    /// Puts another document on the bench. Where it takes longer than a frame to compute, there is nothing to be seen of it until then.
    pub fn replace(&mut self, document: Document) {
        let scenario = Arc::clone(document.scenario());
        if self.is_quick(&scenario, None) {
            let standing = Projection::of(scenario, &mut self.workshop, &self.library, 0);
            self.put(document, standing);
        } else {
            self.put(document, Projection::waiting(scenario));
            self.compute();
        }
    }

    /// Puts another document on the bench that was computed already.
    pub(in crate::app) fn replace_computed(&mut self, document: Document, computed: Computed) {
        self.workshop = computed.workshop.unwrap_or_default();
        self.put(document, computed.projection);
    }

    fn put(&mut self, document: Document, standing: Projection) {
        self.computing.cancel();
        self.computing.owed = None;
        self.full_day.job.cancel();
        self.settling.forget();
        self.document = document;
        self.documents += 1;
        self.in_hand = (0, String::new());
        self.trial = None;
        self.last_change = None;
        self.origin = None;
        self.pin = None;
        self.propose(None);
        self.overlays.clear();
        self.stand(standing);
        self.days = Days::One(self.standing.day);
        self.pick(Vec::new());
    }

    /// Takes other presets in hand: what the document names is computed anew where they changed it.
    pub fn use_library(&mut self, library: Library) {
        let before = std::mem::replace(&mut self.library, Arc::new(library));
        self.let_trial_go();
        self.others.draw_anew();
        // Which lanes they change is known only when their columns are made.
        if self.is_quick(self.document.scenario(), None) {
            let after = self.at_once(Arc::clone(self.document.scenario()));
            self.computing.cancel();
            self.computing.owed = None;
            self.stand(after);
            return;
        }
        let change = self.last_change.clone();
        self.computing.owed.get_or_insert(Owed { title: None, change, library: before });
        self.ask();
    }

    /// Follows the document after a change.
    pub(super) fn follow_document(&mut self, title: String) {
        let scenario = Arc::clone(self.document.scenario());
        let owed = self.computing.owed.take();
        self.computing.cancel();
        if let Some(owed) = &owed
            && Arc::ptr_eq(&scenario, &self.standing.scenario)
            && Arc::ptr_eq(&owed.library, &self.library)
        {
            // Back where the picture stayed.
            self.last_change.clone_from(&owed.change);
            return;
        }
        let days = self.days_at_once(&scenario, false);
        match self.first_at_once(&scenario, days, false) {
            Some(after) if after.is_whole() => {
                self.last_change = Some(Change::between(title, String::new(), &self.standing, &after));
                self.stand(after);
            }
            first => {
                self.owe(title, owed);
                if let Some(first) = first {
                    self.land(first);
                }
                self.ask();
            }
        }
    }

    /// Notes that the document's run is not there yet.
    pub(super) fn owe(&mut self, title: String, before: Option<Owed>) {
        let what = "What it does is being computed. Until then the curves and figures are those of before.".to_owned();
        let change = self.last_change.replace(Change { title: title.clone(), what, lanes: Vec::new() });
        let before = before.unwrap_or_else(|| Owed { title: None, change, library: Arc::clone(&self.library) });
        self.computing.owed = Some(Owed { title: Some(title), ..before });
    }

    /// Computes the document where that was given up or has not been done.
    pub fn compute(&mut self) {
        if self.standing.is_waiting() && self.computing.owed.is_none() {
            self.computing.owed = Some(Owed { title: None, change: None, library: Arc::clone(&self.library) });
            self.ask();
        }
    }

    /// Asks for the document's run.
    pub(super) fn ask(&mut self) {
        let scenario = Arc::clone(self.document.scenario());
        let order = self.order(Arc::clone(&scenario));
        let asked = self.wake.clone().is_some_and(|wake| self.computing.ask(&wake, order, For::Document, false));
        if !asked {
            // Without a thread the window has to wait.
            let after = self.at_once(scenario);
            self.land(after);
        }
    }

    /// Takes the document's run, of which there may be more to come.
    fn land(&mut self, mut after: Projection) {
        if !self.standing.is_waiting() {
            after.show_day(self.standing.day);
        }
        let title = self.computing.owed.as_ref().and_then(|owed| owed.title.clone());
        match title.filter(|_| !self.standing.is_waiting()) {
            Some(title) => self.last_change = Some(Change::between(title, String::new(), &self.standing, &after)),
            None => self.last_change = self.computing.owed.as_ref().and_then(|owed| owed.change.clone()),
        }
        if !after.is_whole() {
            self.computing.so_far = Some(after);
            return;
        }
        self.computing.owed = None;
        self.computing.so_far = None;
        self.stand(after);
    }

    /// Takes what was computed since the last frame.
    pub(super) fn take_computed(&mut self) {
        while let Some((number, told)) = self.computing.job.take() {
            let whose = self.computing.asked.filter(|(newest, _)| *newest == number).map(|(_, whose)| whose);
            match told {
                Told::SoFar(computed) | Told::Done(computed) => {
                    if whose == Some(For::Document) {
                        if let Some(workshop) = computed.workshop {
                            self.workshop = workshop;
                            self.computing.asked = None;
                        }
                        self.land(computed.projection);
                    } else {
                        self.take_tried(number, computed.projection);
                    }
                }
                Told::Broken(broken) => self.break_off(broken, whose),
                Told::Nothing => {}
            }
        }
    }

    /// Goes back to what is shown: what was being computed broke off.
    fn break_off(&mut self, broken: Broken, whose: Option<For>) {
        let became = match whose {
            Some(For::Document) if self.standing.is_waiting() => {
                self.computing.cancel();
                self.computing.owed = None;
                "The bench is not computed."
            }
            Some(For::Document) => {
                self.take_back();
                "The bench is as it was before the change; Redo makes it again."
            }
            Some(For::Trial) => {
                self.let_trial_go();
                "The bench is as it was."
            }
            None => "The bench is as it was.",
        };
        self.computing.broken = Some((broken, became));
    }

    /// What broke off since this was last asked, with what became of it.
    pub fn broken(&mut self) -> Option<(Broken, &'static str)> {
        self.computing.broken.take()
    }

    /// Takes the document back to what is shown. Tells the last change that was taken back.
    fn take_back(&mut self) -> Option<String> {
        let owed = self.computing.owed.take()?;
        self.computing.cancel();
        self.document.go_to(&self.standing.scenario, BACK);
        self.library = owed.library;
        self.last_change = owed.change;
        self.pick(Vec::new());
        owed.title
    }

    /// Asks for the day shown in full where it is not there, and takes it when it is.
    pub(super) fn fill_day(&mut self, wake: &Wake) {
        while let Some((number, told)) = self.full_day.job.take() {
            match told {
                Told::Done(mut filled) if self.full_day.asked.is_some_and(|(of, _, n)| (of, n) == (self.standing.stamp, number)) => {
                    filled.show_day(self.standing.day);
                    self.standing = filled;
                }
                Told::Broken(broken) => self.computing.broken = Some((broken, "The day is drawn more coarsely.")),
                _ => {}
            }
        }
        let (stamp, day) = (self.standing.stamp, self.standing.day);
        let is_asked = self.full_day.asked.is_some_and(|(of, d, _)| (of, d) == (stamp, day));
        if self.trial.is_some() || self.computing.asked.is_some() || is_asked || self.standing.in_full(day) {
            return;
        }
        let standing = self.standing.clone();
        let asked = self.full_day.job.ask(wake, move |work| {
            work.at(0.0, &format!("Drawing day {} in full", day + 1));
            spread(|| standing.with_in_full(day, &|| work.wanted()))
        });
        self.full_day.asked = Some((stamp, day, asked.unwrap_or(0)));
    }

    /// What is being computed beside the frames, if anything is.
    #[must_use]
    pub fn running(&self) -> Option<Running> {
        let told = |what, underway: Option<Underway>| underway.map(|underway| Running { what, underway });
        let computing = self.computing.asked.and_then(|(_, whose)| {
            let what = if whose == For::Document { Beside::Document } else { Beside::Trial };
            told(what, self.computing.job.underway())
        });
        computing
            .or_else(|| told(Beside::Settled, self.settling.underway()))
            .or_else(|| told(Beside::FullDay, self.full_day.job.underway()))
    }

    /// Whether the document's run is not there yet, so that the picture is of before.
    #[must_use]
    pub fn is_behind(&self) -> bool {
        self.computing.owed.is_some()
    }

    /// Gives up what is being computed: the bench is then as it was before that was asked for. Tells what is to be said of it, if anything.
    pub fn cancel(&mut self, what: Beside) -> Option<String> {
        match what {
            Beside::Document if self.standing.is_waiting() => {
                self.computing.cancel();
                self.computing.owed = None;
                None
            }
            Beside::Document => {
                let title = self.take_back()?;
                Some(format!("\"{title}\" was taken back before it was computed. Redo makes it again."))
            }
            Beside::Trial => {
                self.drop_trial();
                None
            }
            Beside::Settled => {
                self.settling.give_up(self.edition);
                self.show_days(Days::One(self.standing.day));
                None
            }
            Beside::FullDay => {
                self.full_day.job.cancel();
                None
            }
        }
    }
}
