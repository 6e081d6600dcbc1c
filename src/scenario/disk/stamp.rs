//! What a file was like when it was last read or written here, so that another program's version is never written over unseen.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::special::is_no_file;

/// What a file holds, as a length and a sum; and when it was changed, by which it is soon seen that it was not.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub struct Stamp {
    /// Bytes.
    len: u64,
    /// The sum of its bytes (FNV-1a of 64 bits, after Fowler, Noll and Vo): the same in every version of the program.
    sum: u64,
    #[serde(skip)]
    changed: Option<SystemTime>,
}

/// What counts is what it holds: a file that was only touched is the same.
impl PartialEq for Stamp {
    fn eq(&self, other: &Self) -> bool {
        (self.len, self.sum) == (other.len, other.sum)
    }
}

impl Eq for Stamp {}

/// What became of a file since it was last read or written here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Since {
    /// It holds something else.
    Changed(Stamp),
    /// It is not there any more.
    Gone,
    /// There was none, and there is one.
    Appeared(Stamp),
}

impl Since {
    /// What is there, if anything is.
    #[must_use]
    pub fn there(&self) -> Option<Stamp> {
        match self {
            Self::Changed(stamp) | Self::Appeared(stamp) => Some(*stamp),
            Self::Gone => None,
        }
    }
}

/// What is expected where a file is to be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expected {
    /// Whatever is there may be replaced: whoever asks has consented.
    Anything,
    /// No file.
    Nothing,
    /// The file as it was.
    Known(Stamp),
}

impl Expected {
    /// What is known of a file; nothing where it was never there.
    #[must_use]
    pub fn of(known: Option<Stamp>) -> Self {
        known.map_or(Self::Nothing, Self::Known)
    }

    /// What became of the file at a path, if it is not as expected.
    ///
    /// # Errors
    /// What the system says when it cannot be read.
    pub fn since(&self, path: &Path) -> io::Result<Option<Since>> {
        match self {
            Self::Anything => Ok(None),
            Self::Known(known) if known.looks_the_same(path) => Ok(None),
            _ => Ok(self.against(Stamp::of(path)?)),
        }
    }

    /// What became of a file where this was found, or nothing.
    #[must_use]
    pub fn against(&self, found: Option<Stamp>) -> Option<Since> {
        match (self, found) {
            (Self::Anything, _) | (Self::Nothing, None) => None,
            (Self::Nothing, Some(found)) => Some(Since::Appeared(found)),
            (Self::Known(_), None) => Some(Since::Gone),
            (Self::Known(known), Some(found)) => (found != *known).then_some(Since::Changed(found)),
        }
    }
}

/// Adds up bytes as they come.
struct Sum(u64);

impl Sum {
    const BEGIN: Self = Self(0xcbf2_9ce4_8422_2325);

    fn add(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
}

impl Stamp {
    /// Of what has just been read from a file, or written to it.
    #[must_use]
    pub fn of_bytes(bytes: &[u8], file: &File) -> Self {
        Self { len: bytes.len() as u64, sum: Self::sum_of(bytes), changed: file.metadata().and_then(|m| m.modified()).ok() }
    }

    /// The sum of some bytes by itself.
    #[must_use]
    pub fn sum_of(bytes: &[u8]) -> u64 {
        let mut sum = Sum::BEGIN;
        sum.add(bytes);
        sum.0
    }

    /// Of the file at a path; `None` where none is there.
    ///
    /// # Errors
    /// What the system says when it cannot be read, also of what is no file.
    pub fn of(path: &Path) -> io::Result<Option<Self>> {
        if is_no_file(path) {
            return Err(io::Error::other(super::special::NO_FILE));
        }
        let mut file = match File::open(path) {
            Ok(file) => file,
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(e) => return Err(e),
        };
        let (mut sum, mut len, mut part) = (Sum::BEGIN, 0, vec![0; 1 << 16]);
        loop {
            match file.read(&mut part) {
                Ok(0) => break,
                Ok(n) => {
                    sum.add(&part[..n]);
                    len += n as u64;
                }
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                Err(e) => return Err(e),
            }
        }
        Ok(Some(Self { len, sum: sum.0, changed: file.metadata()?.modified().ok() }))
    }

    /// Whether the file at a path has the length and the time of its last change that it had: then it is not read.
    #[must_use]
    pub fn looks_the_same(&self, path: &Path) -> bool {
        path.metadata().is_ok_and(|found| {
            found.is_file() && found.len() == self.len && self.changed.is_some() && found.modified().ok() == self.changed
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_counts_is_what_a_file_holds() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        assert_eq!(Stamp::of(&path).unwrap(), None);
        std::fs::write(&path, "foobar").unwrap();
        let stamp = Stamp::of(&path).unwrap().unwrap();
        // The sum that the authors give for this text.
        assert_eq!((stamp.len, stamp.sum), (6, 0x8594_4171_f739_67e8));
        assert_eq!(Stamp::of_bytes(b"foobar", &File::open(&path).unwrap()), stamp);
        let known = Expected::Known(stamp);
        assert_eq!(known.since(&path).unwrap(), None);
        let later = SystemTime::now() + std::time::Duration::from_secs(100);
        File::options().write(true).open(&path).unwrap().set_modified(later).unwrap();
        assert!(!stamp.looks_the_same(&path));
        assert_eq!(known.since(&path).unwrap(), None, "touched, not changed");
        std::fs::write(&path, "foobaz").unwrap();
        let found = Stamp::of(&path).unwrap().unwrap();
        assert_eq!(known.since(&path).unwrap(), Some(Since::Changed(found)));
        assert_eq!(Expected::Nothing.since(&path).unwrap(), Some(Since::Appeared(found)));
        assert_eq!(Expected::Anything.since(&path).unwrap(), None);
        std::fs::remove_file(&path).unwrap();
        assert_eq!(known.since(&path).unwrap(), Some(Since::Gone));
        assert_eq!(Expected::Nothing.since(&path).unwrap(), None);
    }
}
