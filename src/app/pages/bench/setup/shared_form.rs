//! What all lanes share: light, feed, days, and the settings of the solution.

use eframe::egui::{Id, Ui};

use super::climate_form;
use super::entered::{named, whole};
use super::preset_menus;
use crate::app::actions::action::Action;
use crate::app::look::form::{Field, Form};
use crate::scenario::{Clock, LightShape, MAX_DAYS, Solver, ranges};
use crate::units::Quantity;

/// What to mind around feed and water. It gives way to who knows the place.
const CARE: &str = "Take care with acids, concentrates and mains power. Local codes and licensed practice come first.";
const CARE_WHY: &str = "Gloves and goggles; acid into water, never the reverse; concentrates never together undiluted. \
    Emitters, pumps and lamps: mains power away from water and behind a residual-current device that a licensed electrician fitted. \
    Local codes and licensed practice come before anything shown here.";

/// Draws the fields.
pub fn show(form: &mut Form<'_>, ui: &mut Ui) {
    let s = form.scenario;
    preset_menus::feed(form, ui);
    let hover = "EC of the nutrient solution at 25 °C. Stronger feed raises the root zone's EC, the more so the less drains.";
    form.number(ui, &Field::new("Feed EC", "", Quantity::Ec, ranges::FEED_EC, hover), s.feed.ec, |s, v| s.feed.ec = v);
    form.note(ui, CARE).on_hover_text(CARE_WHY);
    let days = (1.0, f64::from(MAX_DAYS));
    let hover = "The same day is run this often; later days forget how the first began.";
    form.number(ui, &Field::new("Days in a row", "", Quantity::Plain("", 0), days, hover), f64::from(s.days), |s, v| s.days = whole(v));
    let hover = "From freely exposed wet surfaces. It dries open tops and fabric walls, and leaves salt behind.";
    let field = Field::new("Evaporation", "", Quantity::WaterPerDay, ranges::EVAPORATION, hover);
    form.number(ui, &field, s.evaporation_mm_per_day, |s, v| s.evaporation_mm_per_day = v);
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
    let mut number = |label: &str, quantity, range, value, set: &dyn Fn(&mut Solver, f64), hover: &str| {
        form.number(ui, &Field::new(label, "the run", quantity, range, hover), value, |s, v| set(&mut s.solver, v));
    };
    let (count, seconds) = (Quantity::Plain("", 0), |decimals| Quantity::Plain("s", decimals));
    let hover = "Aimed-at thickness of a layer. Thinner is finer and slower.";
    number("Layer", Quantity::Thickness, ranges::LAYER, n.layer_cm, &|s, v| s.layer_cm = v, hover);
    let hover = "A shallow column gets at least so many";
    number("Fewest layers", count, ranges::min_layers(&n), f64::from(n.min_layers), &|s, v| s.min_layers = whole(v), hover);
    let hover = "A tall column gets at most so many";
    number("Most layers", count, ranges::max_layers(&n), f64::from(n.max_layers), &|s, v| s.max_layers = whole(v), hover);
    let hover = "Water content that one step may miss. Smaller is slower.";
    number("Error of a step", Quantity::Plain("", 4), ranges::TOLERANCE, n.tolerance, &|s, v| s.tolerance = v, hover);
    let hover = "Share of that error at which a step is called solved";
    number("Left over", Quantity::Plain("", 3), ranges::CONVERGENCE, n.convergence, &|s, v| s.convergence = v, hover);
    number("Longest step", seconds(0), ranges::MAX_STEP, n.max_step_s, &|s, v| s.max_step_s = v, "No step is longer");
    let hover = "Below this the run stops and says why";
    number("Shortest step", seconds(3), ranges::MIN_STEP, n.min_step_s, &|s, v| s.min_step_s = v, hover);
    let hover = "A numerical aid that keeps a wholly full column solvable";
    number("Give when full", Quantity::Plain("1/cm", 3), ranges::STORAGE, n.storage_per_cm, &|s, v| s.storage_per_cm = v, hover);
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
