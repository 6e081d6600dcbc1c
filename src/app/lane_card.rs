//! A lane's card: what stands there, drawn to scale, and what it holds.

use eframe::egui::{self, CornerRadius, DragValue, Frame, Label, Margin, Rect, RichText, Sense, Stroke, Ui, pos2, vec2};

use super::action::Action;
use super::container_view;
use super::projection::Projection;
use super::setup_panel::{Field, field};
use super::theme::{self, HEAD, NOTE, Tokens};
use crate::scenario::{CropChoice, Demand, Lane, MediumChoice, Scenario};

/// Points per cm that let every lane's container fit its drawing, so that sizes can be compared between cards.
#[must_use]
pub fn common_scale(scenario: &Scenario, card_width: f32) -> f32 {
    let room = drawing_size(card_width);
    let per = |lane: &Lane| {
        let (width, height) = container_view::size_cm(&lane.container);
        (room.x / width).min((room.y - container_view::PLANT) / height)
    };
    scenario.lanes.iter().map(per).fold(f32::INFINITY, f32::min).min(6.0)
}

fn drawing_size(card_width: f32) -> egui::Vec2 {
    vec2((card_width - 24.0 - 96.0).max(60.0), 118.0)
}

/// Draws a lane's card.
pub fn show(ui: &mut Ui, t: &Tokens, shown: &Projection, index: usize, hour: Option<f64>, scale: f32, actions: &mut Vec<Action>) {
    let Some(lane) = shown.scenario.lanes.get(index) else { return };
    let frame = Frame::new().fill(t.card).stroke(Stroke::new(1.0, t.rule)).corner_radius(6).inner_margin(Margin {
        left: 14,
        right: 10,
        top: 8,
        bottom: 8,
    });
    let card = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.add(Label::new(RichText::new(format!("Lane {} · {}", index + 1, lane.name)).font(theme::strong(HEAD))).truncate());
        ui.label(RichText::new(described(lane)).size(NOTE).color(t.quiet));
        ui.add_space(6.0);
        let size = drawing_size(ui.available_width() + 24.0);
        ui.horizontal_top(|ui| {
            let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
            container_view::paint(ui.painter(), t, rect, shown, index, hour, scale);
            let hover = "One plant's share, to scale. Colour is water by height at the time under the pointer.";
            response
                .widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, format!("Side view of lane {}", index + 1)));
            response.on_hover_text(hover);
            ui.vertical(|ui| facts(ui, t, shown, index, hour));
        });
        let crop = match &lane.crop {
            CropChoice::Preset(name) => name.clone(),
            CropChoice::Custom(crop) => crop.name.clone(),
        };
        let label = format!("{crop} uses");
        let words = Field {
            label: &label,
            hover: "Litres a plant uses in a day. More dries the root zone further between events and leaves less to drain.",
        };
        // The lane was there when the card was drawn from this very scenario.
        let name = |s: &Scenario| format!("Set what lane {} uses to {:.2} L/day", index + 1, uses(&s.lanes[index]));
        field(
            ui,
            words,
            &shown.scenario,
            actions,
            |s| {
                let Demand::Measured { litres_per_day, .. } = &mut s.lanes[index].demand;
                DragValue::new(litres_per_day).range(0.0..=50.0).speed(0.01).fixed_decimals(2).suffix(" L/day")
            },
            name,
        );
    });
    let rect = card.response.rect;
    let edge = Rect::from_min_max(rect.min, pos2(rect.left() + 4.0, rect.bottom()));
    ui.painter().rect_filled(edge, CornerRadius { nw: 6, sw: 6, ne: 0, se: 0 }, t.lane(index));
}

/// Litres a plant of the lane asks for in a day.
fn uses(lane: &Lane) -> f64 {
    let Demand::Measured { litres_per_day, .. } = lane.demand;
    litres_per_day
}

/// Media, size and number of plants.
fn described(lane: &Lane) -> String {
    let mut media: Vec<String> = lane.container.parts.iter().map(|p| medium_name(&p.medium)).collect();
    media.dedup();
    let litres = lane.container.volume_per_plant_ml() / 1000.0;
    format!("{}\n{litres:.1} L a plant · {} plants", media.join(" under "), lane.plants)
}

fn medium_name(choice: &MediumChoice) -> String {
    match choice {
        MediumChoice::Preset(name) => name.clone(),
        MediumChoice::Custom(medium) => medium.name.clone(),
        MediumChoice::Mix(components) => {
            components.iter().map(|c| format!("{} {:.0} %", c.medium, c.percent)).collect::<Vec<_>>().join(" + ")
        }
    }
}

fn facts(ui: &mut Ui, t: &Tokens, shown: &Projection, index: usize, hour: Option<f64>) {
    let (Some(run), Some(capacity)) = (shown.run.lanes.get(index), shown.capacities.get(index)) else { return };
    let note = |text: String| RichText::new(text).size(NOTE).color(t.quiet);
    ui.add_space(container_view::PLANT * 0.4);
    let holds = capacity * run.column.volume / 1000.0;
    ui.label(note(format!("holds {holds:.1} L"))).on_hover_text("Container capacity: what stays after soaking and draining");
    ui.label(note(format!("air {:.0} %", 100.0 * (run.column.porosity() - capacity)))).on_hover_text("Air at container capacity");
    let outlet = shown.scenario.lanes.get(index).map_or(0.0, |l| l.container.outlet_height_cm);
    if outlet > 0.0 {
        ui.label(note(format!("outlet {outlet} cm up"))).on_hover_text("Water below the outlet's height stays in the container");
    }
    ui.add_space(6.0);
    let at = container_view::instant(shown, hour);
    if let Some(sample) = run.series.at(at) {
        let clock = crate::scenario::Clock::from_hours((at - shown.midnight_s()) / 3600.0);
        ui.label(note(format!("at {}:", &clock.to_string()[..5])));
        ui.label(RichText::new(format!("water {:.1} %", 100.0 * sample.water_content)).size(NOTE));
        ui.label(RichText::new(format!("EC {:.2}", sample.root_zone_ec)).size(NOTE));
    }
}
