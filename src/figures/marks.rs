//! The marks by which a day is judged where no aim is set. All are judgement.

/// Share of its uptake from which a plant is well served.
pub const WELL_SERVED: f64 = 0.98;
/// Share of its uptake below which it suffers.
pub const SUFFERS: f64 = 0.90;
/// Air around the roots below which they lack it, m³/m³.
pub const LITTLE_AIR: f64 = 0.10;
