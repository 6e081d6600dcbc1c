//! A disk that is full or broken, at every step of a save.

use std::cell::Cell;
use std::io;
use std::path::Path;

use slakeline::scenario::disk::{Expected, Stamp, Step};
use slakeline::scenario::file::{self, FileError, backup_path};

use crate::{names, number_in, saved_twice, version};

/// What the systems say that this is checked on: no room, and a disk that does not answer.
const FULL: i32 = 28;
const BROKEN: i32 = 5;

#[test]
fn whatever_step_fails_the_file_is_as_it_was_and_nothing_lies_about() {
    for step in Step::ALL {
        for (error, words) in [(FULL, "the disk is full"), (BROKEN, "os error 5")] {
            for of_backup in [false, true] {
                let folder = tempfile::tempdir().unwrap();
                let path = saved_twice(folder.path());
                let broke = Cell::new(false);
                let fail = |at: Step, file: &Path| {
                    if at == step && file.ends_with("bench.ron.bak") == of_backup {
                        broke.set(true);
                        return Err(io::Error::from_raw_os_error(error));
                    }
                    Ok(())
                };
                let refused = file::save_step_by_step(&version(3), &path, Expected::Anything, &fail).unwrap_err();
                assert!(broke.get() && matches!(refused, FileError::Write { .. }), "{step:?}: {refused}");
                assert!(refused.to_string().contains(words), "{step:?}: {refused}");
                assert_eq!(refused.to_string().contains("bench.ron.bak, where the version before is kept"), of_backup, "{refused}");
                assert_eq!(number_in(&path), 2, "{step:?}");
                // The backup is written last: where the file itself then fails to get its name, both hold the same.
                let kept = if step == Step::Name && !of_backup { 2 } else { 1 };
                assert_eq!(number_in(&backup_path(&path)), kept, "{step:?}");
                assert_eq!(names(folder.path()), ["bench.ron", "bench.ron.bak"], "{step:?}");
                file::save(&version(3), &path).unwrap();
                assert_eq!((number_in(&path), number_in(&backup_path(&path))), (3, 2));
            }
        }
    }
}

#[test]
fn a_file_that_is_changed_while_it_is_saved_is_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_twice(folder.path());
    let known = Stamp::of(&path).unwrap().unwrap();
    let theirs = |at: Step, file: &Path| {
        if at == Step::Flush && file.ends_with("bench.ron.bak") {
            std::fs::write(&path, "theirs")?;
        }
        Ok(())
    };
    let refused = file::save_step_by_step(&version(3), &path, Expected::Known(known), &theirs).unwrap_err();
    assert!(matches!(refused, FileError::Elsewhere { .. }), "{refused}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "theirs");
}

#[test]
fn what_would_be_too_large_to_be_opened_replaces_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_twice(folder.path());
    let mut large = version(3);
    large.note = "x".repeat(usize::try_from(file::MAX_BYTES).unwrap() + 1);
    let refused = file::save(&large, &path).unwrap_err();
    assert!(matches!(refused, FileError::Larger { .. }) && refused.to_string().contains("64 MB"), "{refused}");
    assert!(refused.remedy().contains("fewer rows"));
    assert_eq!((number_in(&path), number_in(&backup_path(&path))), (2, 1));
    assert_eq!(names(folder.path()), ["bench.ron", "bench.ron.bak"]);
}
