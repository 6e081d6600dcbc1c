//! The user's own presets as files: saved, renamed, exported, imported, deleted and put back.

use std::path::Path;

use slakeline::scenario::presets::{
    CropSetup, Denied, FeedPreset, Kind, Library, Preset, delete_own, demos, export_own, import, is_preset, own_names, put_back,
    rename_own, save_own, text_of,
};
use slakeline::scenario::{Clock, Container, Crop, Give, Medium, MediumChoice, Plan, Probe, Rule, When};

fn library(folder: &Path) -> Library {
    let library = Library::with_user_presets(folder);
    assert_eq!(library.warnings, [""; 0]);
    library
}

fn feed(name: &str, ec: f64) -> FeedPreset {
    FeedPreset { name: name.to_owned(), source: String::new(), ec, note: String::new() }
}

#[test]
fn renaming_keeps_comments_and_never_takes_a_name() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::create_dir_all(folder.join("feeds")).unwrap();
    let text = "// My \"tank A\" feed.\n(\n    name: \"tank A\", // the name\n    ec: 1.9, // measured\n)\n";
    std::fs::write(folder.join("feeds/mine.ron"), text).unwrap();
    save_own(&feed("tank B", 2.0), folder, &library(folder)).unwrap();
    for (to, why) in [("plain water", "shipped"), ("tank B", "already"), (" ", "name"), ("a\nb", "name")] {
        let denied = rename_own::<FeedPreset>("tank A", to, folder, &library(folder)).unwrap_err();
        assert!(denied.to_string().contains(why), "{to}: {denied}");
        assert_eq!(std::fs::read_to_string(folder.join("feeds/mine.ron")).unwrap(), text);
    }
    assert!(rename_own::<FeedPreset>("plain water", "x", folder, &library(folder)).unwrap_err().to_string().contains("of your own"));
    let path = rename_own::<FeedPreset>("tank A", "tank \"C\"", folder, &library(folder)).unwrap();
    let renamed = std::fs::read_to_string(&path).unwrap();
    assert_eq!(renamed, text.replace("name: \"tank A\"", "name: \"tank \\\"C\\\"\""));
    assert_eq!(own_names::<FeedPreset>(folder), ["tank \"C\"", "tank B"]);
    assert!(!folder.join("feeds/mine.ron").exists());
}

#[test]
fn what_others_name_is_neither_renamed_nor_deleted() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let medium = Library::shipped().media[0].clone().renamed("my medium");
    save_own(&medium, folder, &library(folder)).unwrap();
    let mut container: Container = Library::shipped().containers[0].clone().renamed("my pot");
    container.parts[0].medium = MediumChoice::Preset("my medium".to_owned());
    save_own(&container, folder, &library(folder)).unwrap();
    for denied in [
        rename_own::<Medium>("my medium", "other", folder, &library(folder)).unwrap_err(),
        delete_own::<Medium>("my medium", folder, &library(folder)).unwrap_err(),
    ] {
        assert!(denied.to_string().contains("container \"my pot\""), "{denied}");
    }
    delete_own::<Container>("my pot", folder, &library(folder)).unwrap();
    rename_own::<Medium>("my medium", "other", folder, &library(folder)).unwrap();
    assert!(library(folder).medium("other").is_some() && library(folder).medium("my medium").is_none());
}

#[test]
fn what_is_deleted_is_kept_and_put_back() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    save_own(&feed("tank", 1.0), folder, &library(folder)).unwrap();
    let first = delete_own::<FeedPreset>("tank", folder, &library(folder)).unwrap();
    assert!(first.display().to_string().ends_with("tank.ron.bak"), "{}", first.display());
    save_own(&feed("tank", 2.0), folder, &library(folder)).unwrap();
    assert!(matches!(put_back::<FeedPreset>(&first, folder), Err(Denied::Taken(_))));
    let second = delete_own::<FeedPreset>("tank", folder, &library(folder)).unwrap();
    assert_ne!(first, second, "an earlier one is not written over");
    assert!(own_names::<FeedPreset>(folder).is_empty());
    put_back::<FeedPreset>(&first, folder).unwrap();
    assert_eq!(library(folder).feeds.iter().find(|f| f.name == "tank").unwrap().ec, 1.0);
    assert!(second.exists());
    assert!(delete_own::<FeedPreset>("plain water", folder, &library(folder)).unwrap_err().to_string().contains("Shipped presets stay"));
}

#[test]
fn export_writes_the_text_and_asks_before_it_replaces() {
    let folder = tempfile::tempdir().unwrap();
    let (own, out) = (folder.path().join("own"), folder.path().join("out.ron"));
    let path = save_own(&feed("tank", 1.0), &own, &library(&own)).unwrap();
    export_own::<FeedPreset>("tank", &own, &out, false).unwrap();
    assert_eq!(std::fs::read(&out).unwrap(), std::fs::read(&path).unwrap());
    std::fs::write(&out, "a letter").unwrap();
    assert_eq!(export_own::<FeedPreset>("tank", &own, &out, false), Err(Denied::InTheWay(out.clone())));
    assert_eq!(std::fs::read_to_string(&out).unwrap(), "a letter");
    export_own::<FeedPreset>("tank", &own, &out, true).unwrap();
    assert!(std::fs::read_to_string(&out).unwrap().contains("tank"));
    assert!(export_own::<FeedPreset>("tank", &own, &path, true).unwrap_err().to_string().contains("own file"));
    let nowhere = folder.path().join("no/such/out.ron");
    assert!(export_own::<FeedPreset>("tank", &own, &nowhere, false).unwrap_err().to_string().contains("there is no folder"));
    assert!(export_own::<FeedPreset>("tonk", &own, &out, true).is_err());
}

/// Every shipped preset, under another name, is told for what it is and comes back as it was.
#[test]
fn a_preset_of_any_kind_is_imported() {
    let folder = tempfile::tempdir().unwrap();
    let (own, file) = (folder.path().join("own"), folder.path().join("in.ron"));
    let shipped = Library::shipped();
    for kind in Kind::ALL {
        for name in kind.names(&shipped) {
            let text = kind.text(&name, None).unwrap();
            std::fs::write(&file, format!("\u{feff}{text}")).unwrap();
            assert!(is_preset(&file));
            assert_eq!(import(&file, None, true, &own, &library(&own)), Err(Denied::Shipped(name.clone())));
            let new = format!("{name} of mine");
            let done = import(&file, Some(&new), false, &own, &library(&own)).unwrap();
            assert_eq!((done.kind, done.name.as_str()), (kind, new.as_str()));
            let kept = kind.text(&new, Some(&own)).unwrap();
            assert_eq!(kept.lines().next(), format!("\u{feff}{text}").lines().next(), "its author's comments stay");
            assert_eq!(kind.text(&name, Some(&own)), Some(text), "the shipped one is as it was");
        }
    }
    assert_eq!(own_names::<Crop>(&own).len(), shipped.crops.len());
}

#[test]
fn an_own_preset_is_replaced_on_consent_and_kept_aside() {
    let folder = tempfile::tempdir().unwrap();
    let (own, file) = (folder.path().join("own"), folder.path().join("in.ron"));
    let path = save_own(&feed("tank", 1.0), &own, &library(&own)).unwrap();
    std::fs::write(&file, "(name: \"tank\", ec: 2.5)").unwrap();
    assert_eq!(import(&file, None, false, &own, &library(&own)), Err(Denied::Taken("tank".to_owned())));
    assert_eq!(import(&file, None, true, &own, &library(&own)).unwrap().path, path);
    assert_eq!(library(&own).feeds.last().unwrap().ec, 2.5);
    let kept = slakeline::scenario::file::backup_path(&path);
    assert!(std::fs::read_to_string(kept).unwrap().contains("ec: 1.0"));
}

/// An own file may be called anything: a preset is replaced where it lies, or the older one would go on winning.
#[test]
fn a_preset_is_replaced_in_the_file_that_holds_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let (own, file) = (folder.path().join("own"), folder.path().join("in.ron"));
    let feeds = own.join("feeds");
    std::fs::create_dir_all(&feeds).unwrap();
    std::fs::write(feeds.join("zz.ron"), "(name: \"my feed\", ec: 1.0)").unwrap();
    assert_eq!(save_own(&feed("my feed", 2.0), &own, &library(&own)).unwrap(), feeds.join("zz.ron"));
    let in_force = || library(&own).feeds.iter().find(|f| f.name == "my feed").unwrap().ec;
    assert_eq!(in_force(), 2.0);
    std::fs::write(&file, "(name: \"my feed\", ec: 3.0)").unwrap();
    assert_eq!(import(&file, None, true, &own, &library(&own)).unwrap().path, feeds.join("zz.ron"));
    assert_eq!(in_force(), 3.0);
    let of_it = |end: &str| std::fs::read_to_string(feeds.join(format!("zz.ron{end}"))).unwrap();
    assert!(of_it(".bak").contains("ec: 1.0") && of_it(".2.bak").contains("ec: 2.0"), "each one that was replaced is kept");
    assert_eq!(std::fs::read_dir(&feeds).unwrap().count(), 3, "no second file of the name");
}

#[test]
fn saving_over_an_own_preset_keeps_the_one_before() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let path = save_own(&feed("tank", 1.0), folder, &library(folder)).unwrap();
    let kept = slakeline::scenario::file::backup_path(&path);
    assert!(!kept.exists(), "nothing was there before");
    let before = std::fs::read_to_string(&path).unwrap();
    assert_eq!(save_own(&feed("tank", 2.0), folder, &library(folder)).unwrap(), path);
    assert_eq!(std::fs::read_to_string(&kept).unwrap(), before);
    assert_eq!(library(folder).feeds.last().unwrap().ec, 2.0);
}

#[test]
fn what_is_no_preset_is_refused_by_what_is_wrong() {
    let folder = tempfile::tempdir().unwrap();
    let (own, file) = (folder.path().join("own"), folder.path().join("in.ron"));
    let bench = slakeline::scenario::file::to_text(&demos().remove(0).1).unwrap();
    let pumice = text_of::<Medium>("pumice", None).unwrap().replace("\"pumice\"", "\"mine\"");
    let huge = format!("(name: \"a\", ec: 1.0, note: \"{}\")", "a".repeat(65 * 1024 * 1024));
    for (bytes, why) in [
        (b"".to_vec(), "it is empty"),
        (b"\xff\xfe\x00".to_vec(), "not a text file"),
        (b"dear diary: (today)".to_vec(), "no fields in brackets"),
        (b"((((\"".to_vec(), "no fields"),
        (b"(name: \"x\", weight: 3)".to_vec(), "(name, weight) are those of no kind"),
        (bench.into_bytes(), "a whole bench, not a preset"),
        (pumice.replace("porosity: 0.7", "porosity: 0.1").into_bytes(), "porosity is 0.1"),
        (pumice.replace("porosity: 0.7", "porosity: wet").into_bytes(), "as a medium"),
        (b"(name: \"x\", ec: 90)".to_vec(), "ec is 90; allowed: 0 to 20"),
        (b"(name: \"x\", ec: 1, colour: 3)".to_vec(), ":1:"),
        (b"(name: \"\", ec: 1)".to_vec(), "name is"),
        (b"(name: \"x\", events: [(start: \"25:00\", seconds: 5, give: Drip(ml: 1))])".to_vec(), "25:00"),
        (b"(name: \"x\", events: [(start: \"23:59\", seconds: 500, give: Drip(ml: 1))])".to_vec(), "events[0].start"),
        (huge.into_bytes(), "larger than 64 MB"),
    ] {
        std::fs::write(&file, &bytes).unwrap();
        let denied = import(&file, None, true, &own, &Library::shipped()).unwrap_err().to_string();
        assert!(denied.contains(why) && denied.contains("in.ron"), "{why}: {denied}");
        assert!(denied.chars().count() < 700, "{denied}");
    }
    assert!(import(folder.path(), None, true, &own, &Library::shipped()).is_err(), "a folder");
    assert!(import(&folder.path().join("none.ron"), None, true, &own, &Library::shipped()).is_err());
    assert!(!is_preset(folder.path()) && !own.exists(), "nothing was written");
}

/// Nobody writes to the pipe: who opens it waits for ever.
#[cfg(unix)]
#[test]
fn a_pipe_is_refused_and_never_waited_for() {
    let folder = tempfile::tempdir().unwrap();
    let feeds = folder.path().join("own/feeds");
    std::fs::create_dir_all(&feeds).unwrap();
    let pipe = feeds.join("pipe.ron");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let (told, answer) = std::sync::mpsc::channel();
    let own = folder.path().join("own");
    std::thread::spawn(move || {
        let library = Library::with_user_presets(&own);
        let denied = import(&pipe, None, true, &own, &library).unwrap_err().to_string();
        let opened = slakeline::scenario::file::load(&pipe, &library).unwrap_err().to_string();
        told.send((library.warnings, is_preset(&pipe), denied, opened))
    });
    let (warnings, preset, denied, opened) = answer.recv_timeout(std::time::Duration::from_secs(30)).expect("it waits for the pipe");
    assert!(!preset && warnings.len() == 1, "{warnings:?}");
    for words in [&warnings[0], &denied, &opened] {
        assert!(words.contains("pipe.ron: cannot be read: this is a folder or a device, not a file"), "{words}");
    }
}

#[test]
fn a_setup_holds_a_lane_and_what_it_is_given_and_puts_it_back() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let bench = demos().remove(0).1;
    let setup = CropSetup::of(&bench, Plan::default(), 1, "pots in spring").unwrap();
    save_own(&setup, folder, &library(folder)).unwrap();
    let kept = library(folder).setups.iter().find(|s| s.name == "pots in spring").unwrap().clone();
    assert_eq!(kept, setup);
    let mut other = demos().remove(1).1;
    let (name, plants) = (other.lanes[1].name.clone(), other.lanes[1].plants);
    let first = other.lanes[0].clone();
    kept.put(&mut other, 1);
    assert_eq!(
        (&other.lanes[1].container, other.feed, &other.valves[0].schedule),
        (&bench.lanes[1].container, bench.feed, &bench.valves[0].schedule)
    );
    assert_eq!((&other.lanes[1].name, other.lanes[1].plants, &other.lanes[0]), (&name, plants, &first));
    assert_eq!(other.validate(&library(folder)), []);
    assert_eq!(CropSetup::of(&bench, Plan::default(), 9, "none"), None);
    // Rules come along, and listen to the probe of the lane they are put on.
    let mut ruled = bench.clone();
    ruled.lanes[1].probe = Some(Probe { height_cm: 6.0, length_cm: 5.0 });
    ruled.lanes[0].probe = Some(Probe { height_cm: 4.0, length_cm: 5.0 });
    let dry = |lane: usize| Rule {
        when: When::Dry { lane: bench.lanes[lane].name.clone(), falls_to: 0.4, pause_s: 900 },
        first: Clock::hm(8, 0),
        last: Clock::hm(17, 0),
        seconds: 300,
        give: Give::Drip { ml: 100.0 },
        ec: None,
    };
    ruled.valves[0].rules = vec![dry(0), dry(1)];
    let setup = CropSetup::of(&ruled, Plan::default(), 1, "pots that call").unwrap();
    assert_eq!(setup.rules.len(), 1, "the other lane's probe is not its own");
    setup.put(&mut other, 1);
    assert!(matches!(&other.valves[0].rules[..], [Rule { when: When::Dry { lane, .. }, .. }] if *lane == name));
    assert_eq!(other.validate(&library(folder)), []);
}
