//! How a figure's row is drawn: its name at the left, its value with its aim, its state at the right.

use std::sync::Arc;

use eframe::egui::accesskit::Role;
use eframe::egui::{Color32, CornerRadius, Galley, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::rows::Row;
use crate::app::look::theme::{self, NOTE, TEXT, Tokens};
use crate::figures::verdict::Mood;

/// Least width of the column of states.
const STATE: f32 = 56.0;
/// Between two columns of a row.
const GAP: f32 = 5.0;
/// Kept free for the bar that scrolls.
const EDGE: f32 = 5.0;
/// Height of a row, and what a second line adds.
const LINE: f32 = 19.0;
const UNDER: f32 = 13.0;

/// What has room beside the name.
#[derive(Clone, Copy, PartialEq)]
enum Fits {
    /// The value with its aim.
    Both,
    /// The value; the aim stands under it.
    Value,
    /// The state only: value and aim stand under both.
    Neither,
}

/// Draws a figure; true when it was clicked. What has no room beside its name stands under it.
pub fn show(ui: &mut Ui, t: &Tokens, row: &Row, on: bool) -> bool {
    let sense = if row.figure.is_some() { Sense::click() } else { Sense::hover() };
    let paint = ui.painter();
    let plain = |text: &str, size: f32, colour: Color32| paint.layout_no_wrap(text.to_owned(), theme::plain(size), colour);
    let name = plain(row.name, TEXT, t.ink);
    let state = plain(if on && row.mood == Mood::Plain { "shown" } else { &row.state }, NOTE + 0.5, mood(t, row.mood));
    let aim = row.aim.as_ref().map(|aim| plain(aim, NOTE, t.quiet));
    let room = ui.available_width() - EDGE - state.size().x.max(STATE) - GAP;
    let value = plain(&row.value, TEXT, t.ink);
    let followed = plain(&format!("{},", row.value), TEXT, t.ink);
    let beside = aim.as_ref().map_or(0.0, |aim| aim.size().x + 4.0);
    let taken = name.size().x + GAP;
    let fits = if taken + value.size().x > room {
        Fits::Neither
    } else if aim.is_some() && taken + followed.size().x + beside > room {
        Fits::Value
    } else {
        Fits::Both
    };
    let height = if fits == Fits::Both { LINE } else { LINE + UNDER };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), sense);
    let aimed = row.aim.as_ref().map_or_else(String::new, |aim| format!(", {aim}"));
    let spoken = format!("{}: {}{aimed} {}", row.name, row.value, row.state);
    if row.figure.is_some() {
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, on, &spoken));
    } else {
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    }
    let paint = ui.painter();
    if on || response.has_focus() || (row.figure.is_some() && response.hovered()) {
        paint.rect_filled(rect.expand2(vec2(4.0, 0.0)), CornerRadius::same(3), t.night);
    }
    let y = rect.top() + 0.5 * LINE;
    let below = y + 0.5 * (LINE + UNDER) - 2.0;
    // Words stand in a column; longer ones end at the edge.
    let state_left = rect.right() - EDGE - state.size().x.max(STATE);
    let put = |left: f32, y: f32, galley: Arc<Galley>| {
        let top = y - 0.5 * galley.size().y;
        paint.galley(pos2(left, top), galley, t.ink);
    };
    put(rect.left(), y, name);
    put(state_left, y, state);
    let (right, line) = if fits == Fits::Neither { (rect.right() - EDGE, below) } else { (rect.left() + room, y) };
    match aim {
        Some(aim) if fits == Fits::Value => {
            put(right - value.size().x, line, value);
            put(right - aim.size().x, below, aim);
        }
        Some(aim) => {
            put(right - beside - followed.size().x, line, followed);
            put(right - aim.size().x, line + 0.5, aim);
        }
        None => put(right - value.size().x, line, value),
    }
    paint.hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, t.grid));
    let hint = if row.figure.is_some() { ". Click to see where on the tracks it comes from, click again or Escape to stop." } else { "" };
    response.on_hover_text(format!("{}{hint}", row.hover)).clicked()
}

/// The colour of a state.
pub fn mood(t: &Tokens, mood: Mood) -> Color32 {
    match mood {
        Mood::Good => t.good,
        Mood::Attention => t.attention,
        Mood::Plain => t.quiet,
    }
}

#[cfg(test)]
mod tests {
    use eframe::egui::vec2;
    use egui_kittest::Harness;

    use super::*;
    use crate::app::look::painted::{cut, overlapping, texts};
    use crate::app::pages::bench::figures::rows::{Listed, further, judged};
    use crate::app::state::sides::Sides;
    use crate::engine::run::{Settled, run_scenario};
    use crate::figures::verdicts;
    use crate::projection::LaneReport;
    use crate::scenario::presets::{Library, demos};
    use crate::units::{EcUnit, LengthUnit, SuctionUnit, Units, VolumeUnit};

    /// Every way to show what rows tell.
    fn all_units() -> Vec<Units> {
        let mut all = Vec::new();
        for volume in [VolumeUnit::Metric, VolumeUnit::Us] {
            for ec in [EcUnit::MsCm, EcUnit::Ppm500, EcUnit::Ppm640, EcUnit::Ppm700] {
                for (length, suction) in [(LengthUnit::Cm, SuctionUnit::Kpa), (LengthUnit::Inch, SuctionUnit::Cm)] {
                    all.push(Units { volume, length, ec, suction, ..Units::default() });
                }
            }
        }
        all
    }

    /// The rows of a day whose figures are as wide as figures get, that breaks its aims or will.
    fn widest(units: Units, breaks_today: bool) -> Vec<Row> {
        let (library, mut scenario) = (Library::shipped(), demos().remove(0).1);
        scenario.days = 1;
        scenario.lanes[0].targets.root_zone_ec = Some((1.234, 18.765));
        scenario.lanes[0].targets.drain_percent = Some((12.5, 87.5));
        scenario.lanes[0].targets.dry_back_points = Some((0.5, 1.5));
        let run = run_scenario(&scenario, &library).unwrap().lanes.remove(0);
        let lane = &scenario.lanes[0];
        let of = |ec: f64| {
            let mut report = LaneReport::of(&scenario, lane, &run, 0).unwrap();
            let f = &mut report.figures;
            (f.peak, f.lowest, f.container_capacity, f.lowest_air, f.drain_fraction) = (1.0, 1.0, 1.0, 1.0, Some(1.0));
            (f.root_zone_ec, f.felt_ec, f.drain_ec, f.root_zone_ec_change) = (ec, 99.0, Some(99.0), -99.0);
            f.highest_suction_kpa = 1600.0;
            for ml in
                [&mut f.applied_ml, &mut f.drained_ml, &mut f.overflow_ml, &mut f.channelled_ml, &mut f.taken_up_ml, &mut f.evaporated_ml]
            {
                *ml = 99_999.0;
            }
            if let Some(dry_back) = &mut f.dry_back {
                dry_back.points = 100.0;
            }
            report.verdicts = verdicts(&report.figures, &report.aims);
            report
        };
        let (report, then) = (of(if breaks_today { 18.7651 } else { 12.34 }), of(99.0));
        let listed =
            Listed { lane, run: &run, report: &report, settled: Some((&then, Settled::NotWithin(366))), presets: &library.targets };
        judged(&listed, units).into_iter().chain(further(&report, units)).collect()
    }

    #[test]
    fn the_widest_values_run_into_no_name_in_any_units() {
        for units in all_units() {
            for window in [640.0, 1280.0, 1920.0] {
                for breaks_today in [false, true] {
                    let width = Sides::widths(window).1 - 20.0;
                    let draw = move |ui: &mut Ui, rows: &mut Option<Vec<Row>>| match rows {
                        None => {
                            theme::install(ui.ctx());
                            *rows = Some(widest(units, breaks_today));
                        }
                        Some(rows) => {
                            ui.set_width(width);
                            for row in rows {
                                show(ui, Tokens::now(ui.ctx()), row, false);
                            }
                        }
                    };
                    let size = vec2(width + 16.0, 900.0);
                    let mut harness = Harness::builder().with_size(size).build_ui_state(draw, None);
                    harness.run();
                    let texts = texts(&harness.output().shapes);
                    assert!(texts.len() > 40, "{} texts", texts.len());
                    assert_eq!((cut(&texts), overlapping(&texts)), (vec![], vec![]), "{units:?} at {width}");
                }
            }
        }
    }
}
