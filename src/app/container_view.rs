//! The container from the side, to scale: parts, water by height, outlet, water line, roots and a plant.

use eframe::egui::{Color32, Mesh, Painter, Pos2, Rect, Shape, Stroke, epaint::PathShape, lerp, pos2, vec2};

use super::projection::Projection;
use super::theme::Tokens;
use crate::engine::run::LaneRun;
use crate::scenario::{Container, Lane, Part};

/// Room above the container for the plant.
pub const PLANT: f32 = 34.0;

/// The instant drawn, s since the run's start: the time under the pointer, or the end of the day.
#[must_use]
pub fn instant(shown: &Projection, hour: Option<f64>) -> f64 {
    shown.midnight_s() + hour.unwrap_or(24.0) * 3600.0
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

/// Paints a lane's container, standing on the rectangle's base. `scale` is points per cm.
pub fn paint(painter: &Painter, t: &Tokens, rect: Rect, shown: &Projection, index: usize, hour: Option<f64>, scale: f32) {
    let (Some(lane), Some(run)) = (shown.scenario.lanes.get(index), shown.run.lanes.get(index)) else { return };
    let view = View { painter, t, foot: pos2(rect.center().x, rect.bottom() - 4.0), scale };
    view.layers(lane, run, instant(shown, hour));
    view.outlines(lane);
    view.roots(lane, run);
    view.water_line(lane, run, instant(shown, hour));
    view.outlet(lane);
    view.plant(lane);
    painter.hline(rect.x_range(), view.foot.y + 0.5, Stroke::new(1.0, t.rule));
}

/// Paints a lane's cross-section with a colour of the caller's for each layer, base first.
#[allow(clippy::too_many_arguments)] // one picture, each part named
pub fn section(painter: &Painter, t: &Tokens, rect: Rect, lane: &Lane, run: &LaneRun, at_s: f64, scale: f32, fills: &[Color32]) {
    let view = View { painter, t, foot: pos2(rect.center().x, rect.bottom() - 4.0), scale };
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
        let after = run.series.samples.partition_point(|s| s.time_s <= at_s);
        let count = run.series.profiles.layers;
        let row = after.saturating_sub(1) * count;
        let Some(theta) = run.series.profiles.theta.get(row..row + count) else { return };
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
        let after = run.series.samples.partition_point(|s| s.time_s <= at_s);
        let count = run.series.profiles.layers;
        let row = after.saturating_sub(1) * count;
        let Some(heads) = run.series.profiles.head.get(row..row + count) else { return };
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
