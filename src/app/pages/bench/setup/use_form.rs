//! What a lane's plants use: measured, or computed from the climate; and the stage of growth.

use std::sync::Arc;

use eframe::egui::{Id, Ui};

use super::entered::lane_entries;
use crate::app::look::form::{Field, Form};
use crate::edits::called::Called;
use crate::scenario::parameter::lane::{COMPUTED as COMPUTED_FROM, MEASURED};
use crate::scenario::{Canopy, Climate, Crop, Demand, Lane, LogRow, Scenario, ranges, resolve};
use crate::studies::daily_use::{entered, litres};
use crate::units::Quantity;

/// The climate a sunlit bench begins with.
pub const USUAL: &str = "glasshouse, spring day";

/// Draws the stage, and what a plant uses.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, index: usize, lane: &Lane) {
    let crop = resolve::crop(&lane.crop, form.library).ok();
    if let Some(crop) = &crop {
        stage(form, ui, index, crop);
    }
    kind(form, ui, index, lane, crop.as_ref());
    match lane.demand {
        Demand::Measured { .. } => lane_entries(form, ui, index, MEASURED),
        Demand::Climate { .. } => {
            if let Some(crop) = &crop {
                computed(form, ui, index, lane, crop);
            }
        }
    }
}

/// Litres per plant and day that a lane asks for, kept while lane, crop and log stand: a long log takes longer to sum than a frame lasts.
fn litres_shown(ui: &Ui, id: Id, lane: &Lane, crop: &Crop, scenario: &Scenario) -> f64 {
    let Some(Climate::Log(log)) = &scenario.climate else { return litres(lane, crop, scenario) };
    if let Some(kept) = ui.data(|d| d.get_temp::<Kept>(id))
        && Arc::ptr_eq(&kept.rows, &log.rows)
        && (&kept.demand, kept.canopy) == (&lane.demand, crop.canopy)
    {
        return kept.litres;
    }
    let litres = litres(lane, crop, scenario);
    let kept = Kept { rows: Arc::clone(&log.rows), demand: lane.demand.clone(), canopy: crop.canopy, litres };
    ui.data_mut(|d| d.insert_temp(id, kept));
    litres
}

/// What a lane asks for, and all that this hangs on.
#[derive(Clone)]
struct Kept {
    rows: Arc<[LogRow]>,
    demand: Demand,
    canopy: Option<Canopy>,
    litres: f64,
}

fn stage(form: &mut Form<'_>, ui: &mut Ui, index: usize, crop: &Crop) {
    if crop.stages.is_empty() {
        return;
    }
    let names: Vec<String> = crop.stages.iter().map(|s| s.name.clone()).collect();
    let called = Called::Stage(index).name(form.scenario, form.library);
    let now = called.as_deref().unwrap_or("own values");
    let words = ["Stage", "Sets leaf area, roots and aims as a crop of that stage commonly has them (judgement). Change what differs."];
    let Some(chosen) = form.choice(ui, form.id(index, "stage"), words, now, &names) else { return };
    let Some(stage) = crop.stages.get(chosen).cloned() else { return };
    form.set(format!("Set lane {} to the stage {}", index + 1, stage.name), |s| {
        let Some(lane) = s.lanes.get_mut(index) else { return };
        if let Demand::Climate { leaf_area_index, .. } = &mut lane.demand {
            *leaf_area_index = Some(stage.leaf_area_index);
        }
        (lane.roots, lane.targets) = (stage.roots, stage.targets);
    });
}

fn kind(form: &mut Form<'_>, ui: &mut Ui, index: usize, lane: &Lane, crop: Option<&Crop>) {
    let kinds = ["measured", "from the climate"].map(str::to_owned);
    let at = usize::from(matches!(lane.demand, Demand::Climate { .. }));
    let words =
        ["Use", "Measured: litres you enter, shaped by the light. From the climate: computed from light, air and leaf area, to be scaled."];
    let Some(chosen) = form.choice(ui, form.id(index, "use"), words, &kinds[at], &kinds) else { return };
    let Some(crop) = crop else { return };
    if chosen == 0 {
        let next = entered(lane, form.scenario, form.library);
        form.set(format!("Enter the use of lane {}", index + 1), |s| s.lanes[index].demand = next);
        return;
    }
    if crop.canopy.is_none() {
        form.actions.push(crate::app::actions::action::Action::Say(format!(
            "{} has no canopy values, so its use cannot be computed. Choose another crop, or enter what you measure.",
            crop.name
        )));
        return;
    }
    // A bench without a climate gets one of its own kind of light, whose times stay as they are.
    let shape = form.scenario.light.shape;
    let fitting = || form.library.climates.iter().filter(|c| c.light.shape == shape);
    let first = fitting().find(|c| c.climate.name == USUAL).or_else(|| fitting().next()).cloned();
    form.set(format!("Compute the use of lane {} from the climate", index + 1), |s| {
        s.lanes[index].demand = Demand::COMPUTED;
        if let (None, Some(preset)) = (&s.climate, first) {
            s.climate = Some(Climate::Typical(preset.climate));
        }
    });
}

fn computed(form: &mut Form<'_>, ui: &mut Ui, index: usize, lane: &Lane, crop: &Crop) {
    let (Demand::Climate { scale, .. }, Some(_)) = (&lane.demand, &crop.canopy) else { return };
    let of = format!("lane {}", index + 1);
    // The scale is entered as what a plant then uses.
    lane_entries(form, ui, index, &COMPUTED_FROM[..2]);
    let now = litres_shown(ui, form.id(index, "litres"), lane, crop, form.scenario);
    let plain = now / scale;
    if plain > 0.0 {
        let hover = "What a plant uses in a day. The formula alone is ±30 %: enter what you measure and it is scaled to that.";
        let range = (plain * ranges::SCALE.0, (plain * ranges::SCALE.1).min(ranges::LITRES_PER_DAY.1));
        form.number(ui, &Field::new("Uses a day", &of, Quantity::Litres, range, hover), now, |s, v| {
            if let Demand::Climate { scale, .. } = &mut s.lanes[index].demand {
                *scale = (v / plain).clamp(ranges::SCALE.0, ranges::SCALE.1);
            }
        });
    }
    let formula = Quantity::Litres.text(plain, form.units);
    let scaled =
        if (scale - 1.0).abs() < 1e-9 { "not scaled to what you measure, ±30 %".to_owned() } else { format!("scaled × {scale:.2}") };
    form.note(ui, &format!("The formula asks for {formula} a day; {scaled}."));
    if (scale - 1.0).abs() >= 1e-9 && ui.button("Back to the formula").on_hover_text("Undoes the scaling to what you measured").clicked() {
        form.set(format!("Scale use of lane {} by 1", index + 1), |s| {
            if let Demand::Climate { scale, .. } = &mut s.lanes[index].demand {
                *scale = 1.0;
            }
        });
    }
}
