//! Light: photon flux, daily light integral, lamp and sun conversions.

/// Daily light integral, mol/m², of an even photon flux (µmol/m²/s) over some hours.
///
/// ```
/// // 700 µmol/m²/s for 12 hours
/// assert!((slakeline::physics::light::daily_light_integral(700.0, 12.0) - 30.24).abs() < 1e-12);
/// ```
#[must_use]
pub fn daily_light_integral(ppfd: f64, hours: f64) -> f64 {
    ppfd * hours * 0.0036
}

/// Where light comes from. Factors after Thimijan & Heins (1983, HortScience 18:818).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Sun and sky.
    Sun,
    /// Light-emitting diodes, white-red.
    Led,
    /// High-pressure sodium.
    Sodium,
}

impl Source {
    /// Photons per energy of photosynthetically active radiation (400–700 nm), µmol/J. Sun 4.57 and sodium 4.98 from
    /// Thimijan & Heins (1983); LED 4.9 is judgement, it depends on the spectrum.
    #[must_use]
    pub fn photons_per_joule(self) -> f64 {
        match self {
            Self::Sun => 4.57,
            Self::Led => 4.9,
            Self::Sodium => 4.98,
        }
    }

    /// PAR in W/m² of a photon flux in µmol/m²/s.
    #[must_use]
    pub fn par_watts(self, ppfd: f64) -> f64 {
        ppfd / self.photons_per_joule()
    }
}
