//! What is painted of texts, and where: whether any is cut at its sides or runs into another.

use eframe::egui::epaint::{ClippedShape, Shape};
use eframe::egui::{Rect, emath::Rot2};

/// A text as it is painted.
#[derive(Clone, Debug)]
pub struct Painted {
    /// Its letters.
    pub text: String,
    /// Where they stand, points.
    pub at: Rect,
    /// What can be seen of the place.
    pub clip: Rect,
}

/// All texts of a frame, in the order of painting.
pub fn texts(shapes: &[ClippedShape]) -> Vec<Painted> {
    let mut found = Vec::new();
    for shape in shapes {
        gather(&shape.shape, shape.clip_rect, &mut found);
    }
    found
}

fn gather(shape: &Shape, clip: Rect, found: &mut Vec<Painted>) {
    match shape {
        Shape::Vec(inner) => inner.iter().for_each(|shape| gather(shape, clip, found)),
        Shape::Text(text) => {
            let ink = text.galley.mesh_bounds.rotate_bb(Rot2::from_angle(text.angle)).translate(text.pos.to_vec2());
            if ink.is_positive() && ink.intersects(clip) {
                found.push(Painted { text: text.galley.text().to_owned(), at: ink, clip });
            }
        }
        _ => {}
    }
}

/// The texts whose sides lie outside of what can be seen.
pub fn cut(texts: &[Painted]) -> Vec<String> {
    let is_cut = |p: &&Painted| p.at.left() < p.clip.left() - 1.0 || p.at.right() > p.clip.right() + 1.0;
    texts.iter().filter(is_cut).map(|p| format!("\"{}\" at {:?} in {:?}", p.text, p.at, p.clip)).collect()
}

/// The pairs of texts that run into one another.
pub fn overlapping(texts: &[Painted]) -> Vec<String> {
    let mut found = Vec::new();
    for (i, one) in texts.iter().enumerate() {
        for other in &texts[i + 1..] {
            let both = one.at.intersect(one.clip).intersect(other.at.intersect(other.clip));
            if both.width() > 1.0 && both.height() > 1.0 {
                found.push(format!("\"{}\" and \"{}\" at {both:?}", one.text, other.text));
            }
        }
    }
    found
}
