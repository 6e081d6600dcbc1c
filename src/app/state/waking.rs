//! Jobs wake the window: it is drawn anew when one of them has something to tell.

use std::sync::Arc;
use std::time::Duration;

use eframe::egui::Context;

use crate::jobs::Wake;

/// How often the window looks how far a job is.
pub const LOOKS: Duration = Duration::from_millis(100);

/// What a job calls to have the window drawn anew.
#[must_use]
pub fn by(ctx: &Context) -> Wake {
    let ctx = ctx.clone();
    Arc::new(move || ctx.request_repaint())
}
