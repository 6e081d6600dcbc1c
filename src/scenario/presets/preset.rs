//! What can be a preset, and which kind each is.

use serde::{Serialize, de::DeserializeOwned};

use super::kind::Kind;
use super::library::Library;
use super::parts::{FeedPreset, SchedulePreset, TargetsPreset};
use super::setup::CropSetup;
use crate::scenario::climate::ClimatePreset;
use crate::scenario::container::Container;
use crate::scenario::crop::Crop;
use crate::scenario::medium::Medium;
use crate::scenario::problem::Problem;

/// Something that presets exist of.
pub trait Preset: DeserializeOwned + Serialize + Clone + PartialEq {
    /// Which kind it is; its files lie in the folder of that name.
    const KIND: Kind;
    /// The name that files refer to it by.
    fn name(&self) -> &str;
    /// The same under another name.
    #[must_use]
    fn renamed(self, name: &str) -> Self;
    /// The presets of this kind in a library.
    fn of(library: &Library) -> &[Self];
    /// What is wrong with its values; `library` resolves the names it refers to.
    fn problems(&self, library: &Library) -> Vec<Problem>;
}

/// Does something with the type that a kind stands for: `with_kind!(kind, T => names::<T>(library))`.
macro_rules! with_kind {
    ($kind:expr, $t:ident => $body:expr) => {{
        macro_rules! of_type {
            ($of:ty) => {{
                type $t = $of;
                $body
            }};
        }
        match $kind {
            $crate::scenario::presets::kind::Kind::Medium => of_type!($crate::scenario::medium::Medium),
            $crate::scenario::presets::kind::Kind::Container => of_type!($crate::scenario::container::Container),
            $crate::scenario::presets::kind::Kind::Crop => of_type!($crate::scenario::crop::Crop),
            $crate::scenario::presets::kind::Kind::Climate => of_type!($crate::scenario::climate::ClimatePreset),
            $crate::scenario::presets::kind::Kind::Feed => of_type!($crate::scenario::presets::parts::FeedPreset),
            $crate::scenario::presets::kind::Kind::Targets => of_type!($crate::scenario::presets::parts::TargetsPreset),
            $crate::scenario::presets::kind::Kind::Schedule => of_type!($crate::scenario::presets::parts::SchedulePreset),
            $crate::scenario::presets::kind::Kind::Setup => of_type!($crate::scenario::presets::setup::CropSetup),
        }
    }};
}
pub(super) use with_kind;

/// A kind whose name and shelf are plain fields, and whose type checks itself against a library.
macro_rules! plain {
    ($type:ty, $kind:ident, $shelf:ident) => {
        impl Preset for $type {
            const KIND: Kind = Kind::$kind;
            fn name(&self) -> &str {
                &self.name
            }
            fn renamed(self, name: &str) -> Self {
                Self { name: name.to_owned(), ..self }
            }
            fn of(library: &Library) -> &[Self] {
                &library.$shelf
            }
            fn problems(&self, library: &Library) -> Vec<Problem> {
                self.validate(library)
            }
        }
    };
}

plain!(Medium, Medium, media);
plain!(Container, Container, containers);
plain!(Crop, Crop, crops);
plain!(FeedPreset, Feed, feeds);
plain!(TargetsPreset, Targets, targets);
plain!(SchedulePreset, Schedule, schedules);
plain!(CropSetup, Setup, setups);

impl Preset for ClimatePreset {
    const KIND: Kind = Kind::Climate;
    fn name(&self) -> &str {
        &self.climate.name
    }
    fn renamed(mut self, name: &str) -> Self {
        name.clone_into(&mut self.climate.name);
        self
    }
    fn of(library: &Library) -> &[Self] {
        &library.climates
    }
    fn problems(&self, _: &Library) -> Vec<Problem> {
        self.validate()
    }
}
