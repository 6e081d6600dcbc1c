//! Pipes and devices: told from files, and never waited for for ever.

use std::fs::{File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::Path;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// Said of what [`is_no_file`] finds.
pub const NO_FILE: &str = "this is a folder or a device, not a file";

/// How long a named pipe or a device is waited for, until somebody is at its other end.
const PATIENCE: Duration = Duration::from_secs(3);
/// How often it is asked meanwhile.
const ASKS: Duration = Duration::from_millis(10);

/// Whether there is something at a path that is neither a file nor a link to one. A pipe or a device could keep whoever reads it waiting
/// for ever.
#[must_use]
pub fn is_no_file(path: &Path) -> bool {
    path.metadata().is_ok_and(|found| !found.is_file())
}

/// The text of a small file that the program keeps for itself; `None` where there is none, and of what only looks like one.
#[must_use]
pub fn small_text(path: &Path) -> Option<String> {
    /// No such file of the program's own is nearly as large, bytes.
    const MOST: u64 = 1 << 20;
    if is_no_file(path) {
        return None;
    }
    let mut text = String::new();
    File::open(path).ok()?.take(MOST).read_to_string(&mut text).ok()?;
    Some(text)
}

/// Opens anything for reading. A pipe that a shell hands over is read to its end, as standard input is; a named one or a device is given up
/// where nothing comes from it within a few seconds.
///
/// # Errors
/// What the system says, at once or while reading.
pub fn open(path: &Path) -> io::Result<Box<dyn Read>> {
    let found = path.metadata()?;
    if found.is_file() || found.is_dir() {
        return Ok(Box::new(File::open(path)?));
    }
    let file = without_waiting(OpenOptions::new().read(true)).open(path)?;
    // What a shell hands over has no name in a folder: those who write to it are there from the start.
    let handed_over = path.canonicalize().map_or(true, |real| real.starts_with("/proc") || real.starts_with("/dev/fd"));
    Ok(Box::new(Patient { file, handed_over, read_any: false }))
}

/// Reads what may have nothing to read yet.
struct Patient {
    file: File,
    handed_over: bool,
    read_any: bool,
}

impl Read for Patient {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let began = Instant::now();
        loop {
            let waits = match self.file.read(into) {
                // Nobody has opened its other end yet, or all who had are gone.
                Ok(0) => !self.handed_over && !self.read_any && !into.is_empty(),
                Err(e) if e.kind() == io::ErrorKind::WouldBlock => true,
                other => {
                    self.read_any = true;
                    return other;
                }
            };
            if !waits {
                return Ok(0);
            }
            if !self.handed_over && began.elapsed() >= PATIENCE {
                let what = format!("this is a pipe or a device, and nothing came from it within {} s", PATIENCE.as_secs());
                return Err(io::Error::new(io::ErrorKind::TimedOut, what));
            }
            sleep(ASKS);
        }
    }
}

/// Writes to a pipe or a device. A pipe is given up where nobody reads it within a few seconds.
///
/// # Errors
/// What the system says.
pub fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let began = Instant::now();
    let mut special = loop {
        match without_waiting(OpenOptions::new().write(true)).open(path) {
            Ok(special) => break special,
            // "No such device or address": a pipe that nobody reads.
            Err(e) if is_pipe(path) && began.elapsed() < PATIENCE && e.raw_os_error() == Some(NOBODY) => sleep(ASKS),
            Err(e) if e.raw_os_error() == Some(NOBODY) && is_pipe(path) => {
                let what = format!("this is a pipe, and nobody read it within {} s", PATIENCE.as_secs());
                return Err(io::Error::new(io::ErrorKind::TimedOut, what));
            }
            Err(e) => return Err(e),
        }
    };
    let mut rest = bytes;
    while !rest.is_empty() {
        match special.write(rest) {
            Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
            Ok(n) => rest = &rest[n..],
            // Who reads is slower.
            Err(e) if e.kind() == io::ErrorKind::WouldBlock => sleep(ASKS),
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(e) => return Err(e),
        }
    }
    special.flush()
}

/// ENXIO, the same on every Unix.
const NOBODY: i32 = 6;

#[cfg(unix)]
fn is_pipe(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt;
    path.metadata().is_ok_and(|found| found.file_type().is_fifo())
}

#[cfg(not(unix))]
fn is_pipe(_: &Path) -> bool {
    false
}

/// Has opening and reading return at once where there is nothing yet.
#[cfg(unix)]
fn without_waiting(options: &mut OpenOptions) -> &mut OpenOptions {
    use std::os::unix::fs::OpenOptionsExt;
    /// `O_NONBLOCK`, which each family of systems has its own number for.
    const AT_ONCE: i32 = if cfg!(any(target_os = "linux", target_os = "android")) { 0o4000 } else { 0x4 };
    options.custom_flags(AT_ONCE)
}

#[cfg(not(unix))]
fn without_waiting(options: &mut OpenOptions) -> &mut OpenOptions {
    options
}
