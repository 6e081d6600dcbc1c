//! `slakeline climate`: a climate log, day by day, and all that stands in the way of taking it.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::output;
use crate::physics::light::Source;
use crate::readings::taking::under_log;
use crate::readings::{Consent, MeanAir, Options, Problem, Reading, day_climates, parse_zone, read_climate, read_climate_file};
use crate::scenario::file::{self, printable};
use crate::scenario::{Demand, Scenario};
use crate::units::HOUR_S;

/// The log and how it is read.
#[derive(Clone, Debug, clap::Args)]
#[command(after_help = "Columns, in any order: time; light_w_m2, ppfd_umol or outside_w_m2; temperature_c; humidity_pct or vpd_kpa.")]
pub struct Arguments {
    /// Climate log (CSV), or - for standard input
    log: PathBuf,
    /// Fill gaps with a straight line
    #[arg(long)]
    fill_gaps: bool,
    /// The longest gap to fill, hours
    #[arg(long, value_name = "HOURS", default_value_t = 3.0, allow_negative_numbers = true)]
    longest_gap: f64,
    /// Leave bad rows out, and a first or last day that misses too much
    #[arg(long)]
    skip_bad: bool,
    /// What light in µmol/m²/s comes from
    #[arg(long, value_name = "SOURCE")]
    light: Option<LightSource>,
    /// Share of the light outside that comes in, above 0 to 1
    #[arg(long, value_name = "SHARE", allow_negative_numbers = true)]
    transmission: Option<f64>,
    /// Zone of the house, such as +01:00, for times that are written with one
    #[arg(long, value_name = "ZONE", allow_hyphen_values = true)]
    zone: Option<String>,
    /// Scenario to give this climate
    #[arg(long, value_name = "SCENARIO.ron", requires = "save")]
    into: Option<PathBuf>,
    /// Where that scenario is saved, or - for standard output
    #[arg(long, value_name = "OUT.ron", requires = "into")]
    save: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum LightSource {
    Sun,
    Led,
    Sodium,
}

/// Runs the command. Problems go to standard error, one a line.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let options = options(arguments)?;
    let read = if output::is_standard(&arguments.log) {
        read_climate(io::stdin().lock(), &options)
    } else {
        read_climate_file(&arguments.log, &options)
    };
    let reading = read.map_err(|problems| refusal(arguments, &problems))?;
    let (Some(into), Some(save)) = (&arguments.into, &arguments.save) else {
        return output::to_standard(|out| write(out, &reading));
    };
    let scenario = with_climate(into, &reading)?;
    if output::is_standard(save) {
        let text = file::to_text(&scenario)?;
        return output::to_standard(|out| out.write_all(text.as_bytes()));
    }
    if same_file(save, &arguments.log) {
        let cause = format!("--save {} is the log itself, which it would overwrite", save.display());
        return Err(Failure::input(cause, "Give the scenario a name of its own."));
    }
    file::save(&scenario, save)?;
    output::to_standard_or_beside(true, |out| {
        write(out, &reading)?;
        writeln!(out)?;
        tell_scenario(out, &scenario, reading.days)
    })
}

/// A scenario under the log's climate; it is sound and can be read again.
fn with_climate(path: &Path, reading: &Reading) -> Result<Scenario, Failure> {
    let library = super::input::library();
    let scenario = super::input::load(path, &library)?;
    under_log(&scenario, reading.log.clone(), &library).map_err(|refused| Failure::input(refused.to_string(), refused.remedy()))
}

/// What the climate changes in the scenario and what it does not.
fn tell_scenario(out: &mut dyn Write, scenario: &Scenario, days: u32) -> io::Result<()> {
    writeln!(out, "\"{}\" has this climate now.", scenario.name)?;
    let measured: Vec<_> = scenario.lanes.iter().filter(|l| matches!(l.demand, Demand::Measured { .. })).map(|l| l.name.as_str()).collect();
    if !measured.is_empty() {
        writeln!(
            out,
            "Use is measured and stays as it is in: {}. To follow the log, choose use from the climate there.",
            measured.join(", ")
        )?;
    }
    if scenario.days != days {
        writeln!(out, "The log has {days} days, the scenario runs {}.", scenario.days)?;
    }
    Ok(())
}

fn same_file(a: &Path, b: &Path) -> bool {
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}

fn options(arguments: &Arguments) -> Result<Options, Failure> {
    let hours = arguments.longest_gap;
    if !(0.0..=24.0).contains(&hours) {
        return Err(Failure::input(format!("--longest-gap is {hours}; allowed: 0 to 24 hours"), "Give a number of hours, such as 3."));
    }
    let zone = arguments.zone.as_deref().map(|text| {
        parse_zone(text)
            .ok_or_else(|| Failure::input(format!("--zone is \"{text}\", which is no zone"), "Write it as +01:00, -05:00 or Z."))
    });
    let source = arguments.light.map(|light| match light {
        LightSource::Sun => Source::Sun,
        LightSource::Led => Source::Led,
        LightSource::Sodium => Source::Sodium,
    });
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let longest_gap_s = (hours * HOUR_S).round() as u32;
    Ok(Options {
        name: if output::is_standard(&arguments.log) { "standard input".to_owned() } else { String::new() },
        source,
        transmission: arguments.transmission,
        zone: zone.transpose()?,
        skip_bad: arguments.skip_bad,
        fill_gaps: arguments.fill_gaps,
        longest_gap_s,
    })
}

/// Lists the problems, where there are several, and sums them up.
fn refusal(arguments: &Arguments, problems: &[Problem]) -> Failure {
    let place = if output::is_standard(&arguments.log) { "standard input".to_owned() } else { arguments.log.display().to_string() };
    if let [only] = problems {
        let line = only.line.map_or_else(String::new, |line| format!("line {line}: "));
        return Failure::input(format!("{place}: {line}{}", only.what), format!("{}{}", only.remedy, consents(problems)));
    }
    for problem in problems {
        // With standard error closed there is nobody left to tell.
        let _ = writeln!(io::stderr(), "{}", printable(&problem.to_string(), 1000));
    }
    let advice = format!("Correct the lines named above.{}", consents(problems));
    Failure::input(format!("{place}: {} problems, so nothing was taken", problems.len()), advice)
}

/// The options that would settle problems.
fn consents(problems: &[Problem]) -> &'static str {
    let any = |consent: Consent| problems.iter().any(|p| p.consent == Some(consent));
    match (any(Consent::SkipBad), any(Consent::FillGaps)) {
        (true, true) => " With --skip-bad bad rows are left out, with --fill-gaps gaps are filled.",
        (true, false) => " With --skip-bad bad rows are left out.",
        (false, true) => " With --fill-gaps gaps are filled.",
        (false, false) => "",
    }
}

fn write(out: &mut dyn Write, reading: &Reading) -> io::Result<()> {
    let count = |n: u32, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    let step = if reading.step_s.is_multiple_of(60) { format!("{} min", reading.step_s / 60) } else { format!("{} s", reading.step_s) };
    writeln!(out, "{}", printable(&reading.log.name, 200))?;
    writeln!(out, "{}, {} rows, one every {step}", count(reading.days, "day"), reading.log.rows.len())?;
    writeln!(out)?;
    writeln!(out, "{:>4} {:>11} {:>9}   {:<18}   mean by night", "day", "light sum", "light", "mean by day")?;
    writeln!(out, "{:>4} {:>11} {:>9}   {:>6} {:>11}   {:>6} {:>11}", "", "MJ/m²", "h", "°C", "VPD kPa", "°C", "VPD kPa")?;
    for (i, day) in day_climates(&reading.log).iter().enumerate() {
        let (by_day, by_night) = (air(day.by_day), air(day.by_night));
        writeln!(out, "{:>4} {:>11.2} {:>9.1}   {by_day}   {by_night}", i + 1, day.shortwave_mj, day.light_h)?;
    }
    if !reading.told.is_empty() {
        writeln!(out)?;
    }
    reading.told.iter().try_for_each(|told| writeln!(out, "{}", printable(told, 1000)))
}

fn air(mean: Option<MeanAir>) -> String {
    mean.map_or_else(|| format!("{:>6} {:>11}", "-", "-"), |m| format!("{:>6.1} {:>11.2}", m.celsius, m.deficit))
}
