//! Work on threads: a closure is started, tells how far it is and what it has so far, is given up, and the newest request wins.
//!
//! Who waits is woken by a closure of its own; nothing here knows a window. A panic of the work is caught and told by the job's name:
//! the thread lives on and takes the next request.
//!
//! ```
//! use slakeline::jobs::{Job, Told, asleep};
//!
//! let mut job: Job<u64> = Job::new("sum");
//! let number = job.ask(&asleep(), |work| {
//!     let mut sum = 0;
//!     for k in 1..=100_u64 {
//!         if !work.wanted() {
//!             return None;
//!         }
//!         sum += k;
//!         work.at(k as f64 / 100.0, "adding up");
//!     }
//!     Some(sum)
//! })?;
//! let told = loop {
//!     match job.take() {
//!         Some(told) => break told,
//!         None => std::thread::yield_now(),
//!     }
//! };
//! assert_eq!(told, (number, Told::Done(5050)));
//! # Ok::<(), slakeline::jobs::Broken>(())
//! ```

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

/// Called from the job's thread whenever there is something to [`take`](Job::take).
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// The wake-up of one who looks by himself.
#[must_use]
pub fn asleep() -> Wake {
    Arc::new(|| {})
}

/// Work that broke off.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{job} broke off: {why}")]
pub struct Broken {
    /// The job's name.
    pub job: &'static str,
    /// What the panic said, or why there is no thread.
    pub why: String,
}

/// What became of a request.
#[derive(Clone, Debug, PartialEq)]
pub enum Told<T> {
    /// What there is so far; more is to come.
    SoFar(T),
    /// The answer.
    Done(T),
    /// The work ended by itself without an answer.
    Nothing,
    /// It broke off.
    Broken(Broken),
}

/// Work that is under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Underway {
    /// Share done, 0–1.
    pub share: f64,
    /// What is being done, as the work says it; empty before it said anything.
    pub words: String,
    /// How long nothing has been answered: requests that were overtaken before they were answered count.
    pub waited: Duration,
}

/// How far work is: the share done (0–1) and what is being done.
#[derive(Debug, Default)]
struct Progress {
    share: f64,
    words: String,
}

/// What is shared between who asks and who works.
#[derive(Debug, Default)]
struct Shared {
    /// The number of the newest request.
    newest: AtomicU64,
    /// Requests up to this number are given up.
    dropped: AtomicU64,
    progress: Mutex<Progress>,
}

impl Shared {
    fn progress(&self) -> MutexGuard<'_, Progress> {
        self.progress.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What work is handed: whether it is still wanted, and where it tells how far it is.
pub struct Work<T> {
    number: u64,
    shared: Arc<Shared>,
    tell: Sender<(u64, Told<T>)>,
    wake: Wake,
}

impl<T> Work<T> {
    /// Whether the answer is still waited for: nothing newer was asked for, and it was not given up. Ask it often.
    #[must_use]
    pub fn wanted(&self) -> bool {
        self.shared.newest.load(Ordering::Relaxed) == self.number && self.may_finish()
    }

    /// Whether it was not given up, though something newer may wait: short work is worth finishing all the same.
    #[must_use]
    pub fn may_finish(&self) -> bool {
        self.shared.dropped.load(Ordering::Relaxed) < self.number
    }

    /// Tells how far it is: the share done (held within 0–1), and what is being done.
    pub fn at(&self, share: f64, words: &str) {
        if self.wanted() {
            let mut progress = self.shared.progress();
            progress.share = share.clamp(0.0, 1.0);
            if progress.words != words {
                words.clone_into(&mut progress.words);
            }
        }
    }

    /// Tells what there is so far.
    pub fn so_far(&self, part: T) {
        self.tell(Told::SoFar(part));
    }

    fn tell(&self, told: Told<T>) {
        // Who asked may be gone.
        if self.tell.send((self.number, told)).is_ok() {
            (self.wake)();
        }
    }
}

type Closure<T> = Box<dyn FnOnce(&Work<T>) -> Option<T> + Send>;

struct Worker<T> {
    ask: Sender<(Work<T>, Closure<T>)>,
    told: Receiver<(u64, Told<T>)>,
    tell: Sender<(u64, Told<T>)>,
    thread: JoinHandle<()>,
}

/// One kind of work, and the thread that does it, started when it is first needed. Of several requests only the newest is begun.
pub struct Job<T> {
    name: &'static str,
    worker: Option<Worker<T>>,
    shared: Arc<Shared>,
    number: u64,
    /// The request that is being worked on or waits, and since when nothing was answered.
    running: Option<(u64, Instant)>,
}

impl<T: Send + 'static> Job<T> {
    /// Work of this name, by which its end is told if it breaks off.
    #[must_use]
    pub fn new(name: &'static str) -> Self {
        Self { name, worker: None, shared: Arc::default(), number: 0, running: None }
    }

    /// Asks for work and returns its number; numbers grow. What was asked for before and has not begun is dropped, what has begun is told
    /// that it is no longer wanted.
    ///
    /// # Errors
    /// [`Broken`] when no thread can be started.
    pub fn ask(&mut self, wake: &Wake, work: impl FnOnce(&Work<T>) -> Option<T> + Send + 'static) -> Result<u64, Broken> {
        let worker = match self.worker.take() {
            Some(worker) => worker,
            None => start(self.name).map_err(|e| Broken { job: self.name, why: format!("no thread could be started: {e}") })?,
        };
        self.number += 1;
        self.shared.newest.store(self.number, Ordering::Relaxed);
        *self.shared.progress() = Progress::default();
        let handed = Work { number: self.number, shared: Arc::clone(&self.shared), tell: worker.tell.clone(), wake: Arc::clone(wake) };
        let sent = worker.ask.send((handed, Box::new(work))).is_ok();
        self.worker = Some(worker);
        if !sent {
            // Its thread only ends with this struct; should it have ended otherwise, the next request starts another.
            self.worker = None;
            return Err(Broken { job: self.name, why: "its thread has ended".to_owned() });
        }
        let since = self.running.map_or_else(Instant::now, |(_, since)| since);
        self.running = Some((self.number, since));
        Ok(self.number)
    }

    /// Gives up all that was asked for: work that has begun is told so, and none of its answers is handed over. Tells whether there was any.
    pub fn cancel(&mut self) -> bool {
        self.shared.dropped.store(self.number, Ordering::Relaxed);
        self.running.take().is_some()
    }

    /// How far the newest request is; `None` where nothing is being worked on.
    #[must_use]
    pub fn underway(&self) -> Option<Underway> {
        let (_, since) = self.running?;
        let progress = self.shared.progress();
        Some(Underway { share: progress.share, words: progress.words.clone(), waited: since.elapsed() })
    }

    /// What was told last since this was last asked, with the number of its request; that work broke off is never passed over, so ask
    /// until nothing more is told. Of work that was finished although something newer had been asked for, the answer is handed over,
    /// too; of what was given up, none.
    pub fn take(&mut self) -> Option<(u64, Told<T>)> {
        let dropped = self.shared.dropped.load(Ordering::Relaxed);
        let mut found = None;
        for told in self.worker.as_ref()?.told.try_iter().filter(|(number, _)| *number > dropped) {
            let broke = matches!(told.1, Told::Broken(_));
            found = Some(told);
            if broke {
                break;
            }
        }
        let found = found?;
        if matches!(found.1, Told::Done(_) | Told::SoFar(_)) {
            self.running = self.running.map(|(number, _)| (number, Instant::now()));
        }
        if self.running.is_some_and(|(number, _)| number == found.0) && !matches!(found.1, Told::SoFar(_)) {
            self.running = None;
        }
        Some(found)
    }

    /// Waits until what was asked for last is done, and ends the thread.
    pub fn finish(&mut self) {
        if let Some(Worker { ask, thread, .. }) = self.worker.take() {
            drop(ask);
            // The work's own panics are caught before.
            let _ = thread.join();
        }
        self.running = None;
    }
}

impl<T> Drop for Job<T> {
    fn drop(&mut self) {
        // Nobody waits for it any more.
        self.shared.dropped.store(u64::MAX, Ordering::Relaxed);
    }
}

fn start<T: Send + 'static>(name: &'static str) -> std::io::Result<Worker<T>> {
    let (ask, asked) = channel::<(Work<T>, Closure<T>)>();
    let (tell, told) = channel();
    let thread = thread::Builder::new().name(name.to_owned()).spawn(move || {
        while let Ok(first) = asked.recv() {
            let (work, closure) = asked.try_iter().last().unwrap_or(first);
            // What a panic leaves half done is the closure's own, and goes with it.
            let done = catch_unwind(AssertUnwindSafe(|| closure(&work)));
            work.tell(match done {
                Ok(Some(answer)) => Told::Done(answer),
                Ok(None) => Told::Nothing,
                Err(panic) => Told::Broken(Broken { job: name, why: said(&*panic) }),
            });
        }
    })?;
    Ok(Worker { ask, told, tell, thread })
}

/// What a panic said.
fn said(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|s| (*s).to_owned()).or_else(|| panic.downcast_ref::<String>().cloned());
    text.unwrap_or_else(|| "no reason given".to_owned())
}

/// How far threads that work for jobs step back behind the window, as the system counts niceness (judgement).
#[cfg(target_os = "linux")]
const BEHIND: i32 = 10;

/// Lets the window's thread go before this one where both want a processor: frames came half as often while a study took all of them. Where the
/// system knows no such order of threads, all stay alike.
fn step_back() {
    #[cfg(target_os = "linux")]
    // Not being let is no reason not to work.
    let _ = rustix::process::setpriority_process(Some(rustix::thread::gettid()), BEHIND);
}

/// Does work that is spread over threads on some that are its own and step back behind the window: nothing that a window spreads over threads
/// within a frame waits behind it, and no small work behind a large one (threads that were shared took up parts of another job while they waited
/// for their own, so that a comparison stood ready until a search beside it had ended).
pub fn spread<R: Send>(work: impl FnOnce() -> R + Send) -> R {
    let name = |k| format!("job {}", k + 1);
    match rayon::ThreadPoolBuilder::new().thread_name(name).start_handler(|_| step_back()).build() {
        Ok(pool) => pool.install(work),
        // Without threads of its own it is done with those that there are.
        Err(_) => work(),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::RecvTimeoutError;

    use super::*;

    const LONG: Duration = Duration::from_secs(60);
    const SHORT: Duration = Duration::from_millis(20);

    /// Waits for what a job tells.
    fn told<T: Send + 'static>(job: &mut Job<T>) -> (u64, Told<T>) {
        let began = Instant::now();
        loop {
            if let Some(told) = job.take() {
                return told;
            }
            assert!(began.elapsed() < LONG);
            thread::yield_now();
        }
    }

    /// Works until it is no longer wanted, and tells when it begins and ends.
    fn endless(begun: Sender<()>, ended: Sender<bool>) -> impl FnOnce(&Work<u32>) -> Option<u32> + Send {
        move |work| {
            let _ = begun.send(());
            while work.wanted() {
                thread::yield_now();
            }
            let _ = ended.send(work.may_finish());
            None
        }
    }

    #[test]
    fn work_that_is_given_up_ends_and_tells_nothing_and_the_next_is_done() {
        let mut job = Job::<u32>::new("test");
        let ((begun, has_begun), (ended, has_ended)) = (channel(), channel());
        job.ask(&asleep(), endless(begun, ended)).unwrap();
        has_begun.recv_timeout(LONG).unwrap();
        assert_eq!(has_ended.recv_timeout(SHORT), Err(RecvTimeoutError::Timeout), "it is wanted");
        assert!(job.underway().is_some());
        assert!(job.cancel() && !job.cancel());
        assert!(!has_ended.recv_timeout(LONG).unwrap(), "given up, not overtaken");
        assert_eq!(job.underway(), None);
        let number = job.ask(&asleep(), |work| work.wanted().then_some(7)).unwrap();
        assert_eq!(told(&mut job), (number, Told::Done(7)), "the first tells nothing");
        assert_eq!((job.take(), job.underway()), (None, None));
    }

    #[test]
    fn the_newest_wins_and_what_waits_before_it_is_never_begun() {
        let mut job = Job::<u32>::new("test");
        let ((begun, has_begun), (ended, has_ended)) = (channel(), channel());
        job.ask(&asleep(), endless(begun, ended)).unwrap();
        has_begun.recv_timeout(LONG).unwrap();
        let (gate, open) = channel::<()>();
        // Two wait behind it before it can look up: the second of them alone is begun.
        job.ask(&asleep(), |_| panic!("overtaken before it began")).unwrap();
        let third = job
            .ask(&asleep(), move |_| {
                open.recv_timeout(LONG).unwrap();
                Some(3)
            })
            .unwrap();
        assert!(has_ended.recv_timeout(LONG).unwrap(), "overtaken, not given up: it could have finished");
        gate.send(()).unwrap();
        loop {
            match told(&mut job) {
                (number, Told::Done(3)) if number == third => break,
                (number, Told::Nothing) if number < third => {}
                other => panic!("{other:?}"),
            }
        }
    }

    #[test]
    fn what_is_overtaken_again_and_again_has_been_waited_for_since_the_last_answer() {
        let mut job = Job::<u32>::new("test");
        let ((gate, open), (begins, has_begun)) = (channel::<()>(), channel());
        let first = move |_: &Work<u32>| {
            let _ = begins.send(());
            open.recv_timeout(LONG).ok().map(|()| 1)
        };
        job.ask(&asleep(), first).unwrap();
        has_begun.recv_timeout(LONG).unwrap();
        let begun = Instant::now();
        let waited = |job: &Job<u32>| job.underway().unwrap().waited;
        while begun.elapsed() < SHORT {
            thread::sleep(SHORT / 10);
            job.ask(&asleep(), |_| None).unwrap();
        }
        assert!(waited(&job) >= SHORT, "{:?}", waited(&job));
        // The first of them was worth finishing: something new can be seen.
        let (held, release) = channel::<()>();
        job.ask(&asleep(), move |_| release.recv_timeout(LONG).ok().map(|()| 2)).unwrap();
        gate.send(()).unwrap();
        let before = waited(&job);
        assert_eq!(told(&mut job).1, Told::Done(1));
        assert!(waited(&job) < before);
        held.send(()).unwrap();
        assert_eq!(told(&mut job).1, Told::Done(2));
        assert!(job.underway().is_none());
    }

    #[test]
    fn parts_and_progress_are_told_as_they_come() {
        let mut job = Job::<u32>::new("test");
        let (gate, open) = channel::<()>();
        let (woken, wakes) = channel();
        let wake: Wake = Arc::new(move || {
            let _ = woken.send(());
        });
        let number = job
            .ask(&wake, move |work| {
                work.at(0.25, "reading");
                work.so_far(1);
                open.recv_timeout(LONG).unwrap();
                work.at(7.0, "reading");
                Some(2)
            })
            .unwrap();
        wakes.recv_timeout(LONG).unwrap();
        assert!(job.underway().is_some_and(|u| u.share == 0.25 && u.words == "reading"));
        assert_eq!(job.take(), Some((number, Told::SoFar(1))));
        assert!(job.underway().is_some(), "more is to come");
        gate.send(()).unwrap();
        wakes.recv_timeout(LONG).unwrap();
        assert_eq!(job.shared.progress().share, 1.0, "a share is held within its ends");
        assert_eq!(job.take(), Some((number, Told::Done(2))));
        assert_eq!(job.underway(), None);
    }

    #[test]
    fn a_panic_is_told_by_the_jobs_name_and_the_thread_lives_on() {
        let mut job = Job::<u32>::new("the settled day");
        let number = job.ask(&asleep(), |_| panic!("layer {} is gone", 3)).unwrap();
        let broken = Broken { job: "the settled day", why: "layer 3 is gone".to_owned() };
        assert_eq!(broken.to_string(), "the settled day broke off: layer 3 is gone");
        assert_eq!(told(&mut job), (number, Told::Broken(broken)));
        assert_eq!(job.underway(), None);
        // One within work that is spread over other threads, too.
        let number = job.ask(&asleep(), |_| spread(|| rayon::join(|| panic!("far away"), || Some(1)).1)).unwrap();
        assert_eq!(told(&mut job), (number, Told::Broken(Broken { job: "the settled day", why: "far away".to_owned() })));
        let number = job.ask(&asleep(), |_| Some(1)).unwrap();
        assert_eq!(told(&mut job), (number, Told::Done(1)));
    }

    #[test]
    fn finishing_waits_for_what_was_asked_for_last() {
        let (done, is_done) = channel();
        let mut job = Job::<()>::new("test");
        for k in 0..50 {
            let done = done.clone();
            job.ask(&asleep(), move |_| done.send(k).ok()).unwrap();
        }
        job.finish();
        assert_eq!(is_done.try_iter().last(), Some(49));
    }

    #[test]
    fn whoever_lets_go_of_a_job_ends_its_work() {
        let mut job = Job::<u32>::new("test");
        let ((begun, has_begun), (ended, has_ended)) = (channel(), channel());
        job.ask(&asleep(), endless(begun, ended)).unwrap();
        has_begun.recv_timeout(LONG).unwrap();
        drop(job);
        assert!(!has_ended.recv_timeout(LONG).unwrap());
    }

    #[test]
    fn a_small_work_does_not_wait_for_a_large_one() {
        use std::sync::atomic::{AtomicBool, Ordering};
        let over = AtomicBool::new(false);
        let (told, tells) = channel();
        thread::scope(|threads| {
            let held = || {
                while !over.load(Ordering::Relaxed) {
                    thread::sleep(SHORT);
                }
            };
            let (began, begins) = channel();
            // As many parts as there are threads at least, none of which ends.
            threads.spawn(move || spread(|| rayon::broadcast(|_| began.send(()).is_ok().then(held))));
            begins.recv_timeout(LONG).unwrap();
            threads.spawn(move || told.send(spread(|| rayon::join(|| 1, || 2))));
            let small = tells.recv_timeout(LONG);
            over.store(true, Ordering::Relaxed);
            assert_eq!(small, Ok((1, 2)));
        });
    }
}
