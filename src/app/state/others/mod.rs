//! States and files that are held beside the bench for as long as the window is open: what each is, whether it is compared with the bench,
//! and whether its curves stand on the tracks. Files are read, watched and run by jobs.

pub mod other;

use std::path::{Path, PathBuf};
use std::sync::Arc;

pub use self::other::{Other, Whence};
use crate::jobs::{Broken, Job, Told, Wake};
use crate::projection::Projection;
use crate::projection::prepared::{Prepared, Waiting};
use crate::scenario::Scenario;
use crate::scenario::disk::Stamp;
use crate::scenario::file::{self, FileError};
use crate::scenario::presets::Library;
use crate::studies::compare::FILES;

/// Letters of what is held; the bench is A.
const LETTERS: std::ops::RangeInclusive<char> = 'B'..='I';
/// How many can be held.
pub const MOST: usize = 8;
/// How many can stand on the tracks: beside a proposal there are so many patterns of lines.
pub const MOST_ON_TRACKS: usize = 3;

/// What came of reading a file.
type Read = Result<(Scenario, Stamp), FileError>;

/// What could not be done.
#[derive(Debug)]
pub enum Failed {
    /// A file cannot be read.
    File(FileError),
    /// A job broke off.
    Broken(Broken),
}

/// All that is held.
pub struct Others {
    list: Vec<Other>,
    next: u64,
    /// Reads one file at a time.
    reading: Job<Read>,
    /// The file that is read, with the one that it takes the place of.
    coming: Option<(u64, PathBuf, Option<u64>)>,
    /// Runs one of them at a time for its curves.
    drawing: Job<Projection>,
    /// Which of them, with the number of the request.
    drawn: Option<(u64, u64)>,
}

impl Default for Others {
    fn default() -> Self {
        Self {
            list: Vec::new(),
            next: 0,
            reading: Job::new("Reading a file beside the bench"),
            coming: None,
            drawing: Job::new("Drawing a state beside the bench"),
            drawn: None,
        }
    }
}

/// One who waits for curves.
struct ByWork<'a>(&'a crate::jobs::Work<Projection>);

impl Waiting for ByWork<'_> {
    fn go_on(&self) -> bool {
        self.0.wanted()
    }
}

impl Others {
    /// What is held, in the order in which it came.
    #[must_use]
    pub fn list(&self) -> &[Other] {
        &self.list
    }

    /// One of them by its number.
    #[must_use]
    pub fn get(&self, id: u64) -> Option<&Other> {
        self.list.iter().find(|o| o.id == id)
    }

    fn get_mut(&mut self, id: u64) -> Option<&mut Other> {
        self.list.iter_mut().find(|o| o.id == id)
    }

    /// Those that are compared with the bench.
    pub fn compared(&self) -> impl Iterator<Item = &Other> {
        self.list.iter().filter(|o| o.compared)
    }

    /// Those whose curves stand on the tracks.
    pub fn on_tracks(&self) -> impl Iterator<Item = &Other> {
        self.list.iter().filter(|o| o.on_tracks)
    }

    /// Whether there is room for one more.
    #[must_use]
    pub fn has_room(&self) -> bool {
        self.list.len() < MOST
    }

    /// Whether one more can be compared: as many as stand side by side, less the bench.
    #[must_use]
    pub fn can_compare(&self) -> bool {
        self.compared().count() < FILES.1 - 1
    }

    /// Whether one more can stand on the tracks.
    #[must_use]
    pub fn can_draw(&self) -> bool {
        self.on_tracks().count() < MOST_ON_TRACKS
    }

    fn of_file(&self, path: &Path) -> Option<&Other> {
        self.list.iter().find(|o| matches!(&o.from, Whence::File(of, _) if of == path))
    }

    /// Whether a file is held already.
    #[must_use]
    pub fn holds(&self, path: &Path) -> bool {
        self.of_file(path).is_some()
    }

    /// Holds a state of the bench under a name; `after` is the change it stood after. False where there is no room.
    pub fn keep(&mut self, name: String, after: String, scenario: Arc<Scenario>) -> bool {
        self.hold(name, scenario, Whence::Bench(after)).is_some()
    }

    fn hold(&mut self, name: String, scenario: Arc<Scenario>, from: Whence) -> Option<u64> {
        let letter = LETTERS.into_iter().find(|l| self.list.iter().all(|o| o.letter != *l))?;
        self.next += 1;
        let mut other = Other::new(self.next, letter, name, scenario, from);
        other.compared = self.can_compare();
        self.list.push(other);
        Some(self.next)
    }

    /// Begins to read a file, to be held or, where it is held already, in the place of what was read then.
    ///
    /// # Errors
    /// [`Broken`] when no thread can be started.
    pub fn read(&mut self, wake: &Wake, path: &Path, library: &Arc<Library>) -> Result<(), Broken> {
        let held = self.of_file(path).map(|o| o.id);
        let (file, library) = (path.to_path_buf(), Arc::clone(library));
        let number = self.reading.ask(wake, move |_| Some(file::load_known(&file, &library)))?;
        self.coming = Some((number, path.to_path_buf(), held));
        Ok(())
    }

    /// Whether a file is being read or curves are being computed.
    #[must_use]
    pub fn is_working(&self) -> bool {
        self.coming.is_some() || self.drawn.is_some()
    }

    /// Whether a file is being read.
    #[must_use]
    pub fn is_reading(&self) -> bool {
        self.coming.is_some()
    }

    /// Whether the curves of one are being computed.
    #[must_use]
    pub fn is_drawing(&self, id: u64) -> bool {
        self.drawn.is_some_and(|(of, _)| of == id)
    }

    /// Lets go of one.
    pub fn remove(&mut self, id: u64) {
        self.show(id, false);
        self.list.retain(|o| o.id != id);
    }

    /// Compares one with the bench, or no longer; more than stand side by side are not.
    pub fn compare(&mut self, id: u64, on: bool) {
        let can = !on || self.can_compare();
        if let Some(other) = self.get_mut(id).filter(|_| can) {
            other.compared = on;
        }
    }

    /// Puts the curves of one on the tracks, or takes them off.
    pub fn show(&mut self, id: u64, on: bool) {
        let can = self.can_draw();
        if !on && self.is_drawing(id) {
            self.drawing.cancel();
            self.drawn = None;
        }
        if let Some(other) = self.get_mut(id) {
            other.on_tracks = on && (other.on_tracks || can);
            if !on {
                // A run that nobody sees takes room.
                other.drawn = None;
            }
        }
    }

    /// Forgets all curves: the presets that they were run with are others now.
    pub fn draw_anew(&mut self) {
        self.drawing.cancel();
        self.drawn = None;
        for other in &mut self.list {
            other.drawn = None;
        }
    }

    /// Takes what jobs have found, asks for curves that are wanted and are not there, and looks what became of files. `day` is the day shown (from
    /// 0), the last of each without one. Tells what could not be done.
    pub fn follow(&mut self, wake: &Wake, library: &Arc<Library>, day: Option<usize>) -> Option<Failed> {
        for other in &mut self.list {
            other.watch(wake);
        }
        let failed = self.take_read().or_else(|| self.take_drawn());
        self.draw(wake, library, day);
        failed
    }

    fn take_read(&mut self) -> Option<Failed> {
        let (number, told) = self.reading.take()?;
        let (_, path, held) = self.coming.take_if(|(of, ..)| *of == number)?;
        match told {
            Told::Done(Ok((scenario, stamp))) => {
                let (scenario, from) = (Arc::new(scenario), Whence::File(path.clone(), stamp));
                match held.and_then(|id| self.get_mut(id)) {
                    Some(other) => other.read_again(scenario, from),
                    None => {
                        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
                        self.hold(name, scenario, from);
                    }
                }
                None
            }
            Told::Done(Err(error)) => Some(Failed::File(error)),
            Told::Broken(broken) => Some(Failed::Broken(broken)),
            Told::SoFar(_) | Told::Nothing => None,
        }
    }

    fn take_drawn(&mut self) -> Option<Failed> {
        let (number, told) = self.drawing.take()?;
        let (id, _) = self.drawn.take_if(|(_, of)| *of == number)?;
        match told {
            Told::Done(projection) => {
                if let Some(other) = self.get_mut(id).filter(|o| Arc::ptr_eq(&o.scenario, &projection.scenario)) {
                    other.drawn = Some(projection);
                }
                None
            }
            Told::Broken(broken) => {
                self.show(id, false);
                Some(Failed::Broken(broken))
            }
            Told::SoFar(_) | Told::Nothing => None,
        }
    }

    fn draw(&mut self, wake: &Wake, library: &Arc<Library>, day: Option<usize>) {
        if self.drawn.is_some() {
            return;
        }
        let Some((id, scenario, before, day)) = self.on_tracks().find_map(|o| {
            let day = o.day(day);
            (!o.is_drawn(day)).then(|| (o.id, Arc::clone(&o.scenario), o.drawn.clone(), day))
        }) else {
            return;
        };
        let library = Arc::clone(library);
        let asked = self.drawing.ask(wake, move |work| {
            crate::jobs::spread(|| match before {
                Some(before) => before.with_in_full(day, &|| work.wanted()),
                None => Prepared::new(scenario, &mut crate::engine::run::Workshop::default(), &library).run(None, day, &ByWork(work)),
            })
        });
        match asked {
            Ok(number) => self.drawn = Some((id, number)),
            Err(_) => self.show(id, false),
        }
    }
}
