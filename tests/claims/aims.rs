//! Aims fit the bench: what is said to be out of reach is, by running it otherwise, and a band of water is one that the container holds and
//! the roots can live in. A lean is told where there is one.

use crate::{benches, stressed};
use fastrand::Rng;
use rayon::prelude::*;
use slakeline::engine::column::capacity::at_rest;
use slakeline::engine::run::{LaneRun, Workshop};
use slakeline::figures::aims::{From, Unfit};
use slakeline::figures::{Aim, DryBack, day_figures};
use slakeline::physics::hydraulics::Main;
use slakeline::projection::LaneReport;
use slakeline::scenario::presets::Library;
use slakeline::scenario::{
    Climate, ClimateLog, Clock, DAY_S, Demand, Event, Give, Lane, LightSum, LogRow, OnDays, PlanChange, Rule, Scenario, StartWater,
    Targets, When, resolve,
};
use slakeline::units::Units;

/// A bench of a seed with targets as one comes to have them: those of a stage of its crop or of a preset, for whatever container.
fn aimed(seed: u64, library: &Library) -> Scenario {
    let mut rng = Rng::with_seed(seed ^ 0xA1_35);
    let mut scenario = if rng.bool() { benches::bench(seed, library) } else { stressed::bench(seed, library) };
    let crop = resolve::crop(&scenario.lanes[0].crop, library).unwrap();
    scenario.lanes[0].targets = match rng.u8(..8) {
        0 => Targets::default(),
        1..=3 => library.targets[rng.usize(..library.targets.len())].targets,
        _ => crop.stages.get(rng.usize(..crop.stages.len().max(1))).map_or(Targets::default(), |s| s.targets),
    };
    scenario
}

fn run(scenario: &Scenario, library: &Library) -> LaneRun {
    Workshop::default().ready(scenario, library).unwrap().for_its_days().remove(0).run(scenario.days)
}

struct Case {
    scenario: Scenario,
    run: LaneRun,
    report: LaneReport,
}

impl Case {
    fn lane(&self) -> &Lane {
        &self.scenario.lanes[0]
    }
}

fn cases(count: u64, library: &Library) -> Vec<Case> {
    let case = |seed| {
        let scenario = aimed(seed, library);
        let run = run(&scenario, library);
        let report = LaneReport::of(&scenario, &scenario.lanes[0], &run, 1).unwrap();
        Case { scenario, run, report }
    };
    (1..=count).into_par_iter().map(case).collect()
}

#[test]
fn no_share_of_drain_is_aimed_for_where_water_comes_from_below() {
    let library = Library::shipped();
    let (mut floods, mut drips) = (0, 0);
    for c in cases(160, &library).iter().filter(|c| c.lane().targets.drain_percent.is_some()) {
        let flooded = c.scenario.valves[0].schedule.iter().any(|e| e.give.is_flood());
        let aim = c.report.aims.drain_percent;
        assert_eq!(flooded, matches!(aim, Aim::Unfit(_, Unfit::Floods)), "{aim:?}");
        assert_eq!(!flooded, aim.band() == c.lane().targets.drain_percent, "{aim:?}");
        if flooded { floods += 1 } else { drips += 1 }
    }
    assert!(floods >= 10 && drips >= 30, "{floods} and {drips} are too few to tell anything");
}

/// The same bench with the longest night that growers keep: what is given comes, event by event, between three and a half hours after light and
/// four hours before dark.
fn long_night(scenario: &Scenario) -> Scenario {
    let mut scenario = scenario.clone();
    let (on, off) = (scenario.light.on.seconds() + 3.5 * 3600.0, scenario.light.off.seconds() - 4.0 * 3600.0);
    let events = &mut scenario.valves[0].schedule;
    let (first, last) = (events[0].start_s().max(on), events[events.len() - 1].end_s().min(off));
    let (from, until) = (events[0].start_s(), events[events.len() - 1].end_s());
    let by = ((last - first) / (until - from)).min(1.0);
    for event in events.iter_mut() {
        event.start = Clock::from_seconds((first + by * (event.start_s() - from)) as u32);
        event.seconds = ((by * f64::from(event.seconds)) as u32).max(5);
    }
    scenario
}

/// By how many points the container dries within a day of its last peak where nothing more is given from the second day on.
fn dries_unwatered(scenario: &Scenario, library: &Library) -> f64 {
    let mut scenario = scenario.clone();
    scenario.days = 3;
    scenario.valves[0].changes = vec![PlanChange { from_day: 2, schedule: Vec::new(), rules: Vec::new() }];
    let run = run(&scenario, library);
    let last = scenario.valves[0].schedule.last().unwrap();
    let after = run.series.span(last.start_s(), last.start_s() + 2.0 * DAY_S);
    let top = after.iter().max_by(|a, b| a.water_content.total_cmp(&b.water_content)).unwrap();
    let within = after.iter().filter(|s| (top.time_s..=top.time_s + DAY_S).contains(&s.time_s));
    let bottom = within.map(|s| s.water_content).fold(f64::INFINITY, f64::min);
    100.0 * (top.water_content - bottom)
}

/// Of a night's dry-back, the points that were taken up or given off, and those that drained.
fn used_and_drained(run: &LaneRun, night: DryBack) -> (f64, f64) {
    let at = |time_s: f64| run.series.at(time_s).unwrap().ledger;
    let water = at(night.to_s).since(&at(night.from_s)).water;
    let used = 100.0 * (water.taken_up + water.evaporated) / run.column.volume;
    (used, night.points - used)
}

#[test]
fn a_dry_back_is_not_judged_where_use_cannot_bring_it_about_and_nowhere_else() {
    let library = Library::shipped();
    let (mut not_judged, mut by_drain, mut starve, mut judged) = (0, 0, 0, 0);
    for c in cases(480, &library).iter().filter(|c| !c.scenario.valves[0].schedule.is_empty()) {
        let now = c.report.figures.dry_back;
        match c.report.aims.dry_back_points {
            Aim::Unfit((low, _), Unfit::DriesTooLittle(most)) => {
                assert!(now.is_none_or(|d| d.points < low) && most < low, "{most}, {low}: {now:?}");
                assert_eq!(c.report.verdicts.dry_back.word, "not judged");
                not_judged += 1;
                // In a long night, too, use and what drains now do not come to it.
                let night = run(&long_night(&c.scenario), &library);
                let Some(long) = day_figures(&night, c.lane(), 1).and_then(|f| f.dry_back) else { continue };
                let (used, drained) = used_and_drained(&night, long);
                let drains = now.map_or(0.0, |d| used_and_drained(&c.run, d).1.max(0.0));
                assert!(used + drains < low, "{low} is not judged, yet a long night uses {used:.2}, and {drains:.2} drains: {most:.2}",);
                by_drain += usize::from(used + drained >= low);
            }
            Aim::Unfit((low, _), Unfit::Starves) => {
                starve += 1;
                assert!(c.report.figures.uptake_met < 0.9 && now.is_none_or(|d| d.points < low), "{:?}", c.report.figures);
            }
            Aim::Band((low, _), _) => {
                judged += 1;
                assert!(c.report.figures.uptake_met >= 0.9 || now.is_some_and(|d| d.points >= low), "{low} {now:?}");
                let dries = dries_unwatered(&c.scenario, &library);
                assert!(dries >= low, "{low} is aimed for, but a day without water dries it by {dries:.2}: {now:?}");
            }
            _ => {}
        }
    }
    println!("{judged} are judged; of {not_judged} that are not, {by_drain} would come to it in a long night that drains more");
    assert!(not_judged >= 60 && judged >= 60 && starve >= 10 && 10 * by_drain <= not_judged);
}

#[test]
fn a_band_of_water_follows_wherever_container_and_air_allow_one() {
    let library = Library::shipped();
    let mut seen = [0; 3];
    for c in cases(240, &library) {
        let (aims, column) = (&c.report.aims, &c.run.column);
        let aim = aims.water_content;
        if c.lane().targets == Targets::default() {
            assert_eq!(aim, Aim::None, "who aims for nothing is not told to");
            seen[0] += 1;
            continue;
        }
        if c.lane().targets.water_content.is_some() {
            assert!(!matches!(aim, Aim::None | Aim::Band(_, From::Container)), "{aim:?}");
            seen[1] += 1;
            continue;
        }
        let capacity = column.mean(&at_rest(column, Main::Drying, column.outlet_height));
        let head = |i: usize| column.hydraulics(i).theta(column.hydraulics(i).main(Main::Drying, -column.crop.stress.begins_cm).0);
        let spent = column.mean(&(0..column.len()).map(head).collect::<Vec<_>>());
        let air = c.lane().targets.lowest_air.unwrap_or(column.crop.stress.air_enough);
        match aim.band() {
            Some((low, high)) => {
                seen[2] += 1;
                let floods = c.scenario.valves[0].schedule.iter().any(|e| e.give.is_flood());
                assert!(low > spent && low < capacity && high > low, "{low} {high}, spent {spent}, capacity {capacity}");
                assert!(column.pores - high >= air - 1e-12 && (floods || high <= capacity + 0.0201), "{low} {high}");
            }
            None => assert!(capacity.min(column.pores - air) < spent + 0.04, "{spent} {capacity}: there is room for a band"),
        }
    }
    assert!(seen.iter().all(|n| *n >= 15), "{seen:?}: too few of one kind to tell anything");
}

/// What is soaked and left alone does not stay as wet as a band that the container is said not to hold.
#[test]
fn a_band_that_a_container_is_said_not_to_hold_drains_away() {
    let library = Library::shipped();
    let mut out = 0;
    for c in cases(320, &library) {
        let Aim::Unfit((low, _), Unfit::HoldsTooLittle(_)) = c.report.aims.water_content else { continue };
        out += 1;
        let mut soaked = c.scenario.clone();
        soaked.days = 1;
        soaked.valves[0].schedule.clear();
        soaked.lanes[0].start.water = StartWater::Head(0.0);
        soaked.lanes[0].demand = Demand::Measured { litres_per_day: 0.0, steady_share: 0.08 };
        let end = run(&soaked, &library).series.at(DAY_S).unwrap().water_content;
        assert!(end < low, "{end} stays above {low}");
    }
    assert!(out >= 5, "{out} are too few to tell anything");
}

#[test]
fn a_lean_is_told_where_there_is_one() {
    let library = Library::shipped();
    let mut seen = [0; 4];
    for c in cases(240, &library) {
        let (f, lean) = (&c.report.figures, &c.report.lean);
        let why = [
            ("nothing is given", c.scenario.valves[0].schedule.is_empty() || f.applied_ml == 0.0),
            ("the plant gets too little of what it asks for", f.uptake_met < 0.90),
            ("too little is known", lean.parts.len() < 2),
        ];
        let first = why.iter().position(|(_, so)| *so);
        seen[first.map_or(0, |i| i + 1)] += 1;
        assert_eq!((lean.sum.is_none(), lean.why), first.map_or((false, ""), |i| (true, why[i].0)));
        assert_eq!(lean.word() == "no lean to tell", lean.sum.is_none());
        if let Some(sum) = lean.sum {
            let mean = lean.parts.iter().map(|p| p.push).sum::<f64>() / lean.parts.len() as f64;
            assert!((sum - mean).abs() < 1e-12 && sum.abs() <= 1.0, "{lean:?}");
        }
    }
    assert!(seen[0] >= 50 && seen[1] >= 10 && seen[2] >= 10, "{seen:?}: too few of one kind to tell anything");
}

/// A log of some days that become light and dark at times of their own, and of one that stays dark.
fn log(rng: &mut Rng) -> ClimateLog {
    let mut rows = Vec::new();
    for day in 0..rng.u32(1..=3) {
        let at = |hour: u32| day * 86_400 + hour * 3600;
        let (dawn, noon, dusk) = (rng.u32(4..=9), rng.u32(10..=13), rng.u32(14..=21));
        rows.extend([LogRow(at(0), 0.0, 17.0, 80.0), LogRow(at(dawn), 120.0, 20.0, 70.0), LogRow(at(noon), 420.0, 25.0, 60.0)]);
        rows.push(LogRow(at(dusk), 0.0, 18.0, 75.0));
    }
    let last = rows.len() - 1;
    rows.push(LogRow((rows[last].0 / 86_400 + 1) * 86_400, 0.0, 17.0, 80.0));
    ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.into() }
}

/// Under a log, lights on and off of the setup change nothing that is told: not use, rules, aims, lean or causes.
#[test]
fn under_a_log_nothing_follows_the_light_of_the_setup() {
    let library = Library::shipped();
    let (mut with_rule, mut measured, mut differ) = (0, 0, 0);
    for seed in 1..=60_u64 {
        let mut rng = Rng::with_seed(seed ^ 0x1_06);
        let mut one = aimed(seed, &library);
        one.days = 3;
        let log = log(&mut rng);
        if rng.bool() {
            let give = one.valves[0].schedule.first().map_or(Give::Drip { ml: 80.0 }, |e| e.give);
            let when = When::Light(LightSum::Joules(150.0));
            one.valves[0].rules = vec![Rule { when, first: Clock::hm(5, 0), last: Clock::hm(20, 0), seconds: 120, give, ec: None }];
            with_rule += 1;
        }
        measured += usize::from(matches!(one.lanes[0].demand, Demand::Measured { .. }));
        one.climate = Some(Climate::Log(log.clone()));
        let mut other = one.clone();
        // Now and then it is as the log's first day has it.
        let lit = log.lit(0)[0];
        (other.light.on, other.light.off) = match rng.u8(..4) {
            0 => (Clock::from_seconds(lit.0 as u32), Clock::from_seconds(lit.1 as u32)),
            1 => (Clock::hm(0, 0), Clock::hm(24, 0)),
            _ => (Clock::hm(rng.u32(0..=11), 0), Clock::hm(rng.u32(12..=23), 30)),
        };
        differ += usize::from(other.light != one.light);
        let told = |scenario: &Scenario, day: usize| {
            let run = run(scenario, &library);
            let report = LaneReport::of(scenario, &scenario.lanes[0], &run, day).unwrap();
            let causes = report.causes(scenario, &scenario.lanes[0], &run, Units::default());
            (report.figures, report.aims, report.lean, causes)
        };
        for day in 0..3 {
            let (a, b) = (told(&one, day), told(&other, day));
            assert_eq!(a, b, "bench {seed}, day {day}: {:?} and {:?}", one.light, other.light);
            // How late the first event is counts from that day's own light.
            let part = a.2.parts.iter().find(|p| p.name == "first event after lights on");
            let first = run(&one, &library).timetable.first_start(day);
            let light = log.lit(day % log.days() as usize).first().map(|lit| lit.0);
            let late = first.zip(light).map(|(first, light)| format!("{:.1} h", (first - light) / 3600.0));
            assert_eq!(part.map(|p| p.value.clone()), late, "bench {seed}, day {day}");
        }
    }
    assert!(with_rule >= 15 && measured >= 15 && differ >= 30, "{with_rule} {measured} {differ}: too few of one kind");
}

/// Aims follow the plan of the day, with its rules, and each lane has its own.
#[test]
fn aims_follow_the_plan_of_the_day_and_the_lane() {
    let library = Library::shipped();
    let drip = |h, m| Event::drip(Clock::hm(h, m), 5, 60.0);
    let flood = Give::Flood { depth_cm: 2.0 };
    let flooding = Event { start: Clock::hm(9, 0), seconds: 600, give: flood, ec: None, days: OnDays::ALL };
    let rule = Rule {
        when: When::Light(LightSum::Moles(90.0)),
        first: Clock::hm(8, 0),
        last: Clock::hm(9, 0),
        seconds: 600,
        give: flood,
        ec: None,
    };
    for seed in 1..=12 {
        let mut scenario = benches::bench(seed, &library);
        scenario.days = 4;
        scenario.valves[0].schedule = vec![drip(8, 0), drip(12, 0)];
        scenario.valves[0].rules.clear();
        scenario.valves[0].changes = vec![
            PlanChange { from_day: 2, schedule: vec![flooding], rules: Vec::new() },
            // A rule that never comes to give: water would come from below all the same.
            PlanChange { from_day: 3, schedule: vec![], rules: vec![rule.clone()] },
            PlanChange { from_day: 4, schedule: vec![drip(9, 0)], rules: Vec::new() },
        ];
        scenario.lanes[0].targets.drain_percent = Some((10.0, 20.0));
        let mut second = scenario.lanes[0].clone();
        (second.name, second.targets.drain_percent) = ("second".to_owned(), None);
        scenario.lanes.push(second);
        let ready = Workshop::default().ready(&scenario, &library).unwrap().for_its_days();
        let runs: Vec<LaneRun> = ready.iter().map(|lane| lane.run(4)).collect();
        for (day, floods) in [false, true, true, false].into_iter().enumerate() {
            let aim = |lane: usize| LaneReport::of(&scenario, &scenario.lanes[lane], &runs[lane], day).unwrap().aims.drain_percent;
            let expected = if floods { Aim::Unfit((10.0, 20.0), Unfit::Floods) } else { Aim::Band((10.0, 20.0), From::Targets) };
            assert_eq!((aim(0), aim(1)), (expected, Aim::None), "bench {seed}, day {day}");
        }
    }
}
