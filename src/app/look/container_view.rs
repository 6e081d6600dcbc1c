//! The container from the side, to scale: parts, water by height, outlet, water line, roots and a plant.

use eframe::egui::{Color32, CornerRadius, Mesh, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, epaint::PathShape, lerp, pos2, vec2};

use super::theme::Tokens;
use crate::engine::column::capacity::at_rest;
use crate::engine::run::LaneRun;
use crate::physics::hydraulics::Main;
use crate::projection::Projection;
use crate::scenario::{Container, Event, Give, Lane, Part};
use crate::units::{HOUR_S, Quantity, Units};

/// Room above the container for the plant.
pub const PLANT: f32 = 34.0;

/// Room that the strip and the spout take beside the container.
pub const MARGIN: f32 = 22.0;
/// Room below it.
const FOOT: f32 = 4.0;

/// What is drawn of a lane.
#[derive(Clone, Copy)]
pub struct Drawn<'a> {
    /// What is drawn.
    pub shown: &'a Projection,
    /// The lane's index there; `None` where nothing is known of it yet.
    pub lane: Option<usize>,
    /// The time under the pointer, h.
    pub hour: Option<f64>,
    /// Points per cm.
    pub scale: f32,
}

impl<'a> Drawn<'a> {
    /// The lane's run.
    #[must_use]
    pub fn run(self) -> Option<&'a LaneRun> {
        self.shown.run.lanes.get(self.lane?)
    }

    /// The instant drawn, s since the run's start: the time under the pointer, or the end of the day.
    #[must_use]
    pub fn instant(self) -> f64 {
        self.shown.midnight_s() + self.hour.unwrap_or(24.0) * HOUR_S
    }
}

/// Width and height of one plant's share, cm.
#[must_use]
#[allow(clippy::cast_possible_truncation)]
pub fn size_cm(container: &Container) -> (f32, f32) {
    let width = container.parts.iter().map(|p| share_width(p, 0.0).max(share_width(p, 1.0))).fold(1.0, f64::max);
    (width as f32, container.height_cm().max(1.0) as f32)
}

/// Width of one plant's share of a part at a relative height, cm: shared parts are cut along their length.
fn share_width(part: &Part, relative_height: f64) -> f64 {
    part.shape.extent(relative_height).0 / f64::from(part.shared_by.max(1))
}

/// Paints a lane's container, standing on the rectangle's base, with the lane's colour; what is not known of it yet is left out.
pub fn paint(painter: &Painter, t: &Tokens, rect: Rect, (lane, colour): (&Lane, Color32), drawn: Drawn<'_>) {
    let view = View { painter, t, foot: pos2(rect.center().x, rect.bottom() - FOOT), scale: drawn.scale };
    if let Some(run) = drawn.run() {
        view.layers(lane, run, drawn.instant());
    }
    view.outlines(lane);
    if let Some(run) = drawn.run() {
        view.roots(lane, run);
        view.water_line(lane, run, drawn.instant());
        view.capacity(lane, run);
    }
    view.outlet(lane);
    view.probe(lane, colour);
    view.plant(lane);
    view.supply(lane, rect, drawn.shown.events(lane.valve, drawn.shown.day));
    painter.hline(rect.x_range(), view.foot.y + 0.5, Stroke::new(1.0, t.rule));
}

/// What stands at a place of the drawing, in words: the layer there, and what the marks mean.
#[must_use]
pub fn explained(rect: Rect, lane: &Lane, drawn: Drawn<'_>, at: Pos2, units: Units) -> String {
    const MARKS: &str = "Strip at the left: water held at capacity, by height. White dashes: water stands free up to there. \
        Brown: roots. Spout: outlet, water below it stays.";
    let (shown, Some(run)) = (drawn.shown, drawn.run()) else {
        return "One plant's share, to scale. The water in it is being computed.".to_owned();
    };
    let mut told = vec!["One plant's share, to scale; colour is water by height at the time under the pointer.".to_owned()];
    let z = f64::from((rect.bottom() - FOOT - at.y) / drawn.scale.max(1e-3));
    let layer = run.column.layers.iter().position(|l| (z - l.z).abs() <= 0.5 * l.dz);
    if let Some((k, layer)) = layer.and_then(|k| Some((k, run.column.layers.get(k)?))) {
        let part = lane.container.parts.get(layer.part).map_or("", |p| p.name.as_str());
        let height = Quantity::Length.text(z, units);
        let held = at_rest(&run.column, Main::Drying, run.column.outlet_height).get(k).map_or(0.0, |w| 100.0 * w);
        let now = water(run, drawn.instant()).and_then(|w| w.get(k));
        let now = now.map_or_else(String::new, |w| format!("water {:.0} %, ", 100.0 * f64::from(*w)));
        told.insert(0, format!("{part}, {height} up: {now}at capacity {held:.0} %"));
    }
    told.push(MARKS.to_owned());
    if shown.events(lane.valve, shown.day).iter().any(|e| e.ml().is_some()) {
        told.push("Drop: the emitter.".to_owned());
    }
    if let Some(probe) = &lane.probe {
        let (low, high) = probe.ends();
        told.push(format!(
            "Rod: the probe, which reads from {} to {}.",
            Quantity::Length.text(low, units),
            Quantity::Length.text(high, units)
        ));
    }
    if let Some(depth) = flood_cm(shown.events(lane.valve, shown.day)) {
        told.push(format!("Dashes at both sides: flooded up to {}.", Quantity::Length.text(depth, units)));
    }
    told.join("\n")
}

/// The deepest flood of a day, cm.
fn flood_cm(schedule: &[Event]) -> Option<f64> {
    let depth = |e: &Event| if let Give::Flood { depth_cm } = e.give { Some(depth_cm) } else { None };
    schedule.iter().filter_map(depth).reduce(f64::max)
}

/// Water content of every layer at an instant; `None` on a day that is not kept in full.
fn water(run: &LaneRun, at_s: f64) -> Option<&[f32]> {
    let count = run.series.profiles.layers;
    let row = run.series.row(at_s)? * count;
    run.series.profiles.theta.get(row..row + count)
}

/// Paints a lane's cross-section with a colour of the caller's for each layer, base first.
#[allow(clippy::too_many_arguments)] // one picture, each part named
pub fn section(painter: &Painter, t: &Tokens, rect: Rect, lane: &Lane, run: &LaneRun, at_s: f64, scale: f32, fills: &[Color32]) {
    let view = View { painter, t, foot: pos2(rect.center().x, rect.bottom() - FOOT), scale };
    let mut mesh = Mesh::default();
    for (layer, fill) in run.column.layers.iter().zip(fills) {
        view.slice(&mut mesh, lane, layer.z, layer.dz, *fill);
    }
    painter.add(Shape::mesh(mesh));
    view.outlines(lane);
    view.water_line(lane, run, at_s);
    view.outlet(lane);
    view.plant(lane);
    painter.hline(rect.x_range(), view.foot.y + 0.5, Stroke::new(1.0, t.rule));
}

struct View<'a> {
    painter: &'a Painter,
    t: &'a Tokens,
    foot: Pos2,
    scale: f32,
}

impl View<'_> {
    #[allow(clippy::cast_possible_truncation)]
    fn at(&self, x_cm: f64, z_cm: f64) -> Pos2 {
        self.foot + vec2(x_cm as f32, -z_cm as f32) * self.scale
    }

    /// Half the width at a height of the whole stack, cm.
    fn half_width(lane: &Lane, z_cm: f64) -> f64 {
        let mut base = 0.0;
        let mut half = 0.0;
        for part in &lane.container.parts {
            let inside = ((z_cm - base) / part.height_cm).clamp(0.0, 1.0);
            half = 0.5 * share_width(part, inside);
            if z_cm <= base + part.height_cm {
                break;
            }
            base += part.height_cm;
        }
        half
    }

    /// Adds a slice of the container to a mesh: slices meet without a seam.
    fn slice(&self, mesh: &mut Mesh, lane: &Lane, z: f64, dz: f64, fill: Color32) {
        // Just inside, so that a slice at a part's edge belongs to its own part.
        let (low, high) = (z - 0.499 * dz, z + 0.499 * dz);
        let (a, b) = (Self::half_width(lane, low), Self::half_width(lane, high));
        let (low, high) = (z - 0.5 * dz, z + 0.5 * dz);
        #[allow(clippy::cast_possible_truncation)]
        let first = mesh.vertices.len() as u32;
        for corner in [self.at(-a, low), self.at(a, low), self.at(b, high), self.at(-b, high)] {
            mesh.colored_vertex(corner, fill);
        }
        mesh.add_triangle(first, first + 1, first + 2);
        mesh.add_triangle(first, first + 2, first + 3);
    }

    fn layers(&self, lane: &Lane, run: &LaneRun, at_s: f64) {
        let Some(theta) = water(run, at_s) else { return };
        let mut mesh = Mesh::default();
        for (layer, &theta) in run.column.layers.iter().zip(theta) {
            let Some(part) = run.column.parts.get(layer.part) else { continue };
            #[allow(clippy::cast_possible_truncation)]
            let full = (f64::from(theta) / part.medium.curve.theta_s()).clamp(0.0, 1.0) as f32;
            self.slice(&mut mesh, lane, layer.z, layer.dz, mix(self.t.dry, self.t.wet, full));
        }
        self.painter.add(Shape::mesh(mesh));
    }

    fn outlines(&self, lane: &Lane) {
        let mut base = 0.0;
        for part in &lane.container.parts {
            let (a, b) = (0.5 * share_width(part, 0.0), 0.5 * share_width(part, 1.0));
            let top = base + part.height_cm;
            let corners = vec![self.at(-a, base), self.at(a, base), self.at(b, top), self.at(-b, top)];
            self.painter.add(PathShape::closed_line(corners, Stroke::new(1.0, self.t.ink)));
            base = top;
        }
    }

    /// A strip beside the container: what it holds at capacity, by height, in the colours of the drawing.
    fn capacity(&self, lane: &Lane, run: &LaneRun) {
        let (width, _) = size_cm(&lane.container);
        let left = self.at(-0.5 * f64::from(width), 0.0).x - 9.0;
        let held = at_rest(&run.column, Main::Drying, run.column.outlet_height);
        let mut strip = Mesh::default();
        for (layer, theta) in run.column.layers.iter().zip(held) {
            let Some(part) = run.column.parts.get(layer.part) else { continue };
            #[allow(clippy::cast_possible_truncation)]
            let full = (theta / part.medium.curve.theta_s()).clamp(0.0, 1.0) as f32;
            let (low, high) = (self.at(0.0, layer.z - 0.5 * layer.dz).y, self.at(0.0, layer.z + 0.5 * layer.dz).y);
            // A mesh has no soft edges: pieces meet without a seam.
            strip.add_colored_rect(Rect::from_min_max(pos2(left, high), pos2(left + 5.0, low)), mix(self.t.dry, self.t.wet, full));
        }
        self.painter.add(Shape::mesh(strip));
    }

    /// Where water comes from: an emitter over the top, or the level of the flood at both sides.
    fn supply(&self, lane: &Lane, rect: Rect, schedule: &[Event]) {
        let water = self.t.event;
        if schedule.iter().any(|e| e.ml().is_some()) {
            let half = Self::half_width(lane, lane.container.height_cm());
            let foot =
                self.at(0.0, lane.container.height_cm()) + vec2((0.5 * self.at(half, 0.0).distance(self.at(0.0, 0.0))).min(26.0), 0.0);
            // A stake that bends over, and a drop below its mouth.
            let bend = foot + vec2(5.0, -13.0);
            self.painter.line(vec![foot + vec2(5.0, 0.0), bend, bend + vec2(-6.0, 0.0)], Stroke::new(1.5, self.t.quiet));
            let drop = bend + vec2(-6.0, 6.0);
            self.painter.circle_filled(drop, 2.2, water);
            self.painter.add(Shape::convex_polygon(
                vec![drop + vec2(-2.0, -0.8), drop + vec2(0.0, -4.5), drop + vec2(2.0, -0.8)],
                water,
                Stroke::NONE,
            ));
        }
        if let Some(depth) = flood_cm(schedule) {
            let y = self.at(0.0, depth).y;
            let half = Self::half_width(lane, depth);
            let (left, right) = (self.at(-half, depth).x - 11.0, self.at(half, depth).x + 3.0);
            for ends in [(rect.left(), left), (right, rect.right())] {
                if ends.1 > ends.0 {
                    let line = [pos2(ends.0, y), pos2(ends.1, y)];
                    self.painter.extend(Shape::dashed_line(&line, Stroke::new(1.5, water), 4.0, 3.0));
                }
            }
        }
    }

    /// Strands as long and as dense as the roots are at each height.
    fn roots(&self, lane: &Lane, run: &LaneRun) {
        let densest = run.column.layers.iter().map(|l| l.roots / l.volume).fold(f64::MIN_POSITIVE, f64::max);
        for (i, layer) in run.column.layers.iter().enumerate() {
            let share = (layer.roots / layer.volume / densest).min(1.0);
            let half = Self::half_width(lane, layer.z);
            // A fixed scatter: the same drawing every frame. Strands lean outwards and stay inside.
            let scatter = f64::from((i as u32 * 7) % 10) / 10.0 - 0.45;
            let x = 1.7 * half * scatter;
            let end = (layer.z - 1.6 * share).max(0.2);
            let strand = [self.at(x, (layer.z + 0.8 * share).min(run.column.height)), self.at(x * 1.04 + 0.3 * scatter, end)];
            if share > 0.02 {
                self.painter.line_segment(strand, Stroke::new(1.0, self.t.root.gamma_multiply(0.7)));
            }
        }
    }

    /// Where free water stands: the height up to which the pressure head is not negative.
    fn water_line(&self, lane: &Lane, run: &LaneRun, at_s: f64) {
        let count = run.series.profiles.layers;
        let row = run.series.row(at_s).map(|row| row * count);
        let Some(heads) = row.and_then(|row| run.series.profiles.head.get(row..row + count)) else { return };
        let standing = run.column.layers.iter().zip(heads).take_while(|(_, h)| **h >= 0.0).last();
        let Some((layer, head)) = standing else { return };
        let z = (layer.z + f64::from(*head).min(0.5 * layer.dz)).min(lane.container.height_cm());
        let half = Self::half_width(lane, z);
        let line = [self.at(-half, z), self.at(half, z)];
        self.painter.extend(Shape::dashed_line(&line, Stroke::new(1.5, self.t.chip_ink), 4.0, 3.0));
    }

    fn outlet(&self, lane: &Lane) {
        let z = lane.container.outlet_height_cm;
        let x = Self::half_width(lane, z);
        let (from, to) = (self.at(x, z), self.at(x, z) + vec2(7.0, 3.0));
        self.painter.line_segment([from, to], Stroke::new(2.0, self.t.quiet));
    }

    /// A probe that is pushed in from the right, over the height that it reads.
    fn probe(&self, lane: &Lane, colour: Color32) {
        let Some(probe) = &lane.probe else { return };
        let (low, high) = probe.ends();
        let inside = 0.55 * Self::half_width(lane, probe.height_cm);
        let (from, to) = (self.at(inside, low), self.at(inside, high));
        let rod = Rect::from_min_max(pos2(from.x - 2.0, to.y), pos2(from.x + 2.0, from.y));
        self.painter.rect(rod, CornerRadius::same(1), self.t.card, Stroke::new(1.5, colour), StrokeKind::Middle);
        let middle = self.at(inside, probe.height_cm) + vec2(2.0, 0.0);
        let out = self.at(Self::half_width(lane, probe.height_cm), probe.height_cm) + vec2(6.0, 0.0);
        self.painter.line_segment([middle, out], Stroke::new(1.5, colour));
    }

    fn plant(&self, lane: &Lane) {
        let foot = self.at(0.0, lane.container.height_cm());
        let green = Stroke::new(2.0, self.t.leaf);
        let tip = foot - vec2(-3.0, PLANT - 12.0);
        self.painter.line_segment([foot, tip], green);
        for (side, height) in [(-1.0, 0.55), (1.0, 0.95)] {
            let node = foot + (tip - foot) * height;
            self.painter.add(leaf(node, side, self.t.leaf));
        }
    }
}

/// A leaf that points sideways and up.
fn leaf(node: Pos2, side: f32, colour: Color32) -> Shape {
    let point = node + vec2(16.0 * side, -5.0);
    let mut outline = Vec::new();
    for k in 0..=8_u8 {
        let s = f32::from(k) / 8.0;
        outline.push(node + (point - node) * s + vec2(0.0, -4.0 * (std::f32::consts::PI * s).sin()));
    }
    for k in (1..8_u8).rev() {
        let s = f32::from(k) / 8.0;
        outline.push(node + (point - node) * s + vec2(0.0, 4.0 * (std::f32::consts::PI * s).sin()));
    }
    Shape::convex_polygon(outline, colour, Stroke::NONE)
}

fn mix(a: Color32, b: Color32, share: f32) -> Color32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let channel = |a: u8, b: u8| lerp(f32::from(a)..=f32::from(b), share).round() as u8;
    Color32::from_rgb(channel(a.r(), b.r()), channel(a.g(), b.g()), channel(a.b(), b.b()))
}
