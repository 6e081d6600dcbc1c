//! What is wrong with a log, and what was done about it.

use std::collections::BTreeMap;
use std::fmt;

use serde::Serialize;

/// Something in a log that stands in the way of taking it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The line of the file, from 1 (the header); none for the file as a whole.
    pub line: Option<u64>,
    /// What sort it is.
    pub kind: Kind,
    /// What is wrong, without a full stop.
    pub what: String,
    /// What to do, a sentence.
    pub remedy: String,
    /// What would settle it without a change to the file.
    pub consent: Option<Consent>,
    /// What has to be said to settle it.
    pub asks: Option<Asks>,
    /// How many more like it there are that are not listed.
    pub more: usize,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        write!(f, "{}. {}", self.what, self.remedy)
    }
}

/// Sorts of problems.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Kind {
    /// The file as a whole: too large, empty, no text.
    File,
    /// The header: columns missing or twice.
    Columns,
    /// A row that cannot be read.
    Unreadable,
    /// A value that cannot be, often in another unit.
    Range,
    /// A time that stood there before.
    Duplicate,
    /// A time that goes backwards.
    Order,
    /// An hour missing or doubled where summer time begins or ends.
    ClockChange,
    /// Time without rows.
    Gap,
    /// Rows too close together, too far apart or over too many days.
    Span,
}

/// What a grower may allow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Consent {
    /// Bad rows are left out.
    SkipBad,
    /// Gaps are filled.
    FillGaps,
}

/// What a log leaves unsaid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Asks {
    /// Where light in µmol/m²/s comes from.
    Source,
    /// Which share of the light outside comes in.
    Transmission,
}

impl Problem {
    /// One that only a change of the file or of the options settles.
    pub(super) fn of(kind: Kind, line: Option<u64>, what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { line, kind, what: what.into(), remedy: remedy.into(), consent: None, asks: None, more: 0 }
    }

    /// The same, settled by a consent.
    pub(super) fn unless(self, consent: Consent) -> Self {
        Self { consent: Some(consent), ..self }
    }
}

/// Problems of one sort, settled by the same consent, that are listed; more are counted.
const LISTED: usize = 20;

/// A problem, and what is done about it with consent.
#[derive(Clone, Debug)]
struct Noted {
    problem: Problem,
    done: String,
}

/// What is listed and counted together.
type Sort = (Kind, Option<Consent>);

/// A list that stays short however bad a file is.
#[derive(Debug, Default)]
struct Tally {
    listed: Vec<Noted>,
    counts: BTreeMap<Sort, usize>,
    /// The last of those that are not listed.
    last: BTreeMap<Sort, Noted>,
}

impl Tally {
    fn add(&mut self, noted: Noted) {
        let sort = (noted.problem.kind, noted.problem.consent);
        let count = self.counts.entry(sort).or_default();
        *count += 1;
        if *count <= LISTED {
            self.listed.push(noted);
        } else {
            self.last.insert(sort, noted);
        }
    }

    fn into_list(mut self) -> Vec<Noted> {
        for (sort, mut last) in self.last {
            let between = self.counts.get(&sort).copied().unwrap_or_default().saturating_sub(LISTED + 1);
            if between > 0 {
                last.problem.more = between;
                last.problem.what = format!("{} (and {between} more like this before it)", last.problem.what);
            }
            self.listed.push(last);
        }
        self.listed.sort_by_key(|noted| (noted.problem.line, noted.problem.kind));
        self.listed
    }
}

/// Everything found in a log, sorted by whether consent was given.
#[derive(Debug)]
pub(super) struct Findings {
    skip_bad: bool,
    fill_gaps: bool,
    standing: Tally,
    settled: Tally,
    told: Vec<String>,
}

impl Findings {
    pub(super) fn new(skip_bad: bool, fill_gaps: bool) -> Self {
        Self { skip_bad, fill_gaps, standing: Tally::default(), settled: Tally::default(), told: Vec::new() }
    }

    /// Whether a consent was given.
    pub(super) fn allows(&self, consent: Consent) -> bool {
        match consent {
            Consent::SkipBad => self.skip_bad,
            Consent::FillGaps => self.fill_gaps,
        }
    }

    /// Notes a problem. `done` says what is done about it where its consent was given.
    pub(super) fn note(&mut self, problem: Problem, done: &str) {
        if problem.consent.is_some_and(|consent| self.allows(consent)) {
            self.settled.add(Noted { problem, done: done.to_owned() });
        } else {
            self.standing.add(Noted { problem, done: String::new() });
        }
    }

    /// Lets what was settled stand after all: it left nothing to go on with.
    pub(super) fn take_back(&mut self) {
        for noted in std::mem::take(&mut self.settled).into_list() {
            self.standing.add(noted);
        }
    }

    /// Notes something that needs no consent.
    pub(super) fn tell(&mut self, sentence: String) {
        self.told.push(sentence);
    }

    /// Whether any problem stands.
    pub(super) fn stand(&self) -> bool {
        !self.standing.listed.is_empty()
    }

    /// The problems that stand, in order of lines.
    pub(super) fn into_problems(self) -> Vec<Problem> {
        self.standing.into_list().into_iter().map(|noted| noted.problem).collect()
    }

    /// What was done and taken for granted, or the problems that stand.
    pub(super) fn close(self) -> Result<Vec<String>, Vec<Problem>> {
        if self.stand() {
            return Err(self.into_problems());
        }
        let mut told = self.told;
        for problem in self.settled.into_list() {
            told.push(Problem { remedy: problem.done, ..problem.problem }.to_string());
        }
        Ok(told)
    }
}
