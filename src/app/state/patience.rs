//! How long a job that nobody asked for goes on, and when: it begins when the bench has rested for a moment, stands still while something else
//! is computed, and gives up after a while. As soon as somebody asks for it, none of that holds.

use std::cell::Cell;
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// How long the bench rests before it begins.
const MOMENT: Duration = Duration::from_millis(600);
/// How long it works before it gives up.
pub const LONGEST: Duration = Duration::from_secs(20);
/// How often it looks whether it may go on.
const LOOKS: Duration = Duration::from_millis(20);

/// How a job goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// Beside all else, while nothing else is done.
    Aside,
    /// It stands still: something else is computed.
    Held,
    /// Somebody waits for it.
    Asked,
    /// It gave up: it took too long for what nobody asked for.
    GivenUp,
}

const PACES: [Pace; 4] = [Pace::Aside, Pace::Held, Pace::Asked, Pace::GivenUp];

/// A pace that is shared by who sets it and who works.
#[derive(Clone, Debug, Default)]
pub struct Shared(Arc<AtomicU8>);

impl Shared {
    /// A pace to begin with.
    #[must_use]
    pub fn new(pace: Pace) -> Self {
        Self(Arc::new(AtomicU8::new(pace as u8)))
    }

    /// The pace now.
    #[must_use]
    pub fn now(&self) -> Pace {
        PACES[usize::from(self.0.load(Ordering::Relaxed)) % PACES.len()]
    }

    /// Sets another, unless it was given up.
    pub fn set(&self, pace: Pace) {
        let _ = self.0.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |now| (now != Pace::GivenUp as u8).then_some(pace as u8));
    }
}

/// The patience of who works at a pace.
pub struct Patience {
    pace: Shared,
    longest: Duration,
    worked: Cell<Duration>,
    since: Cell<Instant>,
}

impl Patience {
    /// Waits until the bench has rested for a moment, or somebody asks. It then goes on for so long at most. `None` when it is no longer wanted.
    #[must_use]
    pub fn begin(pace: Shared, longest: Duration, wanted: impl Fn() -> bool) -> Option<Self> {
        let mut since = Instant::now();
        while pace.now() != Pace::Asked && since.elapsed() < MOMENT {
            if !wanted() {
                return None;
            }
            if pace.now() == Pace::Held {
                since = Instant::now();
            }
            sleep(LOOKS);
        }
        Some(Self { pace, longest, worked: Cell::default(), since: Cell::new(Instant::now()) })
    }

    /// Whether to go on; waits while it is held.
    #[must_use]
    pub fn goes_on(&self, wanted: impl Fn() -> bool) -> bool {
        self.worked.set(self.worked.get() + self.since.get().elapsed());
        while self.pace.now() == Pace::Held && wanted() {
            sleep(LOOKS);
        }
        self.since.set(Instant::now());
        if self.pace.now() == Pace::Aside && self.worked.get() > self.longest {
            self.pace.set(Pace::GivenUp);
        }
        wanted() && self.pace.now() != Pace::GivenUp
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_begins_after_a_moment_and_at_once_where_it_is_asked_for() {
        let began = Instant::now();
        assert!(Patience::begin(Shared::new(Pace::Asked), LONGEST, || true).is_some());
        assert!(began.elapsed() < MOMENT);
        assert!(Patience::begin(Shared::new(Pace::Aside), LONGEST, || true).is_some());
        assert!(began.elapsed() >= MOMENT);
        assert!(Patience::begin(Shared::new(Pace::Aside), LONGEST, || false).is_none());
        // What is held does not begin.
        let began = Instant::now();
        assert!(Patience::begin(Shared::new(Pace::Held), LONGEST, || began.elapsed() < 2 * MOMENT).is_none());
    }

    #[test]
    fn it_gives_up_after_a_while_unless_somebody_asks_and_what_it_is_held_does_not_count() {
        let short = Duration::from_millis(50);
        let working = |pace| {
            let shared = Shared::new(pace);
            let mine = Patience { pace: shared.clone(), longest: short, worked: Cell::default(), since: Cell::new(Instant::now()) };
            (shared, mine)
        };
        let (shared, mine) = working(Pace::Aside);
        assert!(mine.goes_on(|| true));
        sleep(2 * short);
        assert!(!mine.goes_on(|| true));
        shared.set(Pace::Asked);
        assert!(shared.now() == Pace::GivenUp && !mine.goes_on(|| true), "what has ended does not go on");
        let (shared, mine) = working(Pace::Asked);
        sleep(2 * short);
        assert!(mine.goes_on(|| true) && !mine.goes_on(|| false));
        assert_eq!(shared.now(), Pace::Asked);
        let (shared, mine) = working(Pace::Held);
        std::thread::scope(|s| {
            s.spawn(|| {
                sleep(4 * short);
                shared.set(Pace::Aside);
            });
            let began = Instant::now();
            assert!(mine.goes_on(|| true) && began.elapsed() >= 3 * short);
        });
    }
}
