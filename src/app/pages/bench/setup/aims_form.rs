//! What a lane gets, how its first day begins, and what the grower aims for.

use eframe::egui::Ui;

use super::preset_menus;
use crate::app::look::form::{Field, Form};
use crate::figures::marks::LITTLE_AIR;
use crate::scenario::{Lane, StartSalt, StartWater, Targets, ranges};
use crate::units::Quantity;

/// Draws the dose, the start and the exchange switch.
pub fn start(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    let of = format!("lane {}", index + 1);
    let number = |form: &mut Form<'_>, ui: &mut Ui, label: &str, quantity, range, value, set: &dyn Fn(&mut Lane, f64), hover: &str| {
        form.number(ui, &Field::new(label, &of, quantity, range, hover), value, |s, v| set(&mut s.lanes[index], v));
    };
    let hover = "Times the scheduled volume each plant gets: 2 with two drippers where the schedule counts one.";
    number(form, ui, "Dose", Quantity::Plain("times", 2), ranges::DOSE, lane.dose, &|l, v| l.dose = v, hover);
    let kinds = ["wetted by drip", "soaked and drained", "a water content", "a suction", "entered per layer"].map(str::to_owned);
    let at = match lane.start.water {
        StartWater::AsWetted => 0,
        StartWater::AtCapacity => 1,
        StartWater::Mean(_) => 2,
        StartWater::Head(_) => 3,
        StartWater::Layers(_) => 4,
    };
    let offered = if at == 4 { &kinds[..] } else { &kinds[..4] };
    let words = ["Begins", "How wet the first day begins. Later days forget it."];
    if let Some(i) = form.choice(ui, form.id(index, "start water"), words, &kinds[at], offered) {
        let next = match i {
            1 => StartWater::AtCapacity,
            2 => StartWater::Mean(ranges::mean_water(lane, form.library).map_or(0.5, |(low, high)| 0.5_f64.clamp(low, high.max(low)))),
            3 => StartWater::Head(-20.0),
            _ => StartWater::AsWetted,
        };
        form.set(format!("Begin lane {} {}", index + 1, kinds[i]), |s| s.lanes[index].start.water = next);
    }
    match lane.start.water {
        StartWater::Mean(now) => {
            let range = ranges::mean_water(lane, form.library).unwrap_or(ranges::SHARE);
            let hover = "Mean water content of the first midnight; no more than the media hold";
            number(form, ui, "Water at the start", Quantity::Share, range, now, &|l, v| l.start.water = StartWater::Mean(v), hover);
        }
        StartWater::Head(now) => {
            let hover = "The same everywhere at the first midnight: the base then holds no more than the top";
            number(
                form,
                ui,
                "Suction at the start",
                Quantity::Head,
                ranges::SUCTION,
                now,
                &|l, v| l.start.water = StartWater::Head(v),
                hover,
            );
        }
        _ => {}
    }
    let kinds = ["the feed's EC", "an EC", "entered per layer"].map(str::to_owned);
    let at = match lane.start.salt {
        StartSalt::Feed => 0,
        StartSalt::Ec(_) => 1,
        StartSalt::Layers(_) => 2,
    };
    let offered = if at == 2 { &kinds[..] } else { &kinds[..2] };
    let feed = form.scenario.feed.ec;
    if let Some(i) = form.choice(
        ui,
        form.id(index, "start salt"),
        ["With", "How salty the first day begins. Salt takes many days to forget."],
        &kinds[at],
        offered,
    ) {
        let next = if i == 1 { StartSalt::Ec(feed) } else { StartSalt::Feed };
        form.set(format!("Begin lane {} with {}", index + 1, kinds[i]), |s| s.lanes[index].start.salt = next);
    }
    if let StartSalt::Ec(ec) = lane.start.salt {
        let hover = "Salt in the pore water of the first midnight, the same everywhere";
        number(form, ui, "EC at the start", Quantity::Ec, ranges::ROOT_ZONE_EC, ec, &|l, v| l.start.salt = StartSalt::Ec(v), hover);
    }
    if form.switch(ui, ["Medium holds back salt", "Media with exchange slow every change of EC"], lane.exchange) {
        form.set(format!("Switch exchange of lane {}", index + 1), |s| s.lanes[index].exchange = !s.lanes[index].exchange);
    }
}

/// Label, quantity, most, usual band, and where it stands.
type Target = (&'static str, Quantity, f64, (f64, f64), Band);
type Band = fn(&mut Targets) -> &mut Option<(f64, f64)>;

/// Draws the targets: each is switched on, then given its ends.
pub fn targets(form: &mut Form<'_>, ui: &mut Ui, index: usize) {
    let Some(lane) = form.scenario.lanes.get(index) else { return };
    preset_menus::targets(form, ui, index);
    let points = Quantity::Plain("pt", 1);
    let bands: [Target; 4] = [
        ("Water content", Quantity::Share, ranges::SHARE.1, (0.5, 0.7), |t| &mut t.water_content),
        ("Night dry-back", points, ranges::PERCENT.1, (3.0, 8.0), |t| &mut t.dry_back_points),
        ("Drain", Quantity::Plain("%", 1), ranges::PERCENT.1, (10.0, 30.0), |t| &mut t.drain_percent),
        ("Root-zone EC", Quantity::Ec, ranges::ROOT_ZONE_EC.1, (2.0, 4.0), |t| &mut t.root_zone_ec),
    ];
    for (label, quantity, most, usual, band) in bands {
        let mut targets = lane.targets;
        let now = *band(&mut targets);
        if form.switch(ui, [label, "Aim for a band: the figures then say in words whether the day stays in it"], now.is_some()) {
            let next = if now.is_some() { None } else { Some(usual) };
            form.set(format!("Switch target of lane {}: {label}", index + 1), |s| *band(&mut s.lanes[index].targets) = next);
        }
        let Some((low, high)) = now else { continue };
        let gap = most * 1e-3;
        let end = |form: &mut Form<'_>, ui: &mut Ui, label_end: &str, range, value, is_low: bool| {
            let name = format!("{label}, {label_end}");
            let of = format!("the targets of lane {}", index + 1);
            let field = Field::new(&name, &of, quantity, range, "An end of the band to aim for; the figures and the track show it")
                .shown_as(if is_low { "at least" } else { "at most" });
            form.number(ui, &field, value, |s, v| {
                if let Some((low, high)) = band(&mut s.lanes[index].targets) {
                    *(if is_low { low } else { high }) = v;
                }
            });
        };
        form.inset(ui, |form, ui| {
            end(form, ui, "least", (0.0, (high - gap).max(0.0)), low, true);
            end(form, ui, "most", ((low + gap).min(most), most), high, false);
        });
    }
    let air = lane.targets.lowest_air;
    if form.switch(ui, ["Lowest air", "Air around the roots that the day should never fall below"], air.is_some()) {
        let next = if air.is_some() { None } else { Some(LITTLE_AIR) };
        form.set(format!("Switch target of lane {}: lowest air", index + 1), |s| s.lanes[index].targets.lowest_air = next);
    }
    if let Some(air) = air {
        let of = format!("the targets of lane {}", index + 1);
        let field = Field::new("Air, least", &of, Quantity::Share, ranges::SHARE, "Roots that breathe too little take up less")
            .shown_as("at least");
        form.inset(ui, |form, ui| form.number(ui, &field, air, |s, v| s.lanes[index].targets.lowest_air = Some(v)));
    }
}
