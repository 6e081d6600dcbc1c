//! How far a study is, on standard error.

use std::io::{self, Write};
use std::sync::atomic::{AtomicU8, Ordering};
use std::time::{Duration, Instant};

/// What is done sooner needs no telling.
const SOON: Duration = Duration::from_secs(1);

/// Tells each tenth once, of what takes long.
pub struct Tenths {
    began: Instant,
    told: AtomicU8,
}

impl Default for Tenths {
    fn default() -> Self {
        Self { began: Instant::now(), told: AtomicU8::new(0) }
    }
}

impl Tenths {
    /// Tells the share (0–1) that is done.
    pub fn at(&self, share: f64) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let tenth = (10.0 * share.clamp(0.0, 1.0)) as u8;
        if self.began.elapsed() > SOON && tenth > self.told.fetch_max(tenth, Ordering::Relaxed) {
            // With standard error closed there is nobody to tell.
            let _ = writeln!(io::stderr(), "{tenth}0 %");
        }
    }
}
