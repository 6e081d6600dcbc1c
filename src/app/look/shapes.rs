//! Shapes that the painter has not by itself.

use eframe::egui::{Color32, Mesh, Pos2, Shape};

/// What lies between two lines of as many points, as one piece: pieces side by side would show their seams.
pub fn between(low: &[Pos2], high: &[Pos2], fill: Color32) -> Shape {
    let mut mesh = Mesh::default();
    for (low, high) in low.iter().zip(high) {
        mesh.colored_vertex(*low, fill);
        mesh.colored_vertex(*high, fill);
    }
    #[allow(clippy::cast_possible_truncation)] // no line has so many points
    let pairs = (mesh.vertices.len() / 2) as u32;
    for left in (1..pairs).map(|k| 2 * (k - 1)) {
        mesh.add_triangle(left, left + 1, left + 2);
        mesh.add_triangle(left + 1, left + 2, left + 3);
    }
    mesh.into()
}
