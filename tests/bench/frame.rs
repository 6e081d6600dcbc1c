//! What a frame costs, on the processor: simulating, laying out and tessellating. While an event is dragged, on benches of several sizes, also how
//! long the new curves of the days shown take; on the largest bench there may be, while it is opened, changed and changed back, how long
//! that takes, and the most memory that was held.
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
    for (lanes, days) in [(2, 3), (3, 7), (4, 14)] {
        for shown in [Days::One(0), Days::One(days - 1), Days::All] {
            drag(&bench(lanes, days), shown);
        }
    }
    largest();
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
    let share = |x: usize| times[(times.len() - 1) * x / 100];
    println!("  {what}: p50 {:.1} ms, p95 {:.1} ms, longest {:.1} ms ({})", share(50), share(95), share(100), times.len());
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
