//! What a frame costs, on the processor: simulating, laying out and tessellating. While an event is dragged, on benches of several sizes, also how
//! long the new curves of the days shown take; on the largest bench there may be, while it is opened, changed and changed back, how long
//! that takes, and the most memory that was held; and on a large bench while a study takes all processors, beside frames without one. With the
//! argument `studies`, the last alone.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::path::Path;
use std::sync::Arc;
use std::thread::sleep;
use std::time::{Duration, Instant};

use eframe::egui::accesskit::Role;
use eframe::egui::{Event, Key, Modifiers, PointerButton, Pos2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use egui_kittest::{Harness, Node};
use slakeline::app::state::days::Days;
use slakeline::app::{App, AppOptions};
use slakeline::scenario::{MAX_DAYS, MAX_LANES, Scenario, file, presets};

type Window = Harness<'static, App>;

/// Moves of the drag.
const MOVES: u16 = 300;
/// Moves before that, not counted: caches fill.
const WARM: u16 = 20;

fn main() {
    if std::env::args().any(|a| a == "studies") {
        return studies();
    }
    for (lanes, days) in [(2, 3), (3, 7), (4, 14)] {
        for shown in [Days::One(0), Days::One(days - 1), Days::All] {
            drag(&bench(lanes, days), shown);
        }
    }
    largest();
    studies();
}

/// The first demo's lanes, over and over.
fn bench(lanes: usize, days: usize) -> Scenario {
    let mut scenario = presets::demos().remove(0).1;
    let of = scenario.lanes.clone();
    scenario.lanes = of.iter().cycle().take(lanes).cloned().collect();
    scenario.lanes.iter_mut().enumerate().for_each(|(i, lane)| lane.name = format!("Lane {}", i + 1));
    Scenario { days: u32::try_from(days).unwrap(), ..scenario }
}

fn open(data: &Path, path: Option<&Path>) -> Window {
    let options = AppOptions { path: path.map(Path::to_path_buf), data_folder: Some(data.to_path_buf()) };
    let began = Instant::now();
    let mut window: Window = Harness::builder().with_size(vec2(1280.0, 800.0)).build_eframe(move |cc| App::new(cc, options));
    println!("  first frame {:.1} ms after the start (without a window)", ms(began));
    let mut frames = Vec::new();
    wait(&mut window, &mut frames);
    window
}

fn ms(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1e3
}

/// One frame, with what it took, ms.
fn frame(window: &mut Window, frames: &mut Vec<f64>) {
    let began = Instant::now();
    window.step();
    let shapes = window.output().shapes.clone();
    std::hint::black_box(window.ctx.tessellate(shapes, window.ctx.pixels_per_point()));
    frames.push(ms(began));
}

/// Frames about as often as a display shows them, until nothing is computed.
fn wait(window: &mut Window, frames: &mut Vec<f64>) {
    loop {
        frame(window, frames);
        if !window.state().is_computing() {
            return;
        }
        sleep(Duration::from_millis(8));
    }
}

fn told(what: &str, times: &mut [f64]) {
    times.sort_by(f64::total_cmp);
    let of = |x: usize| share(times, x);
    println!("  {what}: p50 {:.1} ms, p95 {:.1} ms, longest {:.1} ms ({})", of(50), of(95), of(100), times.len());
}

fn drag(scenario: &Scenario, shown: Days) {
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("bench.ron");
    file::save(scenario, &path).unwrap();
    println!("{} lanes x {} days, {} shown", scenario.lanes.len(), scenario.days, shown.name(scenario.days as usize));
    let mut window = open(data.path(), Some(&path));
    show(&mut window, shown, scenario.days);
    assert_eq!(window.state().bench().days(), shown);

    let at = window.get_all_by_role_and_label(Role::Slider, "Event 12:15").next().unwrap().rect().center();
    window.hover_at(at);
    window.step();
    button(&mut window, at, true);
    let (mut frames, mut curves, mut overtaken) = (Vec::new(), Vec::new(), 0);
    for k in 0..WARM + MOVES {
        if k == WARM {
            (frames, curves, overtaken) = (Vec::new(), Vec::new(), 0);
        }
        let to = at + vec2(40.0 * (f32::from(k) / 12.0).sin(), 0.0);
        let before = Arc::clone(window.state().bench().scenario());
        window.event(Event::PointerMoved(to));
        let began = Instant::now();
        frame(&mut window, &mut frames);
        if Arc::ptr_eq(&before, window.state().bench().scenario()) {
            continue; // It was moved by less than a step.
        }
        overtaken += usize::from(!is_drawn(&window));
        while !is_drawn(&window) {
            sleep(Duration::from_millis(1));
            frame(&mut window, &mut frames);
        }
        curves.push(ms(began));
    }
    button(&mut window, at, false);
    told("a frame", &mut frames);
    told("from the move to its curves on the days shown", &mut curves);
    println!("  of these, beside the frames: {overtaken}");
}

/// Shows days by the strip: in the list the last are out of sight where there are many.
fn show(window: &mut Window, shown: Days, days: u32) {
    if shown == Days::All {
        window.get_by_role_and_label(Role::RadioButton, &format!("All {days} days side by side")).click();
    } else {
        let is_first = |cell: &Node<'_>| cell.accesskit_node().label().is_some_and(|label| label.starts_with("Day 1 of"));
        window.query_all_by_role(Role::RadioButton).find(is_first).unwrap().focus();
        window.step();
        window.key_press(if shown == Days::One(0) { Key::Home } else { Key::End });
    }
    window.run();
}

/// Whether the curves are those of what is being tried.
fn is_drawn(window: &Window) -> bool {
    Arc::ptr_eq(&window.state().run().scenario, window.state().bench().scenario())
}

fn button(window: &mut Window, pos: Pos2, pressed: bool) {
    window.event(Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE });
    window.step();
}

fn largest() {
    let mut scenario = bench(MAX_LANES, MAX_DAYS as usize);
    (scenario.solver.min_layers, scenario.solver.max_layers, scenario.solver.layer_cm) = (64, 64, 0.05);
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("largest.ron");
    file::save(&scenario, &path).unwrap();
    println!("{MAX_LANES} lanes x {MAX_DAYS} days x 64 layers");
    let mut window = open(data.path(), None);
    assert!(window.state_mut().open(&path));
    computed(&mut window, "opening");
    assert_eq!(window.state().document().scenario().lanes.len(), MAX_LANES);
    window.get_all_by_role_and_label(Role::Slider, "Event 12:15").next().unwrap().focus();
    window.step();
    window.key_press(Key::ArrowUp);
    computed(&mut window, "one edit");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    computed(&mut window, "undo");
}

fn computed(window: &mut Window, what: &str) {
    let (began, mut frames) = (Instant::now(), Vec::new());
    frame(window, &mut frames);
    wait(window, &mut frames);
    println!("  {what}: {:.1} s, at most {} MB held so far", began.elapsed().as_secs_f64(), most_memory_mb());
    told("frames meanwhile", &mut frames);
}

/// The most memory held so far, MB; 0 where the system does not tell.
fn most_memory_mb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    line.and_then(|l| l.split_whitespace().next()?.parse::<u64>().ok()).unwrap_or(0) / 1024
}

/// Lanes and days of a bench that is large and still of some use.
const LARGE: (usize, usize) = (MAX_LANES, 7);
/// Frames that are counted of each page while a study runs, at most.
const FRAMES: u16 = 1000;
/// Frames that are counted without one.
const RESTED: u16 = 300;
/// The longest frame that looks smooth, ms: sixty a second.
const SMOOTH_MS: f64 = 16.0;

/// Frames of the page of a study and of the tracks, under a pointer that moves: without the study, and while it runs.
fn studies() {
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("large.ron");
    file::save(&bench(LARGE.0, LARGE.1), &path).unwrap();
    println!("{} lanes x {} days, while a study runs", LARGE.0, LARGE.1);
    let mut window = open(data.path(), Some(&path));
    for (study, verb) in [("Spread", "Find out"), ("Choice of root zone", "Hold them side by side")] {
        press(&mut window, "Bench");
        let tracks = beside(&mut window, RESTED, |_| true);
        press(&mut window, "Studies");
        press(&mut window, study);
        let page = beside(&mut window, RESTED, |_| true);
        press(&mut window, verb);
        let is_working = |w: &Window| w.state().studies().is_working();
        let page_meanwhile = beside(&mut window, FRAMES, is_working);
        press(&mut window, "Bench");
        let tracks_meanwhile = beside(&mut window, FRAMES, is_working);
        let was_working = is_working(&window);
        press(&mut window, "Studies");
        if was_working {
            press(&mut window, "Cancel");
        }
        println!("  {study}, {}", if was_working { "given up after that" } else { "until it was done" });
        against("its page", page, page_meanwhile);
        against("the tracks", tracks, tracks_meanwhile);
    }
}

/// Tells frames without a study and while it runs.
fn against(page: &str, mut rested: Frames, mut worked: Frames) {
    println!("  {page}");
    for (what, frames) in [("without", &mut rested), ("while it runs", &mut worked)] {
        told(&format!("  {what}, by the clock"), &mut frames.wall);
        told(&format!("  {what}, on the processor"), &mut frames.processor);
    }
    let (before, p95) = (share(&rested.processor, 95), share(&worked.processor, 95));
    let wall = share(&worked.wall, 95);
    let smooth = if wall <= SMOOTH_MS { "smooth" } else { "NOT SMOOTH" };
    println!("    p95: {:.2} times that without on the processor; by the clock {wall:.1} ms, {smooth}", p95 / before.max(1e-3));
    // What others do on the machine counts by the clock, but not on the processor.
    assert!(p95 <= SMOOTH_MS, "a frame waits for a study");
}

/// What frames took, ms: by the clock, and of the window's thread on the processor.
#[derive(Default)]
struct Frames {
    wall: Vec<f64>,
    processor: Vec<f64>,
}

/// Frames about as often as a display shows them, so many and as long as something is so, while the pointer moves.
fn beside(window: &mut Window, most: u16, is_so: impl Fn(&Window) -> bool) -> Frames {
    let mut frames = Frames::default();
    for k in 0..most {
        window.event(Event::PointerMoved(Pos2::new(400.0 + f32::from(k % 400), 400.0)));
        let before = on_processor_ms();
        frame(window, &mut frames.wall);
        frames.processor.push(on_processor_ms() - before);
        if !is_so(window) {
            break;
        }
        sleep(Duration::from_millis(8));
    }
    frames
}

/// Time of this thread on the processor, ms; 0 where the system does not tell.
fn on_processor_ms() -> f64 {
    // The system counts it when a thread makes room for others.
    std::thread::yield_now();
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    told.split_whitespace().next().and_then(|ns| ns.parse::<f64>().ok()).map_or(0.0, |ns| ns / 1e6)
}

/// A share, percent, of sorted times.
fn share(sorted: &[f64], percent: usize) -> f64 {
    sorted[(sorted.len() - 1) * percent / 100]
}

fn press(window: &mut Window, label: &str) {
    window.get_all_by_label(label).next().unwrap().click();
    window.step();
    window.step();
}
