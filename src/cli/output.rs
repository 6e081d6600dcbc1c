//! Where results go: standard output or a file, whole or not at all.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use super::failure::Failure;
use crate::scenario::file::{FileError, write_atomically};

/// Whether a path stands for standard output.
pub fn is_standard(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Whether two paths lead to one place.
pub fn same(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        _ if is_standard(a) || is_standard(b) => a == b,
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    }
}

/// Refuses results that would take the place of a scenario, or of each other; each is told by its option.
pub fn apart(scenarios: &[&Path], results: &[(&str, Option<&Path>)]) -> Result<(), Failure> {
    let given = || results.iter().filter_map(|(option, path)| Some((*option, (*path)?)));
    for (i, (option, path)) in given().enumerate() {
        if let Some((other, _)) = given().take(i).find(|(_, other)| same(other, path)) {
            let place = if is_standard(path) { "standard output".to_owned() } else { path.display().to_string() };
            return Err(Failure::input(
                format!("{other} and {option} would both go to {place}"),
                "Give each a place of its own; one of them may be - for standard output.",
            ));
        }
        if !is_standard(path) && scenarios.iter().any(|scenario| same(scenario, path)) {
            return Err(Failure::input(
                format!("{option} {} is the scenario itself, which it would overwrite", path.display()),
                "Give the result a name of its own.",
            ));
        }
    }
    Ok(())
}

/// Writes to standard output. A reader that has gone away (`| head`) is content with what it got; one that never was makes a failure.
pub fn to_standard(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    if is_closed() {
        return Err(Failure::failed("standard output is closed, so the results have nowhere to go", "Send it to a file or a pipe."));
    }
    beside(write)
}

/// Writes to standard output what is told besides, where the results are elsewhere (`elsewhere`), or else the results themselves.
pub fn to_standard_or_beside(elsewhere: bool, write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    if elsewhere { beside(write) } else { to_standard(write) }
}

/// Whether standard output was closed before the program began. Its runtime has then put the null device there, open for reading as well as
/// writing, and nothing that is written ever fails. Who discards standard output and standard error alike in that way has meant it.
#[cfg(target_os = "linux")]
fn is_closed() -> bool {
    use std::os::unix::fs::MetadataExt;
    let device = |path: &str| std::fs::metadata(path).ok().map(|m| m.rdev());
    let for_both = |fd: u8| {
        let told = std::fs::read_to_string(format!("/proc/self/fdinfo/{fd}")).unwrap_or_default();
        let flags = told.lines().find_map(|line| u32::from_str_radix(line.strip_prefix("flags:")?.trim(), 8).ok());
        // The last two bits: 0 reads, 1 writes, 2 does both.
        device(&format!("/proc/self/fd/{fd}")) == device("/dev/null") && flags.is_some_and(|flags| flags & 3 == 2)
    };
    for_both(1) && !for_both(2)
}

#[cfg(not(target_os = "linux"))]
fn is_closed() -> bool {
    false
}

fn beside(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    let mut out = BufWriter::new(io::stdout().lock());
    let done = write(&mut out).and_then(|()| out.flush());
    match done {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => {
            Err(Failure::failed(format!("standard output: cannot be written: {e}"), "Check that the place it is sent to has room."))
        }
        _ => {
            // What the pipe no longer takes must not be tried again when the buffer is dropped.
            let _ = out.into_parts();
            Ok(())
        }
    }
}

/// Writes to a file or, for `-`, to standard output.
pub fn to(path: &Path, write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    if is_standard(path) {
        return to_standard(write);
    }
    let failed = |cause| FileError::Write { path: path.display().to_string(), cause };
    let mut bytes = Vec::new();
    write(&mut bytes).map_err(failed)?;
    write_atomically(path, &bytes).map_err(failed)?;
    Ok(())
}
