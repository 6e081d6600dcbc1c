//! What the roots stand in: retention, conductivity and exchange of a medium, and mixes of media.

use serde::{Deserialize, Serialize};

use crate::physics::curves::Shape;

/// A medium, described completely enough to be simulated.
///
/// Provenance of the shipped values stands in `presets/media/*.ron`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Medium {
    /// The name growers see.
    pub name: String,
    /// Where the values come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// All pores, m³/m³, 0.05–0.99; at least the saturated water content of the curve.
    pub porosity: f64,
    /// Drying-branch retention and conductivity.
    pub curve: Curve,
    /// Wetting suction is the drying suction divided by this, 1–5; 1 is no hysteresis (Kool & Parker 1987).
    #[serde(default = "one")]
    pub hysteresis_ratio: f64,
    /// Suction below which the medium stays full, cm, 0–5 (Vogel, van Genuchten & Cislerova 2000). It keeps the
    /// conductivity of media with n < 2 from collapsing within a millimetre of saturation. `None`: 1 cm if n < 2, else 0.
    #[serde(default)]
    pub capillary_height_cm: Option<f64>,
    /// Share of every drip that runs straight through to the drain, 0–0.9 (judgement).
    #[serde(default)]
    pub channelling: f64,
    /// How far that water takes on the root zone's EC on its way, 0–1 (judgement): it leaves with the EC it was given with plus this
    /// share of what the root zone has more (or less).
    #[serde(default)]
    pub channel_pick_up: f64,
    /// Dry bulk density, kg/m³, 1–2500.
    #[serde(default = "default_density")]
    pub bulk_density_kg_m3: f64,
    /// Cation exchange capacity, cmol/kg, 0–300. Shown, and the ground for `exchange_ml_per_g`.
    #[serde(default)]
    pub cec_cmol_kg: f64,
    /// Salt held by the medium per salt in solution (the distribution coefficient K_d), mL/g, 0–100. 0: no exchange.
    #[serde(default)]
    pub exchange_ml_per_g: f64,
    /// Dispersivity λ, cm, 0–100.
    #[serde(default = "one")]
    pub dispersivity_cm: f64,
    /// Diffusion coefficient of salt in the medium's water, cm²/s, 0–0.1.
    #[serde(default = "default_diffusion")]
    pub diffusion_cm2_s: f64,
    /// Height of the container or ring, cm, 5–100, that its answers in plain words (water and air when drained) are told for. No run looks
    /// at it. `None`: as high as the part that it fills.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_at_cm: Option<f64>,
}

impl Medium {
    /// Suction below which it stays full, cm: as given, or as is usual for its curve.
    #[must_use]
    pub fn full_up_to(&self) -> f64 {
        let usual = if matches!(self.curve, Curve::VanGenuchten { n, .. } if n < 2.0) { 1.0 } else { 0.0 };
        self.capillary_height_cm.unwrap_or(usual)
    }
}

fn one() -> f64 {
    1.0
}
fn default_density() -> f64 {
    100.0
}
fn default_diffusion() -> f64 {
    1e-5
}
fn half() -> f64 {
    0.5
}

/// Drying-branch retention and conductivity.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Curve {
    /// van Genuchten (1980) retention with Mualem conductivity.
    VanGenuchten {
        /// Water content when full, m³/m³.
        theta_s: f64,
        /// Residual water content, m³/m³.
        theta_r: f64,
        /// α, 1/cm.
        alpha_per_cm: f64,
        /// n, above 1.
        n: f64,
        /// Saturated conductivity, cm/day.
        ks_cm_per_day: f64,
        /// Mualem's pore-connectivity exponent.
        #[serde(default = "half")]
        l: f64,
    },
    /// Gardner (1958) exponential: Se = e^(a·h), K = Ks·e^(a·h).
    Gardner {
        /// Water content when full, m³/m³.
        theta_s: f64,
        /// Residual water content, m³/m³.
        theta_r: f64,
        /// a, 1/cm.
        a_per_cm: f64,
        /// Saturated conductivity, cm/day.
        ks_cm_per_day: f64,
    },
    /// Haverkamp et al. (1977): Se = α/(α+|h|^β), K = Ks·A/(A+|h|^γ), h in cm.
    Haverkamp {
        /// Water content when full, m³/m³.
        theta_s: f64,
        /// Residual water content, m³/m³.
        theta_r: f64,
        /// α of the retention, cm^β.
        alpha: f64,
        /// β of the retention.
        beta: f64,
        /// A of the conductivity, cm^γ.
        a: f64,
        /// γ of the conductivity.
        gamma: f64,
        /// Saturated conductivity, cm/day.
        ks_cm_per_day: f64,
    },
}

/// Least effective saturation at 1000 cm of suction: the limit of van Genuchten's n (judgement).
const LEAST_HELD: f64 = 1e-7;
/// The same of an exponential curve, which goes on falling as fast as it began (judgement).
const LEAST_HELD_EXPONENTIAL: f64 = 1e-4;
/// Least share of the saturated conductivity at nine tenths of saturation (judgement).
const LEAST_CONDUCTED: f64 = 1e-3;

impl Curve {
    /// Water content when full, m³/m³.
    #[must_use]
    pub fn theta_s(&self) -> f64 {
        match *self {
            Self::VanGenuchten { theta_s, .. } | Self::Gardner { theta_s, .. } | Self::Haverkamp { theta_s, .. } => theta_s,
        }
    }

    /// Residual water content, m³/m³.
    #[must_use]
    pub fn theta_r(&self) -> f64 {
        match *self {
            Self::VanGenuchten { theta_r, .. } | Self::Gardner { theta_r, .. } | Self::Haverkamp { theta_r, .. } => theta_r,
        }
    }

    /// The curve in effective saturation; `capillary_height_cm` is that of van Genuchten's, cm.
    #[must_use]
    pub fn shape(&self, capillary_height_cm: f64) -> Shape {
        match *self {
            Self::VanGenuchten { alpha_per_cm: alpha, n, l, .. } => {
                Shape::VanGenuchten { alpha, n, l, capillary_height: capillary_height_cm }
            }
            Self::Gardner { a_per_cm, .. } => Shape::Gardner { a: a_per_cm },
            Self::Haverkamp { alpha, beta, a, gamma, .. } => Shape::Haverkamp { alpha, beta, a, gamma },
        }
    }

    /// Why a curve of a published problem is none that a plant can dry, where it is: after Gardner or Haverkamp it may hold nothing at
    /// suctions that roots still reach, or conduct nothing while it is nearly full. Then no head belongs to what little water is left. van
    /// Genuchten's has limits of its own ([`super::ranges::n`]).
    #[must_use]
    pub fn unfit_for_plants(&self) -> Option<&'static str> {
        let shape = self.shape(0.0);
        let held = match self {
            Self::VanGenuchten { .. } => return None,
            Self::Gardner { .. } => LEAST_HELD_EXPONENTIAL,
            Self::Haverkamp { .. } => LEAST_HELD,
        };
        if shape.saturation(1000.0).0 < held {
            Some(
                "this curve is empty long before 1000 cm of suction, so nothing tells how roots go on in it; a smaller a or β holds water longer",
            )
        } else if shape.conductivity(0.9) < LEAST_CONDUCTED {
            Some("this curve conducts next to nothing while it is nearly full, as no pores do; a larger A or smaller γ conducts longer")
        } else {
            None
        }
    }

    /// Saturated conductivity, cm/day.
    #[must_use]
    pub fn ks_cm_per_day(&self) -> f64 {
        match *self {
            Self::VanGenuchten { ks_cm_per_day, .. } | Self::Gardner { ks_cm_per_day, .. } | Self::Haverkamp { ks_cm_per_day, .. } => {
                ks_cm_per_day
            }
        }
    }
}

/// One component of a mix.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Component {
    /// Name of a medium preset.
    pub medium: String,
    /// Share of the volume, percent, above 0; the shares of a mix sum to 100.
    pub percent: f64,
}

/// How a part names its medium.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum MediumChoice {
    /// A preset, by name.
    Preset(String),
    /// A mix of presets by volume: an estimate, since mixing fills pores.
    Mix(Vec<Component>),
    /// All values given here.
    Custom(Box<Medium>),
}
