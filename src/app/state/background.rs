//! One thread for one kind of work: only the newest request is worth doing, and the window is drawn anew when it is done.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use eframe::egui::Context;

/// Work to be done: it is handed a question to ask now and then, whether it is still wanted.
type Job<A> = Box<dyn FnOnce(&dyn Fn() -> bool) -> Option<A> + Send>;

struct Worker<A> {
    ask: Sender<(u64, Job<A>)>,
    done: Receiver<(u64, A)>,
}

/// The number of no request.
const NONE: u64 = u64::MAX;

/// A thread, started when it is first needed.
pub struct Background<A> {
    name: &'static str,
    worker: Option<Worker<A>>,
    newest: Arc<AtomicU64>,
}

impl<A: Send + 'static> Background<A> {
    /// A thread of this name, not started yet.
    #[must_use]
    pub fn new(name: &'static str) -> Self {
        Self { name, worker: None, newest: Arc::default() }
    }

    /// Asks for work under a number. Work under older numbers that has not begun is dropped.
    ///
    /// # Errors
    /// Why there is no thread to do it.
    pub fn ask(
        &mut self,
        ctx: &Context,
        number: u64,
        job: impl FnOnce(&dyn Fn() -> bool) -> Option<A> + Send + 'static,
    ) -> Result<(), String> {
        self.newest.store(number, Ordering::Relaxed);
        if self.worker.is_none() {
            let worker = start(self.name, ctx.clone(), Arc::clone(&self.newest));
            self.worker = Some(worker.map_err(|e| format!("no thread could be started: {e}"))?);
        }
        let sent = self.worker.as_ref().is_some_and(|w| w.ask.send((number, Box::new(job))).is_ok());
        if !sent {
            self.worker = None;
            return Err("the thread that computes ended; change something to try again".to_owned());
        }
        Ok(())
    }

    /// What was asked for is no longer wanted: work that has begun is told so, and what has not is dropped.
    pub fn give_up(&self) {
        self.newest.store(NONE, Ordering::Relaxed);
    }

    /// The newest answer since the last time, with its number.
    pub fn take(&mut self) -> Option<(u64, A)> {
        self.worker.as_ref()?.done.try_iter().last()
    }
}

fn start<A: Send + 'static>(name: &str, ctx: Context, newest: Arc<AtomicU64>) -> std::io::Result<Worker<A>> {
    let (ask, asked) = channel::<(u64, Job<A>)>();
    let (tell, done) = channel();
    let work = move || {
        while let Ok(first) = asked.recv() {
            let (number, job) = asked.try_iter().last().unwrap_or(first);
            if let Some(answer) = job(&|| newest.load(Ordering::Relaxed) == number) {
                if tell.send((number, answer)).is_err() {
                    return;
                }
                ctx.request_repaint();
            }
        }
    };
    thread::Builder::new().name(name.to_owned()).spawn(work)?;
    Ok(Worker { ask, done })
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    const LONG: Duration = Duration::from_secs(60);

    #[test]
    fn work_that_is_given_up_ends_and_answers_nothing_and_the_next_is_done() {
        let (ctx, mut thread) = (Context::default(), Background::<u32>::new("test"));
        let (begun, has_begun) = channel();
        let (ended, has_ended) = channel();
        let work = move |go_on: &dyn Fn() -> bool| {
            let _ = begun.send(());
            while go_on() {
                thread::yield_now();
            }
            let _ = ended.send(());
            None
        };
        thread.ask(&ctx, 1, work).unwrap();
        has_begun.recv_timeout(LONG).unwrap();
        assert!(has_ended.recv_timeout(Duration::from_millis(20)).is_err(), "it is wanted");
        thread.give_up();
        has_ended.recv_timeout(LONG).unwrap();
        let (done, is_done) = channel();
        let next = move |go_on: &dyn Fn() -> bool| {
            let wanted = go_on();
            let _ = done.send(wanted);
            wanted.then_some(7)
        };
        thread.ask(&ctx, 2, next).unwrap();
        assert!(is_done.recv_timeout(LONG).unwrap());
        let began = std::time::Instant::now();
        let answer = loop {
            if let Some(answer) = thread.take() {
                break answer;
            }
            assert!(began.elapsed() < LONG);
            thread::yield_now();
        };
        assert_eq!(answer, (2, 7), "the first told nothing");
    }
}
