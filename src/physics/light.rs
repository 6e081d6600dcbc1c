//! Light: photon flux, daily light integral, lamp and sun conversions.

/// Daily light integral, mol/m², of an even photon flux (µmol/m²/s) over some hours.
///
/// A reference: only checks use it.
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
    ///
    /// ```
    /// use slakeline::physics::light::Source;
    /// assert_eq!(Source::Sun.photons_per_joule(), 4.57);
    /// ```
    #[must_use]
    pub fn photons_per_joule(self) -> f64 {
        match self {
            Self::Sun => 4.57,
            Self::Led => 4.9,
            Self::Sodium => 4.98,
        }
    }

    /// PAR in W/m² of a photon flux in µmol/m²/s.
    ///
    /// ```
    /// use slakeline::physics::light::Source;
    /// assert!((Source::Led.par_watts(700.0) - 142.857).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn par_watts(self, ppfd: f64) -> f64 {
        ppfd / self.photons_per_joule()
    }

    /// Shortwave radiation (W/m²) that loads a canopy as much as 1 W/m² of this source's PAR: sun 1/0.45, since about 45 % of
    /// sunlight is PAR (common practice, no source), LED 1.35 and sodium 1.75 for the near infrared that comes with the light
    /// (judgement).
    ///
    /// ```
    /// use slakeline::physics::light::Source;
    /// assert!((Source::Sun.shortwave_per_par() - 2.2222).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn shortwave_per_par(self) -> f64 {
        match self {
            Self::Sun => 1.0 / 0.45,
            Self::Led => 1.35,
            Self::Sodium => 1.75,
        }
    }

    /// Shortwave radiation, W/m², that loads a canopy as this photon flux (µmol/m²/s) does.
    ///
    /// ```
    /// use slakeline::physics::light::Source;
    /// assert!((Source::Led.shortwave(700.0) - 192.857).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn shortwave(self, ppfd: f64) -> f64 {
        self.par_watts(ppfd) * self.shortwave_per_par()
    }

    /// Photon flux, µmol/m²/s, of shortwave radiation in W/m²: the inverse of [`shortwave`](Self::shortwave).
    ///
    /// ```
    /// use slakeline::physics::light::Source;
    /// // 300 W/m² of sun: 0.45·300·4.57
    /// assert!((Source::Sun.ppfd(300.0) - 616.95).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn ppfd(self, shortwave: f64) -> f64 {
        shortwave / self.shortwave_per_par() * self.photons_per_joule()
    }
}
