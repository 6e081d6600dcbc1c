//! Questions asked of the bench, each answered by a job of its own. What was found stays until it is asked again, with the state of the bench
//! that it holds for.

use std::sync::{Arc, Mutex, PoisonError};

use crate::jobs::{Job, Told, Wake, Work, spread as on_threads};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::studies::choose::{self, choose};
use crate::studies::finder::{self, Budget, Found, Waiting};
use crate::studies::flush::{LaneFlush, Rinse, flush};
use crate::studies::grace::{LaneGrace, grace};
use crate::studies::spread::{Ask, Spread, spread};

/// One kind of question.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Study {
    /// How long plants go on when something fails.
    #[default]
    Grace,
    /// Which schedule meets the aims.
    Schedule,
    /// What it takes to rinse salt out.
    Flush,
    /// How sure the figures are.
    Spread,
    /// Which root zone suits.
    Choice,
}

/// Members after which the first of a spread is shown; after that, whenever there are twice as many. Fewer make no tenths to look at.
const FIRST_PART: usize = 64;

/// A question.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// See [`Study::Grace`].
    Grace,
    /// See [`Study::Schedule`].
    Schedule(finder::Asked),
    /// See [`Study::Flush`].
    Flush(Rinse),
    /// See [`Study::Spread`].
    Spread(Ask),
    /// See [`Study::Choice`].
    Choice(choose::Asked),
}

/// What was found.
#[derive(Clone, Debug)]
pub struct Answer<T> {
    /// The document, and the state of it, that it holds for, by their numbers.
    pub of: (u64, u64),
    /// It, or why there is none.
    pub found: Result<T, String>,
    /// Nothing more is to come.
    pub whole: bool,
}

/// One question with its job and its last answer.
pub struct Inquiry<T> {
    job: Job<Result<T, String>>,
    asked_of: (u64, u64),
    answer: Option<Answer<T>>,
}

impl<T: Send + 'static> Inquiry<T> {
    fn new(name: &'static str) -> Self {
        Self { job: Job::new(name), asked_of: (0, 0), answer: None }
    }

    /// What was found last.
    #[must_use]
    pub fn answer(&self) -> Option<&Answer<T>> {
        self.answer.as_ref()
    }

    /// The share (0–1) that is done, while it is being found.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn share(&self) -> Option<f32> {
        self.job.underway().map(|u| u.share as f32)
    }

    fn ask(
        &mut self,
        wake: &Wake,
        of: (u64, u64),
        work: impl FnOnce(&Work<Result<T, String>>) -> Option<Result<T, String>> + Send + 'static,
    ) {
        self.asked_of = of;
        self.answer = None;
        if let Err(broken) = self.job.ask(wake, work) {
            self.answer = Some(Answer { of, found: Err(broken.to_string()), whole: true });
        }
    }

    fn follow(&mut self, document: u64) {
        // Of another bench nothing is told.
        if self.asked_of.0 != document {
            self.job.cancel();
            self.answer = None;
        }
        while let Some((_, told)) = self.job.take() {
            let (found, whole) = match told {
                Told::SoFar(found) => (found, false),
                Told::Done(found) => (found, true),
                Told::Broken(broken) => (Err(broken.to_string()), true),
                Told::Nothing => continue,
            };
            self.answer = Some(Answer { of: self.asked_of, found, whole });
        }
    }
}

/// All questions.
pub struct Studies {
    /// See [`Study::Grace`].
    pub grace: Inquiry<Vec<LaneGrace>>,
    /// See [`Study::Schedule`].
    pub schedule: Inquiry<Found>,
    /// See [`Study::Flush`].
    pub flush: Inquiry<Vec<LaneFlush>>,
    /// See [`Study::Spread`].
    pub spread: Inquiry<Spread>,
    /// See [`Study::Choice`].
    pub choice: Inquiry<Vec<choose::Point>>,
}

impl Default for Studies {
    fn default() -> Self {
        Self {
            grace: Inquiry::new("Finding grace times"),
            schedule: Inquiry::new("Looking for a schedule"),
            flush: Inquiry::new("Trying a flush"),
            spread: Inquiry::new("Finding how sure the figures are"),
            choice: Inquiry::new("Holding root zones beside each other"),
        }
    }
}

impl Studies {
    /// Asks a question of a bench; `of` numbers its document and the state of that.
    pub fn ask(&mut self, wake: &Wake, of: (u64, u64), question: Question, scenario: Arc<Scenario>, library: Arc<Library>) {
        match question {
            Question::Grace => self.grace.ask(wake, of, move |work| {
                let found = on_threads(|| grace(&scenario, &library, &|| work.wanted()));
                found.map_err(|e| e.to_string()).transpose()
            }),
            Question::Schedule(asked) => self.schedule.ask(wake, of, move |work| {
                let (progress, first) = (|share: f64| work.at(share, ""), |found: Found| work.so_far(Ok(found)));
                let waiting = Waiting { go_on: &|| work.wanted(), progress: &progress, first: &first };
                let found = on_threads(|| finder::find(&scenario, &library, &asked, &Budget::WHOLE, waiting));
                found.map_err(|e| format!("{e}. {}", e.remedy())).transpose()
            }),
            Question::Flush(rinse) => self.flush.ask(wake, of, move |work| {
                if let Some(problem) = rinse.problems().first() {
                    return Some(Err(problem.to_string()));
                }
                let found = on_threads(|| flush(&scenario, &library, rinse, &|| work.wanted()));
                Some(found.map_err(|e| e.to_string()))
            }),
            Question::Spread(ask) => self.spread.ask(wake, of, move |work| {
                if let Some(problem) = ask.problem() {
                    return Some(Err(problem.to_string()));
                }
                #[allow(clippy::cast_precision_loss)]
                let so_far = |done: usize, answer: &dyn Fn() -> Spread| {
                    work.at(done as f64 / f64::from(ask.members), "");
                    if done >= FIRST_PART && done.is_power_of_two() {
                        work.so_far(Ok(answer()));
                    }
                };
                let found = on_threads(|| spread(&scenario, &library, &ask, &|| work.wanted(), &so_far));
                Some(found.map_err(|e| e.to_string()))
            }),
            Question::Choice(asked) => self.choice.ask(wake, of, move |work| {
                let (so_far, count) = (Mutex::new(Vec::new()), asked.zones(&scenario, &library).len());
                let done = |point: &choose::Point| {
                    let mut points = so_far.lock().unwrap_or_else(PoisonError::into_inner);
                    points.push(point.clone());
                    #[allow(clippy::cast_precision_loss)]
                    work.at(points.len() as f64 / count.max(1) as f64, "");
                    work.so_far(Ok(points.clone()));
                };
                let found = on_threads(|| choose(&scenario, &library, &asked, &|| work.wanted(), &done));
                Some(found.map_err(|e| e.to_string()))
            }),
        }
    }

    /// The spread of a state of a document, as far as it is known.
    #[must_use]
    pub fn spread_of(&self, of: (u64, u64)) -> Option<&Spread> {
        self.spread.answer().filter(|answer| answer.of == of)?.found.as_ref().ok()
    }

    /// Gives a question up; what was found so far stays. Tells whether it was being worked on.
    pub fn give_up(&mut self, study: Study) -> bool {
        match study {
            Study::Grace => self.grace.job.cancel(),
            Study::Schedule => self.schedule.job.cancel(),
            Study::Flush => self.flush.job.cancel(),
            Study::Spread => self.spread.job.cancel(),
            Study::Choice => self.choice.job.cancel(),
        }
    }

    /// Takes what jobs have found since of the document on the bench, by its number.
    pub fn follow(&mut self, document: u64) {
        self.grace.follow(document);
        self.schedule.follow(document);
        self.flush.follow(document);
        self.spread.follow(document);
        self.choice.follow(document);
    }

    /// Whether anything is being worked on.
    #[must_use]
    pub fn is_working(&self) -> bool {
        let shares = [self.grace.share(), self.schedule.share(), self.flush.share(), self.spread.share(), self.choice.share()];
        shares.iter().any(Option::is_some)
    }
}
