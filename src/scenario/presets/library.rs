//! The presets at hand, by name.

use super::parts::{FeedPreset, SchedulePreset, TargetsPreset};
use super::setup::CropSetup;
use crate::scenario::climate::ClimatePreset;
use crate::scenario::container::Container;
use crate::scenario::crop::Crop;
use crate::scenario::medium::Medium;

/// The presets at hand.
#[derive(Clone, Debug, Default)]
pub struct Library {
    /// Media.
    pub media: Vec<Medium>,
    /// Containers.
    pub containers: Vec<Container>,
    /// Crops.
    pub crops: Vec<Crop>,
    /// Climates.
    pub climates: Vec<ClimatePreset>,
    /// Feeds.
    pub feeds: Vec<FeedPreset>,
    /// Targets.
    pub targets: Vec<TargetsPreset>,
    /// Schedules.
    pub schedules: Vec<SchedulePreset>,
    /// Whole setups of a crop.
    pub setups: Vec<CropSetup>,
    /// What could not be read, one line each; the rest is still usable.
    pub warnings: Vec<String>,
}

impl Library {
    /// A medium by name.
    #[must_use]
    pub fn medium(&self, name: &str) -> Option<&Medium> {
        self.media.iter().find(|m| m.name == name)
    }

    /// A crop by name.
    #[must_use]
    pub fn crop(&self, name: &str) -> Option<&Crop> {
        self.crops.iter().find(|c| c.name == name)
    }

    /// A container by name.
    #[must_use]
    pub fn container(&self, name: &str) -> Option<&Container> {
        self.containers.iter().find(|c| c.name == name)
    }
}
