//! What the finder is asked: hours, equipment, lean, and what else may change.

use eframe::egui::{RichText, Ui};

use crate::app::look::theme::{NOTE, Tokens};
use crate::app::pages::studies::fields::{Shown, bounded, clock, whole};
use crate::app::state::bench::Bench;
use crate::scenario::ranges;
use crate::studies::finder::{Asked, Lean, usual_rinse};
use crate::units::Quantity;

const LEANS: [(Lean, &str); 3] = [(Lean::Vegetative, "Vegetative"), (Lean::Balanced, "Balanced"), (Lean::Generative, "Generative")];

/// Draws the fields.
pub fn show(ui: &mut Ui, t: &Tokens, bench: &Bench, asked: &mut Asked) {
    let (scenario, units) = (bench.document().scenario(), bench.units);
    let litres_an_hour = Shown { quantity: Quantity::Litres, units, per: "/h" };
    clock(ui, t, ("First event not before", ""), &mut asked.first);
    clock(ui, t, ("Last event begins by", ""), &mut asked.last);
    let hardware = &mut asked.hardware;
    whole(ui, t, ("Timer's step", "starts stand on this grid"), &mut hardware.timer_step_s, (1, 3600), "s");
    whole(ui, t, ("Shortest on-time", "of the valve"), &mut hardware.shortest_s, (1, 86_400), "s");
    let mut most = u32::try_from(hardware.most_events).unwrap_or(u32::MAX);
    whole(ui, t, ("Most events a day", ""), &mut most, (1, 1000), "");
    hardware.most_events = most as usize;
    bounded(
        ui,
        t,
        ("Emitters of one plant give", "without it, events last five minutes"),
        &mut hardware.emitter_l_per_h,
        2.0,
        (0.01, 1000.0),
        litres_an_hour,
    );
    bounded(
        ui,
        t,
        ("Pump gives, for all plants", "without it, as much as is asked for"),
        &mut hardware.pump_l_per_h,
        200.0,
        (0.01, 1e6),
        litres_an_hour,
    );
    ui.horizontal_wrapped(|ui| {
        ui.label("Lean");
        for (lean, name) in LEANS {
            ui.radio_value(&mut asked.lean, lean, name);
        }
        ui.label(RichText::new("which half of the dry-back range (common practice, no source)").size(NOTE).color(t.quiet));
    });
    ui.checkbox(&mut asked.feed_too, "The feed's EC may change, too");
    if scenario.floods_on(asked.valve, 0) {
        let usual = usual_rinse(scenario, asked.valve);
        let label = ("Rinse from above, EC", "may go with the floods; collect what drains");
        bounded(ui, t, label, &mut asked.rinse_ec, usual, (0.0, 20.0), Shown::of(Quantity::Ec, units));
        if asked.rinse_ec.is_some() {
            let mut every = asked.rinse_every.map(f64::from);
            let label = ("Days from rinse to rinse", "without it, 1, 2, 3 and 7 are looked at");
            bounded(ui, t, label, &mut every, 7.0, ranges::EVERY_DAYS, Shown::of(Quantity::Plain("days", 0), units));
            // Within its range it fits.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let whole = |days: f64| days.round() as u32;
            asked.rinse_every = every.map(whole);
        }
    }
}
