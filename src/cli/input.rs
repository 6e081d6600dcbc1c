//! What commands read: the presets at hand, and scenarios from files and pipes.

use std::io::Write;
use std::path::Path;

use crate::scenario::disk::special;
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

/// Reads and checks a scenario; `-` is standard input. A command reads pipes and devices, too, where the window does not; it
/// waits for none of them for ever.
pub fn load(path: &Path, library: &Library) -> Result<Scenario, file::FileError> {
    if path.as_os_str() == "-" {
        return file::read(std::io::stdin().lock(), "standard input", library);
    }
    if path.is_dir() || !file::is_no_file(path) {
        return file::load(path, library);
    }
    let name = path.display().to_string();
    let source = special::open(path).map_err(|cause| file::FileError::Read { path: name.clone(), cause })?;
    file::read(source, &name, library)
}
