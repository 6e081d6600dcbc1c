//! How far each kind of unknown may be off, and where that is from.

use crate::scenario::ranges::Range;

/// Scatter of the flow of emitters of one kind that may be asked for, as a share of their mean.
pub const EMITTER_CV: Range = (0.0, 0.3);

/// What is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// What a plant uses in a day.
    DailyUse,
    /// Flow of the plant's own emitter.
    EmitterFlow,
    /// How wide the pores of a medium are: α, and the conductivity with it.
    PoreWidth,
    /// How well a medium of such pores conducts.
    Conductivity,
    /// How loosely it is filled: what it holds when full, and n with it.
    Filling,
    /// Share of a drip that runs straight through.
    Channelling,
}

impl Kind {
    /// In a grower's words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::DailyUse => "daily use",
            Self::EmitterFlow => "emitter flow",
            Self::PoreWidth => "pore width",
            Self::Conductivity => "conductivity",
            Self::Filling => "filling",
            Self::Channelling => "running straight through",
        }
    }

    /// What a draw does to the bench; z is normal, cut off at ±3, and s is the scatter.
    #[must_use]
    pub fn law(self) -> &'static str {
        match self {
            Self::DailyUse => "use times e^(s·z)",
            Self::EmitterFlow => "flow times 1 + s·z",
            Self::PoreWidth => "α times e^(s·z), saturated conductivity times e^(2·s·z)",
            Self::Conductivity => "saturated conductivity times e^(s·z)",
            Self::Filling => "volume that never fills (1 − θs) and dry weight times e^(−s·z), n − 1 times e^(0.5·s·z)",
            Self::Channelling => "share that runs straight through times e^(s·z)",
        }
    }

    /// Where the scatter, and the law, are from.
    #[must_use]
    pub fn provenance(self) -> &'static str {
        match self {
            Self::DailyUse => "judgement: a day's use is seldom known better than to a tenth",
            Self::EmitterFlow => {
                "classes of ASAE EP405 (from memory): below 0.05 excellent, to 0.07 average, to 0.11 marginal, to 0.15 poor; that an emitter in use is of the upper end of average is judgement"
            }
            Self::PoreWidth => {
                "law: similar media, Miller & Miller 1956, Journal of Applied Physics 27:324; scatter: judgement, sources of one medium differ by a factor of two from end to end"
            }
            Self::Conductivity => "judgement: known to a factor of about two",
            Self::Filling => "judgement: a looser filling leaves less that never fills, and drains over a narrower range",
            Self::Channelling => "judgement: known to a factor of about two",
        }
    }
}

/// Scatter of each kind of unknown: the s of its [`Kind::law`]. 0 takes it as known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Priors {
    /// Of the daily use.
    pub daily_use: f64,
    /// Of the flow of emitters of one kind.
    pub emitter_cv: f64,
    /// Of the width of pores.
    pub pore_width: f64,
    /// Of the conductivity of media of the same pores.
    pub conductivity: f64,
    /// Of the filling.
    pub filling: f64,
    /// Of what runs straight through.
    pub channelling: f64,
}

impl Default for Priors {
    fn default() -> Self {
        Self { daily_use: 0.1, emitter_cv: 0.07, pore_width: 0.2, conductivity: 0.4, filling: 0.15, channelling: 0.4 }
    }
}

impl Priors {
    /// Nothing is unknown.
    pub const NONE: Self = Self { daily_use: 0.0, emitter_cv: 0.0, pore_width: 0.0, conductivity: 0.0, filling: 0.0, channelling: 0.0 };

    /// All of them times a factor (0 or more).
    #[must_use]
    pub fn scaled(&self, by: f64) -> Self {
        Self {
            daily_use: self.daily_use * by,
            emitter_cv: self.emitter_cv * by,
            pore_width: self.pore_width * by,
            conductivity: self.conductivity * by,
            filling: self.filling * by,
            channelling: self.channelling * by,
        }
    }

    /// Of a kind.
    #[must_use]
    pub fn of(&self, kind: Kind) -> f64 {
        match kind {
            Kind::DailyUse => self.daily_use,
            Kind::EmitterFlow => self.emitter_cv,
            Kind::PoreWidth => self.pore_width,
            Kind::Conductivity => self.conductivity,
            Kind::Filling => self.filling,
            Kind::Channelling => self.channelling,
        }
    }
}
