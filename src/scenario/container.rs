//! The container: parts stacked from the base up, their shapes and walls, and the outlet.

use serde::{Deserialize, Serialize};

use super::medium::MediumChoice;

/// A container, base part first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Container {
    /// The name growers see.
    pub name: String,
    /// Where the sizes come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// Parts from the base up, 1–6.
    pub parts: Vec<Part>,
    /// Height of the outlet above the base, cm, below the top. Higher than 0 leaves standing water.
    #[serde(default)]
    pub outlet_height_cm: f64,
}

impl Container {
    /// Total height of the stack, cm.
    #[must_use]
    pub fn height_cm(&self) -> f64 {
        self.parts.iter().map(|p| p.height_cm).sum()
    }

    /// Volume that belongs to one plant, mL.
    #[must_use]
    pub fn volume_per_plant_ml(&self) -> f64 {
        self.parts.iter().map(Part::volume_per_plant_ml).sum()
    }
}

/// One part of a container, for example a slab or the propagation block on it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// The name growers see.
    pub name: String,
    /// Height, cm, 0.5–200.
    pub height_cm: f64,
    /// Cross-section of the whole part.
    pub shape: Shape,
    /// How many plants share this part, 1–1000: three plants on one slab, for example.
    #[serde(default = "one_plant")]
    pub shared_by: u32,
    /// What it is filled with.
    pub medium: MediumChoice,
    /// Its side walls.
    #[serde(default)]
    pub walls: Walls,
    /// Share of the part's free top that evaporates, 0–1. `None`: 0 for wrapped walls, 1 otherwise (judgement).
    #[serde(default)]
    pub top_exposed: Option<f64>,
    /// Share of the side wall that evaporates, 0–1. `None`: 0.4 for fabric, 0 otherwise (judgement).
    #[serde(default)]
    pub wall_exposed: Option<f64>,
}

fn one_plant() -> u32 {
    1
}

impl Part {
    /// Volume that belongs to one plant, mL.
    #[must_use]
    pub fn volume_per_plant_ml(&self) -> f64 {
        self.volume_between(0.0, self.height_cm)
    }

    /// Volume of one plant's share between two heights above the part's own base, mL (exact for every shape).
    #[must_use]
    pub fn volume_between(&self, from_cm: f64, to_cm: f64) -> f64 {
        // Cross-sections are quadratic in height, so Simpson's rule is exact.
        let mid = 0.5 * (from_cm + to_cm);
        (to_cm - from_cm) / 6.0 * (self.area_at(from_cm) + 4.0 * self.area_at(mid) + self.area_at(to_cm))
    }

    /// Cross-section of one plant's share at a height above the part's own base, cm².
    #[must_use]
    pub fn area_at(&self, z_cm: f64) -> f64 {
        self.shape.area(z_cm / self.height_cm) / f64::from(self.shared_by)
    }

    /// Side-wall perimeter of one plant's share at a height above the part's own base, cm.
    #[must_use]
    pub fn perimeter_at(&self, z_cm: f64) -> f64 {
        self.shape.perimeter(z_cm / self.height_cm) / f64::from(self.shared_by)
    }

    /// Share of the free top that evaporates.
    #[must_use]
    pub fn top_exposure(&self) -> f64 {
        self.top_exposed.unwrap_or(match self.walls {
            Walls::Wrapped => 0.0,
            Walls::Open | Walls::Fabric => 1.0,
        })
    }

    /// Share of the side wall that evaporates.
    #[must_use]
    pub fn wall_exposure(&self) -> f64 {
        self.wall_exposed.unwrap_or(match self.walls {
            Walls::Wrapped | Walls::Open => 0.0,
            Walls::Fabric => 0.4,
        })
    }
}

/// Cross-section of a part. All lengths in cm, 0.5–500.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Shape {
    /// Straight walls, rectangular.
    Rectangular {
        /// Length, cm.
        length_cm: f64,
        /// Width, cm.
        width_cm: f64,
    },
    /// Straight walls, round.
    Round {
        /// Inner diameter, cm.
        diameter_cm: f64,
    },
    /// Rectangular, narrowing towards the base.
    TaperedRectangular {
        /// Length and width at the base, cm.
        bottom_cm: (f64, f64),
        /// Length and width at the top, cm.
        top_cm: (f64, f64),
    },
    /// Round, narrowing towards the base.
    TaperedRound {
        /// Inner diameter at the base, cm.
        bottom_diameter_cm: f64,
        /// Inner diameter at the top, cm.
        top_diameter_cm: f64,
    },
}

impl Shape {
    /// Length and width of the cross-section's bounding box at a relative height 0–1, cm (side views use the length).
    #[must_use]
    pub fn extent(&self, relative_height: f64) -> (f64, f64) {
        let between = |a: f64, b: f64| a + (b - a) * relative_height;
        match *self {
            Self::Rectangular { length_cm, width_cm } => (length_cm, width_cm),
            Self::Round { diameter_cm } => (diameter_cm, diameter_cm),
            Self::TaperedRectangular { bottom_cm, top_cm } => (between(bottom_cm.0, top_cm.0), between(bottom_cm.1, top_cm.1)),
            Self::TaperedRound { bottom_diameter_cm, top_diameter_cm } => {
                let d = between(bottom_diameter_cm, top_diameter_cm);
                (d, d)
            }
        }
    }

    /// Whether the cross-section is round.
    #[must_use]
    pub fn is_round(&self) -> bool {
        matches!(self, Self::Round { .. } | Self::TaperedRound { .. })
    }

    /// Area of the whole cross-section at a relative height 0–1, cm².
    #[must_use]
    pub fn area(&self, relative_height: f64) -> f64 {
        let (a, b) = self.extent(relative_height);
        if self.is_round() { std::f64::consts::FRAC_PI_4 * a * b } else { a * b }
    }

    /// Perimeter of the whole cross-section at a relative height 0–1, cm.
    #[must_use]
    pub fn perimeter(&self, relative_height: f64) -> f64 {
        let (a, b) = self.extent(relative_height);
        if self.is_round() { std::f64::consts::PI * a } else { 2.0 * (a + b) }
    }
}

/// Side walls of a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Walls {
    /// Sealed: film or plastic.
    #[default]
    Wrapped,
    /// Bare block or net: a flood enters through it.
    Open,
    /// Fabric: a flood enters through it, and it evaporates.
    Fabric,
}
