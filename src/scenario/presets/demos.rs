//! The demo scenarios, embedded from `demo/`.

use include_dir::{Dir, include_dir};

use crate::scenario::bench::Scenario;
use crate::scenario::file;

static DEMOS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo");

/// The demo scenarios, in order of the numbers their file names begin with: file name and scenario.
#[must_use]
pub fn demos() -> Vec<(String, Scenario)> {
    let mut files: Vec<_> = DEMOS.files().filter(|f| f.path().extension().is_some_and(|e| e == "ron")).collect();
    let number = |f: &include_dir::File<'_>| f.path().to_str()?.split('-').next()?.parse::<u32>().ok();
    files.sort_by_key(|f| (number(f), f.path()));
    files
        .into_iter()
        .filter_map(|f| {
            let name = f.path().file_name()?.to_string_lossy().into_owned();
            let scenario = file::parse(f.contents_utf8()?).ok()?;
            Some((name, scenario))
        })
        .collect()
}

/// The text of a demo, by its file name with or without `.ron`.
#[must_use]
pub fn demo_text(name: &str) -> Option<&'static str> {
    DEMOS.files().find(|f| f.path().file_stem().is_some_and(|s| s == name) || f.path().as_os_str() == name)?.contents_utf8()
}
