//! A climate log from CSV.
//!
//! Columns are found by header, in any order: `time`; light as `light_w_m2`, `ppfd_umol` or, where neither is there,
//! `outside_w_m2`; `temperature_c`; `humidity_pct` or `vpd_kpa`. Rows stand 1 minute to 1 hour apart.

use std::io::Read;
use std::path::Path;

use super::columns::Columns;
use super::days::day_climates;
use super::findings::{Consent, Findings, Kind, Problem};
use super::gaps::{self, Pace};
use super::lines::{Line, Lines, Separator, too_large, unreadable};
use super::options::Options;
use super::order::in_order;
use super::rows::{MAX_BYTES, MAX_ROWS, Row, length, midnight, usual_step};
use super::stamp::{Timekeeper, date_of};
use super::values::Values;
use crate::scenario::climate::{ClimateLog, LogRow};
use crate::scenario::disk::special;
use crate::scenario::file::printable;
use crate::scenario::{Lamp, MAX_DAYS, ranges};
use crate::units::{WHOLE_DAY_S, WHOLE_HOUR_S};
use jiff::civil::Date;

/// Longest name, characters.
const NAME: usize = 80;
/// Longest account of what was done that a scenario keeps, characters.
const SOURCE: usize = 3000;
/// Warmest mean of a log that is believed, °C.
const HOTTEST: f64 = 45.0;

/// A log that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The log, from the midnight before its first row.
    pub log: ClimateLog,
    /// What was left out, filled and taken for granted, a sentence each, with lines.
    pub told: Vec<String>,
    /// How many days it covers, 1–366.
    pub days: u32,
    /// The usual step between its rows, s, 60–3600.
    pub step_s: u32,
    /// Its first day, where times were written with dates.
    pub first_day: Option<Date>,
    /// Offset from UTC, s, of the clock that times are told by, where they were written with zones.
    pub zone: Option<i32>,
}

/// Reads a climate log from a file.
///
/// # Errors
/// Every problem that stands, in order of lines; a sort that fills the list is counted beyond twenty.
pub fn read_climate_file(path: &Path, options: &Options) -> Result<Reading, Vec<Problem>> {
    let open = || -> std::io::Result<_> {
        // Pipes and devices have no length beforehand; they are given up where nothing comes.
        let bytes = path.metadata()?.len();
        Ok((special::open(path)?, bytes))
    };
    let (file, bytes) = open().map_err(|e| vec![unreadable(&e)])?;
    if bytes > MAX_BYTES {
        return Err(vec![too_large(Some(bytes))]);
    }
    let name = path.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    read_climate(file, &Options { name: if options.name.is_empty() { name } else { options.name.clone() }, ..options.clone() })
}

/// Reads a climate log line by line.
///
/// ```
/// use slakeline::readings::{Options, read_climate};
/// let mut csv = "time,light_w_m2,temperature_c,humidity_pct\n".to_owned();
/// for hour in 0..24 {
///     csv += &format!("{hour}:00,{},21,75\n", if (6..18).contains(&hour) { 300 } else { 0 });
/// }
/// let reading = read_climate(csv.as_bytes(), &Options::default()).unwrap();
/// assert_eq!((reading.days, reading.step_s, reading.log.rows.len()), (1, 3600, 24));
///
/// let broken = csv.replace("9:00,300", "9:00,2000");
/// let problems = read_climate(broken.as_bytes(), &Options::default()).unwrap_err();
/// assert!(problems[0].to_string().starts_with("line 11: light_w_m2 is 2000"));
/// ```
///
/// # Errors
/// As [`read_climate_file`].
pub fn read_climate(from: impl Read, options: &Options) -> Result<Reading, Vec<Problem>> {
    let mut findings = Findings::new(options.skip_bad, options.fill_gaps);
    let mut lines = Lines::new(from).map_err(|p| vec![p])?;
    let Some(header) = lines.next().map_err(|p| vec![p])? else {
        return Err(vec![Problem::of(Kind::File, None, "the file holds nothing but comments", "Export the log again.")]);
    };
    let separator = Separator::of(&header.text);
    let names = separator.split(&header.text).unwrap_or_default();
    let columns = Columns::find(&names, header.number, options, &mut findings).filter(|_| !findings.stand());
    let Some(columns) = columns else { return Err(findings.into_problems()) };
    let light = columns.light.1.column();
    let mut table = Table::new(columns, separator, options);
    table.read(&mut lines, &mut findings).map_err(|p| vec![p])?;
    table.clock.tell(&mut findings);
    table.values.tell(&mut findings);
    let (dated, zone) = (table.clock.dated(), table.clock.told_by());
    let Some(arranged) = arrange(table, options, &mut findings) else {
        return Err(findings.into_problems());
    };
    believe(&arranged.rows, &mut findings);
    let told = findings.close()?;
    let first_day = date_of(arranged.start).filter(|_| dated);
    Ok(Reading { first_day, zone, ..reading(&arranged, told, options, light) })
}

/// The rows as they stand in the file.
struct Table {
    columns: Columns,
    separator: Separator,
    clock: Timekeeper,
    values: Values,
    rows: Vec<Row>,
    /// Lines of rows that are of no use.
    bad: Vec<u64>,
}

impl Table {
    fn new(columns: Columns, separator: Separator, options: &Options) -> Self {
        Self { columns, separator, clock: Timekeeper::new(options.zone), values: Values::new(separator), rows: Vec::new(), bad: Vec::new() }
    }

    /// Reads every row. Too many rows are counted, not kept.
    fn read(&mut self, lines: &mut Lines<impl Read>, findings: &mut Findings) -> Result<(), Problem> {
        let mut count = 0_usize;
        while let Some(line) = lines.next()? {
            count += 1;
            if count <= MAX_ROWS {
                self.row(&line, findings);
            }
        }
        if count > MAX_ROWS {
            let what = format!("the file has {count} rows; at most {MAX_ROWS} are read");
            return Err(Problem::of(Kind::File, None, what, "Export fewer days, or means over 5 to 15 minutes, and try again."));
        }
        Ok(())
    }

    fn row(&mut self, line: &Line, findings: &mut Findings) {
        match self.read_row(line, findings) {
            Ok(Some(row)) => return self.rows.push(row),
            Ok(None) => {}
            Err(problem) => findings.note(problem.unless(Consent::SkipBad), LEFT_OUT),
        }
        self.bad.push(line.number);
    }

    /// A row; none where values of it were noted.
    fn read_row(&mut self, line: &Line, findings: &mut Findings) -> Result<Option<Row>, Problem> {
        let fields = self.fields(line)?;
        let time = self.clock.seconds(line.number, fields.get(self.columns.time).map_or("", String::as_str))?;
        let values = self.values.read(line.number, &fields, &self.columns, findings);
        Ok(values.map(|values| Row { line: line.number, time, values }))
    }

    /// The fields of a line, as many as there are columns; empty ones at the end are not counted.
    fn fields(&self, line: &Line) -> Result<Vec<String>, Problem> {
        let wrong = |what: &str, remedy: &str| Problem::of(Kind::Unreadable, Some(line.number), what, remedy);
        if line.cut {
            return Err(wrong("the row is too long to be one", "Check the line ends: each row stands on a line of its own."));
        }
        let Some(mut fields) = self.separator.split(&line.text) else {
            return Err(wrong("quotation marks do not pair", "Delete the stray mark."));
        };
        let (found, columns) = (fields.len(), self.columns.count);
        while fields.len() > columns && fields.last().is_some_and(String::is_empty) {
            fields.pop();
        }
        if fields.len() == columns {
            return Ok(fields);
        }
        let remedy = if found > columns && !self.separator.leaves_commas() {
            "Delete what is too much; numbers with decimal commas need semicolons between columns."
        } else {
            "Give the row as many values as there are columns."
        };
        Err(wrong(&format!("the row has {found} values, the header names {columns} columns"), remedy))
    }
}

const LEFT_OUT: &str = "Left out.";

/// Rows in order of time, over whole days, without gaps.
struct Arranged {
    /// Times count from `start`.
    rows: Vec<Row>,
    /// The usual step between them, s.
    step: i64,
    /// The midnight before the first, by the clock of the log.
    start: i64,
}

fn arrange(table: Table, options: &Options, findings: &mut Findings) -> Option<Arranged> {
    let Table { clock, rows, mut bad, .. } = table;
    let read = rows.len();
    let mut rows = in_order(rows, clock.dated(), clock.may_jump(), &mut bad, findings);
    gaps::without_closing_row(&mut rows, findings);
    let Some(step) = usual_step(&rows) else {
        if !findings.stand() {
            let what = format!("{} could be read; a log needs two at least", if read == 1 { "1 row" } else { "no row" });
            findings.note(Problem::of(Kind::Span, None, what, "Correct the rows, or export more of the log."), "");
            findings.take_back();
        }
        return None;
    };
    check_span(&rows, step, findings)?;
    // Once bad rows are left out, what they leave is missing.
    bad.retain(|_| !options.skip_bad);
    bad.sort_unstable();
    let pace = Pace { step, dated: clock.dated(), may_jump: clock.may_jump() };
    let rows = gaps::mend_ends(rows, pace, options, findings);
    let mut rows = gaps::mend(rows, &bad, pace, options, findings);
    gaps::from_midnight(&mut rows);
    if rows.len() > MAX_ROWS {
        let what = format!("with its gaps filled the log has more than {MAX_ROWS} rows");
        findings.note(Problem::of(Kind::Span, None, what, "Export fewer days, or means over 5 to 15 minutes."), "");
        return None;
    }
    let start = midnight(rows.first()?.time);
    rows.iter_mut().for_each(|row| row.time -= start);
    Some(Arranged { rows, step, start })
}

/// Refuses steps and spans that are no climate log's.
fn check_span(rows: &[Row], step: i64, findings: &mut Findings) -> Option<()> {
    let mut refuse = |line: Option<u64>, what: String, remedy: &str| findings.note(Problem::of(Kind::Span, line, what, remedy), "");
    if step < 60 {
        refuse(None, format!("rows stand {} apart; the least is 1 min", length(step)), "Export means over 1 to 15 minutes.");
        return None;
    }
    if step > i64::from(WHOLE_HOUR_S) {
        refuse(None, format!("rows stand {} apart; the most is 1 h", length(step)), "Export means over 5 minutes to 1 hour.");
        return None;
    }
    let days = (midnight(rows.last()?.time) - midnight(rows.first()?.time)) / i64::from(WHOLE_DAY_S) + 1;
    if days > i64::from(MAX_DAYS) {
        let widest = rows.windows(2).max_by_key(|pair| pair[1].time - pair[0].time).map(|pair| pair[1].line);
        let what = format!("the log covers {days} days; at most {MAX_DAYS} are read. Its widest gap ends in this line");
        refuse(widest, what, "Correct the date if it is mistyped, or export fewer days.");
        return None;
    }
    Some(())
}

/// Doubts what single values do not betray: light and warmth beyond what there is on earth.
fn believe(rows: &[Row], findings: &mut Findings) {
    let mut doubt = |line: u64, what: String, remedy: &str| {
        findings.note(Problem::of(Kind::Range, Some(line).filter(|&l| l > 0), what, remedy), "");
    };
    #[allow(clippy::cast_precision_loss)]
    let mean = rows.iter().map(|row| row.values[1]).sum::<f64>() / rows.len().max(1) as f64;
    if mean > HOTTEST {
        let what = format!("temperature_c is {mean:.0} on the mean of the log; believed: up to {HOTTEST} °C");
        doubt(1, what, "It may be degrees Fahrenheit: take 32 off and multiply by 5/9.");
    }
    let most = ranges::DAY_LIGHT.1;
    for (i, day) in day_climates(&log(rows)).iter().enumerate().filter(|(_, day)| day.shortwave_mj > most) {
        let first =
            rows.iter().find(|row| row.line > 0 && row.time.div_euclid(i64::from(WHOLE_DAY_S)) == i64::try_from(i).unwrap_or_default());
        let what =
            format!("the light of day {} that begins here sums to {:.0} MJ/m²; believed: up to {most} MJ/m²", i + 1, day.shortwave_mj);
        doubt(
            first.map_or(0, |row| row.line),
            what,
            "It may be in µmol/m²/s, or of another source: then name the column ppfd_umol and say which.",
        );
    }
}

/// The rows as a scenario has them.
fn log(rows: &[Row]) -> ClimateLog {
    // Whole seconds of up to 366 days, and values of few digits.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let row = |row: &Row| {
        let [light, celsius, humidity] = row.values.map(|v| (v * 1000.0).round() / 1000.0).map(|v| v as f32);
        LogRow(row.time as u32, light, celsius, humidity)
    };
    ClimateLog { name: String::new(), source: String::new(), lamp: None, rows: rows.iter().map(row).collect() }
}

fn reading(arranged: &Arranged, told: Vec<String>, options: &Options, light: &str) -> Reading {
    // A file may be called what a scenario does not take for a name.
    let name: String = printable(options.name.trim(), NAME).chars().take(NAME).collect();
    let name = if name.is_empty() { "climate log".to_owned() } else { name };
    let source = source(&format!("Logged every {}, light from {light}.", length(arranged.step)), &told);
    let lamp = options.source.and_then(|source| [Lamp::Led, Lamp::Sodium].into_iter().find(|lamp| lamp.source() == source));
    let log = ClimateLog { name, source, lamp, ..log(&arranged.rows) };
    Reading { days: log.days(), step_s: u32::try_from(arranged.step).unwrap_or_default(), told, log, first_day: None, zone: None }
}

/// Where a log comes from and what was done to it, as long as a scenario keeps it.
fn source(begin: &str, told: &[String]) -> String {
    let mut text = begin.to_owned();
    for (i, sentence) in told.iter().enumerate() {
        let sentence = printable(sentence, SOURCE);
        // Room is left for the count.
        if text.chars().count() + sentence.chars().count() + 30 > SOURCE {
            text += &format!(" And {} more.", told.len() - i);
            break;
        }
        text = format!("{text} {sentence}");
    }
    text
}
