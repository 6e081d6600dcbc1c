//! Which root zones are held beside each other.

use crate::scenario::presets::Library;
use crate::scenario::{MediumChoice, Problem, Scenario, ranges, resolve};
use crate::studies::{daily_use, finder};

/// Litres for each litre that a plant uses in a day: from a root zone that is emptied in hours to one that lasts for two weeks (judgement).
const DAYS_OF_USE: [f64; 8] = [0.6, 1.0, 1.6, 2.5, 4.0, 6.0, 9.0, 13.0];
/// Most root zones of one question.
const MOST: usize = 400;

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The lane, from 0, whose place they take.
    pub lane: usize,
    /// Names of media presets; none for all.
    pub media: Vec<String>,
    /// Litres per plant; none for eight that go by what a plant uses.
    pub litres: Vec<f64>,
    /// Heights, cm; none for a pot as high as a cube of its volume.
    pub heights_cm: Vec<f64>,
    /// What the finder is asked.
    pub schedule: finder::Asked,
}

/// One root zone.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// Name of its medium.
    pub medium: String,
    /// Per plant.
    pub litres: f64,
    /// Its height.
    pub height_cm: f64,
}

impl Asked {
    /// All media, for a lane.
    #[must_use]
    pub fn of(scenario: &Scenario, lane: usize) -> Self {
        let schedule = finder::Asked::within_the_light(scenario);
        Self { lane, media: Vec::new(), litres: Vec::new(), heights_cm: Vec::new(), schedule }
    }

    /// What cannot be, if so.
    #[must_use]
    pub fn problem(&self, scenario: &Scenario, library: &Library) -> Option<Problem> {
        let problem = |field: &str, value: String, allowed: String, why: &str| {
            Some(Problem { field: field.to_owned(), value, allowed, why: why.to_owned() })
        };
        if self.lane >= scenario.lanes.len() {
            let allowed = format!("1 to {}", scenario.lanes.len());
            return problem("--lane", (self.lane + 1).to_string(), allowed, "lanes count from 1");
        }
        if let Some(name) = self.media.iter().find(|name| library.medium(name).is_none()) {
            return problem("--medium", name.clone(), "a medium preset".to_owned(), "`slakeline presets media` lists them");
        }
        if let Some(litres) = self.litres.iter().find(|l| !(0.02..=500.0).contains(*l)) {
            return problem("--litres", litres.to_string(), "0.02 to 500 L".to_owned(), "a root zone of one plant");
        }
        let (low, high) = ranges::PART_HEIGHT;
        if let Some(height) = self.heights_cm.iter().find(|h| !(low..=high).contains(*h)) {
            return problem("--heights", height.to_string(), format!("{low} to {high} cm"), "from the base to the top");
        }
        let count = self.zones(scenario, library).len();
        if count > MOST {
            return problem("--litres", format!("{count} root zones in all"), format!("up to {MOST}"), "each is searched for by itself");
        }
        self.schedule.hardware.problems().into_iter().next()
    }

    /// Litres per plant of each volume.
    fn volumes(&self, scenario: &Scenario, library: &Library) -> Vec<f64> {
        if !self.litres.is_empty() {
            return self.litres.clone();
        }
        let uses = scenario
            .lanes
            .get(self.lane)
            .map_or(0.0, |lane| resolve::crop(&lane.crop, library).map_or(0.0, |crop| daily_use::litres(lane, &crop, scenario)));
        // A plant that uses nothing is told as such with every root zone.
        let uses = if uses > 0.0 { uses } else { 1.0 };
        DAYS_OF_USE.iter().map(|days| two_digits(days * uses)).collect()
    }

    /// The root zones.
    #[must_use]
    pub fn zones(&self, scenario: &Scenario, library: &Library) -> Vec<Zone> {
        let all = || library.media.iter().map(|m| m.name.clone()).collect();
        let media: Vec<String> = if self.media.is_empty() { all() } else { self.media.clone() };
        let volumes = self.volumes(scenario, library);
        let mut zones = Vec::new();
        for medium in &media {
            for &litres in &volumes {
                let cube = [two_digits((1000.0 * litres).cbrt()).clamp(ranges::PART_HEIGHT.0, ranges::PART_HEIGHT.1)];
                let heights: &[f64] = if self.heights_cm.is_empty() { &cube } else { &self.heights_cm };
                zones.extend(heights.iter().map(|&height_cm| Zone { medium: medium.clone(), litres, height_cm }));
            }
        }
        zones
    }
}

impl Zone {
    /// What its part is filled with.
    #[must_use]
    pub fn filling(&self) -> MediumChoice {
        MediumChoice::Preset(self.medium.clone())
    }

    /// The diameter of a round pot of this volume and height, cm.
    #[must_use]
    pub fn diameter_cm(&self) -> f64 {
        (4.0 * 1000.0 * self.litres / (std::f64::consts::PI * self.height_cm)).sqrt()
    }
}

/// A value above 0 to two digits, as it is written.
fn two_digits(value: f64) -> f64 {
    format!("{value:.1e}").parse().unwrap_or(value)
}
