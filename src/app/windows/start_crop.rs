//! The small window that sets a lane up from a crop: crop, stage, container and climate in one place, and all in one edit.

use eframe::egui::{self, Align, Frame, Id, Layout, Modal, RichText, ScrollArea, Ui};

use crate::app::look::theme::{self, HEAD, NOTE, Tokens};
use crate::app::look::widgets::{buttons, head};
use crate::app::pages::bench::setup::use_form::USUAL;
use crate::app::state::drafting::Order;
use crate::edits::plan_edit::cleared;
use crate::edits::{fit, lanes};
use crate::scenario::presets::Library;
use crate::scenario::{Climate, CropChoice, Demand, MAX_LANES, Plan, Scenario, Start, Valve};
use crate::studies::{daily_use, first_schedule};
use crate::units::Units;

/// The stage a lane begins with, where the crop has it.
const USUAL_STAGE: &str = "full";

/// What has been chosen so far.
#[derive(Clone, Debug, PartialEq)]
pub struct StartForm {
    crop: String,
    stage: String,
    container: String,
    climate: String,
    /// The lane to set up, or a new one.
    lane: Option<usize>,
    draft: bool,
    /// Why it could not be done.
    pub why: String,
    fresh: bool,
}

/// The bench set up.
pub struct Made {
    /// The name of the edit.
    pub name: String,
    /// The bench after it.
    pub after: Scenario,
    /// What was done, in words.
    pub told: String,
    /// The same with a schedule that is still to be drafted for it.
    pub order: Option<Order>,
}

/// What the window asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Set it up.
    Do,
    /// Close.
    Cancel,
}

impl StartForm {
    /// Choices that suit the bench: as its first lane stands.
    pub fn of(scenario: &Scenario, library: &Library) -> Self {
        let lane = scenario.lanes.first();
        let named = |name: Option<&str>, names: Vec<&str>| {
            name.filter(|n| names.contains(n)).or(names.first().copied()).unwrap_or_default().to_owned()
        };
        let crop = lane.and_then(|l| if let CropChoice::Preset(name) = &l.crop { Some(name.as_str()) } else { None });
        let climates = || library.climates.iter();
        let climate = scenario.climate.as_ref().map(Climate::name).or_else(|| {
            let alike = climates().find(|c| c.climate.name == USUAL && c.light.shape == scenario.light.shape);
            let alike = alike.or_else(|| climates().find(|c| c.light.shape == scenario.light.shape));
            alike.map(|c| c.climate.name.as_str())
        });
        let mut form = Self {
            crop: named(crop, library.crops.iter().map(|c| c.name.as_str()).collect()),
            stage: String::new(),
            container: named(lane.map(|l| l.container.name.as_str()), library.containers.iter().map(|c| c.name.as_str()).collect()),
            climate: named(climate, climates().map(|c| c.climate.name.as_str()).collect()),
            lane: lane.map(|_| 0),
            draft: true,
            why: String::new(),
            fresh: true,
        };
        form.keep_stage(library);
        form
    }

    /// A stage that the crop has: the one chosen, the usual one, or its last.
    fn keep_stage(&mut self, library: &Library) {
        let names: Vec<&str> = library.crop(&self.crop).map(|c| c.stages.iter().map(|s| s.name.as_str()).collect()).unwrap_or_default();
        if !names.contains(&self.stage.as_str()) {
            let usual = names.iter().find(|n| **n == USUAL_STAGE).or(names.last());
            self.stage = usual.map_or_else(String::new, |n| (*n).to_owned());
        }
    }

    /// The bench after it.
    ///
    /// # Errors
    /// In words: what it cannot be done with.
    pub fn made(&self, scenario: &Scenario, library: &Library, units: Units) -> Result<Made, String> {
        let gone = |what: &str| format!("That {what} is not among the presets any more.");
        let crop = library.crop(&self.crop).ok_or_else(|| gone("crop"))?;
        let container = library.container(&self.container).ok_or_else(|| gone("container"))?;
        let climate = library.climates.iter().find(|c| c.climate.name == self.climate).ok_or_else(|| gone("climate"))?;
        let mut after = scenario.clone();
        after.light = climate.light;
        after.climate = Some(Climate::Typical(climate.climate.clone()));
        after.feed.ec = crop.guide_feed_ec.unwrap_or(after.feed.ec);
        let index = match self.lane {
            Some(index) => index,
            None if after.lanes.len() >= MAX_LANES => return Err("The bench is full: 16 lanes.".to_owned()),
            None => {
                lanes::add(&mut after, container, library);
                after.lanes.len() - 1
            }
        };
        let mut told = "Container, crop, use, roots, targets, light, climate and feed are set.".to_owned();
        let lane = after.lanes.get_mut(index).ok_or("That lane is not there any more.")?;
        // The lane and its climate as they were: what it used is told by them.
        let entered = daily_use::for_crop(index, lane, crop, scenario, library, units);
        lanes::repot(lane, container);
        lane.crop = CropChoice::Preset(crop.name.clone());
        lane.start = Start::run_in();
        let stage = crop.stages.iter().find(|s| s.name == self.stage);
        if let Some((demand, why)) = entered {
            lane.demand = demand;
            told = format!("{told} {why}");
        } else if crop.canopy.is_some() {
            lane.demand = Demand::Climate { leaf_area_index: stage.map(|s| s.leaf_area_index), plants_per_m2: None, scale: 1.0 };
        }
        if let Some(stage) = stage {
            lane.roots = stage.roots.clone();
            lane.targets = stage.targets;
        }
        fit::fit(&mut after, library);
        let mut name = format!("Start lane {} from {}, {}", index + 1, self.crop, self.stage);
        if self.draft {
            let events = first_schedule::for_lane(&after, index, library)?;
            told += " A schedule is drafted.";
            let at = after.valve_of(index);
            if let Some(gone) = scenario.valves.get(at).and_then(cleared) {
                name = format!("{name}, in place of {gone}");
                told = format!("{told} Gone: {gone}.");
            }
            // It is for every day.
            if let Some(valve) = after.valves.get_mut(at) {
                *valve = Valve { schedule: events, rules: Vec::new(), changes: Vec::new(), ..valve.clone() };
            }
        }
        told += " One undo takes all of it back.";
        let plan = Plan::first(after.valve_of(index));
        let order = self.draft.then(|| Order { name: name.clone(), after: after.clone(), plan, lane: index, told: told.clone() });
        Ok(Made { name, after, told, order })
    }

    /// Draws the window.
    pub fn show(&mut self, ctx: &egui::Context, scenario: &Scenario, library: &Library) -> Option<Asked> {
        let t = Tokens::now(ctx);
        let mut asked = None;
        let frame = Frame::popup(&ctx.global_style()).inner_margin(18).corner_radius(8).fill(t.card);
        let response = Modal::new(Id::unique("start crop")).frame(frame).show(ctx, |ui| {
            let room = ctx.content_rect();
            ui.set_width(720.0_f32.min(room.width() - 60.0));
            ui.spacing_mut().item_spacing.y = 6.0;
            head(ui, "Start from a crop");
            let words = "Sets container, crop, use, roots and targets of a lane, and light, climate and feed of the bench, in one step.";
            ui.label(RichText::new(words).color(t.quiet));
            let valve = scenario.valves.get(self.lane.map_or(0, |lane| scenario.valve_of(lane)));
            let gone = valve.and_then(cleared).filter(|_| self.draft);
            // A line each for what is told besides.
            let besides = 24.0 * f32::from(u8::from(gone.is_some()) + u8::from(!self.why.is_empty()));
            let before = self.clone();
            self.lists(ui, library, (room.height() - 300.0 - besides).clamp(100.0, 360.0));
            self.lane_choice(ui, scenario);
            let draft = ui.checkbox(&mut self.draft, "Draft a schedule for it, in place of the events there are");
            let hover = "What its settled day needs to meet the lane's aims, as far as a quick search finds it: what is missed is said. For every day: rules, and schedules from later days on, go with the events.";
            draft.on_hover_text(hover);
            if let Some(gone) = gone {
                ui.label(RichText::new(format!("With the events go {gone}.")).color(t.attention));
            }
            if *self != before {
                self.why.clear();
            }
            let words = "Use computed from a climate is ±30 % until it is scaled to what you measure. Stages and climates are judgement.";
            ui.label(RichText::new(words).size(NOTE).color(t.quiet));
            if !self.why.is_empty() {
                ui.label(RichText::new(&self.why).color(t.attention));
            }
            buttons(ui, |ui| {
                let go = ui.button("Set up");
                if std::mem::take(&mut self.fresh) {
                    go.request_focus();
                }
                if go.clicked() {
                    asked = Some(Asked::Do);
                }
                if ui.button("Cancel").clicked() {
                    asked = Some(Asked::Cancel);
                }
            });
        });
        asked.or_else(|| response.should_close().then_some(Asked::Cancel))
    }

    /// The four lists, side by side: a click each.
    fn lists(&mut self, ui: &mut Ui, library: &Library, height: f32) {
        let stages: Vec<&str> = library.crop(&self.crop).map(|c| c.stages.iter().map(|s| s.name.as_str()).collect()).unwrap_or_default();
        let crops = library.crops.iter().map(|c| c.name.as_str()).collect();
        let containers = library.containers.iter().map(|c| c.name.as_str()).collect();
        let climates = library.climates.iter().map(|c| c.climate.name.as_str()).collect();
        // Shares of the width, as long as the longest names are.
        let width = ui.available_width() - 3.0 * 10.0;
        let lists: [(&str, Vec<&str>, &mut String, f32); 4] = [
            ("Crop", crops, &mut self.crop, 0.17),
            ("Stage", stages, &mut self.stage, 0.12),
            ("Container", containers, &mut self.container, 0.37),
            ("Climate", climates, &mut self.climate, 0.34),
        ];
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 10.0;
            for (name, items, chosen, share) in lists {
                let size = egui::vec2(width * share, height);
                ui.allocate_ui_with_layout(size, Layout::top_down(Align::Min), |ui| {
                    ui.set_width(width * share);
                    list(ui, name, &items, chosen, height);
                });
            }
        });
        self.keep_stage(library);
    }

    fn lane_choice(&mut self, ui: &mut Ui, scenario: &Scenario) {
        ui.horizontal_wrapped(|ui| {
            ui.label("Where");
            for (index, lane) in scenario.lanes.iter().enumerate() {
                ui.radio_value(&mut self.lane, Some(index), format!("lane {} · {}", index + 1, lane.name));
            }
            if scenario.lanes.len() < MAX_LANES {
                ui.radio_value(&mut self.lane, None, "a new lane");
            }
        });
    }
}

fn list(ui: &mut Ui, name: &str, items: &[&str], chosen: &mut String, height: f32) {
    ui.label(RichText::new(name).font(theme::strong(HEAD)));
    ui.spacing_mut().item_spacing.y = 2.0;
    ScrollArea::vertical().id_salt(name).max_height(height - 24.0).auto_shrink([false, true]).show(ui, |ui| {
        for item in items {
            let is_chosen = *item == chosen.as_str();
            if ui.add(egui::Button::selectable(is_chosen, *item).truncate()).clicked() {
                (*item).clone_into(chosen);
            }
        }
    });
}
