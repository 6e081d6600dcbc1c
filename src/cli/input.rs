//! What commands read: the presets at hand, and scenarios from files and pipes.

use std::io::Write;
use std::path::Path;

use crate::scenario::presets::Library;
use crate::scenario::{Scenario, file};

/// The presets at hand; what could not be read is said on standard error and left out.
pub fn library() -> Library {
    let library = Library::for_this_user();
    for warning in &library.warnings {
        let _ = writeln!(std::io::stderr(), "warning: {}", file::printable(warning, 600));
    }
    library
}

/// Reads and checks a scenario; `-` is standard input. A command may wait for a pipe that a shell gives it, where the window may not.
pub fn load(path: &Path, library: &Library) -> Result<Scenario, file::FileError> {
    if path.as_os_str() == "-" {
        return file::read(std::io::stdin().lock(), "standard input", library);
    }
    if path.is_dir() || !file::is_no_file(path) {
        return file::load(path, library);
    }
    let name = path.display().to_string();
    let source = std::fs::File::open(path).map_err(|cause| file::FileError::Read { path: name.clone(), cause })?;
    file::read(source, &name, library)
}
