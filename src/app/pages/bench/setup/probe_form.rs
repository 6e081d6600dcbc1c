//! A lane's probe of water content.

use eframe::egui::Ui;

use crate::app::look::form::{Field, Form};
use crate::scenario::{Probe, ranges};
use crate::units::Quantity;

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
    let hover = "Height of the probe's middle above the base. Lower it reads wetter, and answers later to an event.";
    let field = Field::new("Probe height", &of, Quantity::Length, (0.5 * now.length_cm, height - 0.5 * now.length_cm), hover);
    form.number(ui, &field, now.height_cm, |s, v| {
        if let Some(probe) = &mut s.lanes[index].probe {
            probe.height_cm = v;
        }
    });
    let hover = "Height that it reads over; the reading is the mean of that stretch.";
    let field = Field::new("Probe length", &of, Quantity::Length, (ranges::LEAST_PROBE, height), hover);
    form.number(ui, &field, now.length_cm, |s, v| {
        if let Some(probe) = &mut s.lanes[index].probe {
            probe.length_cm = v;
            probe.height_cm = probe.height_cm.max(0.5 * v).min(height - 0.5 * v);
        }
    });
}
