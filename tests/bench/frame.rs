//! What a frame costs while an event is dragged, on the processor: simulating, laying out and tessellating; and what the first
//! frame costs. Two benches: as the first demo stands, and with another lane and a week side by side.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::time::Instant;

use eframe::egui::accesskit::Role;
use eframe::egui::{Event, Modifiers, PointerButton, Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use slakeline::app::{App, AppOptions};
use slakeline::scenario::{Scenario, file, presets};

/// Frames of the drag.
const FRAMES: u16 = 300;
/// Frames before that, not counted: caches fill.
const WARM: u16 = 20;

fn main() {
    let two = presets::demos().remove(0).1;
    let mut three = two.clone();
    three.days = 7;
    let mut third = three.lanes[0].clone();
    third.name = "Third".to_owned();
    three.lanes.push(third);
    for (scenario, all_days) in [(&two, false), (&three, false), (&three, true)] {
        drag(scenario, all_days);
    }
}

fn drag(scenario: &Scenario, all_days: bool) {
    let data = tempfile::tempdir().unwrap();
    let path = data.path().join("bench.ron");
    file::save(scenario, &path).unwrap();
    let options = AppOptions { path: Some(path), data_folder: Some(data.path().to_path_buf()) };
    let shown = if all_days { "all days shown" } else { "one day shown" };
    println!("{} lanes x {} days, {shown}", scenario.lanes.len(), scenario.days);

    let began = Instant::now();
    let mut harness: Harness<'_, App> = Harness::builder().with_size(vec2(1280.0, 800.0)).build_eframe(move |cc| App::new(cc, options));
    println!("  first frame {:.1} ms after the start (without a window)", began.elapsed().as_secs_f64() * 1e3);
    harness.run();
    if all_days {
        harness.get_by_role_and_label(Role::ComboBox, "Showing").click();
        harness.run();
        harness.get_by_label(&format!("all {} days", scenario.days)).click();
        harness.run();
    }

    let at = harness.get_by_role_and_label(Role::Slider, "Event 12:15").rect().center();
    harness.hover_at(at);
    harness.step();
    button(&mut harness, at, true);
    let (mut frames, mut runs) = (Vec::new(), Vec::new());
    for k in 0..WARM + FRAMES {
        let to = at + vec2(40.0 * (f32::from(k) / 12.0).sin(), 0.0);
        harness.event(Event::PointerMoved(to));
        let began = Instant::now();
        harness.step();
        let pixels = harness.ctx.pixels_per_point();
        let shapes = harness.output().shapes.clone();
        std::hint::black_box(harness.ctx.tessellate(shapes, pixels));
        if k >= WARM {
            frames.push(began.elapsed().as_secs_f64() * 1e3);
            runs.push(harness.state().run().millis);
        }
    }
    button(&mut harness, at, false);
    for (what, times) in [("simulate + lay out + tessellate", &mut frames), ("the run shown", &mut runs)] {
        times.sort_by(f64::total_cmp);
        let share = |x: usize| times[(times.len() - 1) * x / 100];
        println!("  {what}: p50 {:.1} ms, p95 {:.1} ms, longest {:.1} ms", share(50), share(95), share(100));
    }
}

fn button(harness: &mut Harness<'_, App>, pos: Pos2, pressed: bool) {
    harness.event(Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE });
    harness.step();
}
