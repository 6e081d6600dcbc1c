//! Opening the window, and saying why it could not be.

use std::panic::{self, AssertUnwindSafe};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::failure::Failure;

/// What a window needs on Debian beyond the system's own library.
pub const PACKAGES: &str = "libx11-6 libx11-xcb1 libxcursor1 libxi6 libxkbcommon-x11-0 libegl1 libgl1 libgl1-mesa-dri";

/// A panic later than this is the window's own, not a failure to open it.
const OPENED: Duration = Duration::from_secs(10);

/// Why there is no window.
pub enum NoWindow {
    /// It opened and stopped later.
    Stopped(Failure),
    /// It could not be opened, and why.
    NotOpened(String),
}

/// Opens the window and returns when it is closed.
///
/// # Errors
/// [`NoWindow`].
pub fn open(file: Option<PathBuf>) -> Result<(), NoWindow> {
    if !has_display() {
        return Err(NoWindow::NotOpened("no display: neither DISPLAY nor WAYLAND_DISPLAY is set".to_owned()));
    }
    let began = Instant::now();
    guarded(|| crate::app::run(file)).map_err(|cause| {
        if began.elapsed() > OPENED {
            NoWindow::Stopped(Failure::failed(
                format!("the window stopped: {cause}"),
                "Start Slakeline again; what was not saved is offered from its recovery file.",
            ))
        } else {
            NoWindow::NotOpened(format!("the window cannot be opened: {}", plain(&cause)))
        }
    })
}

/// Whether this session can show a window, as far as can be told beforehand.
fn has_display() -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    !cfg!(target_os = "linux") || ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"].into_iter().any(set)
}

/// Runs the window. The windowing libraries are looked up while the program runs, and where one is missing the crates that
/// do so panic instead of returning an error: this turns such a panic into a line of text.
fn guarded(window: impl FnOnce() -> Result<(), String>) -> Result<(), String> {
    let said = Arc::new(Mutex::new(String::new()));
    let usual = Arc::new(panic::take_hook());
    let here = std::thread::current().id();
    let (keep, other) = (Arc::clone(&said), Arc::clone(&usual));
    panic::set_hook(Box::new(move |info| {
        if std::thread::current().id() == here {
            let text = info.payload_as_str().unwrap_or("no reason given");
            let place = info.location().map(|l| format!(" ({}:{})", l.file(), l.line())).unwrap_or_default();
            *keep.lock().unwrap_or_else(PoisonError::into_inner) = format!("{text}{place}");
        } else {
            other(info);
        }
    }));
    let done = panic::catch_unwind(AssertUnwindSafe(window));
    panic::set_hook(Box::new(move |info| usual(info)));
    done.unwrap_or_else(|_| Err(said.lock().unwrap_or_else(PoisonError::into_inner).clone()))
}

/// What the windowing crates say, without places in their code and advice that follows.
fn plain(cause: &str) -> String {
    let said = cause.split(". ").next().unwrap_or_default();
    let parts: Vec<&str> = said.split(": ").filter(|part| !part.contains(".rs:") && !part.contains("EventLoopError")).collect();
    parts.join(": ").trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_of_the_window_becomes_a_line() {
        let told = guarded(|| panic!("library libnowhere.so could not be loaded")).unwrap_err();
        assert!(told.starts_with("library libnowhere.so could not be loaded (") && told.contains("opening.rs:"), "{told}");
        assert_eq!(guarded(|| Err("no display".to_owned())), Err("no display".to_owned()));
        assert_eq!(guarded(|| Ok(())), Ok(()));
    }

    #[test]
    fn places_in_other_code_are_left_out() {
        let raw = "no window: winit EventLoopError: os error at /some/where/mod.rs:788: Failed to open connection to X server. Try more.";
        assert_eq!(plain(raw), "no window: Failed to open connection to X server");
    }
}
