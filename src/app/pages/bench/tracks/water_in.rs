//! *Water in*: events as bars that are moved, sized, added, selected and deleted by mouse. Keys are in `shortcuts`.

use eframe::egui::{self, CornerRadius, Id, Key, PopupAnchor, Pos2, Rect, Response, Sense, Stroke, StrokeKind, Tooltip, Ui};

use super::bars::{self, Held, Look, Place, Ranges, bar};
use super::chart::label_beside;
use super::curves::hours;
use super::fixed_bars;
use super::grip::{Grip, Part};
use super::memory::Tracks;
use super::overlays;
use super::scene::{Scene, day_of};
use crate::app::actions::action::Action;
use crate::edits::event_set::SetEdit;
use crate::edits::held;
use crate::edits::schedule_edit::{EventEdit, fresh};
use crate::edits::steps::snapped;
use crate::scenario::{Event, Give, Plan, Rule, Scenario};
use crate::units::{HOUR_S, Quantity, Units};

/// The track's plot and its upright range.
struct Field<'a> {
    plot: Rect,
    ranges: &'a Ranges,
    /// The document's events of the plan on show.
    schedule: &'a [Event],
}

impl Tracks {
    /// Draws the track and turns the mouse into requests.
    pub(super) fn water_in(&mut self, ui: &mut Ui, scene: &Scene<'_>, plot: Rect, actions: &mut Vec<Action>) {
        // The document's own range, so that the view stands still under a drag.
        let document = scene.bench.document().scenario();
        let schedule = scene.bench.schedule();
        let over = overlays::events(scene.bench);
        let all: Vec<Event> = document.plans().into_iter().flat_map(|p| given(document, p)).chain(over).collect();
        let ranges = Ranges::of(&all, scene.units, plot.height());
        let key = key(scene, document);
        let (axis, unit) = ranges.axis(scene.units);
        scene.ground(ui, plot, ["Water in", &unit, key], axis);
        self.worth = ranges.worth(scene, plot);
        let field = Field { plot, ranges: &ranges, schedule };
        self.empty_space(ui, scene, &field, actions);
        let told = fixed_bars::show(ui, scene, plot, &ranges, actions);
        let mut chip = None;
        for place in bars::places(scene) {
            // On the first day seen every event can be held, whether it comes on it or not.
            let stands = |e: &Event| place.first || bars::comes(scene, e, place.day);
            let mut taken: Vec<Rect> = schedule.iter().filter(|e| stands(e)).map(|e| bar(scene, plot, &ranges, e, place.day)).collect();
            for (index, original) in schedule.iter().enumerate().filter(|(_, e)| stands(e)) {
                let (rect, event, is_read) = self.event(ui, scene, &field, (index, original), place, actions);
                bars::mark(ui, scene, plot, rect, &event, &mut taken);
                if is_read && chip.is_none() {
                    chip = Some((index, rect, event, place.day));
                }
            }
        }
        if self.grip.is_none() {
            wanted(ui, scene, &field);
        }
        let told = overlays::bars(ui, scene, plot, &ranges, told || chip.is_some());
        self.stopped(ui, scene, schedule);
        match chip {
            Some((index, rect, event, day)) => {
                let picked = scene.bench.picked();
                let set = if picked.contains(&index) { picked } else { &[] };
                let together: Vec<Event> = set.iter().filter_map(|i| schedule.get(*i).copied()).collect();
                bars::reading(ui, scene, plot, rect, (&event, day), &together);
            }
            None if told => {}
            None => so_far(ui, scene, &field),
        }
        if schedule.is_empty()
            && scene.span.days().all(|day| (0..document.valves.len()).all(|valve| scene.shown().events(valve, day).is_empty()))
        {
            bars::empty(ui, scene, plot);
        }
    }

    /// One bar: where it is drawn, the event it shows, and whether that is the one to be read: held, under the mouse, or with
    /// the keyboard.
    fn event(
        &mut self,
        ui: &Ui,
        scene: &Scene<'_>,
        field: &Field<'_>,
        (index, original): (usize, &Event),
        place: Place,
        actions: &mut Vec<Action>,
    ) -> (Rect, Event, bool) {
        let (plot, t) = (field.plot, scene.t);
        let picked = scene.bench.picked().contains(&index);
        let held = self.grip.filter(|g| g.index == index || (g.group && picked));
        let event = held.and_then(|_| scene.bench.tried(index)).unwrap_or(*original);
        let stands = |event: &Event| bar(scene, plot, field.ranges, event, place.day);
        if held.is_some() {
            bars::paint_ghost(ui, plot, stands(original), t.ghost(t.event));
        }
        let rect = stands(&event);
        let given = bars::fell_short(scene, &event, place.day);
        let absent = !bars::comes(scene, &event, place.day);
        if !place.first && !bars::holdable(scene, plot) {
            bars::paint(ui, scene, plot, &event, &Look { rect, selected: picked, focused: false, given, absent });
            return (rect, event, false);
        }
        let hold = bars::hold(ui, scene, plot, rect, (index, field.schedule.len()), place, &event);
        self.take(ui, scene, index, original, &hold, actions);
        clicks(ui, scene, index, &hold.body, self.grip.is_some(), actions);
        if place.first {
            self.requests(ui, scene, index, &hold.body, actions);
        }
        let look = Look { rect, selected: picked || held.is_some(), focused: hold.body.has_focus(), given, absent };
        bars::paint(ui, scene, plot, &event, &look);
        hold.body.context_menu(|ui| event_menu(ui, scene, index, original, actions));
        let near = [&hold.body, &hold.top, &hold.end].into_iter().any(Response::hovered) || hold.body.has_focus();
        (rect, event, self.grip.map_or(near, |grip| grip.index == index))
    }

    /// Why what is held goes no further, beside the pointer.
    fn stopped(&self, ui: &Ui, scene: &Scene<'_>, schedule: &[Event]) {
        let (Some(grip), Some(pointer)) = (self.grip, ui.input(|i| i.pointer.latest_pos())) else { return };
        let steps = (!ui.input(|i| i.modifiers.alt)).then_some(scene.bench.steps);
        let why = match grip.edit(pointer, self.worth, steps) {
            Action::TryEvent(edit) => held::why_event(&edit, schedule),
            Action::TrySet(edit) => held::why_set(&edit, schedule, scene.bench.picked()),
            _ => None,
        };
        if let Some(why) = why {
            let id = Id::unique("why a drag stops");
            Tooltip::always_open(ui.ctx().clone(), ui.layer_id(), id, PopupAnchor::Pointer).show(|ui| ui.label(why));
        }
    }

    /// Adding: by double-click, or by the menu of empty space.
    fn empty_space(&mut self, ui: &Ui, scene: &Scene<'_>, field: &Field<'_>, actions: &mut Vec<Action>) {
        let space = ui.interact(field.plot, Id::unique("water in, empty space"), Sense::CLICK | Sense::DRAG);
        let (free, worth) = (ui.input(|i| i.modifiers.alt), self.worth);
        let steps = scene.bench.steps;
        let fresh_at = |at: Pos2| {
            let hour = scene.span.hour(field.plot, at.x);
            let start = (hour - hours(day_of(hour))) * HOUR_S;
            let ml = f64::from(field.plot.bottom() - at.y) * worth.ml;
            let (step_s, step_ml) = if free { (1.0, 1.0) } else { (steps.start_s(), steps.ml) };
            fresh(field.schedule, snapped(start, step_s), snapped(ml, step_ml).max(step_ml))
        };
        self.select_box(ui, scene, &space, field, actions);
        let other = |at: Pos2| {
            scene.bench.other_plan(day_of(scene.span.hour(field.plot, at.x))).or_else(|| {
                let rule = fixed_bars::rule_under(scene, field.plot, field.ranges, at)?;
                Some(format!(
                    "Rule {} called for this event. Change the rule in the setup, under Schedule, or freeze the rules into clock events.",
                    rule + 1
                ))
            })
        };
        if space.double_clicked()
            && let Some(at) = space.interact_pointer_pos()
        {
            actions.push(other(at).map_or_else(|| Action::EditEvent(EventEdit::Add(fresh_at(at))), Action::Say));
        } else if space.clicked() {
            actions.push(Action::Select(None));
        }
        if space.secondary_clicked() {
            self.menu_at = space.interact_pointer_pos();
        }
        space.context_menu(|ui| {
            let Some(at) = self.menu_at else { return };
            let event = fresh_at(at);
            if ui.button(format!("Add event {}", event.start)).clicked() {
                actions.push(other(at).map_or_else(|| Action::EditEvent(EventEdit::Add(event)), Action::Say));
            }
            if ui.button("Add a series…").clicked() {
                actions.push(Action::AddSeries);
            }
            if ui.button("Paste events").clicked() {
                actions.push(Action::Paste);
            }
        });
    }

    /// Takes hold of an event, or lets it go.
    fn take(&mut self, ui: &Ui, scene: &Scene<'_>, index: usize, original: &Event, held: &Held, actions: &mut Vec<Action>) {
        for (response, part) in [(&held.body, Part::Body), (&held.top, Part::Top), (&held.end, Part::End)] {
            if response.drag_started()
                && let Some(press) = ui.input(|i| i.pointer.press_origin())
            {
                let picked = scene.bench.picked();
                let group = part == Part::Body && picked.len() > 1 && picked.contains(&index);
                self.grip = Some(Grip { index, part, original: *original, group, press });
                take_keyboard(&held.body, actions);
                if !group {
                    actions.push(Action::Select(Some(index)));
                }
            }
            if response.drag_stopped() && self.grip.take().is_some() {
                actions.extend([Action::Keep, Action::FocusSelected]);
            }
        }
    }

    /// Gives the keyboard to the event that was changed, and does what a screen reader asks for.
    fn requests(&mut self, ui: &Ui, scene: &Scene<'_>, index: usize, body: &Response, actions: &mut Vec<Action>) {
        if scene.bench.selected == Some(index) && self.follow_focus {
            self.follow_focus = false;
            body.request_focus();
        }
        use egui::accesskit::Action as Asked;
        let asked = |what| ui.input(|i| f64::from(u32::try_from(i.num_accesskit_action_requests(body.id, what)).unwrap_or(0)));
        let times = asked(Asked::Increment) - asked(Asked::Decrement);
        if times != 0.0 {
            let grow = SetEdit::Grow { ml: times * scene.bench.steps.ml, depth_cm: 0.5 * times };
            actions.extend([Action::Select(Some(index)), Action::EditSet(grow)]);
        }
    }

    /// A box drawn over empty space selects the events it touches; with Ctrl or Shift, those too.
    fn select_box(&mut self, ui: &Ui, scene: &Scene<'_>, space: &Response, field: &Field<'_>, actions: &mut Vec<Action>) {
        if space.drag_started() {
            self.box_from = ui.input(|i| i.pointer.press_origin());
        }
        let (Some(from), Some(to)) = (self.box_from, ui.input(|i| i.pointer.latest_pos())) else { return };
        if ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, Key::Escape)) {
            ui.ctx().stop_dragging();
            self.box_from = None;
            return;
        }
        let area = Rect::from_two_pos(from, to).intersect(field.plot);
        let t = scene.t;
        ui.painter().rect(area, CornerRadius::ZERO, t.band(t.event), Stroke::new(1.0, t.event_strong), StrokeKind::Inside);
        if space.drag_stopped() {
            self.box_from = None;
            let schedule = field.schedule;
            let stands = |i: usize| {
                let on = |p: &Place| p.first || bars::comes(scene, &schedule[i], p.day);
                bars::places(scene).filter(on).any(|p| bar(scene, field.plot, field.ranges, &schedule[i], p.day).intersects(area))
            };
            let touched = (0..schedule.len()).filter(|i| stands(*i));
            let more = ui.input(|i| i.modifiers.command || i.modifiers.shift);
            let before = if more { scene.bench.picked() } else { &[] };
            actions.extend([Action::Pick(touched.chain(before.iter().copied()).collect()), Action::FocusSelected]);
        }
    }
}

/// What the track's bars are, or what can be done with them: what needs telling most.
fn key(scene: &Scene<'_>, document: &Scenario) -> &'static str {
    if scene.span != scene.whole {
        return "a part of the time: 0, or double-click on the hours, shows all";
    }
    if scene.span.days().any(|day| scene.shown().pump_day(scene.bench.valve(), day).is_some_and(|d| d.short > 0)) {
        return "outlined: the tank was empty, or gave less";
    }
    let others = scene.span.days().any(|day| scene.bench.other_plan(day).is_some());
    match (!document.rules(scene.bench.plan()).is_empty(), others) {
        (true, true) => "dots: called for by rules · pale: another schedule",
        (true, false) => "bars with a dot: called for by rules · double-click to add",
        (false, true) => "pale: another schedule · drag a bar to move it · double-click to add",
        (false, false) => "drag a bar to move it · its edges for volume and length · double-click to add",
    }
}

/// Clicks and the keyboard's arrival select.
fn clicks(ui: &Ui, scene: &Scene<'_>, index: usize, body: &Response, held: bool, actions: &mut Vec<Action>) {
    let picked = scene.bench.picked();
    let one_of_several = picked.len() > 1 && picked.contains(&index);
    if body.double_clicked() {
        actions.extend([Action::Select(Some(index)), Action::TypeSelected]);
    } else if body.clicked() {
        take_keyboard(body, actions);
        let modifiers = ui.input(|i| i.modifiers);
        actions.push(Action::Pick(if modifiers.shift {
            let from = scene.bench.selected.unwrap_or(index);
            (from.min(index)..=from.max(index)).collect()
        } else if modifiers.command {
            let with = !picked.contains(&index);
            picked.iter().copied().filter(|i| *i != index).chain(with.then_some(index)).collect()
        } else {
            vec![index]
        }));
    } else if body.gained_focus() && !held && !one_of_several && !ui.input(|i| i.pointer.any_down() || i.pointer.any_released()) {
        actions.push(Action::Select(Some(index)));
    }
}

/// Gives an event the keyboard: of its copies on several days, the first takes it.
fn take_keyboard(body: &Response, actions: &mut Vec<Action>) {
    if body.sense.is_focusable() {
        body.request_focus();
    } else {
        actions.push(Action::FocusSelected);
    }
}

/// What can be done with an event, or with all that are selected.
fn event_menu(ui: &mut Ui, scene: &Scene<'_>, index: usize, original: &Event, actions: &mut Vec<Action>) {
    let picked = scene.bench.picked();
    let set = if picked.contains(&index) { picked.to_vec() } else { vec![index] };
    let mut asked = None;
    let mut item = |ui: &mut Ui, text: &str, action: Action| {
        if ui.button(text).clicked() {
            asked = Some(action);
        }
    };
    item(ui, "Edit…", Action::TypeSelected);
    item(ui, "Duplicate", Action::DuplicateSelected);
    item(ui, "Give plain water", Action::EditSet(SetEdit::Ec(Some(0.0))));
    item(ui, "Give the valve's feed", Action::EditSet(SetEdit::Ec(None)));
    let (kind, give) = match original.give {
        Give::Drip { .. } => ("Make it a flood of 3 cm", Give::Flood { depth_cm: 3.0 }),
        Give::Flood { .. } => ("Make it a drip of 100 mL", Give::Drip { ml: 100.0 }),
    };
    item(ui, kind, Action::EditSet(SetEdit::Give(give)));
    let delete = if set.len() > 1 { format!("Delete {} events", set.len()) } else { format!("Delete event {}", original.start) };
    item(ui, &delete, Action::DeleteSelected);
    if let Some(action) = asked {
        actions.extend([Action::Pick(set), action]);
    }
}

/// What a plan gives: its events, and one of each of its rules.
fn given(scenario: &Scenario, plan: Plan) -> Vec<Event> {
    let of_rule = |rule: &Rule| rule.event(rule.first.seconds());
    scenario.events(plan).iter().copied().chain(scenario.rules(plan).iter().map(of_rule)).collect()
}

/// What a change that no mouse holds would add and take out.
fn wanted(ui: &Ui, scene: &Scene<'_>, field: &Field<'_>) {
    if scene.bench.ghost().is_none() {
        return;
    }
    let (now, then) = (field.schedule, scene.bench.shown().scenario.events(scene.bench.plan()));
    for day in bars::places(scene).map(|p| p.day) {
        let stands = |event: &Event| bar(scene, field.plot, field.ranges, event, day);
        let comes = |event: &&Event| bars::comes(scene, event, day);
        for event in then.iter().filter(|e| !now.contains(e)).filter(comes) {
            bars::paint_wanted(ui, scene, field.plot, stands(event));
        }
        for event in now.iter().filter(|e| !then.contains(e)).filter(comes) {
            bars::paint_ghost(ui, field.plot, stands(event), scene.t.paper.gamma_multiply(0.75));
        }
    }
}

/// What has been given up to the time read.
fn so_far(ui: &Ui, scene: &Scene<'_>, field: &Field<'_>) {
    let Some(hour) = scene.cursor else { return };
    let Some(words) = so_far_words(scene.shown().events(scene.bench.valve(), day_of(hour)), hour, scene.units) else { return };
    label_beside(ui, scene.t, field.plot, scene.span.x(field.plot, hour), field.plot.top() + 9.0, scene.t.quiet, &words);
}

/// What has been given on its day up to an hour; `None` where nothing is given by volume.
pub(super) fn so_far_words(schedule: &[Event], hour: f64, units: Units) -> Option<String> {
    let now = (hour - hours(day_of(hour))) * HOUR_S;
    let given = |e: &Event| Some(e.ml()? * ((now - e.start_s()) / f64::from(e.seconds.max(1))).clamp(0.0, 1.0));
    let drips = schedule.iter().filter(|e| e.ml().is_some()).count();
    let sum: f64 = schedule.iter().filter_map(given).sum();
    let how = if drips < schedule.len() { " by drip" } else { "" };
    (drips > 0).then(|| format!("{}{how} so far", Quantity::Millilitres.text(sum, units)))
}
