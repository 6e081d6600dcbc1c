//! Several who save one file at the same moment: one of them does, the others are told.

use std::sync::Barrier;

use slakeline::scenario::disk::{Expected, Since, Stamp};
use slakeline::scenario::file::{self, FileError, backup_path};

use crate::{names, number_in, version};

/// Saves by several threads at once; the numbers of those that were saved.
fn at_once(path: &std::path::Path, expected: Expected, first: u64) -> Vec<u64> {
    let barrier = Barrier::new(4);
    let save = |number: u64| {
        let scenario = version(number);
        barrier.wait();
        match file::save_expecting(&scenario, path, expected) {
            Ok(stamp) => Some((number, stamp)),
            Err(FileError::Elsewhere { since: Since::Changed(_) | Since::Appeared(_), .. }) => None,
            Err(e) => panic!("{e}"),
        }
    };
    std::thread::scope(|scope| {
        let threads: Vec<_> = (first..first + 4).map(|number| scope.spawn(move || save(number))).collect();
        let saved: Vec<_> = threads.into_iter().filter_map(|thread| thread.join().unwrap()).collect();
        assert!(saved.iter().all(|(_, stamp)| Stamp::of(path).unwrap() == Some(*stamp)));
        saved.into_iter().map(|(number, _)| number).collect()
    })
}

#[test]
fn one_of_several_is_saved_and_the_others_are_told() {
    for round in 0..20 {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bench.ron");
        // A name that nobody has yet.
        let saved = at_once(&path, Expected::Nothing, 10);
        assert_eq!(saved, [number_in(&path)], "round {round}");
        // A file that all of them have read.
        let known = Stamp::of(&path).unwrap();
        let again = at_once(&path, Expected::of(known), 20);
        assert_eq!(again, [number_in(&path)], "round {round}");
        assert_eq!(number_in(&backup_path(&path)), saved[0]);
        assert_eq!(names(folder.path()), ["bench.ron", "bench.ron.bak"]);
    }
}
