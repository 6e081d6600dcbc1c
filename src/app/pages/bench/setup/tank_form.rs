//! The pump that all valves share, the tank that it draws from, and what became of it.

use eframe::egui::{Id, RichText, Ui};

use crate::app::look::form::{Field, Form};
use crate::app::look::theme::{self, HEAD};
use crate::engine::run::LaneRun;
use crate::figures::cause::tank_sentence;
use crate::figures::zone::zone_day;
use crate::projection::Projection;
use crate::scenario::parameter::bench::{PUMP, TANK};
use crate::scenario::{Clock, Filled, Lane, Pump, Refill, Tank, ranges};
use crate::units::{HOUR_S, Quantity};

/// Days of use that a first tank holds, and the least it is, L (judgement).
const USUAL: (f64, f64) = (2.0, 50.0);

/// Draws the section.
pub fn show(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    ui.label(RichText::new("Pump, tank and drain").font(theme::strong(HEAD)));
    litres(form, ui, shown);
    pump(form, ui, shown);
    let words =
        ["One tank for all lanes", "Without a tank every event has the feed's EC. With one, its EC is what refill and drain make of it."];
    let scenario = form.scenario;
    if form.switch(ui, words, scenario.tank.is_some()) {
        if scenario.tank.is_some() {
            form.set("Take the tank away", |s| s.tank = None);
        } else {
            let day = zone_day(scenario, &shown.run, shown.day).given_l;
            let litres = (10.0 * (USUAL.0 * day / 10.0).ceil()).max(USUAL.1).min(ranges::TANK.1);
            let tank = Tank { litres, start_ec: None, refill: Refill::Feed, filled: Filled::Always, drain_returns: false };
            form.set("Draw from a tank", |s| s.tank = Some(tank));
        }
    }
    if let Some(tank) = scenario.tank {
        fields(form, ui, &tank);
        state(form, ui, shown);
    }
}

/// What the pump gives at most, where that is known.
fn pump(form: &mut Form<'_>, ui: &mut Ui, shown: &Projection) {
    let scenario = form.scenario;
    let words = ["The pump's limit is known", "Valves that would ask for more than the pump gives wait for one another; it is told which"];
    if form.switch(ui, words, scenario.pump.is_some()) {
        let litres_per_hour = most_at_once(shown);
        let pump = if scenario.pump.is_some() { None } else { Some(Pump { litres_per_hour }) };
        form.set(if pump.is_some() { "Let the pump have a limit" } else { "Let the pump have no limit" }, |s| s.pump = pump);
    }
    if let Some(pump) = &scenario.pump {
        for entry in PUMP {
            form.entry(ui, entry, "the pump", pump, |s| s.pump.as_mut());
        }
    }
}

/// Litres an hour that the largest drip of any valve takes, in round figures: a pump that gives as much serves one valve at a time.
fn most_at_once(shown: &Projection) -> f64 {
    let of = |(_, lane, run): (usize, &Lane, &LaneRun)| {
        let drips = run.timetable.events(shown.day).iter().filter_map(|e| Some(e.ml()? / f64::from(e.seconds)));
        (lane.valve, f64::from(lane.plants) * lane.dose * 1e-3 * HOUR_S * drips.fold(0.0, f64::max))
    };
    let lanes: Vec<(usize, f64)> = shown.lanes().map(of).collect();
    let valves = (0..shown.scenario.valves.len()).map(|v| lanes.iter().filter(|(of, _)| *of == v).map(|l| l.1).sum::<f64>());
    (10.0 * (valves.fold(0.0, f64::max) / 10.0).ceil()).clamp(ranges::PUMP.0.max(10.0), ranges::PUMP.1)
}

/// Feed and drain of the whole zone.
fn litres(form: &Form<'_>, ui: &mut Ui, shown: &Projection) {
    let text = |v: f64| format!("{} that day", Quantity::Litres.text(v, form.units));
    let zone = zone_day(&shown.scenario, &shown.run, shown.day);
    form.fact(ui, "All plants get", &text(zone.given_l));
    form.fact(ui, "All plants drain", &text(zone.drained_l));
}

fn fields(form: &mut Form<'_>, ui: &mut Ui, now: &Tank) {
    let [holds, first, water] = TANK else { return };
    form.number(ui, &Field::of(holds, "the tank", now, form.library).shown_as("Holds"), now.litres, |s, v| {
        if let Some(tank) = &mut s.tank {
            (holds.set)(tank, v);
        }
    });
    let words = ["Own EC at first", "What is in it on the first morning has an EC of its own, not the feed's"];
    if form.switch(ui, words, now.start_ec.is_some()) {
        let ec = if now.start_ec.is_some() { None } else { Some(form.scenario.feed.ec) };
        form.set(if ec.is_some() { "Begin with a tank of its own EC" } else { "Begin with a tank of the feed's EC" }, |s| {
            if let Some(tank) = &mut s.tank {
                tank.start_ec = ec;
            }
        });
    }
    form.entry(ui, first, "the tank", now, |s| s.tank.as_mut());
    let kinds = ["the bench's feed", "water"].map(str::to_owned);
    let at = usize::from(matches!(now.refill, Refill::Water { .. }));
    let words = ["Filled with", "Water thins what is in the tank; feed keeps it, unless saltier drain comes back."];
    if let Some(chosen) = form.choice(ui, Id::unique("tank refill"), words, &kinds[at], &kinds) {
        let refill = if chosen == 0 { Refill::Feed } else { Refill::Water { ec: 0.3 } };
        form.set(format!("Fill the tank with {}", kinds[chosen]), |s| {
            if let Some(tank) = &mut s.tank {
                tank.refill = refill;
            }
        });
    }
    form.entry(ui, water, "the tank", now, |s| s.tank.as_mut());
    filled(form, ui, now);
    let words = ["Drain comes back", "What drains runs back into the tank and is given again; otherwise it goes to waste"];
    if form.switch(ui, words, now.drain_returns) {
        let returns = !now.drain_returns;
        form.set(if returns { "Let drain come back to the tank" } else { "Let drain go to waste" }, |s| {
            if let Some(tank) = &mut s.tank {
                tank.drain_returns = returns;
            }
        });
    }
    if now.drain_returns {
        form.note(ui, "Drain can carry disease and residues from plant to plant. Treat it as your local rules ask.");
    } else {
        form.note(ui, "Drain holds nutrients: lead it where your local rules allow, never into open water.");
    }
}

fn filled(form: &mut Form<'_>, ui: &mut Ui, now: &Tank) {
    let kinds = ["before every event", "once a day", "never"].map(str::to_owned);
    let at = match now.filled {
        Filled::Always => 0,
        Filled::At(_) => 1,
        Filled::Never => 2,
    };
    let words = ["Filled up", "A float valve keeps it full. Filled once a day, it sinks and its EC moves. Never filled, it runs empty."];
    let put = |form: &mut Form<'_>, name: String, filled: Filled| {
        form.set(name, |s| {
            if let Some(tank) = &mut s.tank {
                tank.filled = filled;
            }
        });
    };
    if let Some(chosen) = form.choice(ui, Id::unique("tank filled"), words, &kinds[at], &kinds) {
        let filled = [Filled::Always, Filled::At(Clock::hm(5, 0)), Filled::Never][chosen];
        let name = if filled == Filled::Never { "Never fill the tank".to_owned() } else { format!("Fill the tank {}", kinds[chosen]) };
        put(form, name, filled);
    }
    if let Filled::At(time) = now.filled {
        let read = |text: &str| text.parse::<Clock>().map_err(|e| e.to_string());
        let refuse = |text: &str| match read(text) {
            Err(why) => Some(why),
            Ok(at) if at == Clock::END => Some("Midnight is 00:00 here.".to_owned()),
            Ok(_) => None,
        };
        let words = ["Filled at", "Time of every day. Write it as 05:00."];
        form.text(ui, Id::unique("tank time"), words, &time.to_string(), refuse, |form, text| {
            if let Ok(at) = read(&text) {
                put(form, format!("Fill the tank at {at}"), Filled::At(at));
            }
        });
    }
}

/// What became of it up to the end of the day shown.
fn state(form: &Form<'_>, ui: &mut Ui, shown: &Projection) {
    let Some(log) = shown.run.timetable().and_then(|t| t.tank.as_ref()) else { return };
    let day = if shown.settled.is_some() { log.days.len().saturating_sub(1) } else { shown.day };
    let Some(day) = log.days.get(day) else { return };
    let litres = |v: f64| Quantity::Litres.text(v, form.units);
    form.fact(ui, "Tank that night", &format!("{}, {}", litres(day.litres), Quantity::Ec.text(day.ec, form.units)));
    form.fact(ui, "Refilled that day", &litres(day.refilled));
    if form.scenario.tank.is_some_and(|t| t.drain_returns) {
        form.fact(ui, "Came back that day", &litres(day.returned));
    }
    form.note(ui, "Its litres through the days are a track of their own: View, Tracks, Tank. Its EC is the dashed line of the Salt track.");
    if day.spilled > 0.05 {
        form.fact(ui, "Ran over that day", &litres(day.spilled));
    }
    if let Some(told) = tank_sentence(day.short) {
        ui.label(RichText::new(told).color(form.t.attention));
    }
}
