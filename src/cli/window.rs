//! The window, and what stands in for it where there is no display.

use std::io::Write;
use std::panic::{self, AssertUnwindSafe};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::failure::Failure;
use super::simulate;
use crate::scenario::presets::demos;

/// What a window needs on Debian beyond the system's own library.
const PACKAGES: &str = "libx11-6 libx11-xcb1 libxcursor1 libxi6 libxkbcommon-x11-0 libegl1 libgl1 libgl1-mesa-dri";

/// A panic later than this is the window's own, not a failure to open it.
const OPENED: Duration = Duration::from_secs(10);

/// Opens the window; where that cannot be, prints the day's figures instead, so that the command is of use anyway.
pub fn run(file: Option<PathBuf>) -> Result<(), Failure> {
    if file.as_ref().is_some_and(|f| f.as_os_str() == "-") {
        return Err(Failure::input("the window opens files, not standard input", "Name a file, or use `slakeline simulate -`."));
    }
    if !has_display() {
        return without_window(file, "no display: neither DISPLAY nor WAYLAND_DISPLAY is set");
    }
    let began = Instant::now();
    match open(file.clone()) {
        Ok(()) => Ok(()),
        Err(cause) if began.elapsed() > OPENED => Err(Failure::failed(
            format!("the window stopped: {cause}"),
            "Start Slakeline again; what was not saved is offered from its recovery file.",
        )),
        Err(cause) => without_window(file, &format!("the window cannot be opened: {cause}")),
    }
}

/// Whether this session can show a window, as far as can be told beforehand.
fn has_display() -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    !cfg!(target_os = "linux") || ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"].into_iter().any(set)
}

/// Opens the window. The windowing libraries are looked up while the program runs, and where one is missing the crates that
/// do so panic instead of returning an error: this turns such a panic into a line of text.
fn open(file: Option<PathBuf>) -> Result<(), String> {
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
    let done = panic::catch_unwind(AssertUnwindSafe(|| crate::app::run(file)));
    panic::set_hook(Box::new(move |info| usual(info)));
    done.unwrap_or_else(|_| Err(said.lock().unwrap_or_else(PoisonError::into_inner).clone()))
}

/// The day's figures of the file, or of the first demo, as a table.
fn without_window(file: Option<PathBuf>, cause: &str) -> Result<(), Failure> {
    let library = super::library();
    let scenario = match file {
        Some(path) => super::load(&path, &library)?,
        None => match demos().into_iter().next() {
            Some((_, demo)) => demo,
            None => return Err(Failure::failed(cause, "Name a scenario file to see its figures here.")),
        },
    };
    let remedy = format!("For a window, start it on a desktop; on Debian it needs: apt install {PACKAGES}");
    let _ = Failure::input(format!("{cause}; here are the day's figures instead"), remedy).tell(&mut std::io::stderr());
    let _ = std::io::stderr().flush();
    simulate::print_table(&scenario, &library)
}
