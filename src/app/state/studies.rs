//! Questions asked of the bench, each answered by a job of its own. What was found stays until it is asked again, with the state of the bench
//! that it holds for.

use std::sync::{Arc, Mutex, PoisonError};

use crate::jobs::{Job, Told, Wake, Work, spread as on_threads};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::sheet::answers::{Answer as Answered, Form, Making};
use crate::studies::choose::{self, choose};
use crate::studies::compare::{Comparison, Waiting as Comparing, compare};
use crate::studies::finder::{self, Budget, Found, Waiting};
use crate::studies::flush::{LaneFlush, Rinse, flush};
use crate::studies::grace::{LaneGrace, grace_told};
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
    /// What differs from other states.
    Compare,
}

impl Study {
    /// What its answer is called.
    #[must_use]
    pub fn what(self) -> &'static str {
        match self {
            Self::Grace => "grace times",
            Self::Schedule => "schedule found",
            Self::Flush => "flush",
            Self::Spread => "spread",
            Self::Choice => "choice of root zones",
            Self::Compare => "comparison",
        }
    }
}

/// Members after which the first of a spread is shown (judgement); after that, whenever there are twice as many. Fewer make no tenths to look at.
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
    /// See [`Study::Compare`]: the states beside the bench.
    Compare(Vec<Compared>),
}

/// A state that is compared: its letter, what it is called, and what it is.
pub type Compared = (char, String, Arc<Scenario>);

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
    asked: Option<(Question, Arc<Scenario>)>,
    answer: Option<Answer<T>>,
}

impl<T: Send + 'static> Inquiry<T> {
    fn new(name: &'static str) -> Self {
        Self { job: Job::new(name), asked_of: (0, 0), asked: None, answer: None }
    }

    /// What was found last.
    #[must_use]
    pub fn answer(&self) -> Option<&Answer<T>> {
        self.answer.as_ref()
    }

    /// What was asked last, and of which bench.
    #[must_use]
    pub fn asked(&self) -> Option<&(Question, Arc<Scenario>)> {
        self.asked.as_ref()
    }

    /// What was found last, to be taken elsewhere.
    fn found(&self) -> Option<T>
    where
        T: Clone,
    {
        self.answer.as_ref()?.found.as_ref().ok().cloned()
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
        asked: (Question, Arc<Scenario>),
        work: impl FnOnce(&Work<Result<T, String>>) -> Option<Result<T, String>> + Send + 'static,
    ) {
        (self.asked_of, self.asked) = (of, Some(asked));
        self.answer = None;
        if let Err(broken) = self.job.ask(wake, work) {
            self.answer = Some(Answer { of, found: Err(broken.to_string()), whole: true });
        }
    }

    fn follow(&mut self, document: u64) {
        // Of another bench nothing is told.
        if self.asked_of.0 != document {
            self.job.cancel();
            (self.answer, self.asked) = (None, None);
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
    /// See [`Study::Compare`].
    pub compare: Inquiry<Comparison>,
}

/// What the bench is called among states that are compared.
pub const THE_BENCH: &str = "the bench as it stands";

impl Default for Studies {
    fn default() -> Self {
        Self {
            grace: Inquiry::new("Finding grace times"),
            schedule: Inquiry::new("Looking for a schedule"),
            flush: Inquiry::new("Trying a flush"),
            spread: Inquiry::new("Finding how sure the figures are"),
            choice: Inquiry::new("Holding root zones beside each other"),
            compare: Inquiry::new("Comparing"),
        }
    }
}

impl Studies {
    /// Asks a question of a bench; `of` numbers its document and the state of that.
    pub fn ask(&mut self, wake: &Wake, of: (u64, u64), question: Question, scenario: Arc<Scenario>, library: Arc<Library>) {
        let whole = (question.clone(), Arc::clone(&scenario));
        match question {
            Question::Grace => self.grace.ask(wake, of, whole, move |work| {
                let found = on_threads(|| grace_told(&scenario, &library, &|| work.wanted(), &|share| work.at(share, "")));
                found.map_err(|e| e.to_string()).transpose()
            }),
            Question::Schedule(asked) => self.schedule.ask(wake, of, whole, move |work| {
                let (progress, first) = (|share: f64| work.at(share, ""), |found: Found| work.so_far(Ok(found)));
                let waiting = Waiting { go_on: &|| work.wanted(), progress: &progress, first: &first };
                let found = on_threads(|| finder::find(&scenario, &library, &asked, &Budget::WHOLE, waiting));
                found.map_err(|e| format!("{e}. {}", e.remedy())).transpose()
            }),
            Question::Flush(rinse) => self.flush.ask(wake, of, whole, move |work| {
                if let Some(problem) = rinse.problems().first() {
                    return Some(Err(problem.to_string()));
                }
                let found = on_threads(|| flush(&scenario, &library, rinse, &|| work.wanted()));
                Some(found.map_err(|e| e.to_string()))
            }),
            Question::Spread(ask) => self.spread.ask(wake, of, whole, move |work| {
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
            Question::Choice(asked) => self.choice.ask(wake, of, whole, move |work| {
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
            Question::Compare(others) => self.compare.ask(wake, of, whole, move |work| {
                let benches: Vec<_> = std::iter::once((THE_BENCH.to_owned(), scenario))
                    .chain(others.into_iter().map(|(_, name, other)| (name, other)))
                    .collect();
                // The bench can be in a state that no file could be in.
                let problem = |(name, bench): &(String, Arc<Scenario>)| Some(format!("{name}: {}", bench.validate(&library).first()?));
                if let Some(why) = benches.iter().find_map(problem) {
                    return Some(Err(why));
                }
                let (progress, so_far) = (|share: f64| work.at(share, ""), |found: Comparison| work.so_far(Ok(found)));
                let waiting = Comparing { go_on: &|| work.wanted(), progress: &progress, so_far: &so_far };
                Some(on_threads(|| compare(&benches, &library, &waiting)).map_err(|e| e.to_string()))
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
            Study::Compare => self.compare.job.cancel(),
        }
    }

    /// Takes what jobs have found since of the document on the bench, by its number.
    pub fn follow(&mut self, document: u64) {
        self.grace.follow(document);
        self.schedule.follow(document);
        self.flush.follow(document);
        self.spread.follow(document);
        self.choice.follow(document);
        self.compare.follow(document);
    }

    /// What makes the bytes of an answer, whole or as far as it was found; `None` where there is none.
    #[must_use]
    pub fn document(&self, study: Study, form: Form, library: &Library) -> Option<Making> {
        Some(match study {
            Study::Grace => {
                let found = self.grace.found()?;
                Box::new(move || Answered::Grace(&found).bytes(form))
            }
            Study::Schedule => {
                let found = self.schedule.found()?;
                Box::new(move || Answered::Schedule(&found).bytes(form))
            }
            Study::Flush => {
                let (found, asked) = (self.flush.found()?, self.flush.asked()?);
                let Question::Flush(rinse) = asked.0 else { return None };
                Box::new(move || Answered::Flush(rinse, &found).bytes(form))
            }
            Study::Spread => {
                let found = self.spread.found()?;
                Box::new(move || Answered::Spread(&found).bytes(form))
            }
            Study::Choice => {
                let (points, (question, scenario)) = (self.choice.found()?, self.choice.asked()?);
                let Question::Choice(asked) = question else { return None };
                let lane = scenario.lanes.get(asked.lane).map_or_else(String::new, |l| l.name.clone());
                let asked = asked.zones(scenario, library).len();
                Box::new(move || Answered::Choice { lane: &lane, asked, points: &points }.bytes(form))
            }
            Study::Compare => {
                let found = self.compare.found()?;
                Box::new(move || Answered::Compare(&found).bytes(form))
            }
        })
    }

    /// Whether anything is being worked on.
    #[must_use]
    pub fn is_working(&self) -> bool {
        let shares = [self.grace.share(), self.schedule.share(), self.flush.share(), self.spread.share()];
        shares.into_iter().chain([self.choice.share(), self.compare.share()]).any(|share| share.is_some())
    }
}
