//! A lane's probe of water content.

use eframe::egui::Ui;

use crate::app::look::form::{Field, Form};
use crate::scenario::parameter::lane::{PROBE, Placed};
use crate::scenario::{Probe, ranges};

/// A probe in the middle of the lower half.
pub fn usual_probe(container_cm: f64) -> Probe {
    let tenths = |v: f64| (v * 10.0).floor() / 10.0;
    let length_cm = tenths(container_cm.min(6.0) * 0.9).max(ranges::LEAST_PROBE);
    Probe { height_cm: tenths(0.3 * container_cm).max(0.5 * length_cm), length_cm }
}

/// A lane's probe.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    let height = lane.container.height_cm();
    let of = format!("lane {}", index + 1);
    let words = ["Probe", "A probe of water content in this root zone: its reading is a thin line on the track, and rules can go by it"];
    if form.switch(ui, words, lane.probe.is_some()) {
        let next = if lane.probe.is_some() { None } else { Some(usual_probe(height)) };
        let name = if next.is_some() { format!("Put a probe into {of}") } else { format!("Take the probe out of {of}") };
        form.set(name, |s| s.lanes[index].probe = next);
    }
    let Some(now) = lane.probe else { return };
    for entry in PROBE {
        let placed = Placed { probe: now, container_cm: height };
        let Some(value) = (entry.get)(&placed, form.library) else { continue };
        form.number(ui, &Field::of(entry, &of, &placed, form.library), value, |s, v| {
            if let Some(probe) = s.lanes.get(index).and_then(|l| l.probe) {
                let mut placed = Placed { probe, container_cm: height };
                (entry.set)(&mut placed, v);
                s.lanes[index].probe = Some(placed.probe);
            }
        });
    }
}
