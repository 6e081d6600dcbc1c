//! The bench's climate: a preset, values of its own, or a log.

use eframe::egui::{Id, Ui};

use crate::app::actions::action::Action;
use crate::app::look::form::{Form, Kept};
use crate::edits::lengths::every;
use crate::edits::own_preset::OwnPreset;
use crate::scenario::parameter::bench::{AIRS, LEVEL};
use crate::scenario::{Climate, ClimateLog, ClimatePreset, Demand, Lamp, LightLevel, Scenario, TypicalDay};

/// Draws the choice and its fields.
pub fn show(form: &mut Form<'_>, ui: &mut Ui) {
    choice(form, ui);
    match &form.scenario.climate {
        None => {}
        Some(Climate::Typical(day)) => form.fold(ui, Id::unique("climate"), "Climate values", false, |form, ui| typical(form, ui, day)),
        Some(Climate::Log(log)) => logged(form, ui, log),
    }
    let hover = "From a CSV file: light, temperature and humidity above the canopy. What is wrong with it is told by line; nothing changes \
        until you take it.";
    if ui.button("Import a climate log…").on_hover_text(hover).clicked() {
        form.actions.push(Action::ImportClimate(None));
    }
}

/// What log it is and what was done to it.
fn logged(form: &mut Form<'_>, ui: &mut Ui, log: &ClimateLog) {
    let days = if log.days() == 1 { "1 day".to_owned() } else { format!("{} days", log.days()) };
    let step = usual_step(log).map_or_else(String::new, |s| format!(", one every {}", every(s)));
    form.note(
        ui,
        &format!(
            "{days} as logged, {} rows{step}. It begins anew when it has run out. Light, and when it is light, are the log's own.",
            log.rows.len()
        ),
    );
    if !log.source.is_empty() {
        form.fold(ui, Id::unique("climate source"), "How it was read", false, |form, ui| {
            form.note(ui, &log.source);
        });
    }
}

/// The median of a log's first steps, s: that of them all would take longer to find than a frame lasts.
fn usual_step(log: &ClimateLog) -> Option<u32> {
    const SEEN: usize = 200;
    let mut steps: Vec<u32> = log.rows.windows(2).take(SEEN).map(|pair| pair[1].0.saturating_sub(pair[0].0)).collect();
    steps.sort_unstable();
    steps.get(steps.len() / 2).copied()
}

fn choice(form: &mut Form<'_>, ui: &mut Ui) {
    const NONE: &str = "none: use is measured";
    let presets = &form.library.climates;
    let mut menu: Vec<String> = vec![NONE.to_owned()];
    menu.extend(presets.iter().map(|p| p.climate.name.clone()));
    // A log may be called like a preset: it is marked, so that the preset can be chosen all the same.
    let now = match &form.scenario.climate {
        None => NONE.to_owned(),
        Some(Climate::Typical(day)) => day.name.clone(),
        Some(Climate::Log(log)) => format!("log: {}", log.name),
    };
    let words = [
        "Climate",
        "Light, temperature and humidity above the canopy, for lanes whose use is computed. A preset sets the light's times, too.",
    ];
    let Some(chosen) = form.choice(ui, Id::unique("climate choice"), words, &now, &menu) else { return };
    match chosen.checked_sub(1).and_then(|i| presets.get(i)).cloned() {
        Some(preset) => {
            form.set(format!("Set climate to {}", preset.climate.name), |s| {
                s.light = preset.light;
                s.climate = Some(Climate::Typical(preset.climate));
            });
            form.actions.push(Action::TellMeasuredUse);
        }
        None if form.scenario.lanes.iter().any(|l| matches!(l.demand, Demand::Climate { .. })) => {
            form.actions.push(Action::Say("A lane's use is computed from the climate. Enter a measured use there first.".to_owned()));
        }
        None => form.set("Set climate to none", |s| s.climate = None),
    }
}

/// The typical day in hand, to be changed.
fn day_of(scenario: &mut Scenario) -> Option<&mut TypicalDay> {
    if let Some(Climate::Typical(day)) = &mut scenario.climate { Some(day) } else { None }
}

fn typical(form: &mut Form<'_>, ui: &mut Ui, day: &TypicalDay) {
    level(form, ui, day);
    for (head, air, night) in [("By day", &day.by_day, false), ("By night", &day.by_night, true)] {
        form.note(ui, &format!("{head}, vapour pressure deficit {:.2} kPa", air.deficit()));
        let of = format!("the climate, {}", head.to_lowercase());
        for entry in &AIRS[usize::from(night)] {
            form.entry(ui, entry, &of, day, day_of);
        }
    }
    let light = form.scenario.light;
    let text = format!("{:.1} mol/m² a day, like {:.1} MJ/m² of shortwave", day.daily_light_integral(&light), day.shortwave_mj(&light));
    let kept = Kept {
        id: Id::unique("climate name"),
        words: ["Name", "What the climate is called in menus. Give your own another name than a shipped one."],
        what: "climate",
        name: &day.name,
        button: ["Save climate as preset", "Keeps this climate, with the light's times, in your own menus"],
    };
    let rename = |s: &mut Scenario, name| {
        if let Some(day) = day_of(s) {
            day.name = name;
        }
    };
    let name = form.name_of(ui, &kept, rename);
    form.keep_button(ui, &kept, &name, rename, |s, name| {
        let Some(Climate::Typical(day)) = &s.climate else { return None };
        let climate = TypicalDay { name, ..day.clone() };
        Some(OwnPreset::Climate(Box::new(ClimatePreset { light: s.light, climate })))
    });
    form.note(ui, &text).on_hover_text("Light sum of the photons, and what loads the canopy as much as that shortwave radiation");
}

fn level(form: &mut Form<'_>, ui: &mut Ui, day: &TypicalDay) {
    match day.level {
        LightLevel::Sun { .. } => {
            form.entry(ui, &LEVEL[0], "the climate", day, day_of);
        }
        LightLevel::Lamps { ppfd, lamp } => {
            form.entry(ui, &LEVEL[1], "the climate", day, day_of);
            let kinds = ["LED", "high-pressure sodium"].map(str::to_owned);
            let at = usize::from(lamp == Lamp::Sodium);
            let words = ["Lamps", "Sodium lamps bring more heat with the same light, so the plants draw more"];
            if let Some(i) = form.choice(ui, Id::unique("lamp"), words, &kinds[at], &kinds) {
                let lamp = if i == 0 { Lamp::Led } else { Lamp::Sodium };
                form.set(format!("Set lamps to {}", kinds[i]), |s| {
                    if let Some(day) = day_of(s) {
                        day.level = LightLevel::Lamps { ppfd, lamp };
                    }
                });
            }
        }
    }
}
