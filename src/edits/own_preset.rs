//! What can be saved as a preset of the user's own, whatever its kind.

use std::path::Path;

use crate::scenario::presets::{CropSetup, Denied, FeedPreset, Kind, Library, Preset, SchedulePreset, TargetsPreset, save_own};
use crate::scenario::{ClimatePreset, Container, Crop, Medium};

/// What is saved for the user's own menus.
#[derive(Clone, Debug, PartialEq)]
pub enum OwnPreset {
    /// A container.
    Container(Box<Container>),
    /// A medium.
    Medium(Box<Medium>),
    /// A crop.
    Crop(Box<Crop>),
    /// A climate, with its light.
    Climate(Box<ClimatePreset>),
    /// A feed.
    Feed(Box<FeedPreset>),
    /// Targets.
    Targets(Box<TargetsPreset>),
    /// A schedule, with the light it was written for.
    Schedule(Box<SchedulePreset>),
    /// A lane with all that it is given.
    Setup(Box<CropSetup>),
}

/// Does the same with any kind of preset.
macro_rules! each {
    ($own:expr, $preset:ident => $body:expr) => {
        match $own {
            OwnPreset::Container($preset) => $body,
            OwnPreset::Medium($preset) => $body,
            OwnPreset::Crop($preset) => $body,
            OwnPreset::Climate($preset) => $body,
            OwnPreset::Feed($preset) => $body,
            OwnPreset::Targets($preset) => $body,
            OwnPreset::Schedule($preset) => $body,
            OwnPreset::Setup($preset) => $body,
        }
    };
}

fn kind_of<T: Preset>(_: &T) -> Kind {
    T::KIND
}

impl OwnPreset {
    /// Which kind it is.
    #[must_use]
    pub fn kind(&self) -> Kind {
        each!(self, p => kind_of(p.as_ref()))
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        each!(self, p => p.as_ref().name())
    }

    /// Saves it under a name.
    ///
    /// # Errors
    /// Why it cannot be saved.
    pub fn save(&self, name: &str, folder: &Path, library: &Library) -> Result<(), Denied> {
        each!(self, p => save_own(&p.as_ref().clone().renamed(name), folder, library).map(|_| ()))
    }
}
