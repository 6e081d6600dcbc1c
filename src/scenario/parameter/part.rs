//! The numbers of a container's part, in the order of its form.

use super::entry::{Entry, LENGTH, SHARE, Spread};
use crate::scenario::container::{Part, Shape};
use crate::scenario::ranges;
use crate::units::Quantity;

const WIDER: &str = "A wider root zone holds more water per cm of height, so the same use dries it more slowly.";

/// One length of a shape by its name, where that kind of shape has it.
fn place<'s>(shape: &'s mut Shape, name: &str) -> Option<&'s mut f64> {
    match (shape, name) {
        (Shape::Rectangular { length_cm: v, .. }, "shape.length_cm")
        | (Shape::Rectangular { width_cm: v, .. }, "shape.width_cm")
        | (Shape::Round { diameter_cm: v }, "shape.diameter_cm")
        | (Shape::TaperedRectangular { bottom_cm: (v, _), .. }, "shape.bottom_cm.0")
        | (Shape::TaperedRectangular { bottom_cm: (_, v), .. }, "shape.bottom_cm.1")
        | (Shape::TaperedRectangular { top_cm: (v, _), .. }, "shape.top_cm.0")
        | (Shape::TaperedRectangular { top_cm: (_, v), .. }, "shape.top_cm.1")
        | (Shape::TaperedRound { bottom_diameter_cm: v, .. }, "shape.bottom_diameter_cm")
        | (Shape::TaperedRound { top_diameter_cm: v, .. }, "shape.top_diameter_cm") => Some(v),
        _ => None,
    }
}

/// A length of a shape by name.
macro_rules! size {
    ($name:literal, $label:literal) => {
        Entry::new(
            $name,
            LENGTH,
            ranges::PART_SIZE,
            |p: &Part, _| {
                let mut shape = p.shape;
                place(&mut shape, $name).copied()
            },
            |p, v| {
                if let Some(at) = place(&mut p.shape, $name) {
                    *at = v;
                }
            },
        )
        .called($label, WIDER)
        .since("cm")
    };
}

/// Its height.
pub static HEIGHT: &[Entry<Part>] =
    &[Entry::<Part>::new("height_cm", LENGTH, ranges::PART_HEIGHT, |p, _| Some(p.height_cm), |p, v| p.height_cm = v)
        .called("Height", "A taller part drains to more air at its top; the wet layer at the base stays as tall as it was.")
        .since("cm from the part's base to its top")];

/// The lengths of its shape.
pub static SIZES: &[Entry<Part>] = &[
    size!("shape.length_cm", "Length"),
    size!("shape.width_cm", "Width"),
    size!("shape.diameter_cm", "Diameter"),
    size!("shape.bottom_cm.0", "Length at the base"),
    size!("shape.bottom_cm.1", "Width at the base"),
    size!("shape.top_cm.0", "Length at the top"),
    size!("shape.top_cm.1", "Width at the top"),
    size!("shape.bottom_diameter_cm", "Diameter at the base"),
    size!("shape.top_diameter_cm", "Diameter at the top"),
];

/// The plants that share it.
pub static SHARED: &[Entry<Part>] = &[Entry::<Part>::new(
    "shared_by",
    (Quantity::Plain("plants", 0), "plants"),
    ranges::SHARED_BY,
    |p, _| Some(f64::from(p.shared_by)),
    |p, v| p.shared_by = super::entry::whole(v),
)
.called("Shared by", "How many plants share this part. More plants leave each a smaller root zone.")
.since("plants that share the part")
.in_whole_numbers()];

/// What of its surface dries.
pub static EXPOSED: &[Entry<Part>] = &[
    Entry::<Part>::new("top_exposed", SHARE, ranges::SHARE, |p, _| Some(p.top_exposure()), |p, v| p.top_exposed = Some(v))
        .called("Top that dries", "Share of the free top that evaporates. What evaporates leaves its salt behind.")
        .since("a share of the surface")
        .within(Spread::Amount(0.2), "judgement"),
    Entry::<Part>::new("wall_exposed", SHARE, ranges::SHARE, |p, _| Some(p.wall_exposure()), |p, v| p.wall_exposed = Some(v))
        .called("Wall that dries", "Share of the side wall that evaporates, as fabric does. It dries the edge and leaves salt there.")
        .since("a share of the surface")
        .within(Spread::Amount(0.2), "judgement"),
];
