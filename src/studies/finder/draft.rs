//! A draft: the finder's quick form, for one lane alone.

use super::asked::{Asked, usual_rinse};
use super::budget::Budget;
use super::hardware::Hardware;
use super::judged::LaneSettled;
use super::search::Search;
use super::setup::Setup;
use super::waiting::Waiting;
use super::words::{missed_words, of_lane};
use crate::scenario::presets::Library;
use crate::scenario::{Event, Scenario};
use crate::studies::StudyError;
use crate::units::Units;

/// Starts of a draft stand on this grid, s (judgement): times that are easily read.
const GRID_S: u32 = 300;

/// Something to begin from.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The events.
    pub events: Vec<Event>,
    /// What its settled day comes to, in words: that every aim is met, or which is not and by how much.
    pub told: String,
    /// Whether every aim is met, on a day that repeats itself.
    pub meets_all: bool,
}

/// A schedule for one lane of a bench (by its index), as if it had its valve to itself, with the bench's feed as it is; `None` where it was given
/// up before one had settled.
///
/// # Errors
/// [`StudyError`].
pub fn draft(scenario: &Scenario, lane: usize, library: &Library, go_on: &(dyn Fn() -> bool + Sync)) -> Result<Option<Draft>, StudyError> {
    let valve = scenario.valve_of(lane);
    let mut alone = scenario.clone();
    let mut at = 0..;
    // Rules that listen to a lane that is left out go with all rules of the valve, which a draft does without.
    alone.lanes.retain(|l| at.next() == Some(lane) || l.valve != valve);
    let usual = Asked::within_the_light(&alone);
    let hardware = Hardware { timer_step_s: GRID_S, ..usual.hardware };
    let asked = Asked { valve, hardware, rinse_ec: Some(usual_rinse(&alone, valve)), ..usual };
    let waiting = Waiting { go_on, ..Waiting::NOBODY };
    let Some(found) = Search::new(Setup::new(&alone, library, &asked)?).run(&Budget::DRAFT, waiting)? else { return Ok(None) };
    let day = if found.lanes.iter().all(LaneSettled::repeats) { "its settled day" } else { "the last day run" };
    let missed = missed_words(&found, Units::default());
    let first = if missed.is_empty() { format!("On {day} every aim is met.") } else { format!("On {day} not every aim is met.") };
    let mut told = vec![first];
    // There is but one lane: it need not be named in each.
    told.extend(missed.iter().chain(&of_lane(&found, Units::default())).map(|sentence| unnamed(sentence, &alone, valve)));
    if !missed.is_empty() {
        told.push("The schedule finder (Studies) looks further.".to_owned());
    }
    let told = told.join(" ");
    Ok(Some(Draft { meets_all: found.meets_all(), events: found.events, told }))
}

/// A sentence without the name of the lane that it begins with.
fn unnamed(sentence: &str, alone: &Scenario, valve: usize) -> String {
    let name = alone.lanes_on(valve).next().map_or("", |(_, lane)| lane.name.as_str());
    let Some(rest) = sentence.strip_prefix(name).and_then(|rest| rest.strip_prefix(": ")) else { return sentence.to_owned() };
    let mut letters = rest.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
