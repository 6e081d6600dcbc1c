//! Every shipped preset and every demo is read, valid and fit to run.

use slakeline::engine::run::run_scenario;
use slakeline::figures::{Aims, DayFigures, day_figures, verdicts};
use slakeline::scenario::file;
use slakeline::scenario::presets::{
    CropSetup, FeedPreset, Kind, Library, Preset, SchedulePreset, TargetsPreset, demo_text, demos, text_of,
};
use slakeline::scenario::{ClimatePreset, Component, Container, Crop, Lane, Medium, MediumChoice, Scenario, Walls, resolve};

/// Files of a folder of the project, by name.
fn files(folder: &str) -> Vec<(String, String)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "ron"))
        .map(|p| (p.file_name().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(&p).unwrap()))
        .collect();
    files.sort();
    files
}

/// Every file of a kind is in the library, under its own name, and its text is given back comments and all.
fn every_file_is_in<T: Preset>(library: &Library) {
    let files = files(&format!("presets/{}", T::KIND.folder()));
    assert_eq!(T::of(library).len(), files.len(), "{:?}", T::KIND);
    for (name, text) in files {
        let preset: T = file::options().from_str(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(preset.problems(library), [], "{name}");
        assert_eq!(T::of(library).iter().filter(|p| p.name() == preset.name()).count(), 1, "{name}");
        assert_eq!(text_of::<T>(preset.name(), None).as_deref(), Some(text.as_str()), "{name}");
        assert!(text.contains("judgement") || text.contains("published") || text.contains("common practice"), "{name} has no provenance");
    }
}

#[test]
fn every_preset_is_read_and_valid() {
    let library = Library::shipped();
    assert_eq!(library.warnings, [""; 0]);
    every_file_is_in::<Medium>(&library);
    every_file_is_in::<Container>(&library);
    every_file_is_in::<Crop>(&library);
    every_file_is_in::<ClimatePreset>(&library);
    every_file_is_in::<FeedPreset>(&library);
    every_file_is_in::<TargetsPreset>(&library);
    every_file_is_in::<SchedulePreset>(&library);
    every_file_is_in::<CropSetup>(&library);
    assert!(library.containers.len() >= 8);
    assert!(Kind::ALL.into_iter().all(|kind| !kind.names(&library).is_empty() && Kind::of_folder(kind.folder()) == Some(kind)));
}

/// A guide feed gives what its crops ask for, and every crop that has a guide has a feed.
#[test]
fn guide_feeds_are_those_of_the_crops() {
    let library = Library::shipped();
    for crop in &library.crops {
        let named = |feed: &&FeedPreset| feed.name.ends_with("guide feed") && feed.name.contains(&crop.name);
        assert_eq!(library.feeds.iter().find(named).map(|feed| feed.ec), crop.guide_feed_ec, "{}", crop.name);
    }
    let mut all: Vec<f64> = library.feeds.iter().map(|f| f.ec).collect();
    all.sort_by(f64::total_cmp);
    assert!(all.windows(2).all(|w| w[0] < w[1]), "menus tell feeds apart by EC: {all:?}");
}

/// Towards leaf is wetter nights, more drain and a weaker root zone; towards fruit the other way.
#[test]
fn targets_lean_the_way_their_names_say() {
    let library = Library::shipped();
    for medium in ["stone wool slab", "coir"] {
        let of = |lean: &str| {
            let name = format!("{medium}, {lean}");
            library.targets.iter().find(|t| t.name == name).unwrap_or_else(|| panic!("{name}")).targets
        };
        let three = ["leaning vegetative", "balanced", "leaning generative"].map(of);
        for pair in three.windows(2) {
            assert!(pair[0].dry_back_points.unwrap().1 < pair[1].dry_back_points.unwrap().1, "{medium}");
            assert!(pair[0].drain_percent.unwrap().1 > pair[1].drain_percent.unwrap().1, "{medium}");
            assert!(pair[0].root_zone_ec.unwrap().1 < pair[1].root_zone_ec.unwrap().1, "{medium}");
        }
    }
}

/// Every schedule fits every shipped climate's day, or refuses in words; under its own light it is as written.
#[test]
fn schedules_fit_the_days_of_the_climates() {
    let library = Library::shipped();
    for schedule in &library.schedules {
        assert_eq!(schedule.under(&schedule.light.unwrap()).unwrap(), schedule.events, "{}", schedule.name);
        for climate in &library.climates {
            let events = schedule.under(&climate.light).unwrap_or_else(|e| panic!("{}: {e}", schedule.name));
            assert_eq!(events.len(), schedule.events.len());
            let moved = SchedulePreset { events, ..schedule.clone() };
            assert_eq!(moved.problems(&library), [], "{} under {}", schedule.name, climate.climate.name);
        }
    }
}

/// Every setup runs: on its third day the plants get nearly all they ask for and keep enough air.
#[test]
fn every_setup_runs_well() {
    let library = Library::shipped();
    for setup in &library.setups {
        let scenario = Scenario { days: 3, ..setup.alone() };
        let run = run_scenario(&scenario, &library).unwrap();
        assert_eq!(run.lanes[0].error, None, "{}", setup.name);
        let day = day_figures(&run.lanes[0], &setup.lane, 2).unwrap();
        assert!(day.uptake_met > 0.97, "{}: {day:?}", setup.name);
        assert!(day.lowest_air > 0.05, "{}: {day:?}", setup.name);
        if setup.schedule.iter().all(|e| e.ml().is_some()) {
            let drain = day.drain_fraction.unwrap();
            assert!((0.05..0.35).contains(&drain), "{}: {drain}", setup.name);
        }
    }
}

/// Published and remembered values: uptake EC, threshold and slope, guide feed and root-zone EC.
#[test]
fn crops_hold_the_values_of_their_sources() {
    let library = Library::shipped();
    for (name, uptake, salt, guide) in [
        ("tomato", 1.7, Some((2.5, 9.9)), Some((2.6, 4.0))),
        ("cucumber", 1.6, Some((2.5, 13.0)), Some((2.2, 3.0))),
        ("sweet pepper", 1.6, Some((1.5, 14.0)), Some((2.1, 3.0))),
        ("aubergine", 1.6, Some((1.1, 6.9)), Some((2.1, 3.0))),
        ("strawberry", 1.1, Some((1.0, 33.0)), Some((1.6, 2.0))),
        ("lettuce", 1.2, Some((1.3, 13.0)), None),
        ("basil", 1.2, None, None),
    ] {
        let crop = library.crop(name).unwrap();
        assert_eq!(crop.uptake_ec, uptake, "{name}");
        assert_eq!(crop.stress.salt.map(|s| (s.threshold_ece, s.slope_percent)), salt, "{name}");
        assert_eq!(crop.guide_feed_ec.zip(crop.guide_root_zone_ec), guide, "{name}");
        // Judgement: uptake rises with supply, from the guide on, or where there is none from about 1.8 times the uptake EC.
        assert_eq!((crop.uptake_rise, crop.rises_above()), (0.08, guide.map(|g| g.1).or(Some(2.2))), "{name}");
        assert_eq!((crop.stress.begins_cm, crop.stress.stops_cm), (-60.0, -800.0), "{name}");
    }
}

/// Judgement: what runs straight through picks salt up in coir and mixes; in a mix of presets, by volume.
#[test]
fn coir_and_mixes_give_salt_to_what_runs_through() {
    let library = Library::shipped();
    for medium in &library.media {
        let picks_up = medium.name.contains("coir") || medium.name.contains("peat");
        assert_eq!(medium.channel_pick_up, if picks_up { 0.3 } else { 0.0 }, "{}", medium.name);
    }
    let component = |medium: &str, percent| Component { medium: medium.to_owned(), percent };
    let mix = MediumChoice::Mix(vec![component("coir pith", 60.0), component("coarse perlite", 40.0)]);
    let mixed = resolve::medium(&mix, &library).unwrap();
    assert!((mixed.channel_pick_up - 0.18).abs() < 1e-12 && (mixed.channelling - 0.062).abs() < 1e-12, "{mixed:?}");
}

#[test]
fn containers_have_the_volumes_their_names_say() {
    let library = Library::shipped();
    for (name, litres) in [
        ("block on slab, 2 plants", 6.625),
        ("block on slab, 3 plants", 4.75),
        ("block on coir slab, 3 plants", 5.5),
        ("block alone, open walls", 0.65),
        ("pot, round, tapered, plastic, 5 L", 4.9),
        ("pot, round, plastic, 12 L", 12.2),
        ("pot, round, plastic, 19 L", 19.3),
        ("pot, round, fabric, 19 L", 19.3),
        ("pot, square, tapered, plastic, 3 L", 3.2),
        ("bag, coir, upright, 12 L", 12.0),
        ("pot, flood table, 12 cm", 0.83),
        ("trough, perlite, 8 plants", 7.5),
        ("bucket, perlite, outlet 4 cm up", 11.3),
    ] {
        let container = library.container(name).unwrap_or_else(|| panic!("{name}"));
        let found = container.volume_per_plant_ml() / 1000.0;
        assert!((found - litres).abs() < 0.02 * litres, "{name}: {found} L");
    }
    assert_eq!(library.container("block alone, open walls").unwrap().parts[0].walls, Walls::Open);
}

/// Every container, for every plant that fits: a day runs and closes.
#[test]
fn every_container_runs_a_day() {
    let library = Library::shipped();
    let base = demos().remove(0).1;
    for container in &library.containers {
        let mut scenario = Scenario { days: 1, ..base.clone() };
        let mut lane = base.lanes[0].clone();
        lane.container = container.clone();
        lane.start = slakeline::scenario::Start::default();
        lane.dose = container.volume_per_plant_ml() / 8000.0;
        lane.demand =
            slakeline::scenario::Demand::Measured { litres_per_day: container.volume_per_plant_ml() / 8000.0, steady_share: 0.08 };
        scenario.lanes = vec![lane];
        assert_eq!(scenario.validate(&library), [], "{}", container.name);
        let run = run_scenario(&scenario, &library).unwrap();
        assert_eq!(run.lanes[0].error, None, "{}", container.name);
        assert!(run.water_closure() < 1e-9 && run.salt_closure() < 1e-9, "{}", container.name);
    }
}

#[test]
fn a_user_preset_that_cannot_be_is_left_out_with_a_warning() {
    let folder = tempfile::tempdir().unwrap();
    let media = folder.path().join("media");
    std::fs::create_dir(&media).unwrap();
    let pumice = text_of::<Medium>("pumice", None).unwrap();
    std::fs::write(media.join("a.ron"), pumice.replace("porosity: 0.7", "porosity: 0.1")).unwrap();
    std::fs::write(media.join("b.ron"), "(((").unwrap();
    std::fs::write(media.join("c.ron"), [0xff, 0xfe]).unwrap();
    std::fs::write(media.join("d.ron"), pumice.replace("\"pumice\"", "\"my pumice\"")).unwrap();
    std::fs::create_dir(media.join("e.ron")).unwrap();
    let library = Library::with_user_presets(folder.path());
    assert_eq!(library.warnings.len(), 4, "{:#?}", library.warnings);
    assert!(library.warnings[0].contains("porosity is 0.1"), "{}", library.warnings[0]);
    assert_eq!(library.medium("pumice"), Library::shipped().medium("pumice"));
    assert!(library.medium("my pumice").is_some());
    assert!(text_of::<Medium>("my pumice", Some(folder.path())).is_some());
}

/// A demo, run.
fn last_run(file: &str) -> slakeline::engine::run::Run {
    let library = Library::shipped();
    let scenario = file::read(demo_text(file).unwrap().as_bytes(), file, &library).unwrap();
    run_scenario(&scenario, &library).unwrap()
}

/// The last day of every lane of a demo.
fn last_days(file: &str) -> Vec<(Lane, DayFigures)> {
    let library = Library::shipped();
    let scenario = file::read(demo_text(file).unwrap().as_bytes(), file, &library).unwrap();
    let run = last_run(file);
    assert!(run.water_closure() <= 1e-9 && run.salt_closure() <= 1e-9, "{file}");
    let last = scenario.days as usize - 1;
    let told = |(lane, run): (&Lane, &slakeline::engine::run::LaneRun)| {
        assert_eq!(run.error, None, "{file}, {}", lane.name);
        (lane.clone(), day_figures(run, lane, last).unwrap())
    };
    scenario.lanes.iter().zip(&run.lanes).map(told).collect()
}

#[test]
fn every_demo_opens_runs_and_comes_back_from_text() {
    let files = files("demo");
    assert!(files.len() >= 8);
    assert_eq!(demos().len(), files.len());
    for (name, scenario) in demos() {
        let days = last_days(&name);
        assert_eq!(days.len(), scenario.lanes.len());
        for (lane, figures) in days {
            assert!(figures.peak <= 1.0 && figures.lowest > 0.0 && figures.root_zone_ec < 12.0, "{name}, {}: {figures:?}", lane.name);
        }
        let text = file::to_text(&scenario).unwrap();
        assert_eq!(file::parse(&text).unwrap(), scenario, "{name}");
        assert!(scenario.note.contains("Invented data."), "{name} does not say that it is invented");
        assert_eq!(scenario.note.matches("Try: ").count(), 1, "{name} does not say in one sentence what to try");
    }
}

#[test]
fn the_demos_show_what_they_are_for() {
    let basil = last_days("2-basil-flood-table");
    assert!(basil[1].1.root_zone_ec > basil[0].1.root_zone_ec + 0.4, "the rinse keeps the salt down");
    let late = last_days("3-morning-start-too-late");
    assert!(late[0].1.uptake_met > 0.98 && late[1].1.uptake_met < 0.95, "the small root zone runs dry, the slab does not");
    let slits = last_days("4-slits-too-high");
    assert!(slits[0].1.lowest_air > 0.10 && slits[1].1.lowest_air < 0.10, "standing water takes the air");
    assert!(slits[0].1.uptake_met > 0.98 && slits[1].1.uptake_met < 0.90);
    let flush = last_days("5-flush-day");
    assert!(flush[0].1.root_zone_ec_change < flush[1].1.root_zone_ec_change, "stone wool flushes in fewer volumes than coir");
    assert!(flush.iter().all(|(_, f)| f.root_zone_ec_change < -2.0));
    for (lane, figures) in last_days("6-night-dry-back") {
        assert_eq!(verdicts(&figures, &Aims::set(&lane.targets)).dry_back.word, "shallow", "{}", lane.name);
    }
    let one = last_days("8-one-root-zone-as-it-stands");
    assert!(one.len() == 1 && one[0].1.uptake_met > 0.98, "one root zone that stands well, to be described: {one:?}");
    let crust = last_run("7-salt-crust");
    let ends = |lane: usize| {
        let profiles = &crust.lanes[lane].series.profiles;
        let ec = &profiles.ec[profiles.ec.len() - profiles.layers..];
        (ec[0], ec[ec.len() - 1])
    };
    assert!(ends(0).1 > 4.0 * ends(0).0, "the open top gathers salt: {:?}", ends(0));
    assert!(ends(0).1 > 2.0 * ends(1).1, "far more than the covered one: {:?}", ends(1));
}
