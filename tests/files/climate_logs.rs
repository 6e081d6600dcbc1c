//! Climate logs from CSV: what is taken, what is refused by line and with a remedy, and what consent changes.

use std::fmt::Write as _;
use std::io::Read as _;

use proptest::prelude::*;
use slakeline::physics::light::Source;
use slakeline::physics::moist_air::vapour_pressure_deficit;
use slakeline::readings::parse_zone;
use slakeline::readings::taking::{NotTaken, under_log};
use slakeline::readings::{
    Asks, Consent, Kind, MAX_BYTES, MAX_ROWS, Options, Problem, Reading, day_climates, read_climate, read_climate_file,
};
use slakeline::scenario::presets::{Library, demos};
use slakeline::scenario::{Climate, ClimateLog, Clock, Event, LogRow, PlanChange, Scenario};

const HEADER: &str = "time,light_w_m2,temperature_c,humidity_pct";

/// Clock of a minute of a log that begins on 2 March.
fn stamp(minute: u32) -> String {
    format!("2026-03-{:02}T{:02}:{:02}", 2 + minute / 1440, minute / 60 % 24, minute % 60)
}

fn light(minute: u32) -> u32 {
    if (360..1080).contains(&(minute % 1440)) { 300 } else { 0 }
}

fn row(minute: u32) -> String {
    format!("{},{},21.5,75", stamp(minute), light(minute))
}

/// A sound log: line 2 is midnight of the first day.
fn sound(step: u32, days: u32) -> Vec<String> {
    [HEADER.to_owned()].into_iter().chain((0..days * 1440 / step).map(|k| row(k * step))).collect()
}

fn read(lines: &[String], options: &Options) -> Result<Reading, Vec<Problem>> {
    read_climate(format!("{}\n", lines.join("\n")).as_bytes(), options)
}

fn plain(lines: &[String]) -> Result<Reading, Vec<Problem>> {
    read(lines, &Options::default())
}

fn skipping() -> Options {
    Options { skip_bad: true, ..Options::default() }
}

fn filling() -> Options {
    Options { fill_gaps: true, ..Options::default() }
}

fn both() -> Options {
    Options { skip_bad: true, fill_gaps: true, ..Options::default() }
}

/// The only problem, which stands in this line, and says this.
fn only(read: Result<Reading, Vec<Problem>>, line: Option<u64>, kind: Kind, what: &str, remedy: &str) -> Problem {
    let problems = read.unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:#?}");
    let problem = problems[0].clone();
    assert_eq!((problem.line, problem.kind), (line, kind), "{problem}");
    assert!(problem.what.contains(what), "{what}: {problem}");
    assert!(problem.remedy.contains(remedy) && problem.remedy.ends_with('.'), "{remedy}: {problem}");
    problem
}

fn times(reading: &Reading) -> Vec<u32> {
    reading.log.rows.iter().map(|r| r.0).collect()
}

#[test]
fn every_step_from_a_minute_to_an_hour_is_read() {
    for step in [1, 5, 15, 60] {
        let reading = plain(&sound(step, 3)).unwrap();
        assert_eq!((reading.days, reading.step_s), (3, step * 60));
        assert_eq!(reading.told, Vec::<String>::new());
        assert_eq!(times(&reading), (0..3 * 1440 / step).map(|k| k * step * 60).collect::<Vec<_>>());
        let noon = reading.log.rows.iter().find(|r| r.0 == 43_200).unwrap();
        assert_eq!((noon.1, noon.2, noon.3), (300.0, 21.5, 75.0));
        for day in day_climates(&reading.log) {
            assert!((day.shortwave_mj - 300.0 * 43_200.0 * 1e-6).abs() < 1e-9);
            assert!((day.light_h - 12.0).abs() < 1e-9);
            let deficit = vapour_pressure_deficit(21.5, 75.0);
            assert!([day.by_day, day.by_night].iter().all(|air| (air.unwrap().deficit - deficit).abs() < 1e-9));
        }
    }
}

#[test]
fn what_is_read_comes_back_from_csv_and_from_a_scenarios_text() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/climate-week-under-glass.csv");
    let first = read_climate_file(path.as_ref(), &Options::default()).unwrap();
    assert_eq!(first.log.name, "climate-week-under-glass");
    let mut text = format!("{HEADER}\n");
    for r in first.log.rows.iter() {
        let minute = r.0 / 60;
        let _ = writeln!(text, "2026-04-{:02} {:02}:{:02},{},{},{}", 13 + minute / 1440, minute / 60 % 24, minute % 60, r.1, r.2, r.3);
    }
    let again = read_climate(text.as_bytes(), &Options { name: first.log.name.clone(), ..Options::default() }).unwrap();
    assert_eq!(again, first);
    let ron = ron::to_string(&first.log).unwrap();
    assert_eq!(ron::from_str::<ClimateLog>(&ron).unwrap(), first.log);
}

#[test]
fn the_demo_week_runs_from_overcast_to_bright() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/climate-week-under-glass.csv");
    let reading = read_climate_file(path.as_ref(), &Options::default()).unwrap();
    assert_eq!((reading.days, reading.step_s, reading.told.len()), (7, 600, 0));
    let days = day_climates(&reading.log);
    let sums: Vec<f64> = days.iter().map(|d| d.shortwave_mj).collect();
    assert!(sums.iter().any(|s| *s < 5.0) && sums.iter().any(|s| *s > 14.0), "{sums:?}");
    for day in days {
        let (by_day, by_night) = (day.by_day.unwrap(), day.by_night.unwrap());
        assert!((12.0..14.0).contains(&day.light_h));
        assert!((18.0..28.0).contains(&by_day.celsius) && (16.0..21.0).contains(&by_night.celsius), "{day:?}");
        assert!((0.4..1.5).contains(&by_day.deficit) && (0.2..0.6).contains(&by_night.deficit), "{day:?}");
    }
}

#[test]
fn columns_stand_in_any_order_and_many_hands_are_read() {
    let expected = plain(&sound(60, 1)).unwrap().log.rows;
    let hours = || (0..24).map(|h| h * 60);
    let of = |header: &str, line: &dyn Fn(u32) -> String| [header.to_owned()].into_iter().chain(hours().map(line)).collect::<Vec<_>>();
    let reordered = of("Humidity_pct, note ,TIME,temperature_c,light_w_m2", &|m| format!("75,x,{},21.5,{}", stamp(m), light(m)));
    let reading = plain(&reordered).unwrap();
    assert_eq!(reading.log.rows, expected);
    assert_eq!(reading.told, ["Columns not used: \"note\"."]);
    let semicolons = of("time;light_w_m2;temperature_c;humidity_pct", &|m| format!("{};{};21,5;75,0", stamp(m), light(m)));
    let tabs = of("time\tlight_w_m2\ttemperature_c\thumidity_pct", &|m| format!("{}\t{}\t21,5\t75", stamp(m), light(m)));
    let quotes = of("\"time\",\"light_w_m2\",\"temperature_c\",\"humidity_pct\"", &|m| {
        format!("\"{}\",\"{}\",\"21.5\",\"75\"", stamp(m).replace('T', " "), light(m))
    });
    let clock = of(HEADER, &|m| format!("{}:{:02}:00,{},21.5,75,,", m / 60, m % 60, light(m)));
    for lines in [semicolons, tabs, quotes, clock] {
        let reading = plain(&lines).unwrap();
        assert_eq!((reading.log.rows, reading.told.len()), (expected.clone(), 0), "{}", lines[1]);
        let windows = format!("\u{feff}# from the house computer\r\n\r\n{}\r\n", lines.join("\r\n"));
        assert_eq!(read_climate(windows.as_bytes(), &Options::default()).unwrap().log.rows, expected);
    }
}

#[test]
fn light_and_humidity_are_read_from_what_was_logged() {
    let log = |header: &str, noon: &str| {
        let mut lines = vec![header.to_owned()];
        lines.extend((0..24).map(|h| format!("{h}:00,{noon}")));
        lines
    };
    let first = |reading: Reading| reading.log.rows[0];
    let ppfd = log("time,ppfd_umol,temperature_c,humidity_pct", "700,21,75");
    only(plain(&ppfd), Some(1), Kind::Columns, "ppfd_umol", "sun, led or sodium");
    for source in [Source::Sun, Source::Led, Source::Sodium] {
        let row = first(read(&ppfd, &Options { source: Some(source), ..Options::default() }).unwrap());
        assert!((row.shortwave() - source.shortwave(700.0)).abs() < 1e-3);
    }
    let outside = log("time,outside_w_m2,temperature_c,humidity_pct", "400,21,75");
    only(plain(&outside), Some(1), Kind::Columns, "none above the canopy", "transmission");
    for share in [65.0, 0.0, -0.5, f64::NAN] {
        let options = Options { transmission: Some(share), ..Options::default() };
        only(read(&outside, &options), Some(1), Kind::Columns, "above 0, to 1", "0.65");
    }
    let options = Options { transmission: Some(0.65), ..Options::default() };
    assert_eq!(first(read(&outside, &options).unwrap()).1, 260.0);
    let inside = log("time,outside_w_m2,light_w_m2,temperature_c,humidity_pct", "400,300,21,75");
    let reading = read(&inside, &options).unwrap();
    assert!(reading.told[0].contains("outside_w_m2") && reading.log.source.contains("light_w_m2"), "{reading:?}");
    assert_eq!(first(reading).1, 300.0);
    let deficit = log("time,light_w_m2,temperature_c,vpd_kpa", "300,21,0.62");
    let row = first(plain(&deficit).unwrap());
    assert!((row.air().deficit() - 0.62).abs() < 1e-4, "{row:?}");
}

/// What a spoilt row is, what is said of it and of what to do.
const BAD_ROWS: [(&str, Kind, &str, &str); 23] = [
    ("yesterday,300,21,75", Kind::Unreadable, "time \"yesterday\" cannot be read", "2026-03-02T08:15"),
    ("02.03.2026 08:00,300,21,75", Kind::Unreadable, "time \"02.03.2026 08:00\" cannot be read", "2026-03-02T08:15"),
    ("2026-03-02,300,21,75", Kind::Unreadable, "cannot be read", "08:15"),
    ("2026-02-30T08:00,300,21,75", Kind::Unreadable, "cannot be read", "08:15"),
    ("08:00,300,21,75", Kind::Unreadable, "unlike those before", "clock times"),
    ("2026-03-02T08:00+01:00,300,21,75", Kind::Unreadable, "unlike those before", "zone"),
    ("2026-03-02T08:00,300,21", Kind::Unreadable, "3 values, the header names 4 columns", "as many values"),
    ("2026-03-02T08:00,300,21,5,75", Kind::Unreadable, "5 values, the header names 4 columns", "semicolons"),
    ("2026-03-02T08:00,\"300,21,75", Kind::Unreadable, "quotation marks", "stray mark"),
    ("2026-03-02T08:00,300,,75", Kind::Unreadable, "temperature_c is empty", "left out"),
    ("2026-03-02T08:00,NaN,21,75", Kind::Unreadable, "light_w_m2 is empty", "left out"),
    ("2026-03-02T08:00,inf,21,75", Kind::Unreadable, "light_w_m2 is \"inf\"", "without unit"),
    ("2026-03-02T08:00,300 W,21,75", Kind::Unreadable, "\"300 W\", which is no number", "without unit"),
    ("2026-03-02T08:00,300,\"21,5\",75", Kind::Unreadable, "another decimal mark", "decimal point"),
    ("2026-03-02T08:00,2000,21,75", Kind::Range, "light_w_m2 is 2000", "µmol"),
    ("2026-03-02T08:00,32000,21,75", Kind::Range, "light_w_m2 is 32000", "lux"),
    ("2026-03-02T08:00,-400,21,75", Kind::Range, "light_w_m2 is -400", "zero"),
    ("2026-03-02T08:00,300,290,75", Kind::Range, "temperature_c is 290", "kelvin"),
    ("2026-03-02T08:00,300,72,75", Kind::Range, "temperature_c is 72", "Fahrenheit"),
    ("2026-03-02T08:00,300,-99,75", Kind::Range, "temperature_c is -99", "sensor"),
    ("2026-03-02T08:00,300,21,0.6", Kind::Range, "humidity_pct is 0.6", "fraction"),
    ("2026-03-02T08:00,300,21,755", Kind::Range, "humidity_pct is 755", "tenths"),
    ("2026-03-02T08:00,300,21,0", Kind::Range, "humidity_pct is 0", "sensor"),
];

#[test]
fn a_bad_row_is_named_and_left_out_only_with_consent() {
    for (bad, kind, what, remedy) in BAD_ROWS {
        // 08:00 is the ninth hour, in line 10.
        let mut lines = sound(60, 2);
        lines[9] = bad.to_owned();
        let problem = only(plain(&lines), Some(10), kind, what, remedy);
        assert_eq!(problem.consent, Some(Consent::SkipBad));
        assert!(problem.to_string().starts_with("line 10: "));
        // What leaving it out leaves is a gap of two hours, which is another consent.
        only(read(&lines, &skipping()), Some(11), Kind::Gap, "2 h without rows", "filled");
        let reading = read(&lines, &both()).unwrap();
        assert_eq!(times(&reading), (0..48).map(|h| h * 3600).collect::<Vec<_>>());
        assert_eq!(reading.told.len(), 2, "{:?}", reading.told);
        assert!(reading.told[0].starts_with("line 10: ") && reading.told[0].ends_with("Left out."), "{:?}", reading.told);
    }
}

#[test]
fn a_bad_row_hides_no_gap_beside_it() {
    let mut lines = sound(60, 2);
    lines[9] = BAD_ROWS[0].0.to_owned();
    lines.drain(10..13);
    let problems = plain(&lines).unwrap_err();
    assert_eq!(problems.iter().map(|p| (p.line, p.kind)).collect::<Vec<_>>(), [(Some(10), Kind::Unreadable), (Some(11), Kind::Gap)]);
    assert!(problems[1].what.starts_with("5 h without rows"), "{}", problems[1]);
}

#[test]
fn bytes_that_are_no_text_spoil_their_row_alone() {
    let mut bytes = sound(60, 1).join("\n").into_bytes();
    let at = bytes.windows(16).position(|w| w == b"2026-03-02T08:00").unwrap();
    bytes[at] = 0xff;
    only(read_climate(bytes.as_slice(), &Options::default()), Some(10), Kind::Unreadable, "cannot be read", "2026");
    bytes.splice(at..at, std::iter::repeat_n(b'7', 50_000));
    only(read_climate(bytes.as_slice(), &Options::default()), Some(10), Kind::Unreadable, "too long", "line ends");
}

#[test]
fn a_wrong_unit_throughout_is_listed_shortly() {
    let mut lines = sound(5, 2);
    for line in &mut lines[1..] {
        *line = line.replace(",21.5,", ",294.5,");
    }
    let problems = plain(&lines).unwrap_err();
    assert_eq!(problems.len(), 21);
    assert!(problems[0].to_string().contains("line 2: temperature_c is 294.5") && problems[0].remedy.contains("kelvin"));
    assert_eq!(problems[20].line, Some(577));
    assert!(problems[20].what.contains("and 555 more like this before it"), "{}", problems[20]);
    // Consent leaves nothing, and then it is told why.
    let problems = read(&lines, &both()).unwrap_err();
    assert!(problems.iter().any(|p| p.kind == Kind::Span && p.what.contains("no row could be read")), "{problems:?}");
    assert!(problems.iter().any(|p| p.remedy.contains("kelvin")));
}

#[test]
fn units_that_no_single_value_betrays_are_found_by_the_day() {
    let photons: Vec<String> = sound(15, 2).iter().map(|l| l.replace(",300,", ",1400,")).collect();
    let problems = read(&photons, &both()).unwrap_err();
    assert_eq!(problems.iter().map(|p| p.line).collect::<Vec<_>>(), [Some(2), Some(98)]);
    assert!(problems[1].what.contains("day 2") && problems[1].remedy.contains("ppfd_umol"), "{}", problems[1]);
    let fahrenheit: Vec<String> = sound(15, 2).iter().map(|l| l.replace(",21.5,", ",58,")).collect();
    only(plain(&fahrenheit), Some(1), Kind::Range, "58 on the mean", "Fahrenheit");
    let mut lines = vec!["time,light_w_m2,temperature_c,vpd_kpa".to_owned()];
    lines.extend((0..24).map(|h| format!("{h}:00,300,21,{}", if h == 8 { 12 } else { 1 })));
    only(plain(&lines), Some(10), Kind::Range, "vpd_kpa is 12", "hectopascals");
}

#[test]
fn a_sensors_small_errors_are_mended_and_told() {
    let lines: Vec<String> = sound(60, 1).iter().map(|l| l.replace(",0,", ",-1.5,").replace(",75", ",101")).collect();
    let reading = plain(&lines).unwrap();
    assert!(reading.log.rows.iter().all(|r| r.1 >= 0.0 && r.3 == 100.0));
    assert!(reading.told[0].contains("darkness in 12 rows") && reading.told[1].contains("100 % in 24 rows"), "{:?}", reading.told);
}

#[test]
fn a_header_says_what_it_lacks() {
    let with = |header: &str| {
        let mut lines = sound(60, 1);
        lines[0] = header.to_owned();
        plain(&lines)
    };
    only(with("Zeit,light_w_m2,temperature_c,humidity_pct"), Some(1), Kind::Columns, "no column time", "Name the column");
    only(with("time,PAR,temperature_c,humidity_pct"), Some(1), Kind::Columns, "no column light_w_m2 or ppfd_umol", "add it");
    let problem = only(with("time,light_w_m2,temperature_c,rh"), Some(1), Kind::Columns, "humidity_pct or vpd_kpa", "add it");
    assert!(problem.what.contains("\"rh\""), "{problem}");
    let problems = with("time,light_w_m2,temperature_c,time").unwrap_err();
    assert!(problems.iter().any(|p| p.line == Some(1) && p.what == "the column time is there twice"), "{problems:?}");
    assert_eq!(with("time,b,c,d").unwrap_err().len(), 3);
    only(with("a,b,c,d"), Some(1), Kind::Columns, "names no column of a climate log; it holds \"a\", \"b\"", HEADER);
    only(plain(&sound(60, 1)[1..]), Some(1), Kind::Columns, "no names", HEADER);
}

#[test]
fn files_that_are_no_log_are_told_in_words() {
    let bytes = |bytes: &[u8]| read_climate(bytes, &Options::default());
    for (content, what) in [
        (&b""[..], "empty"),
        (b"\xef\xbb\xbf", "empty"),
        (b" \r\n\r\n", "empty"),
        (b"\xff\xd8\xff\xe0", "not a text file"),
        (b"time,light\0\0\0", "not a text file"),
        (b"\xff\xfet\0i\0", "UTF-16"),
        (b"PK\x03\x04....", "workbook"),
        (b"# only a remark\n", "nothing but comments"),
    ] {
        only(bytes(content), None, Kind::File, what, "");
    }
    only(plain(&sound(60, 1)[..1]), None, Kind::Span, "no row", "export more");
    only(plain(&sound(60, 1)[..2]), None, Kind::Span, "1 row", "export more");
    only(read_climate_file("no/such.csv".as_ref(), &Options::default()), None, Kind::File, "cannot be read", "name");
    let folder = tempfile::tempdir().unwrap();
    only(read_climate_file(folder.path(), &Options::default()), None, Kind::File, "cannot be read", "name");
}

#[test]
fn a_file_too_large_is_refused_with_its_size_and_never_read_whole() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.csv");
    std::fs::File::create(&path).unwrap().set_len(100_000_000).unwrap();
    only(read_climate_file(&path, &Options::default()), None, Kind::File, "has 100 MB; at most 20 MB", "fewer days");
    // From a pipe no size is known: reading ends where the limit is.
    let row = format!("{}\n", row(0).replace(",75", &format!(",75{}", " ".repeat(2000))));
    for line in [row.as_bytes(), b"x"] {
        let counted = std::cell::Cell::new(0_u64);
        let endless = Counted { line, at: 0, counted: &counted };
        let from = format!("{HEADER}\n");
        let problems = read_climate(from.as_bytes().chain(endless), &skipping());
        only(problems, None, Kind::File, "larger than 20 MB", "fewer days");
        assert!(counted.get() < MAX_BYTES + 1_000_000);
    }
    let mut many = format!("{HEADER}\n");
    (0..=MAX_ROWS).for_each(|_| many.push_str("8:00,300,21,75\n"));
    only(read_climate(many.as_bytes(), &Options::default()), None, Kind::File, "200001 rows; at most 200000", "means over");
}

/// A line over and over.
struct Counted<'a> {
    line: &'a [u8],
    at: usize,
    counted: &'a std::cell::Cell<u64>,
}

impl std::io::Read for Counted<'_> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        for byte in into.iter_mut() {
            *byte = self.line[self.at % self.line.len()];
            self.at += 1;
        }
        self.counted.set(self.counted.get() + into.len() as u64);
        Ok(into.len())
    }
}

#[test]
fn duplicates_and_rows_out_of_order_are_named() {
    let whole = times(&plain(&sound(60, 2)).unwrap());
    let mut twice = sound(60, 2);
    twice.insert(10, row(480).replace("21.5", "30"));
    only(plain(&twice), Some(11), Kind::Duplicate, "2026-03-02 08:00 stands in line 10 already", "Delete one");
    let reading = read(&twice, &skipping()).unwrap();
    assert_eq!((times(&reading), reading.log.rows[8].2), (whole.clone(), 21.5));

    let mut late = sound(60, 2);
    let moved = late.remove(9);
    late.insert(20, moved);
    let problems = plain(&late).unwrap_err();
    assert_eq!(problems.iter().map(|p| (p.line, p.kind)).collect::<Vec<_>>(), [(Some(10), Kind::Gap), (Some(21), Kind::Order)]);
    assert!(problems[1].what.contains("2026-03-02 08:00 is out of order"));
    assert_eq!(times(&read(&late, &both()).unwrap()), whole);

    // A date too late by a year costs its own row, not all that follow.
    let mut mistyped = sound(60, 2);
    mistyped[9] = mistyped[9].replace("2026", "2062");
    let problems = plain(&mistyped).unwrap_err();
    assert!(problems.iter().any(|p| p.line == Some(10) && p.kind == Kind::Order), "{problems:?}");
    assert_eq!(times(&read(&mistyped, &both()).unwrap()), whole);

    let mut backwards = sound(60, 2);
    backwards[1..].reverse();
    for options in [Options::default(), both()] {
        only(read(&backwards, &options), Some(3), Kind::Order, "backwards", "oldest first");
    }
}

/// Rows of two days around the night in which the clock is changed, every `step` minutes, by local time.
fn night(minutes: impl Iterator<Item = u32>) -> Vec<String> {
    [HEADER.to_owned()].into_iter().chain(minutes.map(row)).collect()
}

#[test]
fn summer_time_is_seen_where_it_begins_and_ends() {
    for step in [5_u32, 15, 60] {
        let all = || (0..2880 / step).map(|k| k * step);
        let whole = times(&plain(&night(all())).unwrap());
        let spring = night(all().filter(|m| !(1560..1620).contains(m)));
        let line = u64::from(1560 / step) + 2;
        let what = "an hour is missing between 2026-03-03";
        let problem = only(plain(&spring), Some(line), Kind::ClockChange, what, "+01:00");
        assert_eq!(problem.consent, Some(Consent::FillGaps));
        assert_eq!(times(&read(&spring, &filling()).unwrap()), whole, "{step}");

        let autumn = night((0..1620 / step).chain(1560 / step..2880 / step).map(|k| k * step));
        let line = u64::from(1620 / step) + 2;
        let problem = only(plain(&autumn), Some(line), Kind::ClockChange, "from 2026-03-03 02:00 stands twice", "+01:00");
        assert_eq!(problem.consent, Some(Consent::SkipBad));
        assert_eq!(times(&read(&autumn, &skipping()).unwrap()), whole, "{step}");
    }
}

#[test]
fn a_stray_row_in_the_night_is_no_summer_time() {
    let mut lines = sound(5, 2);
    // After 02:55 of the second day.
    lines.insert(325, row(1560));
    only(plain(&lines), Some(326), Kind::Duplicate, "2026-03-03 02:00 stands in line 314", "Delete");
    // Nor is an hour that is missing by day.
    let noon = night((0..576).map(|k| k * 5).filter(|m| !(720..780).contains(m)));
    only(plain(&noon), Some(146), Kind::Gap, "1 h 5 min without rows", "filled");
}

#[test]
fn zones_settle_summer_time_without_consent() {
    let whole = times(&plain(&sound(60, 2)).unwrap());
    let zoned = |m: u32| {
        // From the second day's 02:00 on the clock is an hour ahead.
        let (written, zone) = if m < 1560 { (m, "+01:00") } else { (m + 60, "+02:00") };
        format!("{}{zone},{},21.5,75", stamp(written), light(m))
    };
    let mut lines = vec![HEADER.to_owned()];
    lines.extend((0..48).map(|h| zoned(h * 60)));
    let reading = plain(&lines).unwrap();
    assert_eq!((times(&reading), reading.told.len()), (whole.clone(), 1));
    assert!(reading.told[0].contains("line 28: the zone changes from +01:00 to +02:00"), "{:?}", reading.told);
    let utc: Vec<String> = sound(60, 2).iter().map(|l| l.replacen(":00,", ":00Z,", 1)).collect();
    let reading = plain(&utc).unwrap();
    assert!(reading.told[0].contains("UTC") && times(&reading) == whole, "{:?}", reading.told);
    // By the clock of a house two hours east the log begins at two and ends in a third day.
    let options = Options { zone: parse_zone("+02:00"), ..both() };
    let reading = read(&utc, &options).unwrap();
    assert_eq!((reading.days, reading.log.rows[1].0, reading.log.rows[8].1), (2, 7200, 300.0), "{:?}", reading.told);
    for (text, zone) in
        [("Z", Some(0)), ("+01:00", Some(3600)), ("-05", Some(-18_000)), ("+5", None), ("1", None), ("+99:00", None), ("é", None)]
    {
        assert_eq!(parse_zone(text), zone, "{text}");
    }
}

#[test]
fn gaps_are_filled_with_a_straight_line_only_with_consent() {
    let mut lines = sound(5, 1);
    // 08:05 to 08:25 are missing.
    lines.drain(98..103);
    lines[98] = "2026-03-02T08:30,600,27.5,45".to_owned();
    let problem = only(plain(&lines), Some(99), Kind::Gap, "30 min without rows, from 2026-03-02 08:00 to 2026-03-02 08:30", "filled");
    assert_eq!(problem.consent, Some(Consent::FillGaps));
    only(read(&lines, &skipping()), Some(99), Kind::Gap, "30 min", "filled");
    let reading = read(&lines, &filling()).unwrap();
    assert_eq!(times(&reading), (0..288).map(|k| k * 300).collect::<Vec<_>>());
    let filled = reading.log.rows[98];
    assert_eq!((filled.1, filled.2, filled.3), (400.0, 23.5, 65.0), "two sixths of the way at 08:10");
    assert!(reading.told[0].starts_with("line 99: 30 min") && reading.told[0].ends_with("Filled with a straight line."));
    let short = Options { longest_gap_s: 1200, ..filling() };
    let problem = only(read(&lines, &short), Some(99), Kind::Gap, "30 min", "up to 20 min");
    assert_eq!(problem.consent, None);
    // A step and a half is no gap.
    let mut uneven = sound(60, 1);
    uneven[9] = uneven[9].replace("08:00", "08:30");
    assert_eq!(plain(&uneven).unwrap().log.rows.len(), 24);
    uneven[9] = uneven[9].replace("08:30", "08:31");
    only(plain(&uneven), Some(10), Kind::Gap, "1 h 31 min", "filled");
}

#[test]
fn days_that_are_not_whole_are_filled_or_left_out() {
    let all = sound(15, 3);
    // It begins at 02:00 and ends at 22:00.
    let mut lines = vec![HEADER.to_owned()];
    lines.extend_from_slice(&all[9..=3 * 96 - 8]);
    let problems = plain(&lines).unwrap_err();
    assert_eq!(problems.len(), 2);
    assert!(problems[0].to_string().contains("line 2: the log begins at 2026-03-02 02:00, 2 h after midnight"), "{}", problems[0]);
    assert!(problems[1].to_string().contains("the log ends at 2026-03-04 21:45, 2 h 15 min before midnight"), "{}", problems[1]);
    assert!(problems.iter().all(|p| p.consent == Some(Consent::FillGaps)));
    let reading = read(&lines, &filling()).unwrap();
    assert_eq!((reading.days, reading.log.rows[0].0, reading.log.rows[1].0), (3, 0, 7200));
    let reading = read(&lines, &skipping()).unwrap();
    assert_eq!((reading.days, reading.log.rows.len(), reading.told.len()), (1, 96, 2));
    // Beyond the longest gap the day can only be left out, and an only day cannot.
    let mut lines = vec![HEADER.to_owned()];
    lines.extend_from_slice(&all[60..=3 * 96]);
    let problem = only(read(&lines, &filling()), Some(2), Kind::Gap, "14 h 45 min after midnight", "left out");
    assert_eq!(problem.consent, Some(Consent::SkipBad));
    let reading = read(&lines, &both()).unwrap();
    assert_eq!((reading.days, reading.log.rows.len(), reading.log.rows[0].0), (2, 192, 0));
    lines.truncate(30);
    only(read(&lines, &both()), Some(2), Kind::Gap, "14 h 45 min after midnight", "Log a whole day");
    // A last row at midnight closes the day before it.
    let mut closed = sound(60, 2);
    closed.push(row(2880));
    let reading = plain(&closed).unwrap();
    assert_eq!((reading.days, reading.log.rows.len(), reading.told.len()), (2, 48, 1));
}

#[test]
fn steps_and_spans_have_limits() {
    let seconds: Vec<String> =
        [HEADER.to_owned()].into_iter().chain((0..60).map(|s| format!("2026-03-02T08:00:{s:02},300,21,75"))).collect();
    only(plain(&seconds), None, Kind::Span, "1 s apart; the least is 1 min", "means");
    only(plain(&sound(120, 2)), None, Kind::Span, "2 h apart; the most is 1 h", "means");
    let mut years = sound(60, 2);
    for line in &mut years[25..] {
        *line = line.replace("2026", "2028");
    }
    only(plain(&years), Some(26), Kind::Span, "at most 366", "mistyped");
}

/// Text that resembles a log closely enough to get far.
fn nearly_a_log() -> impl Strategy<Value = String> {
    let cell = prop_oneof![
        6 => (0_u32..2880).prop_map(stamp),
        1 => (0_u32..30, 0_u32..70).prop_map(|(h, m)| format!("{h}:{m:02}")),
        4 => (-50_i32..1600).prop_map(|v| v.to_string()),
        4 => (-5.0_f64..110.0).prop_map(|v| format!("{v:.1}")),
        1 => "\\PC{0,12}",
        1 => Just("\"".to_owned()),
    ];
    let line = prop_oneof![
        8 => (0_u32..2880, 0_u32..900, 0_u32..40, 0_u32..101).prop_map(|(m, l, t, h)| format!("{},{l},{t},{h}", stamp(m))),
        2 => prop::collection::vec(cell, 0..6).prop_map(|cells| cells.join(",")),
    ];
    let head = prop_oneof![
        8 => Just(HEADER.to_owned()),
        1 => Just("time;ppfd_umol;temperature_c;vpd_kpa".to_owned()),
        1 => "\\PC{0,40}",
    ];
    (head, prop::collection::vec(line, 0..60), any::<bool>()).prop_map(|(head, mut lines, sorted)| {
        if sorted {
            lines.sort();
        }
        format!("{head}\n{}", lines.join("\n"))
    })
}

/// Whatever is read is in order, in range and from whole days; whatever is refused says what to do.
fn sound_or_told(read: Result<Reading, Vec<Problem>>) {
    match read {
        Ok(reading) => {
            let rows = &reading.log.rows;
            assert!(rows[0].0 == 0 && rows.windows(2).all(|pair| pair[0].0 < pair[1].0));
            // Beyond the beginning, which may hold the first values, there is no gap left.
            assert!(rows.windows(2).skip(1).all(|pair| 2 * (pair[1].0 - pair[0].0) <= 3 * reading.step_s));
            assert!(rows.iter().all(|r| (0.0..=1500.0).contains(&r.1) && (-10.0..=60.0).contains(&r.2) && (0.0..=100.0).contains(&r.3)));
            assert!((60..=3600).contains(&reading.step_s) && (1..=366).contains(&reading.days) && rows.len() <= MAX_ROWS);
        }
        Err(problems) => {
            assert!(!problems.is_empty());
            assert!(problems.iter().all(|p| !p.what.is_empty() && p.remedy.ends_with('.')), "{problems:?}");
        }
    }
}

proptest! {
    /// No text makes the reader panic, and none makes it take what is not sound.
    #[test]
    fn no_text_takes_the_reader_by_surprise(text in nearly_a_log(), skip_bad in any::<bool>(), fill_gaps in any::<bool>()) {
        let options = Options { skip_bad, fill_gaps, longest_gap_s: 90_000, source: Some(Source::Led), ..Options::default() };
        sound_or_told(read_climate(text.as_bytes(), &options));
    }

    /// Nor do any bytes.
    #[test]
    fn no_bytes_do(bytes in prop::collection::vec(any::<u8>(), 0..400), with_header in any::<bool>()) {
        let head = if with_header { format!("{HEADER}\n") } else { String::new() };
        sound_or_told(read_climate(head.as_bytes().chain(bytes.as_slice()), &both()));
    }
}

#[test]
fn a_problem_says_what_it_asks_for_and_how_many_it_stands_for() {
    let log = |header: &str| [header.to_owned()].into_iter().chain((0..24).map(|h| format!("{h}:00,300,21,75"))).collect::<Vec<_>>();
    let asks = |header: &str| plain(&log(header)).unwrap_err()[0].asks;
    assert_eq!(asks("time,ppfd_umol,temperature_c,humidity_pct"), Some(Asks::Source));
    assert_eq!(asks("time,outside_w_m2,temperature_c,humidity_pct"), Some(Asks::Transmission));
    assert_eq!(asks("time,brightness,temperature_c,humidity_pct"), None);
    let mut lines = sound(15, 3);
    for line in &mut lines[101..=150] {
        *line = line.replace(",75", ",700");
    }
    let problems = plain(&lines).unwrap_err();
    assert_eq!((problems.len(), problems.iter().map(|p| 1 + p.more).sum::<usize>()), (21, 50));
    // Those that another consent settles, or none, are counted apart: thirty short gaps and one that is too long.
    let mut gappy = sound(15, 10);
    gappy.drain(800..860);
    for k in (1..=30).rev() {
        gappy.remove(20 * k);
    }
    let problems = plain(&gappy).unwrap_err();
    let count = |consent| problems.iter().filter(|p| p.consent == consent).map(|p| 1 + p.more).sum::<usize>();
    assert_eq!((problems.len(), count(Some(Consent::FillGaps)), count(None)), (22, 30, 1), "{problems:#?}");
}

#[test]
fn first_day_zone_and_what_was_done_are_told() {
    let day = |reading: &Reading| reading.first_day.map(|day| day.to_string());
    let plain_log = plain(&sound(15, 2)).unwrap();
    assert_eq!((day(&plain_log).as_deref(), plain_log.zone), (Some("2026-03-02"), None));
    assert_eq!(plain_log.log.source, "Logged every 15 min, light from light_w_m2.");
    let clock: Vec<String> = sound(15, 1).iter().map(|line| line.replacen("2026-03-02T", "", 1)).collect();
    assert_eq!(day(&plain(&clock).unwrap()), None);
    let zoned: Vec<String> = sound(60, 2).iter().map(|line| line.replacen(":00,", ":00-05:00,", 1)).collect();
    let reading = plain(&zoned).unwrap();
    assert_eq!((day(&reading).as_deref(), reading.zone), (Some("2026-03-02"), Some(-5 * 3600)));
    let moved = read(&zoned, &Options { zone: Some(-4 * 3600), ..both() }).unwrap();
    assert_eq!(moved.zone, Some(-4 * 3600));
    let mut gappy = sound(15, 2);
    gappy.drain(40..42);
    let filled = read(&gappy, &filling()).unwrap();
    assert_eq!(filled.log.source, format!("Logged every 15 min, light from light_w_m2. {}", filled.told[0]));
    // However much was done, a scenario can keep the account of it.
    let mut spoilt = sound(1, 3);
    for line in spoilt.iter_mut().skip(2).step_by(9) {
        *line = line.replace(",75", ",700").replace(",0,", ",zero,");
    }
    let told = read(&spoilt, &both()).unwrap();
    assert!(told.log.source.chars().count() <= 3000 && told.log.source.ends_with(" more."), "{}", told.log.source);
}

#[test]
fn a_scenario_takes_a_log_or_says_why_not() {
    let library = Library::shipped();
    let bench = demos().remove(0).1;
    let log = plain(&sound(15, 2)).unwrap().log;
    let taken = under_log(&bench, log.clone(), &library).unwrap();
    assert_eq!(taken, Scenario { climate: Some(Climate::Log(log.clone())), ..bench.clone() });
    let backwards = ClimateLog { rows: [log.rows[5], log.rows[4]].into(), ..log.clone() };
    let refused = under_log(&bench, backwards, &library).unwrap_err();
    assert!(refused.to_string().contains("rows[1]") && refused.remedy().ends_with('.'), "{refused}");
    // Numbers of many digits make a long file, and so do other events on every day.
    let rows: Vec<LogRow> = (0..200_000).map(|k| LogRow(10_000_000 + k * 60, 1234.5677, 19.500_002, 75.000_015)).collect();
    let long = ClimateLog { rows: rows.into(), ..log };
    assert!(under_log(&bench, long.clone(), &library).is_ok());
    let schedule: Vec<Event> = (0..1000).map(|k| Event { seconds: 5, ..Event::drip(Clock::from_seconds(80 * k), 1, 1.0) }).collect();
    let change = |from_day| PlanChange { from_day, schedule: schedule.clone(), rules: Vec::new() };
    let mut busy = Scenario { days: 366, ..bench };
    busy.valves[0].changes = (2..=366).map(change).collect();
    let refused = under_log(&busy, long, &library).unwrap_err();
    assert!(matches!(refused, NotTaken::TooLarge(_)) && refused.to_string().ends_with("at most 64 MB are read"), "{refused}");
    assert!(refused.remedy().contains("fewer days"));
}
