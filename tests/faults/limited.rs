//! Disks with too little room, as the system has them: a limit on the size of files, and a small disk where one may be made.

use std::process::Command;

use slakeline::scenario::disk::leftovers;
use slakeline::scenario::file::{self, backup_path};

use crate::{away, demo, ended, names, number_in, said, saved_twice, version};

/// Runs a script whose arguments are the program, a climate log of a week, a demo and a place to save to.
fn script(script: &str, place: &str) -> std::process::Output {
    let week = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/climate-week-under-glass.csv");
    let mut command = Command::new("sh");
    away(command.args(["-c", script, env!("CARGO_BIN_EXE_slakeline"), week, &demo(), place]));
    ended(&mut command)
}

#[test]
fn where_no_file_may_be_as_large_the_old_one_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved_twice(folder.path());
    let place = path.display().to_string();
    let refused = script(r#"trap "" XFSZ; ulimit -f 8; exec "$0" climate "$1" --into "$2" --save "$3""#, &place);
    assert_eq!(refused.status.code(), Some(1), "{}", said(&refused));
    assert!(said(&refused).contains("it would be larger than a file may be here"), "{}", said(&refused));
    assert_eq!((number_in(&path), number_in(&backup_path(&path))), (2, 1));
    assert_eq!(names(folder.path()), ["bench.ron", "bench.ron.bak"]);
    // The same by a system that ends the program at once.
    let ended = script(r#"ulimit -c 0; ulimit -f 8; "$0" climate "$1" --into "$2" --save "$3"; test $? -gt 128"#, &place);
    assert!(ended.status.success(), "{}", said(&ended));
    assert_eq!((number_in(&path), number_in(&backup_path(&path))), (2, 1));
    assert!(names(folder.path()).iter().any(|name| leftovers::is_ours(name)), "it was ended while it wrote");
    file::save(&version(3), &path).unwrap();
    assert_eq!(names(folder.path()), ["bench.ron", "bench.ron.bak"]);
}

#[test]
fn on_a_full_disk_the_old_file_stays() {
    let folder = tempfile::tempdir().unwrap();
    let disk = folder.path().display().to_string();
    // 24 kB of a disk of its own, which nobody else sees; the file is larger.
    let small = r#"exec unshare -rm sh -c '
        mount -t tmpfs -o size=24k none "$3" 2>/dev/null || exit 77
        echo before > "$3/bench.ron"
        "$0" climate "$1" --into "$2" --save "$3/bench.ron"
        test $? -eq 1 && test "$(cat "$3/bench.ron")" = before && test "$(ls -A "$3")" = bench.ron
    ' "$0" "$1" "$2" "$3""#;
    let output = script(small, &disk);
    if matches!(output.status.code(), Some(77 | 127)) || said(&output).contains("unshare") {
        println!("skipped: no disk of its own can be made here: {}", said(&output));
        return;
    }
    assert!(output.status.success() && said(&output).contains("the disk is full"), "{:?}: {}", output.status, said(&output));
}
