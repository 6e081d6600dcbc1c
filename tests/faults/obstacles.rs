//! What stands in the way of a save is told by its true cause, and rights and owners stay.

use slakeline::scenario::file::{self, FileError, backup_path};

use crate::{ended, names, number_in, program, said, saved_twice, version};

#[test]
fn what_is_in_the_way_of_the_backup_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.ron");
    file::save(&version(1), &path).unwrap();
    let backup = backup_path(&path);
    std::fs::create_dir(&backup).unwrap();
    let refused = file::save(&version(2), &path).unwrap_err();
    assert!(refused.to_string().contains("bench.ron.bak, where the version before is kept: there is a folder of that name"), "{refused}");
    assert!(refused.remedy().contains("Move the folder"), "{}", refused.remedy());
    std::fs::remove_dir(&backup).unwrap();
    std::fs::write(&backup, "kept").unwrap();
    let mut rights = backup.metadata().unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&backup, rights).unwrap();
    let refused = file::save(&version(2), &path).unwrap_err();
    assert!(refused.to_string().contains("bench.ron.bak, where the version before is kept: the file is marked read-only"), "{refused}");
    assert_eq!((number_in(&path), std::fs::read_to_string(&backup).unwrap().as_str()), (1, "kept"));
    assert_eq!(names(folder.path()), ["bench.ron", "bench.ron.bak"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_name_that_is_too_long_is_told_whether_for_the_file_or_for_its_backup() {
    let folder = tempfile::tempdir().unwrap();
    for (letters, fails_at) in [(247, None), (249, Some(2)), (251, Some(2)), (252, Some(1)), (4000, Some(1))] {
        let path = folder.path().join(format!("{}.ron", "n".repeat(letters)));
        let saves = [file::save(&version(1), &path), file::save(&version(2), &path)];
        let failed = saves.iter().position(Result::is_err).map(|k| k + 1);
        assert_eq!(failed, fails_at, "{letters}: {saves:?}");
        if let Some(Err(refused)) = saves.iter().find(|saved| saved.is_err()) {
            assert!(refused.to_string().contains("the name is too long"), "{refused}");
            assert!(refused.remedy().contains("shorter name"));
        }
        if fails_at == Some(2) {
            assert_eq!(number_in(&path), 1);
        }
    }
}

#[test]
fn a_folder_that_is_not_there_or_is_a_file_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_twice(folder.path());
    for place in [path.join("bench.ron"), folder.path().join("none/bench.ron")] {
        let refused = file::save(&version(3), &place).unwrap_err();
        assert!(refused.to_string().contains("there is no folder"), "{refused}");
    }
}

#[cfg(unix)]
#[test]
fn rights_and_owner_of_file_and_backup_stay() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.ron");
    file::save(&version(1), &path).unwrap();
    let set = |path: &std::path::Path, mode: u32| std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
    let about = |path: &std::path::Path| {
        let found = path.metadata().unwrap();
        (found.mode() & 0o7777, found.uid(), found.gid())
    };
    // Only the superuser can give a file away.
    let given = chown(&path, Some(12_345), Some(23_456)).is_ok();
    if !given {
        println!("skipped: owners, for this account cannot give files away");
    }
    set(&path, 0o600);
    let file_was = about(&path);
    file::save(&version(2), &path).unwrap();
    assert_eq!((about(&path), about(&backup_path(&path))), (file_was, file_was), "a new backup is as private as the file");
    let backup = backup_path(&path);
    if given {
        chown(&backup, Some(34_567), Some(45_678)).unwrap();
    }
    set(&backup, 0o640);
    set(&path, 0o664);
    let were = (about(&path), about(&backup));
    file::save(&version(3), &path).unwrap();
    assert_eq!((about(&path), about(&backup)), were);
    assert_eq!((number_in(&path), number_in(&backup)), (3, 2));
}

#[test]
fn commands_work_without_a_home_that_can_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("home");
    std::fs::write(&file, "").unwrap();
    for home in [file.clone(), file.join("none"), folder.path().join("missing")] {
        let output = ended(program(&["check", &crate::demo()]).env("HOME", &home).env("XDG_DATA_HOME", home.join("data")));
        assert!(output.status.success(), "{}: {}", home.display(), said(&output));
    }
}

#[test]
fn errors_that_are_not_the_systems_are_told_as_what_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let refused = file::save(&version(1), folder.path()).unwrap_err();
    assert!(matches!(&refused, FileError::Write { .. }) && refused.to_string().contains("there is a folder of that name"), "{refused}");
}
