//! What all lanes share: light, feed, days, and the settings of the solution.

use eframe::egui::{Id, Ui};

use super::climate_form;
use super::preset_menus;
use crate::app::actions::action::Action;
use crate::app::look::form::{Form, named};
use crate::scenario::parameter::bench::{BENCH, SOLVER};
use crate::scenario::{Clock, LightShape, Solver};

/// What to mind around feed and water. It gives way to who knows the place.
const CARE: &str = "Take care with acids, concentrates and mains power. Local codes and licensed practice come first.";
const CARE_WHY: &str = "Gloves and goggles; acid into water, never the reverse; concentrates never together undiluted. \
    Emitters, pumps and lamps: mains power away from water and behind a residual-current device that a licensed electrician fitted. \
    Local codes and licensed practice come before anything shown here.";

/// The number that says nothing where a climate does.
const EVAPORATION: &str = "evaporation_mm_per_day";
const BY_CLIMATE: &str = "Open tops dry by the light that the leaves let through and by the air, fabric walls by the air alone. Without a \
    climate it is an amount a day.";

/// Draws the fields.
pub fn show(form: &mut Form<'_>, ui: &mut Ui) {
    let s = form.scenario;
    preset_menus::feed(form, ui);
    for entry in BENCH {
        if entry.name == EVAPORATION && s.climate.is_some() {
            form.note(ui, "Evaporation follows the climate.").on_hover_text(BY_CLIMATE);
            continue;
        }
        form.entry(ui, entry, "", s, |s| Some(s));
        if entry.name == "feed.ec" {
            form.note(ui, CARE).on_hover_text(CARE_WHY);
        }
    }
    let logged = s.has_logged_light();
    ui.add_enabled_ui(!logged, |ui| light(form, ui));
    if logged {
        form.note(ui, "Lights on, off and light like are not in use: the climate's log has its own light, day by day.");
    }
    climate_form::show(form, ui);
    form.fold(ui, Id::unique("bench name"), "Name of the bench", false, |form, ui| {
        form.text(
            ui,
            Id::unique("bench name field"),
            ["Name", "Shown in the title and on sheets"],
            &form.scenario.name.clone(),
            named,
            |form, text| {
                form.set(format!("Name bench {text}"), |s| s.name = text);
            },
        );
    });
    form.fold(ui, Id::unique("numerics"), "Numerics", false, |form, ui| {
        form.note(ui, "How finely the run is computed. The usual settings are as exact as anyone needs.");
        numerics(form, ui);
        if ui.button("Usual settings").clicked() {
            form.set("Set numerics to the usual", |s| s.solver = Solver::default());
        }
    });
}

/// When it is light, and how light runs in between.
fn light(form: &mut Form<'_>, ui: &mut Ui) {
    clock(form, ui, true);
    clock(form, ui, false);
    let kinds = ["sun", "lamps"].map(str::to_owned);
    let at = usize::from(form.scenario.light.shape == LightShape::Lamps);
    let words = ["Light like", "Sun: use swells towards noon. Lamps: use is even all day, so even intervals suit it."];
    if let Some(i) = form.choice(ui, Id::unique("light shape"), words, &kinds[at], &kinds) {
        form.set(format!("Set light to {}", kinds[i]), |s| s.light.shape = if i == 0 { LightShape::Sun } else { LightShape::Lamps });
    }
}

/// How the run is computed.
fn numerics(form: &mut Form<'_>, ui: &mut Ui) {
    let n = form.scenario.solver;
    for entry in SOLVER {
        form.entry(ui, entry, "the run", &n, |s| Some(&mut s.solver));
    }
}

fn clock(form: &mut Form<'_>, ui: &mut Ui, on: bool) {
    let light = form.scenario.light;
    let (label, hover, now) = if on {
        ("Lights on", "Lights on, or sunrise. The plants begin to draw. Write it as 06:00.", light.on)
    } else {
        ("Lights off", "Lights off, or sunset. From here the night's dry-back runs. Write it as 20:00.", light.off)
    };
    let read = |text: &str| text.parse::<Clock>().map_err(|e| e.to_string());
    let refuse = |text: &str| match read(text) {
        Err(why) => Some(why),
        Ok(at) if on && at >= light.off => Some(format!("Lights go on before they go off, at {}.", light.off)),
        Ok(at) if !on && at <= light.on => Some(format!("Lights go off after they go on, at {}.", light.on)),
        Ok(_) => None,
    };
    form.text(ui, Id::unique(label), [label, hover], &now.to_string(), refuse, |form, text| match read(&text) {
        Ok(at) => {
            form.set(format!("Set {} to {at}", label.to_lowercase()), |s| *(if on { &mut s.light.on } else { &mut s.light.off }) = at);
        }
        Err(why) => form.actions.push(Action::Say(why)),
    });
}
