//! Many benches of one question: members run in parallel, each for itself, and of each only what a recorder keeps of its lanes stays.

use rayon::prelude::*;

use super::error::EngineError;
use super::feedback::Until;
use super::lane::Ready;
use super::recorder::Recorder;
use super::workshop::ReadyBench;
use crate::engine::column::BuildError;

/// What came of a member: what was kept of each of its lanes.
pub type Outcome<K> = Result<Vec<K>, EngineError>;

/// Who waits for a batch.
#[derive(Clone, Copy)]
pub struct Watch<'a, K> {
    /// Asked before each day of each lane, whether to go on.
    pub go_on: &'a (dyn Fn() -> bool + Sync),
    /// Told of every member that is done, by its place, as it is done: in any order, and by any thread.
    pub done: &'a (dyn Fn(usize, &Outcome<K>) + Sync),
}

impl<K> Watch<'_, K> {
    /// Nobody in particular.
    pub const NOBODY: Self = Self { go_on: &|| true, done: &|_, _| {} };
}

/// Runs every member for so many days, in parallel; lanes of a member run one after the other. `ready` makes a member ready when its turn
/// comes, so that no more of them take room than there are threads, and `recorder` chooses what is kept of each of its lanes. A member that
/// fails is carried as its error; the others go on. `None` when the watch said no. The result does not depend on how many threads there are.
#[allow(clippy::needless_pass_by_value)] // two references
pub fn batch<M: Sync, R: Recorder>(
    members: &[M],
    days: u32,
    ready: impl Fn(&M) -> Result<ReadyBench, BuildError> + Sync,
    recorder: impl Fn(&M, usize, &Ready) -> R + Sync,
    watch: Watch<'_, R::Kept>,
) -> Option<Vec<Outcome<R::Kept>>>
where
    R::Kept: Send,
{
    let go_on = || (watch.go_on)();
    let lane_of = |member: &M, (i, lane): (usize, Ready)| -> Option<Result<R::Kept, EngineError>> {
        let mut recorder = recorder(member, i, &lane);
        let ended = lane.run_with(days, &mut recorder, &go_on)?;
        Some(match ended.failure() {
            Some(why) => Err(EngineError::ran(&lane.name, why)),
            None => Ok(recorder.kept()),
        })
    };
    let one = |(i, member): (usize, &M)| -> Option<Outcome<R::Kept>> {
        let outcome = match ready(member) {
            Err(unbuilt) => Err(unbuilt.into()),
            Ok(bench) => {
                let lanes = bench.timed(Until { days, settled: false }, &go_on)?;
                lanes.into_iter().enumerate().map(|lane| lane_of(member, lane)).collect::<Option<_>>()?
            }
        };
        (watch.done)(i, &outcome);
        Some(outcome)
    };
    members.par_iter().enumerate().with_max_len(1).map(one).collect()
}
