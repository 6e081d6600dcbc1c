//! Saving: whole or not at all, with the version before kept, and read back as it was.

use std::path::Path;

use proptest::prelude::*;
use slakeline::scenario::file::{self, FileError, backup_path, write_atomically};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Climate, ClimateLog, Clock, Event, LogRow, Roots, Scenario, StartSalt, StartWater};

fn demo() -> Scenario {
    demos().remove(0).1
}

/// What lies in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn saved_and_read_back_it_is_the_same_and_the_version_before_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    let first = demo();
    file::save(&first, &path).unwrap();
    assert_eq!(names(folder.path()), ["mine.ron"]);
    let second = Scenario { name: "second".into(), ..first.clone() };
    file::save(&second, &path).unwrap();
    assert_eq!(names(folder.path()), ["mine.ron", "mine.ron.bak"]);
    let library = Library::shipped();
    assert_eq!(file::load(&path, &library).unwrap(), second);
    assert_eq!(file::load(&backup_path(&path), &library).unwrap(), first);
}

#[test]
fn a_climate_log_of_the_most_rows_is_well_within_what_can_be_opened() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("long.ron");
    // Numbers that take the most room.
    let rows = (0..200_000_u32).map(|k| LogRow(100_000 + 157 * k, 1234.567, -9.876_543, 98.765_43)).collect();
    let log = ClimateLog { name: "most".to_owned(), source: String::new(), lamp: None, rows };
    let long = Scenario { climate: Some(Climate::Log(log)), ..demo() };
    file::save(&long, &path).unwrap();
    let bytes = path.metadata().unwrap().len();
    assert!(bytes > 8_000_000 && bytes * 2 < file::MAX_BYTES, "{bytes}");
    assert_eq!(file::load(&path, &Library::shipped()).unwrap(), long);
}

#[test]
fn nothing_is_lost_where_saving_cannot_be() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("no/such/folder/mine.ron");
    let error = file::save(&demo(), &missing).unwrap_err();
    assert!(matches!(error, FileError::Write { .. }));
    assert!(error.to_string().contains("there is no folder"), "{error}");
    // A file where a folder should be.
    let plain = folder.path().join("plain");
    std::fs::write(&plain, "x").unwrap();
    assert!(file::save(&demo(), &plain.join("mine.ron")).is_err());
    assert_eq!(std::fs::read_to_string(&plain).unwrap(), "x");
    // A folder where the file should be.
    let error = file::save(&demo(), folder.path()).unwrap_err();
    assert!(error.to_string().contains("folder"), "{error}");
    // A file that is marked read-only.
    let held = folder.path().join("held.ron");
    std::fs::write(&held, "held").unwrap();
    let mut rights = std::fs::metadata(&held).unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&held, rights).unwrap();
    let error = file::save(&demo(), &held).unwrap_err();
    assert!(error.to_string().contains("read-only"), "{error}");
    assert_eq!(std::fs::read_to_string(&held).unwrap(), "held");
    assert_eq!(names(folder.path()), ["held.ron", "plain"]);
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::*;

    #[test]
    fn a_new_file_gets_the_rights_of_any_new_file_and_an_old_one_keeps_its_own() {
        let folder = tempfile::tempdir().unwrap();
        let mode = |name: &str| std::fs::metadata(folder.path().join(name)).unwrap().permissions().mode() & 0o777;
        std::fs::File::create(folder.path().join("usual")).unwrap();
        write_atomically(&folder.path().join("new"), b"1").unwrap();
        assert_eq!(mode("new"), mode("usual"));
        std::fs::set_permissions(folder.path().join("new"), std::fs::Permissions::from_mode(0o640)).unwrap();
        write_atomically(&folder.path().join("new"), b"2").unwrap();
        assert_eq!(mode("new"), 0o640);
    }

    #[test]
    fn a_link_stays_a_link_and_its_file_is_saved() {
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.ron"), folder.path().join("link.ron"));
        symlink("real.ron", &link).unwrap();
        // At first the link leads nowhere.
        file::save(&demo(), &link).unwrap();
        assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
        assert!(std::fs::symlink_metadata(&real).unwrap().is_file());
        let second = Scenario { name: "second".into(), ..demo() };
        file::save(&second, &link).unwrap();
        assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
        let library = Library::shipped();
        assert_eq!(file::load(&real, &library).unwrap(), second);
        assert_eq!(file::load(&backup_path(&link), &library).unwrap(), demo());
    }

    #[test]
    fn links_that_run_in_a_circle_end_in_an_error() {
        let folder = tempfile::tempdir().unwrap();
        let (a, b) = (folder.path().join("a"), folder.path().join("b"));
        symlink(&b, &a).unwrap();
        symlink(&a, &b).unwrap();
        assert!(file::load(&a, &Library::shipped()).is_err());
        assert!(write_atomically(&a, b"x").is_err());
    }

    #[test]
    fn a_device_is_written_to_and_not_replaced() {
        use std::os::unix::fs::FileTypeExt;
        write_atomically(Path::new("/dev/null"), b"x").unwrap();
        assert!(std::fs::metadata("/dev/null").unwrap().file_type().is_char_device());
    }

    #[test]
    fn a_folder_that_may_not_be_written_to_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mine.ron");
        std::fs::write(&path, "before").unwrap();
        std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o555)).unwrap();
        // A superuser may write anywhere; then there is nothing to see here.
        let may_write = std::fs::File::create(folder.path().join("probe")).is_ok();
        if !may_write {
            let error = file::save(&demo(), &path).unwrap_err();
            assert!(matches!(error, FileError::Write { .. }), "{error}");
            assert_eq!(std::fs::read_to_string(&path).unwrap(), "before");
        }
        std::fs::set_permissions(folder.path(), std::fs::Permissions::from_mode(0o755)).unwrap();
    }
}

proptest! {
    /// Text gives back exactly what was written, whatever the numbers and names.
    #[test]
    fn any_edit_survives_the_way_through_text(
        name in "[^\u{0}]{0,40}",
        note in "\\PC{0,60}",
        ec in any::<f64>().prop_filter("equal to itself", |v| !v.is_nan()),
        height in prop::num::f64::NORMAL,
        days in any::<u32>(),
        starts in prop::collection::vec((0_u32..86_400, any::<u32>(), prop::num::f64::ANY.prop_filter("number", |v| !v.is_nan()), prop::option::of(0.0..20.0_f64)), 0..8),
        layers in prop::collection::vec(-1e9..1e9_f64, 0..5),
    ) {
        let mut scenario = demo();
        scenario.name = name;
        scenario.note = note;
        scenario.days = days;
        scenario.feed.ec = ec;
        scenario.lanes[0].container.parts[0].height_cm = height;
        scenario.lanes[0].start.water = StartWater::Layers(layers.clone());
        scenario.lanes[1].start.salt = StartSalt::Layers(layers);
        scenario.lanes[1].roots = Roots::ByHeight(vec![(0.0, ec), (height, 1.0)]);
        scenario.valves[0].schedule = starts
            .into_iter()
            .map(|(start, seconds, ml, ec)| Event { seconds, ec, ..Event::drip(Clock::from_seconds(start), 1, ml) })
            .collect();
        scenario.sort_schedule();
        let back = file::parse(&file::to_text(&scenario).unwrap());
        prop_assert_eq!(back.unwrap(), scenario);
    }
}
