//! What all lanes share: light, feed, days, and the settings of the solution.

use eframe::egui::{Id, Ui};

use super::container_form::{named, whole};
use super::form::{Form, Number};
use crate::app::action::Action;
use crate::scenario::{Clock, LightShape, MAX_DAYS, Scenario};
use crate::units::Quantity;

/// Draws the fields.
pub fn show(form: &mut Form<'_>, ui: &mut Ui) {
    let s = form.scenario;
    let number = |form: &mut Form<'_>,
                  ui: &mut Ui,
                  label: &str,
                  what: &str,
                  hover: &str,
                  quantity,
                  range: [f64; 2],
                  value,
                  set: &dyn Fn(&mut Scenario, f64)| {
        form.number(ui, &Number { label, what, hover, quantity, range: range[0]..=range[1] }, value, |s, v| set(s, v));
    };
    number(
        form,
        ui,
        "Feed EC",
        "feed EC",
        "EC of the nutrient solution at 25 °C. Stronger feed raises the root zone's EC, the more so the less drains.",
        Quantity::Ec,
        [0.0, 20.0],
        s.feed.ec,
        &|s, v| s.feed.ec = v,
    );
    number(
        form,
        ui,
        "Days in a row",
        "days in a row",
        "The same day is run this often; later days forget how the first began.",
        Quantity::Plain("", 0),
        [1.0, f64::from(MAX_DAYS)],
        f64::from(s.days),
        &|s, v| s.days = whole(v),
    );
    number(
        form,
        ui,
        "Evaporation",
        "evaporation",
        "From freely exposed wet surfaces. It dries open tops and fabric walls, and leaves salt behind.",
        Quantity::Plain("mm/day", 1),
        [0.0, 30.0],
        s.evaporation_mm_per_day,
        &|s, v| s.evaporation_mm_per_day = v,
    );
    clock(form, ui, true);
    clock(form, ui, false);
    let kinds = ["sun", "lamps"].map(str::to_owned);
    let at = usize::from(s.light.shape == LightShape::Lamps);
    let words = ["Light like", "Sun: use swells towards noon. Lamps: use is even all day, so even intervals suit it."];
    if let Some(i) = form.choice(ui, Id::unique("light shape"), words, &kinds[at], &kinds) {
        form.set(format!("Set light to {}", kinds[i]), |s| s.light.shape = if i == 0 { LightShape::Sun } else { LightShape::Lamps });
    }
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
        let n = s.solver;
        number(
            form,
            ui,
            "Layer",
            "layer thickness",
            "Aimed-at thickness of a layer. Thinner is finer and slower.",
            Quantity::Plain("cm", 2),
            [0.05, 10.0],
            n.layer_cm,
            &|s, v| s.solver.layer_cm = v,
        );
        number(
            form,
            ui,
            "Fewest layers",
            "fewest layers",
            "A shallow column gets at least so many",
            Quantity::Plain("", 0),
            [2.0, f64::from(n.max_layers.min(1000))],
            f64::from(n.min_layers),
            &|s, v| s.solver.min_layers = whole(v),
        );
        number(
            form,
            ui,
            "Most layers",
            "most layers",
            "A tall column gets at most so many",
            Quantity::Plain("", 0),
            [f64::from(n.min_layers.max(2)), 1000.0],
            f64::from(n.max_layers),
            &|s, v| s.solver.max_layers = whole(v),
        );
        number(
            form,
            ui,
            "Error of a step",
            "error of a step",
            "Water content that one step may miss. Smaller is slower.",
            Quantity::Plain("", 4),
            [1e-8, 0.1],
            n.tolerance,
            &|s, v| s.solver.tolerance = v,
        );
        number(
            form,
            ui,
            "Left over",
            "what is left over",
            "Share of that error at which a step is called solved",
            Quantity::Plain("", 3),
            [1e-9, 1.0],
            n.convergence,
            &|s, v| s.solver.convergence = v,
        );
        number(
            form,
            ui,
            "Longest step",
            "longest step",
            "No step is longer",
            Quantity::Plain("s", 0),
            [1.0, 7200.0],
            n.max_step_s,
            &|s, v| s.solver.max_step_s = v,
        );
        number(
            form,
            ui,
            "Shortest step",
            "shortest step",
            "Below this the run stops and says why",
            Quantity::Plain("s", 3),
            [1e-9, 1.0],
            n.min_step_s,
            &|s, v| s.solver.min_step_s = v,
        );
        number(
            form,
            ui,
            "Give of full layers",
            "give of full layers",
            "A numerical aid that keeps a wholly full column solvable",
            Quantity::Plain("1/cm", 3),
            [1e-9, 1e-3],
            n.storage_per_cm,
            &|s, v| s.solver.storage_per_cm = v,
        );
        if ui.button("Usual settings").clicked() {
            form.set("Set numerics to the usual", |s| s.solver = crate::scenario::Solver::default());
        }
    });
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
