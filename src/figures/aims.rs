//! What a lane's day is held against: the lane's targets as far as they fit its container, its medium, how it is fed and what it uses, and
//! a band of water that follows from them where none is set.
//!
//! A target that cannot be met here is no aim: a share of drain where water comes from below and runs back, a dry-back that no night's use
//! brings about, a band of water above what the container holds. It is told, and nothing is judged by it.

use serde::Serialize;

use crate::engine::column::capacity::{at_head, container_capacity};
use crate::engine::column::layers::Column;
use crate::scenario::{Lane, Targets};

/// An end of a band that is given, or both.
pub type Band = (f64, f64);

/// Where an aim comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum From {
    /// The lane's targets.
    Targets,
    /// What the container holds and what the roots need.
    Container,
}

/// Why a target cannot be met.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Unfit {
    /// What a flood brings in runs back: its share says nothing.
    Floods,
    /// What is used in even a long night, and what drains in this one, dry the container by no more than so many points.
    DriesTooLittle(f64),
    /// The plant gets too little to dry the container as it would.
    Starves,
    /// The container holds no more than this, m³/m³.
    HoldsTooLittle(f64),
}

/// What one figure is held against.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub enum Aim {
    /// Nothing.
    #[default]
    None,
    /// A band, in the unit of the lane's targets; what is only to be reached has no upper end.
    Band(Band, From),
    /// A target that cannot be met here.
    Unfit(Band, Unfit),
}

impl Aim {
    /// The band, where there is one that can be met.
    #[must_use]
    pub fn band(self) -> Option<Band> {
        if let Self::Band(band, _) = self { Some(band) } else { None }
    }

    fn of(target: Option<Band>) -> Self {
        target.map_or(Self::None, |band| Self::Band(band, From::Targets))
    }
}

/// What a lane's day is held against.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Aims {
    /// Water content of the whole container, m³/m³.
    pub water_content: Aim,
    /// Night dry-back, points of volume.
    pub dry_back_points: Aim,
    /// Drained share of what was given, percent.
    pub drain_percent: Aim,
    /// Root-zone EC, mS/cm.
    pub root_zone_ec: Aim,
    /// Least air in the root zone, m³/m³.
    pub lowest_air: Aim,
}

/// What the day itself says of what can be aimed for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Highest water content of the day, m³/m³.
    pub peak: f64,
    /// Points of volume by which the longest night that growers keep could dry the container, with what drains in it.
    pub dries_points: f64,
    /// Points of volume by which this night does; 0 where there is none.
    pub dry_back_points: f64,
    /// Whether the plant gets too little of what it asks for.
    pub starves: bool,
}

impl Aims {
    /// The aims of a lane on a day. `floods`: water comes from below.
    #[must_use]
    pub fn of(lane: &Lane, column: &Column, floods: bool, reach: Reach) -> Self {
        let (t, set) = (&lane.targets, Self::set(&lane.targets));
        let capacity = container_capacity(column);
        let water_content = match t.water_content {
            Some(band) if band.0 > capacity.max(reach.peak) => Aim::Unfit(band, Unfit::HoldsTooLittle(capacity)),
            Some(_) => set.water_content,
            // Who aims for nothing is not told to.
            None if set.none() => Aim::None,
            None => {
                let air = t.lowest_air.unwrap_or(column.crop.stress.air_enough);
                water_band(column, capacity, air, floods).map_or(Aim::None, |band| Aim::Band(band, From::Container))
            }
        };
        let dry_back_points = match t.dry_back_points {
            Some(band) if reach.starves && band.0 > reach.dry_back_points => Aim::Unfit(band, Unfit::Starves),
            Some(band) if band.0 > reach.dries_points => Aim::Unfit(band, Unfit::DriesTooLittle(reach.dries_points)),
            _ => set.dry_back_points,
        };
        let drain_percent = match t.drain_percent {
            Some(band) if floods => Aim::Unfit(band, Unfit::Floods),
            _ => set.drain_percent,
        };
        Self { water_content, dry_back_points, drain_percent, ..set }
    }

    /// Targets as they are set, whether they fit or not.
    #[must_use]
    pub fn set(t: &Targets) -> Self {
        Self {
            water_content: Aim::of(t.water_content),
            dry_back_points: Aim::of(t.dry_back_points),
            drain_percent: Aim::of(t.drain_percent),
            root_zone_ec: Aim::of(t.root_zone_ec),
            lowest_air: Aim::of(t.lowest_air.map(|least| (least, f64::INFINITY))),
        }
    }

    /// Whether nothing is aimed for.
    #[must_use]
    pub fn none(&self) -> bool {
        [self.water_content, self.dry_back_points, self.drain_percent, self.root_zone_ec, self.lowest_air]
            .iter()
            .all(|a| a.band().is_none())
    }
}

/// Share of the water that roots easily have that a day may use up before the root zone is called dry (judgement).
const USED_UP: f64 = 0.5;
/// A band of water narrower than this is none, m³/m³ (judgement).
const NARROW: f64 = 0.02;
/// Water above container capacity that is on its way to the drain, m³/m³ (judgement).
const PASSING: f64 = 0.02;

/// A band of water from what the container holds and what the roots need: at most container capacity with what passes through, and what
/// leaves them the air they need (share of volume); at least half of what they easily have, which is down to where uptake begins to fall.
/// A flood fills a container further than it holds water, so that air alone bounds it. `None` where nothing is left between the two. Form
/// and shares judgement.
#[must_use]
pub fn water_band(column: &Column, capacity: f64, air: f64, floods: bool) -> Option<Band> {
    let spent = at_head(column, column.crop.stress.begins_cm);
    let airy = column.pores - air;
    let most = if floods { airy } else { airy.min(capacity + PASSING) };
    let holds = airy.min(capacity);
    let least = holds - USED_UP * (holds - spent);
    (holds > spent && most - least >= NARROW).then_some((least, most))
}
