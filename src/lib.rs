//! Slakeline projects the root zone of a soilless crop through the day: water, air, suction, salt and drain, for a schedule of
//! irrigation events.
//!
//! A run from beginning to end:
//!
//! ```
//! use slakeline::engine::run::run_scenario;
//! use slakeline::figures::day_figures;
//! use slakeline::scenario::{Clock, Event, presets::{Library, demos}};
//!
//! let library = Library::shipped();
//! let (_, mut bench) = demos().swap_remove(0);
//! bench.valves[0].schedule.push(Event::drip(Clock::hm(17, 0), 5, 60.0)); // one event more, 60 mL in 5 minutes
//! let run = run_scenario(&bench, &library)?;
//! let day = day_figures(&run.lanes[0], &bench.lanes[0], 0).expect("the run reached midnight");
//! println!("{:.0} mL given, {:.0} mL drained", day.applied_ml, day.drained_ml);
//! assert!(run.closure().closes() && day.drained_ml < day.applied_ml);
//! # Ok::<(), slakeline::engine::column::BuildError>(())
//! ```
//!
//! Benches come from files with [`scenario::file::load`], which names what cannot be. Their numbers are listed, read and written by name
//! with [`scenario::Scenario::parameters`], [`parameter`](scenario::Scenario::parameter) and
//! [`set_parameter`](scenario::Scenario::set_parameter); [`figures::misses`] tells how far a day is from its aims. Results are plain data
//! that serde can write.
//!
//! The house has floors, and a lower floor never knows a higher one:
//! [`physics`], [`units`] (pure functions), [`jobs`] (work on threads) and [`help`] (the chapters of the help) → [`scenario`]
//! (plain data, files, presets) and [`edits`] (changes of it) → [`engine`]
//! (column, water, salt, run) → [`figures`] (the day's numbers) and [`readings`] (logs) → [`studies`] (questions asked of a bench) →
//! [`projection`] (what a bench shows) and [`sheet`] (exports) → [`cli`] and, with the feature `window`, `app`.
//!
//! Each floor has one error, with one line of cause (`Display`) and, where there is something to do, one of `remedy()`; the narrower ones that
//! its functions name turn into it with `?`: [`scenario::ScenarioError`] and [`edits::Refused`] for data and changes of it,
//! [`engine::EngineError`] for runs, [`readings::Problem`] for logs, [`studies::StudyError`] for questions.
//!
//! ```
//! use slakeline::scenario::{ScenarioError, file, presets::{Library, demo_text, demos}};
//!
//! fn with_more_water(text: &str) -> Result<f64, ScenarioError> {
//!     let mut bench = file::parse(text)?;
//!     let before = bench.parameter("lanes[0].dose", &Library::shipped())?.value;
//!     bench.set_parameter("lanes[0].dose", 1.1 * before, &Library::shipped())?;
//!     Ok(bench.lanes[0].dose / before)
//! }
//! let text = demo_text(&demos()[0].0).expect("a demo has a text");
//! assert!((with_more_water(text).unwrap() - 1.1).abs() < 1e-12);
//! assert!(with_more_water("(format: 2)").unwrap_err().remedy().len() > 10);
//! ```

#[cfg(feature = "window")]
pub mod app;
pub mod cli;
pub mod edits;
pub mod engine;
pub mod figures;
pub mod help;
pub mod jobs;
pub mod numerics;
pub mod physics;
pub mod projection;
pub mod readings;
pub mod scenario;
pub mod sheet;
pub mod studies;
pub mod units;
