//! Saves that are killed: the file is whole, no acknowledged save is lost, and what lies about is cleared away.

use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread::sleep;
use std::time::{Duration, Instant};

use slakeline::scenario::disk::leftovers;
use slakeline::scenario::file::{self, backup_path};

use crate::{LONG, age, kill, names, number_in, version};

/// Where the child saves, and from which version on.
const PATH: &str = "SLAKELINE_FAULTS_PATH";
const FROM: &str = "SLAKELINE_FAULTS_FROM";

#[test]
#[ignore = "the child that the test below starts and kills"]
fn a_child_that_saves_until_it_is_killed() {
    let path = std::path::PathBuf::from(std::env::var_os(PATH).unwrap());
    let from: u64 = std::env::var(FROM).unwrap().parse().unwrap();
    for number in from.. {
        file::save(&version(number), &path).unwrap();
        println!("\nsaved {number}");
        std::io::stdout().flush().unwrap();
    }
}

#[test]
fn a_killed_save_leaves_a_whole_file_and_loses_no_saved_one() {
    let kills: u64 = std::env::var("SLAKELINE_KILLS").map_or(200, |kills| kills.parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bench.ron");
    file::save(&version(0), &path).unwrap();
    let mut random = fastrand::Rng::with_seed(1);
    let (mut last, mut left, mut between) = (0, 0, 0);
    for _ in 0..kills {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["killed::a_child_that_saves_until_it_is_killed", "--exact", "--ignored", "--nocapture"])
            .env(PATH, &path)
            .env(FROM, (last + 1).to_string())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let told = Arc::new(AtomicU64::new(0));
        let (listens, out) = (Arc::clone(&told), child.stdout.take().unwrap());
        let listener = std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                if let Some(number) = line.strip_prefix("saved ") {
                    listens.store(number.parse().unwrap(), Ordering::SeqCst);
                }
            }
        });
        let began = Instant::now();
        while told.load(Ordering::SeqCst) == 0 {
            assert!(began.elapsed() < LONG && child.try_wait().unwrap().is_none(), "the child does not save");
            sleep(Duration::from_millis(1));
        }
        sleep(Duration::from_micros(random.u64(0..30_000)));
        kill(&mut child);
        listener.join().unwrap();
        let told = told.load(Ordering::SeqCst);
        let found = number_in(&path);
        assert!(found >= told && found <= told + 1, "version {found} is there, {told} was acknowledged");
        let before = number_in(&backup_path(&path));
        assert!(before == found || before + 1 == found, "{before} is kept beside {found}");
        between += u64::from(before == found);
        left += u64::from(names(folder.path()).iter().any(|name| leftovers::is_ours(name)));
        last = found;
    }
    println!("{kills} saves killed, {left} with a temporary file left, {between} between backup and file");
    assert!(left * 20 > kills, "only {left} of {kills} were killed while they wrote");
    // Of those that hold something each save clears away what the one before left; an empty one may be that of a save which begins.
    let holds = |name: &&String| leftovers::is_ours(name) && folder.path().join(name).metadata().unwrap().len() > 0;
    let lying = names(folder.path()).iter().filter(holds).count();
    assert!(lying <= 2, "{lying} temporary files lie about");
    age(folder.path());
    file::save(&version(last + 1), &path).unwrap();
    assert_eq!(names(folder.path()), ["bench.ron", "bench.ron.bak"]);
}

#[test]
fn temporary_files_of_saves_that_run_and_of_others_stay() {
    let folder = tempfile::tempdir().unwrap();
    let running = leftovers::temporary_in(folder.path(), None).unwrap();
    running.as_file().write_all(b"half").unwrap();
    // What a killed save leaves: nobody holds it any more.
    let killed = leftovers::temporary_in(folder.path(), None).unwrap();
    killed.as_file().write_all(b"half").unwrap();
    let killed = killed.into_temp_path().keep().unwrap();
    let others = [".slakeline-notes", ".slakeline-saving-notes.tmp", "bench.ron.tmp"];
    for name in others {
        std::fs::write(folder.path().join(name), "mine").unwrap();
    }
    // A save that has just begun holds nothing yet.
    let begun = folder.path().join(".slakeline-saving-abcDEF12.tmp");
    std::fs::write(&begun, "").unwrap();
    file::save(&version(1), &folder.path().join("bench.ron")).unwrap();
    assert!(running.path().exists() && !killed.exists() && begun.exists());
    age(folder.path());
    file::save(&version(2), &folder.path().join("bench.ron")).unwrap();
    assert!(running.path().exists() && !begun.exists());
    assert!(others.iter().all(|name| folder.path().join(name).exists()));
}
