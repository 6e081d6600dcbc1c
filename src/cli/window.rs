//! The window, and what stands in for it where there is no display or no window was built in.

use std::io::Write;
use std::path::PathBuf;

use super::failure::Failure;
#[cfg(feature = "window")]
use super::opening;
use super::simulate;
use crate::scenario::presets::demos;

/// Opens the window; where that cannot be, prints the day's figures instead, so that the command is of use anyway.
#[cfg(feature = "window")]
pub fn run(file: Option<PathBuf>) -> Result<(), Failure> {
    if file.as_ref().is_some_and(|f| f.as_os_str() == "-") {
        return Err(Failure::input("the window opens files, not standard input", "Name a file, or use `slakeline simulate -`."));
    }
    match opening::open(file.clone()) {
        Ok(()) => Ok(()),
        Err(opening::NoWindow::Stopped(failure)) => Err(failure),
        Err(opening::NoWindow::NotOpened(cause)) => {
            let packages = opening::PACKAGES;
            without_window(file, &cause, &format!("For a window, start it on a desktop; on Debian it needs: apt install {packages}"))
        }
    }
}

/// Prints the day's figures: this program was built without its window.
#[cfg(not(feature = "window"))]
pub fn run(file: Option<PathBuf>) -> Result<(), Failure> {
    without_window(file, "this program was built without its window", "For a window, build it with the feature `window`.")
}

/// The day's figures of the file, or of the first demo, as a table.
fn without_window(file: Option<PathBuf>, cause: &str, remedy: &str) -> Result<(), Failure> {
    let library = super::input::library();
    let scenario = match file {
        Some(path) => super::input::load(&path, &library)?,
        None => match demos().into_iter().next() {
            Some((_, demo)) => demo,
            None => return Err(Failure::failed(cause, "Name a scenario file to see its figures here.")),
        },
    };
    let _ = Failure::input(format!("{cause}; here are the day's figures instead"), remedy).tell(&mut std::io::stderr());
    let _ = std::io::stderr().flush();
    simulate::print_table(&scenario, &library)
}
