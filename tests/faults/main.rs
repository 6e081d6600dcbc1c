//! What goes wrong around a file: saves that are killed, disks that are full or broken, other programs, pipes, a home that cannot be written.
//!
//! `SLAKELINE_KILLS=1000` kills that many saves; without it 200. What needs rights or tools that are not there says that it is skipped.

// A test stops where it fails.
#![allow(clippy::unwrap_used)]

mod breaking;
#[cfg(unix)]
mod killed;
#[cfg(unix)]
mod limited;
mod obstacles;
#[cfg(unix)]
mod pipes;
mod together;

use std::io::Read;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant, SystemTime};

use slakeline::scenario::file::{self, backup_path};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Climate, ClimateLog, LogRow, Scenario};

/// Nothing here takes longer unless it hangs.
const LONG: Duration = Duration::from_secs(120);

/// A bench that takes a while to write, told from others by its number.
fn version(number: u64) -> Scenario {
    let rows = (0..2000).map(|k| LogRow(300 * k, 120.5, 21.25, 71.5)).collect();
    let log = ClimateLog { name: "log".to_owned(), source: String::new(), lamp: None, rows };
    Scenario { name: format!("version {number}"), climate: Some(Climate::Log(log)), ..demos().remove(0).1 }
}

/// The number of the version in a file, which is whole and sound.
fn number_in(path: &Path) -> u64 {
    let scenario = file::load(path, &Library::shipped()).unwrap_or_else(|e| panic!("{e}"));
    let number = scenario.name.strip_prefix("version ").unwrap().parse().unwrap();
    assert_eq!(scenario, version(number));
    number
}

/// What lies in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// A file and the version before it, both saved.
fn saved_twice(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("bench.ron");
    file::save(&version(1), &path).unwrap();
    file::save(&version(2), &path).unwrap();
    assert_eq!((number_in(&path), number_in(&backup_path(&path))), (2, 1));
    path
}

/// Makes files older than any save that may run.
fn age(folder: &Path) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let file = std::fs::File::options().append(true).open(entry.unwrap().path()).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_secs(3600)).unwrap();
    }
}

/// The program, away from the display and the data of whoever runs the tests.
fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_slakeline"));
    away(command.args(arguments));
    command
}

fn away(command: &mut Command) {
    let nowhere = std::env::temp_dir().join("slakeline-tests-no-presets");
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(name);
    }
    command.stdin(Stdio::null()).env("XDG_DATA_HOME", &nowhere).env("HOME", &nowhere);
}

/// Waits for a program to end; one that hangs is ended and is a failure.
fn ended(command: &mut Command) -> Output {
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // A pipe that nobody reads holds its writer up once it is full.
    let read = |mut from: Box<dyn Read + Send>| {
        std::thread::spawn(move || {
            let mut all = Vec::new();
            from.read_to_end(&mut all).unwrap();
            all
        })
    };
    let (stdout, stderr) = (read(Box::new(child.stdout.take().unwrap())), read(Box::new(child.stderr.take().unwrap())));
    let began = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if began.elapsed() > LONG {
            kill(&mut child);
            panic!("{command:?} hangs");
        }
        sleep(Duration::from_millis(5));
    };
    Output { status, stdout: stdout.join().unwrap(), stderr: stderr.join().unwrap() }
}

fn kill(child: &mut Child) {
    let _ = child.kill();
    let _ = child.wait();
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A demo, as a path.
fn demo() -> String {
    format!("{}/demo/1-aubergine-two-root-zones.ron", env!("CARGO_MANIFEST_DIR"))
}
