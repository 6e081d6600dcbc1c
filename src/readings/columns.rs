//! Which column of a log holds what, by its header.

use super::findings::{Asks, Findings, Kind, Problem};
use super::options::Options;
use super::stamp;
use crate::physics::light::Source;
use crate::scenario::file::printable;

const TIME: &str = "time";
const WATTS: &str = "light_w_m2";
const PPFD: &str = "ppfd_umol";
const OUTSIDE: &str = "outside_w_m2";
const TEMPERATURE: &str = "temperature_c";
const HUMIDITY: &str = "humidity_pct";
const DEFICIT: &str = "vpd_kpa";
const KNOWN: [&str; 7] = [TIME, WATTS, PPFD, OUTSIDE, TEMPERATURE, HUMIDITY, DEFICIT];

/// What light is read from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Light {
    /// Shortwave radiation above the canopy.
    Watts,
    /// Photon flux of a source.
    Photons(Source),
    /// Radiation outside, of which this share comes in.
    Outside(f64),
}

impl Light {
    pub(super) fn column(self) -> &'static str {
        match self {
            Self::Watts => WATTS,
            Self::Photons(_) => PPFD,
            Self::Outside(_) => OUTSIDE,
        }
    }
}

/// What humidity is read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Moisture {
    /// Relative humidity, percent.
    Percent,
    /// Vapour pressure deficit, kPa.
    Deficit,
}

/// Where each quantity stands in a row.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    pub(super) count: usize,
    pub(super) time: usize,
    pub(super) light: (usize, Light),
    pub(super) temperature: usize,
    pub(super) moisture: (usize, Moisture),
}

impl Columns {
    /// Finds the columns of a header. What is missing is noted; then there are none.
    pub(super) fn find(header: &[String], line: u64, options: &Options, findings: &mut Findings) -> Option<Self> {
        let names: Vec<String> = header.iter().map(|name| name.to_lowercase()).collect();
        if !names.iter().any(|name| KNOWN.contains(&name.as_str())) {
            findings.note(unnamed(header, line), "");
            return None;
        }
        twice(&names, line, findings);
        let at = |name: &str| names.iter().position(|n| n == name);
        let mut search = Search { header, line, findings };
        let light = search.light(at(WATTS), at(PPFD), at(OUTSIDE), options);
        let time = search.needed(at(TIME), TIME, "the time of each row, as 2026-03-02T08:15 or 08:15");
        let temperature = search.needed(at(TEMPERATURE), TEMPERATURE, "air temperature in °C");
        let moisture = at(HUMIDITY).map(|i| (i, Moisture::Percent)).or(at(DEFICIT).map(|i| (i, Moisture::Deficit)));
        let moisture =
            search.needed(moisture, &format!("{HUMIDITY} or {DEFICIT}"), "relative humidity in percent or vapour pressure deficit");
        let columns = Self { count: names.len(), time: time?, light: light?, temperature: temperature?, moisture: moisture? };
        columns.tell_unused(header, findings);
        Some(columns)
    }

    fn tell_unused(&self, header: &[String], findings: &mut Findings) {
        let used = [self.time, self.light.0, self.temperature, self.moisture.0];
        let unused: Vec<_> =
            (0..header.len()).filter(|i| !used.contains(i) && !header[*i].is_empty()).map(|i| quoted(&header[i])).collect();
        if !unused.is_empty() {
            findings.tell(format!("Columns not used: {}.", listed(&unused)));
        }
    }
}

struct Search<'a> {
    header: &'a [String],
    line: u64,
    findings: &'a mut Findings,
}

impl Search<'_> {
    fn needed<T>(&mut self, found: Option<T>, name: &str, meaning: &str) -> Option<T> {
        if found.is_none() {
            let names: Vec<_> = self.header.iter().map(|n| quoted(n)).collect();
            let what = format!("there is no column {name} ({meaning}); the columns are {}", listed(&names));
            self.missing(what, "Name the column so in the first line, or add it.".to_owned(), None);
        }
        found
    }

    fn missing(&mut self, what: String, remedy: String, asks: Option<Asks>) {
        let problem = Problem { asks, ..Problem::of(Kind::Columns, Some(self.line), what, remedy) };
        self.findings.note(problem, "");
    }

    /// Light above the canopy where it was logged, else from outside.
    fn light(&mut self, watts: Option<usize>, ppfd: Option<usize>, outside: Option<usize>, options: &Options) -> Option<(usize, Light)> {
        if let Some(at) = watts {
            return Some((at, Light::Watts));
        }
        if let Some(at) = ppfd {
            if options.source.is_none() {
                let what = format!("{PPFD} loads a canopy by what it comes from, and that is not said");
                self.missing(what, "Say whether it is sun, led or sodium light.".to_owned(), Some(Asks::Source));
            }
            return options.source.map(|source| (at, Light::Photons(source)));
        }
        let known = outside.zip(options.transmission);
        match (outside, options.transmission) {
            (Some(_), None) => {
                let what = format!("there is light outside ({OUTSIDE}) but none above the canopy ({WATTS} or {PPFD})");
                let remedy = "Say which share of it comes in (the transmission), such as 0.65, or log the light inside.";
                self.missing(what, remedy.to_owned(), Some(Asks::Transmission));
            }
            (Some(_), Some(share)) if !(share > 0.0 && share <= 1.0) => {
                self.missing(
                    format!("the transmission is {share}; allowed: above 0, to 1"),
                    "Give it as a share, such as 0.65.".to_owned(),
                    Some(Asks::Transmission),
                );
                return None;
            }
            (Some(_), Some(_)) => {}
            (None, _) => {
                self.needed(None::<()>, &format!("{WATTS} or {PPFD}"), "light above the canopy in W/m² or µmol/m²/s");
            }
        }
        known.map(|(at, share)| (at, Light::Outside(share)))
    }
}

/// A first line that names nothing that is looked for.
fn unnamed(header: &[String], line: u64) -> Problem {
    let what = if header.first().is_some_and(|first| stamp::reads(first)) {
        "the columns have no names: the first line holds values already".to_owned()
    } else {
        let names: Vec<_> = header.iter().map(|n| quoted(n)).collect();
        format!("the first line names no column of a climate log; it holds {}", listed(&names))
    };
    let remedy = format!("Name the columns in the first line, such as {TIME},{WATTS},{TEMPERATURE},{HUMIDITY}.");
    Problem::of(Kind::Columns, Some(line), what, remedy)
}

/// Notes known columns that are there twice.
fn twice(names: &[String], line: u64, findings: &mut Findings) {
    for known in KNOWN.into_iter().filter(|known| names.iter().filter(|n| n == known).count() > 1) {
        let what = format!("the column {known} is there twice");
        findings.note(Problem::of(Kind::Columns, Some(line), what, "Keep one and give the other another name."), "");
    }
}

fn quoted(name: &str) -> String {
    format!("\"{}\"", printable(name, 40))
}

/// Names in a row, a dozen at most.
fn listed(names: &[String]) -> String {
    const MOST: usize = 12;
    let more = names.len().saturating_sub(MOST);
    let shown = names.get(..MOST).unwrap_or(names).join(", ");
    if more == 0 { shown } else { format!("{shown} and {more} more") }
}
