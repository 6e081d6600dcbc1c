//! Flush: what it takes to rinse salt out, between its two bounds.

use eframe::egui::{Align2, RichText, Sense, Stroke, StrokeKind, Ui, pos2, vec2};

use super::asking::{answered, title};
use super::fields::{Shown, number};
use crate::app::actions::action::Action;
use crate::app::look::theme::{self, NOTE, Tokens};
use crate::app::look::widgets::lane_head;
use crate::app::state::bench::Bench;
use crate::app::state::studies::{Inquiry, Question, Study};
use crate::scenario::ranges;
use crate::studies::flush::{LaneFlush, PLAIN_WATER_EC, Rinse, Rinsed};
use crate::units::{Quantity, Units};

/// What is asked.
pub struct Page {
    rinse: Rinse,
}

impl Default for Page {
    fn default() -> Self {
        Self { rinse: Rinse { to: 2.0, with: PLAIN_WATER_EC } }
    }
}

impl Page {
    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, t: &Tokens, bench: &Bench, inquiry: &Inquiry<Vec<LaneFlush>>, actions: &mut Vec<Action>) {
        title(
            ui,
            t,
            "Flush",
            "From the salt that the bench's days leave: the water, events and hours that bring the root zone down to an EC.",
        );
        let (units, ec) = (bench.units, Shown::of(Quantity::Ec, bench.units));
        number(ui, t, ("Down to a root-zone EC of", ""), &mut self.rinse.to, ranges::ROOT_ZONE_EC, ec);
        let plain = format!("plain water is about {}", Quantity::Ec.text(PLAIN_WATER_EC, units));
        number(ui, t, ("Rinsed with an EC of", &plain), &mut self.rinse.with, ranges::ROOT_ZONE_EC, ec);
        ui.label(RichText::new("The drain of a flush is rich in salt: lead it where local rules allow it.").size(NOTE).color(t.quiet));
        let asked = (Study::Flush, "Find out", Question::Flush(self.rinse));
        let Some(lanes) = answered(ui, t, bench, inquiry, asked, actions) else { return };
        for (index, lane) in lanes.iter().enumerate() {
            ui.add_space(6.0);
            lane_head(ui, t, index, &lane.name);
            ui.label(format!("Root-zone EC {} when it begins.", Quantity::Ec.text(lane.start_ec, units)));
            rinsed(ui, units, "From above", &lane.from_above);
            if let Some(flooded) = &lane.by_flooding {
                rinsed(ui, units, "By flooding", flooded);
            }
            if lane.from_above.events > 0 {
                bounds(ui, t, units, index, lane);
                if let Some(beside) = lane.beside_bounds() {
                    ui.label(RichText::new(beside).color(t.quiet));
                }
            }
            if lane.exchanges {
                ui.label("This medium holds salt beside its water, and takes more rinse for it.");
            }
            if let Some(why) = &lane.stopped {
                ui.label(RichText::new(format!("It stopped before: {why}.")).color(t.attention));
            }
        }
    }
}

fn rinsed(ui: &mut Ui, units: Units, way: &str, done: &Rinsed) {
    let (ec, litres) = (|value: f64| Quantity::Ec.text(value, units), |value: f64| Quantity::Litres.text(value, units));
    if done.events == 0 {
        ui.label(format!("{way}: it is as low already."));
        return;
    }
    let reached = if done.reached { "" } else { " It was not reached." };
    ui.label(format!(
        "{way}: {} a plant, {} for all, in {} over {:.1} h; {} a plant drain. EC then {}.{reached}",
        litres(done.litres_per_plant),
        litres(done.litres_for_all),
        if done.events == 1 { "1 event".to_owned() } else { format!("{} events", done.events) },
        done.hours,
        litres(done.drained_per_plant),
        ec(done.final_ec)
    ));
    let at = |share: f64| {
        let last = done.remains.len().saturating_sub(1);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
        done.remains.get((share * last as f64).round() as usize).map_or(f64::NAN, |r| r.1)
    };
    ui.label(format!("{way}, EC that remains: {} at the base, {} half way up, {} at the top.", ec(at(0.0)), ec(at(0.5)), ec(at(1.0))));
}

/// The litres between what pushes all out before it and what mixes with all.
fn bounds(ui: &mut Ui, t: &Tokens, units: Units, index: usize, lane: &LaneFlush) {
    let told_as = |value: f64| Quantity::Litres.text(value, units);
    let litres = [lane.plug_flow_litres, lane.from_above.litres_per_plant, lane.well_mixed_litres];
    let most = 1.15 * litres.into_iter().fold(0.0_f64, f64::max);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width().min(700.0), 54.0), Sense::hover());
    let told = format!(
        "Bounds: {} pushed through in one piece, {} well mixed; this flush {} a plant",
        told_as(litres[0]),
        told_as(litres[2]),
        told_as(litres[1])
    );
    response.widget_info(|| eframe::egui::WidgetInfo::labeled(eframe::egui::accesskit::Role::Label, true, told.clone()));
    #[allow(clippy::cast_possible_truncation)]
    let x = |l: f64| rect.left() + rect.width() * (l / most.max(1e-9)) as f32;
    let band = eframe::egui::Rect::from_x_y_ranges(x(litres[0])..=x(litres[2]), rect.top() + 18.0..=rect.top() + 32.0);
    let paint = ui.painter();
    paint.hline(rect.x_range(), band.center().y, Stroke::new(1.0, t.rule));
    paint.vline(rect.left() + 0.5, band.y_range(), Stroke::new(1.0, t.rule));
    paint.rect(band, 2, t.lane(index).gamma_multiply(0.35), Stroke::new(1.0, t.rule), StrokeKind::Inside);
    paint.circle_filled(pos2(x(litres[1]), band.center().y), 6.0, t.lane(index));
    paint.circle_stroke(pos2(x(litres[1]), band.center().y), 6.0, Stroke::new(1.2, t.ink));
    let note = |at: f32, y: f32, align: Align2, text: String| paint.text(pos2(at, y), align, text, theme::plain(NOTE), t.quiet);
    // Either side of the middle, so that they never meet.
    let middle = band.center().x;
    note(middle - 6.0, band.bottom() + 3.0, Align2::RIGHT_TOP, format!("pushed out in one piece {}", told_as(litres[0])));
    note(middle + 6.0, band.bottom() + 3.0, Align2::LEFT_TOP, format!("well mixed {}", told_as(litres[2])));
    note(rect.left(), band.bottom() + 3.0, Align2::LEFT_TOP, format!("0 {}", Quantity::Litres.unit(units)));
    note(x(litres[1]), band.top() - 16.0, Align2::CENTER_TOP, format!("this flush {}", told_as(litres[1])));
}
