//! Pipes and devices where files are expected: nothing hangs, and what a shell hands over is read.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use slakeline::scenario::file::{self, FileError};
use slakeline::scenario::presets::Library;

use crate::{away, demo, ended, program, said, version};

fn pipe(folder: &Path, name: &str) -> PathBuf {
    let path = folder.join(name);
    assert!(Command::new("mkfifo").arg(&path).status().unwrap().success());
    path
}

#[test]
fn a_bench_is_neither_saved_to_a_pipe_nor_opened_from_one() {
    let folder = tempfile::tempdir().unwrap();
    for place in [pipe(folder.path(), "bench.ron"), PathBuf::from("/dev/null"), PathBuf::from("/dev/zero")] {
        let refused = file::save(&version(1), &place).unwrap_err();
        assert!(matches!(refused, FileError::Write { .. }) && refused.to_string().contains("a device, not a file"), "{refused}");
        assert!(matches!(file::load(&place, &Library::shipped()), Err(FileError::Read { .. })));
    }
    let path = folder.path().join("plain.ron");
    file::save(&version(1), &path).unwrap();
    pipe(folder.path(), "plain.ron.bak");
    let refused = file::save(&version(2), &path).unwrap_err();
    assert!(refused.to_string().contains("plain.ron.bak, where the version before is kept: "), "{refused}");
}

#[test]
fn no_command_hangs_at_a_pipe_without_another_end() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = pipe(folder.path(), "pipe").display().to_string();
    let demo = demo();
    let cases: [(&[&str], &str); 5] = [
        (&["check", &pipe], "nothing came from it within"),
        (&["climate", &pipe], "nothing came from it within"),
        (&["simulate", &demo, "--days", "1", "--series", &pipe], "nobody read it within"),
        (&["simulate", &demo, "--days", "1", "--figures", &pipe], "nobody read it within"),
        (&["simulate", "/dev/zero"], "larger than"),
    ];
    for (arguments, told) in cases {
        let output = ended(&mut program(arguments));
        assert!(!output.status.success() && said(&output).contains(told), "{arguments:?}: {}", said(&output));
        assert_eq!(said(&output).lines().count(), 2, "{}", said(&output));
    }
}

#[test]
fn pipes_with_another_end_are_read_and_written() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = pipe(folder.path(), "pipe").display().to_string();
    let slakeline = env!("CARGO_BIN_EXE_slakeline");
    let run = |script: &str| {
        let mut command = Command::new("bash");
        away(command.args(["-c", script, slakeline, &demo(), &pipe]));
        let output = ended(&mut command);
        assert!(output.status.success(), "{script}: {}", said(&output));
        String::from_utf8(output.stdout).unwrap()
    };
    // Whoever comes first waits for the other; a slow writer is waited for.
    for script in [
        r#"cat "$1" > "$2" & "$0" check "$2""#,
        r#"(sleep 0.3; cat "$1" > "$2") & "$0" check "$2""#,
        r#""$0" check <(sleep 0.3; head -c 100 "$1"; sleep 0.3; tail -c +101 "$1")"#,
        r#""$0" check /dev/stdin < "$1""#,
        r#"cat "$1" | "$0" check /dev/stdin"#,
    ] {
        assert!(run(script).contains("ok: "), "{script}");
    }
    let rows = run(r#"(sleep 0.3; cat "$2") & "$0" simulate "$1" --days 1 --series "$2" > /dev/null; wait"#);
    assert!(rows.lines().count() > 500 && rows.starts_with("time_h,"), "{}", rows.lines().count());
    let rows = run(r#""$0" simulate "$1" --days 1 --series >(sleep 0.5; cat) | cat"#);
    assert!(rows.contains("time_h,"));
}

#[cfg(target_os = "linux")]
#[test]
fn closed_standard_output_is_a_failure_where_the_results_were_to_go_there() {
    let slakeline = env!("CARGO_BIN_EXE_slakeline");
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("series.csv").display().to_string();
    let run = |script: &str| {
        let mut command = Command::new("sh");
        away(command.args(["-c", script, slakeline, &demo(), &out]));
        let output = command.stdout(Stdio::piped()).stderr(Stdio::piped()).output().unwrap();
        (output.status.code(), said(&output))
    };
    for script in [r#""$0" simulate "$1" --days 1 >&-"#, r#""$0" simulate "$1" --days 1 --series - >&-"#, r#""$0" presets >&-"#] {
        let (code, told) = run(script);
        assert!(code == Some(1) && told.contains("standard output is closed") && told.lines().count() == 2, "{script}: {told}");
    }
    for script in [
        r#""$0" simulate "$1" --days 1 > /dev/null"#,
        // The results are elsewhere, or it is thrown away on purpose.
        r#""$0" simulate "$1" --days 1 --series "$2" >&-"#,
        r#""$0" simulate "$1" --days 1 1<>/dev/null 2<>/dev/null"#,
        r#""$0" check "$1" >&-"#,
    ] {
        assert_eq!(run(script), (Some(0), String::new()), "{script}");
    }
}
