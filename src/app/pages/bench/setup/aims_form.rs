//! What a lane gets, how its first day begins, and what the grower aims for.

use eframe::egui::Ui;

use super::entered::lane_entries;
use super::preset_menus;
use crate::app::look::form::{Field, Form};
use crate::figures::marks::LITTLE_AIR;
use crate::scenario::parameter::Entry;
use crate::scenario::parameter::lane::{AIR, BANDS, DOSE, START_RUN_IN, START_SALT, START_WATER};
use crate::scenario::{StartSalt, StartWater, Targets, USUAL_RUN_IN_DAYS, ranges};

/// Draws the dose, the start and the exchange switch.
pub fn start(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    lane_entries(form, ui, index, DOSE);
    first_day(form, ui, index);
    let kinds = ["wetted by drip", "soaked and drained", "a water content", "a suction", "entered per layer"].map(str::to_owned);
    let at = match lane.start.water {
        StartWater::AsWetted => 0,
        StartWater::AtCapacity => 1,
        StartWater::Mean(_) => 2,
        StartWater::Head(_) => 3,
        StartWater::Layers(_) => 4,
    };
    let offered = if at == 4 { &kinds[..] } else { &kinds[..4] };
    let words = ["Begins", "How wet it begins: the run-in where there is one, otherwise the first day. Later days forget it."];
    if let Some(i) = form.choice(ui, form.id(index, "start water"), words, &kinds[at], offered) {
        let next = match i {
            1 => StartWater::AtCapacity,
            2 => StartWater::Mean(ranges::mean_water(lane, form.library).map_or(0.5, |(low, high)| 0.5_f64.clamp(low, high.max(low)))),
            3 => StartWater::Head(-20.0),
            _ => StartWater::AsWetted,
        };
        form.set(format!("Begin lane {} {}", index + 1, kinds[i]), |s| s.lanes[index].start.water = next);
    }
    lane_entries(form, ui, index, START_WATER);
    let kinds = ["the feed's EC", "an EC", "entered per layer"].map(str::to_owned);
    let at = match lane.start.salt {
        StartSalt::Feed => 0,
        StartSalt::Ec(_) => 1,
        StartSalt::Layers(_) => 2,
    };
    let offered = if at == 2 { &kinds[..] } else { &kinds[..2] };
    let feed = form.scenario.lane_feed_ec(index);
    if let Some(i) = form.choice(
        ui,
        form.id(index, "start salt"),
        ["With", "How salty it begins: the run-in where there is one, otherwise the first day. Salt takes many days to forget."],
        &kinds[at],
        offered,
    ) {
        let next = if i == 1 { StartSalt::Ec(feed) } else { StartSalt::Feed };
        form.set(format!("Begin lane {} with {}", index + 1, kinds[i]), |s| s.lanes[index].start.salt = next);
    }
    lane_entries(form, ui, index, START_SALT);
    if form.switch(ui, ["Medium holds back salt", "Media with exchange slow every change of EC"], lane.exchange) {
        form.set(format!("Switch exchange of lane {}", index + 1), |s| s.lanes[index].exchange = !s.lanes[index].exchange);
    }
}

/// Whether the first day begins at rest or run in, and for how long.
fn first_day(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    let kinds = ["run in", "at rest"].map(str::to_owned);
    let at = usize::from(lane.start.run_in_days.is_none());
    let words = [
        "First day",
        "Run in: days like the first come before it, with its schedule, rules, light and air and the tank held as it starts, so that the first day \
            shown is a usual one. At rest: it begins with the water and salt entered below, and is a transient.",
    ];
    if let Some(i) = form.choice(ui, form.id(index, "first day"), words, &kinds[at], &kinds) {
        let next = (i == 0).then_some(USUAL_RUN_IN_DAYS);
        form.set(format!("Begin lane {} {}", index + 1, kinds[i]), |s| s.lanes[index].start.run_in_days = next);
    }
    lane_entries(form, ui, index, START_RUN_IN);
}

/// Label, usual band, and where it stands; in the order of [`BANDS`].
type Target = (&'static str, (f64, f64), fn(&mut Targets) -> &mut Option<(f64, f64)>);

/// Draws the targets: each is switched on, then given its ends.
pub fn targets(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    preset_menus::targets(form, ui, index);
    let bands: [Target; 4] = [
        ("Water content", (0.5, 0.7), |t| &mut t.water_content),
        ("Night dry-back", (3.0, 8.0), |t| &mut t.dry_back_points),
        ("Drain", (10.0, 30.0), |t| &mut t.drain_percent),
        ("Root-zone EC", (2.0, 4.0), |t| &mut t.root_zone_ec),
    ];
    let of = format!("the targets of lane {}", index + 1);
    for ((label, usual, band), ends) in bands.into_iter().zip(&BANDS) {
        let mut targets = lane.targets;
        let now = *band(&mut targets);
        if form.switch(ui, [label, "Aim for a band: the figures then say in words whether the day stays in it"], now.is_some()) {
            let next = if now.is_some() { None } else { Some(usual) };
            form.set(format!("Switch target of lane {}: {label}", index + 1), |s| *band(&mut s.lanes[index].targets) = next);
        }
        if now.is_none() {
            continue;
        }
        form.inset(ui, |form, ui| {
            for (end, shown) in ends.iter().zip(["at least", "at most"]) {
                target(form, ui, index, end, &of, shown);
            }
        });
    }
    let air = lane.targets.lowest_air;
    if form.switch(ui, ["Lowest air", "Air around the roots that the day should never fall below"], air.is_some()) {
        let next = if air.is_some() { None } else { Some(LITTLE_AIR) };
        form.set(format!("Switch target of lane {}: lowest air", index + 1), |s| s.lanes[index].targets.lowest_air = next);
    }
    if air.is_some() {
        form.inset(ui, |form, ui| AIR.iter().for_each(|end| target(form, ui, index, end, &of, "at least")));
    }
}

/// One number of the targets, below its head.
fn target(form: &mut Form<'_>, ui: &mut Ui, index: usize, entry: &Entry<Targets>, of: &str, shown: &str) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    let Some(value) = (entry.get)(&lane.targets, form.library) else { return };
    let field = Field::of(entry, of, &lane.targets, form.library).shown_as(shown);
    form.number(ui, &field, value, |s, v| (entry.set)(&mut s.lanes[index].targets, v));
}
