//! Ctrl-C in a long study: it ends with what it has.

use std::sync::atomic::{AtomicBool, Ordering};

static STOPPED: AtomicBool = AtomicBool::new(false);

/// From now on Ctrl-C is noted instead of ending the program at once.
pub fn watch() {
    // Where no handler can be set, Ctrl-C ends the program as ever.
    let _ = ctrlc::set_handler(|| STOPPED.store(true, Ordering::Relaxed));
}

/// Whether nobody asked to stop yet.
pub fn go_on() -> bool {
    !STOPPED.load(Ordering::Relaxed)
}
