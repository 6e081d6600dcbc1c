//! Commands: the window, and everything that runs without one. No physics and no file formats.
//!
//! Standard output carries results only; what went wrong goes to standard error as one line of cause and one of remedy.
//! Exit code 2 means bad input, 1 a failed run, 0 all else.

mod answers;
mod check;
mod choose;
mod climate;
mod compare;
mod equipment;
mod failure;
mod find_schedule;
mod flush;
mod grace;
mod input;
mod interrupt;
#[cfg(feature = "window")]
mod opening;
mod output;
mod presets;
mod progress;
mod simulate;
mod spread;
mod window;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Projects the root zone of a soilless crop through the day: water, air, suction, salt and drain.
#[derive(Debug, Parser)]
#[command(name = "slakeline", version, args_conflicts_with_subcommands = true)]
#[command(after_help = "Without a command the window opens. A projection to think with, not a controller: probe, scale and plant decide.")]
struct Cli {
    /// Scenario to open in the window
    file: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Run a scenario and print the figures of its last day
    Simulate(simulate::Arguments),
    /// Check a scenario: every value that cannot be, one a line
    Check {
        /// Scenario file, or - for standard input
        file: PathBuf,
    },
    /// Find a schedule that meets the aims of the lanes on the day that repeats itself
    FindSchedule(find_schedule::Arguments),
    /// Tell how long plants go on when the pump, an emitter, the tank or the drain fails, from every hour of a day
    Grace(grace::Arguments),
    /// Tell what it takes to rinse salt out: litres, events and hours
    Flush(flush::Arguments),
    /// Tell how sure the figures are: bands, the chance of each aim, and which unknown matters most
    Spread(spread::Arguments),
    /// Read a climate log (CSV) and print each of its days
    Climate(climate::Arguments),
    /// Hold root zones of every medium and volume beside each other for a lane's crop, load and pump
    Choose(choose::Arguments),
    /// Hold 2 to 4 scenarios side by side: setup, schedule and figures
    Compare(compare::Arguments),
    /// List presets, or print one as it is written
    Presets {
        #[arg(help = presets::kinds_in_words())]
        kind: Option<String>,
        /// Name of a preset
        name: Option<String>,
    },
}

/// Runs the program and returns its exit code. The first argument is the program's name.
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(usage) => {
            // A closed pipe is no reason to complain about the help text.
            let _ = usage.print();
            return ExitCode::from(u8::try_from(usage.exit_code()).unwrap_or(2));
        }
    };
    let done = match cli.command {
        None => window::run(cli.file),
        Some(Command::Simulate(arguments)) => simulate::run(&arguments),
        Some(Command::Check { file }) => check::run(&file),
        Some(Command::FindSchedule(arguments)) => find_schedule::run(&arguments),
        Some(Command::Grace(arguments)) => grace::run(&arguments),
        Some(Command::Flush(arguments)) => flush::run(&arguments),
        Some(Command::Spread(arguments)) => spread::run(&arguments),
        Some(Command::Climate(arguments)) => climate::run(&arguments),
        Some(Command::Choose(arguments)) => choose::run(&arguments),
        Some(Command::Compare(arguments)) => compare::run(&arguments),
        Some(Command::Presets { kind, name }) => presets::run(kind.as_deref(), name.as_deref()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            // With standard error closed there is nobody left to tell.
            let _ = failure.tell(&mut std::io::stderr());
            ExitCode::from(failure.code)
        }
    }
}
