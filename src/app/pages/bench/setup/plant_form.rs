//! The plant of a lane: crop, use, roots, stress and salt.

use eframe::egui::Ui;

use super::entered::lane_entries;
use super::use_form;
use crate::app::look::form::{Field, Form, Kept, lower};
use crate::edits::own_preset::OwnPreset;
use crate::scenario::naming;
use crate::scenario::parameter::crop::CROP;
use crate::scenario::parameter::lane::ROOTS;
use crate::scenario::{Crop, CropChoice, Lane, Roots, SaltStress, Scenario, ranges, resolve};
use crate::studies::daily_use;
use crate::units::Quantity;

/// A field of a lane.
fn number(form: &mut Form<'_>, ui: &mut Ui, index: usize, field: &Field<'_>, value: f64, set: impl FnOnce(&mut Lane, f64)) {
    form.number(ui, field, value, |s, v| set(&mut s.lanes[index], v));
}

/// Draws the crop and what it asks for.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    crop_choice(form, ui, index, lane);
    use_form::show(form, ui, index, lane);
    roots(form, ui, index, lane);
    if let CropChoice::Custom(crop) = &lane.crop {
        form.fold(ui, form.id(index, "own crop"), "Own crop values", false, |form, ui| own(form, ui, index, crop));
    }
}

fn crop_choice(form: &mut Form<'_>, ui: &mut Ui, index: usize, lane: &Lane) {
    let crops: Vec<String> = form.library.crops.iter().map(|c| c.name.clone()).collect();
    let mut menu = crops.clone();
    menu.push("own values…".to_owned());
    let now = match &lane.crop {
        CropChoice::Preset(name) => name.clone(),
        CropChoice::Custom(crop) => crop.name.clone(),
    };
    let words = ["Crop", "Sets how much salt leaves with the water taken up, and which dryness, lack of air and salt slow the roots"];
    let Some(i) = form.choice(ui, form.id(index, "crop"), words, &now, &menu) else { return };
    let next = match crops.get(i) {
        Some(name) => CropChoice::Preset(name.clone()),
        None if matches!(lane.crop, CropChoice::Custom(_)) => return,
        None => match resolve::crop(&lane.crop, form.library) {
            Ok(crop) => CropChoice::Custom(Box::new(Crop { name: naming::own(&crop.name), ..crop })),
            Err(_) => return,
        },
    };
    let grown = resolve::crop(&next, form.library).ok();
    let changed = grown.and_then(|crop| daily_use::for_crop(index, lane, &crop, form.scenario, form.library, form.units));
    let (demand, told) = changed.unzip();
    form.set(format!("Grow {} in lane {}", menu[i].trim_end_matches('…'), index + 1), |s| {
        let lane = &mut s.lanes[index];
        lane.crop = next;
        lane.demand = demand.unwrap_or_else(|| lane.demand.clone());
    });
    told.into_iter().for_each(|text| form.also(&text));
}

fn roots(form: &mut Form<'_>, ui: &mut Ui, index: usize, lane: &Lane) {
    let kinds = ["even", "thinning with depth", "by height", "entered per layer"].map(str::to_owned);
    let at = match lane.roots {
        Roots::Uniform => 0,
        Roots::Tapering { .. } => 1,
        Roots::ByHeight(_) => 2,
        Roots::PerLayer(_) => 3,
    };
    let height = lane.container.height_cm();
    let words = ["Roots", "Where water is taken from. Roots near the top dry the top; what lies below them stays wet."];
    // Values per layer come from a file; they are shown as such and can only be left.
    let offered = if at == 3 { &kinds[..] } else { &kinds[..3] };
    if let Some(i) = form.choice(ui, form.id(index, "roots"), words, &kinds[at], offered) {
        let next = match i {
            1 => Roots::Tapering { halves_every_cm: 10.0 },
            2 => Roots::ByHeight(vec![(0.0, 1.0), (height, 1.0)]),
            _ => Roots::Uniform,
        };
        form.set(format!("Set roots of lane {} to {}", index + 1, kinds[i]), |s| s.lanes[index].roots = next);
    }
    match &lane.roots {
        Roots::Tapering { .. } => lane_entries(form, ui, index, ROOTS),
        Roots::ByHeight(points) => by_height(form, ui, index, points, height),
        Roots::Uniform | Roots::PerLayer(_) => {}
    }
}

fn points_of(lane: &mut Lane) -> Option<&mut Vec<(f64, f64)>> {
    if let Roots::ByHeight(points) = &mut lane.roots { Some(points) } else { None }
}

fn by_height(form: &mut Form<'_>, ui: &mut Ui, index: usize, points: &[(f64, f64)], height: f64) {
    let others_zero = |k: usize| points.iter().enumerate().all(|(i, p)| i == k || p.1 <= 0.0);
    for (k, point) in points.iter().enumerate() {
        let low = if k == 0 { 0.0 } else { points[k - 1].0 + 0.1 };
        let high = points.get(k + 1).map_or(height, |p| p.0 - 0.1).max(low);
        let of = format!("the roots of lane {}", index + 1);
        let label = format!("Height {}", k + 1);
        let hover = "Height above the base. Between two heights the density changes evenly.";
        number(form, ui, index, &Field::new(&label, &of, Quantity::Length, (low, high), hover), point.0, |l, v| {
            if let Some(p) = points_of(l).and_then(|p| p.get_mut(k)) {
                p.0 = v;
            }
        });
        let label = format!("Density {}", k + 1);
        let least = if others_zero(k) { 0.01 } else { ranges::ROOT_DENSITY.0 };
        let hover = "Roots there, against the other heights: where there are more, more water is taken";
        let density = Field::new(&label, &of, Quantity::Plain("", 2), (least, ranges::ROOT_DENSITY.1), hover);
        number(form, ui, index, &density, point.1, |l, v| {
            if let Some(p) = points_of(l).and_then(|p| p.get_mut(k)) {
                p.1 = v;
            }
        });
    }
    ui.horizontal_wrapped(|ui| {
        let widest = points.windows(2).enumerate().max_by(|a, b| (a.1[1].0 - a.1[0].0).total_cmp(&(b.1[1].0 - b.1[0].0)));
        if ui.button("Add height").clicked()
            && points.len() < 64
            && let Some((k, w)) = widest
        {
            let middle = (0.5 * (w[0].0 + w[1].0), 0.5 * (w[0].1 + w[1].1));
            form.set("Add a height to the roots", |s| {
                if let Some(p) = points_of(&mut s.lanes[index]) {
                    p.insert(k + 1, middle);
                }
            });
        }
        if ui.add_enabled(points.len() > 2, eframe::egui::Button::new("Remove last")).clicked() {
            form.set("Remove a height from the roots", |s| {
                if let Some(p) = points_of(&mut s.lanes[index]) {
                    p.pop();
                    if p.iter().all(|p| p.1 <= 0.0) {
                        p[0].1 = 1.0;
                    }
                }
            });
        }
    });
}

fn own_crop(lane: &mut Lane) -> Option<&mut Crop> {
    if let CropChoice::Custom(crop) = &mut lane.crop { Some(crop) } else { None }
}

fn own(form: &mut Form<'_>, ui: &mut Ui, index: usize, crop: &Crop) {
    fn with(lane: &mut Lane, set: impl FnOnce(&mut Crop)) {
        if let Some(crop) = own_crop(lane) {
            set(crop);
        }
    }
    let kept = Kept {
        id: form.id(index, "crop name"),
        words: ["Name", "The name it has in menus"],
        what: "crop",
        name: &crop.name,
        button: ["Save crop as preset", "Keeps this crop in your own menus. A shipped preset is never replaced."],
    };
    let rename = |s: &mut Scenario, name| with(&mut s.lanes[index], |c| c.name = name);
    let name = form.name_of(ui, &kept, rename);
    for entry in CROP {
        form.entry(ui, entry, &crop.name, crop, |s| own_crop(&mut s.lanes[index]));
    }
    let s = crop.stress;
    if form.switch(ui, ["Salt slows the roots", "Without it, salt builds up but never slows uptake"], s.salt.is_some()) {
        let salt = if s.salt.is_some() { None } else { Some(SaltStress { threshold_ece: 2.0, slope_percent: 10.0 }) };
        form.set("Switch the response to salt", |s| with(&mut s.lanes[index], |c| c.stress.salt = salt));
    }
    guide(
        form,
        ui,
        index,
        ["Guide EC of the feed", "Shown for orientation; it changes nothing in the run", "Feed guide"],
        crop.guide_feed_ec,
        |l, v| {
            with(l, |c| c.guide_feed_ec = v);
        },
    );
    guide(form, ui, index, ["Guide EC of the root zone", root_guide_words(crop), "Root guide"], crop.guide_root_zone_ec, |l, v| {
        with(l, |c| set_root_guide(c, v));
    });
    form.keep_button(ui, &kept, &name, rename, |s, name| {
        let CropChoice::Custom(crop) = &s.lanes.get(index)?.crop else { return None };
        Some(OwnPreset::Crop(Box::new(Crop { name, ..Crop::clone(crop) })))
    });
}

/// What the guide of the root zone does in a run: it is where the EC taken up begins to rise, unless that has a value of its own.
fn root_guide_words(crop: &Crop) -> &'static str {
    if crop.uptake_rise > 0.0 && crop.uptake_rises_above.is_none() {
        "The EC taken up rises from here on: a lower guide lets less salt build up"
    } else {
        "Shown for orientation; it changes nothing in the run"
    }
}

/// Sets the guide of the root zone; where it goes, what rises from it keeps rising from the same EC.
fn set_root_guide(crop: &mut Crop, guide: Option<f64>) {
    if guide.is_none() && crop.uptake_rise > 0.0 {
        crop.uptake_rises_above = crop.rises_above();
    }
    crop.guide_root_zone_ec = guide;
}

fn guide(
    form: &mut Form<'_>,
    ui: &mut Ui,
    index: usize,
    [head, hover, label]: [&str; 3],
    now: Option<f64>,
    set: impl Fn(&mut Lane, Option<f64>),
) {
    if form.switch(ui, [head, hover], now.is_some()) {
        let next = if now.is_some() { None } else { Some(2.5) };
        form.set(format!("Switch {}", lower(head)), |s| set(&mut s.lanes[index], next));
    }
    if let Some(value) = now {
        let field = Field::new(label, &format!("lane {}", index + 1), Quantity::Ec, ranges::CROP_EC, hover);
        number(form, ui, index, &field, value, |l, v| set(l, Some(v)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::parameter::crop::set_rise;
    use crate::scenario::presets::{Library, demos};

    /// A rise that is set on a crop without a guide, and a guide that is taken from a crop that rises from it, leave a crop that can run
    /// and that rises from where it did.
    #[test]
    fn a_rise_always_begins_somewhere() {
        let library = Library::shipped();
        let mut crop = library.crop("aubergine").unwrap().clone();
        let valid = |crop: &Crop| {
            let mut scenario = demos().remove(0).1;
            scenario.lanes[0].crop = CropChoice::Custom(Box::new(crop.clone()));
            assert_eq!(scenario.validate(&library), []);
        };
        assert!(root_guide_words(&crop).contains("rises from here"));
        set_root_guide(&mut crop, None);
        assert_eq!((crop.guide_root_zone_ec, crop.rises_above()), (None, Some(3.0)));
        assert!(root_guide_words(&crop).contains("changes nothing"));
        valid(&crop);
        (crop.uptake_rise, crop.uptake_rises_above) = (0.0, None);
        set_rise(&mut crop, 0.0);
        assert_eq!(crop.rises_above(), None);
        valid(&crop);
        set_rise(&mut crop, 0.1);
        assert_eq!(crop.rises_above(), Some(crop.uptake_ec));
        valid(&crop);
    }
}
