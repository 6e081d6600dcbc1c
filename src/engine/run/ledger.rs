//! The ledger: every millilitre and every unit of salt that came, went or stayed.

use std::fmt;

use serde::Serialize;

use crate::engine::step::lost::Lost;

/// What may be missing or too much at the end of a run, as a share of all that was handled: what rounding leaves. A run that closes worse
/// has failed.
pub const CLOSES_TO: f64 = 1e-9;

/// Amounts of water, mL per plant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Water {
    /// Given by emitters, flood or a boundary's inflow.
    pub applied: f64,
    /// Left through outlet, base or flooded walls.
    pub outlet: f64,
    /// Found no way in and ran down the outside.
    pub overflow: f64,
    /// Ran straight through the medium.
    pub channelled: f64,
    /// Taken up by roots.
    pub taken_up: f64,
    /// Asked for by the plant.
    pub demanded: f64,
    /// Evaporated from surfaces.
    pub evaporated: f64,
}

impl Water {
    fn zip(&self, other: &Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            applied: f(self.applied, other.applied),
            outlet: f(self.outlet, other.outlet),
            overflow: f(self.overflow, other.overflow),
            channelled: f(self.channelled, other.channelled),
            taken_up: f(self.taken_up, other.taken_up),
            demanded: f(self.demanded, other.demanded),
            evaporated: f(self.evaporated, other.evaporated),
        }
    }

    /// Everything that drained: outlet, overflow and channelling.
    #[must_use]
    pub fn drained(&self) -> f64 {
        self.outlet + self.overflow + self.channelled
    }
}

/// Amounts of salt, mS/cm·mL per plant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Salt {
    /// Came with what was applied, or by dispersion through a held inlet.
    pub applied: f64,
    /// Left with outlet, base or flooded walls.
    pub outlet: f64,
    /// Left with overflow.
    pub overflow: f64,
    /// Left with channelled water.
    pub channelled: f64,
    /// Taken up by roots.
    pub taken_up: f64,
}

impl Salt {
    fn zip(&self, other: &Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            applied: f(self.applied, other.applied),
            outlet: f(self.outlet, other.outlet),
            overflow: f(self.overflow, other.overflow),
            channelled: f(self.channelled, other.channelled),
            taken_up: f(self.taken_up, other.taken_up),
        }
    }

    /// All salt that drained.
    #[must_use]
    pub fn drained(&self) -> f64 {
        self.outlet + self.overflow + self.channelled
    }
}

/// What passed since the start, and what is stored.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Ledger {
    /// Water that passed.
    pub water: Water,
    /// Salt that passed.
    pub salt: Salt,
    /// What the plant asked for and did not get, laid to what kept it from that, mL per plant: demand less uptake.
    pub lost: Lost,
    /// Water stored at the start, mL.
    pub water_at_start: f64,
    /// Water stored now, mL.
    pub water_stored: f64,
    /// Salt stored at the start, mS/cm·mL.
    pub salt_at_start: f64,
    /// Salt stored now, mS/cm·mL.
    pub salt_stored: f64,
}

impl Ledger {
    /// What water is missing or too much, as a share of all that was handled (start + in).
    #[must_use]
    pub fn water_closure(&self) -> f64 {
        let out = self.water.drained() + self.water.taken_up + self.water.evaporated;
        let handled = self.water_at_start + self.water.applied;
        (self.water_at_start + self.water.applied - out - self.water_stored).abs() / handled.max(f64::MIN_POSITIVE)
    }

    /// What salt is missing or too much, as a share of all that was handled; 0 where there is no salt.
    #[must_use]
    pub fn salt_closure(&self) -> f64 {
        let out = self.salt.drained() + self.salt.taken_up;
        let handled = self.salt_at_start + self.salt.applied;
        let missing = (handled - out - self.salt_stored).abs();
        if missing == 0.0 {
            return 0.0;
        }
        // Where none came and yet some is there or left, that is what it is a share of.
        missing / if handled > 0.0 { handled } else { out.abs().max(self.salt_stored.abs()) }
    }

    /// Books that begin with what is stored now.
    #[must_use]
    pub fn begun_anew(&self) -> Self {
        let (water, salt) = (self.water_stored, self.salt_stored);
        Self { water_at_start: water, water_stored: water, salt_at_start: salt, salt_stored: salt, ..Self::default() }
    }

    /// What passed between an earlier ledger of the same run and this one; its start is the earlier one's store.
    #[must_use]
    pub fn since(&self, earlier: &Self) -> Self {
        Self {
            water: self.water.zip(&earlier.water, |now, then| now - then),
            salt: self.salt.zip(&earlier.salt, |now, then| now - then),
            lost: self.lost.zip(&earlier.lost, |now, then| now - then),
            water_at_start: earlier.water_stored,
            water_stored: self.water_stored,
            salt_at_start: earlier.salt_stored,
            salt_stored: self.salt_stored,
        }
    }

    /// The ledger a share `x` (0–1) of the way to a later one, on a straight line.
    #[must_use]
    pub fn between(&self, later: &Self, x: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * x;
        Self {
            water: self.water.zip(&later.water, mix),
            salt: self.salt.zip(&later.salt, mix),
            lost: self.lost.zip(&later.lost, mix),
            water_at_start: self.water_at_start,
            water_stored: mix(self.water_stored, later.water_stored),
            salt_at_start: self.salt_at_start,
            salt_stored: mix(self.salt_stored, later.salt_stored),
        }
    }
}

/// How the books of a run close at their worst: what is missing or too much, as a share of all that was handled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Closure {
    /// Of the water.
    pub water: f64,
    /// Of the salt.
    pub salt: f64,
}

impl Closure {
    /// The worst of some ledgers. A share that is no number counts as worse than any.
    #[must_use]
    pub fn of<'a>(ledgers: impl IntoIterator<Item = &'a Ledger>) -> Self {
        let closure = |l: &Ledger| Self { water: l.water_closure(), salt: l.salt_closure() };
        ledgers.into_iter().map(closure).fold(Self::default(), Self::worse)
    }

    /// The worse of two, water and salt each.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        let worse = |a: f64, b: f64| if a.total_cmp(&b).is_ge() { a } else { b };
        Self { water: worse(self.water, other.water), salt: worse(self.salt, other.salt) }
    }

    /// Whether no more than rounding is missing or too much.
    #[must_use]
    pub fn closes(&self) -> bool {
        [self.water, self.salt].iter().all(|&share| is_closed(share))
    }
}

/// Whether a share of all that was handled is no more than rounding.
#[must_use]
pub fn is_closed(share: f64) -> bool {
    share <= CLOSES_TO
}

/// In a grower's words what is missing; where all closes, that it does.
impl fmt::Display for Closure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let said = |what: &str, share: f64| format!("{} of the {what}", part_of(share));
        match (is_closed(self.water), is_closed(self.salt)) {
            (true, true) => write!(f, "water and salt close"),
            (false, true) => write!(f, "{} is missing or too much", said("water", self.water)),
            (true, false) => write!(f, "{} is missing or too much", said("salt", self.salt)),
            (false, false) => write!(f, "{} and {} are missing or too much", said("water", self.water), said("salt", self.salt)),
        }
    }
}

/// A share as a part in so many, to two digits, or in percent from a hundredth on.
fn part_of(share: f64) -> String {
    if !share.is_finite() {
        return "an unknown share".to_owned();
    }
    if share >= 0.01 {
        return format!("{:.0} %", 100.0 * share);
    }
    let parts = 1.0 / share;
    let digits = 10.0_f64.powf((parts.log10().floor() - 1.0).max(0.0));
    let parts = format!("{:.0}", (parts / digits).round() * digits);
    let mut grouped = String::new();
    for (i, digit) in parts.chars().enumerate() {
        if i > 0 && (parts.len() - i) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    format!("1 part in {grouped}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1,000 mL stood there, 500 came, 300 drained, 100 were taken up; the salt is twice the water.
    fn closed() -> Ledger {
        Ledger {
            water: Water { applied: 500.0, outlet: 300.0, taken_up: 100.0, demanded: 100.0, ..Water::default() },
            salt: Salt { applied: 1000.0, outlet: 600.0, taken_up: 200.0, ..Salt::default() },
            lost: Lost::default(),
            water_at_start: 1000.0,
            water_stored: 1100.0,
            salt_at_start: 2000.0,
            salt_stored: 2200.0,
        }
    }

    #[test]
    fn what_is_missing_or_too_much_is_found_either_way() {
        assert_eq!((closed().water_closure(), closed().salt_closure()), (0.0, 0.0));
        for by in [-1.5, 1.5] {
            let water = Ledger { water_stored: 1100.0 + by, ..closed() };
            let salt = Ledger { salt_stored: 2200.0 + by, ..closed() };
            assert!((water.water_closure() - 1e-3).abs() < 1e-12 && water.salt_closure() == 0.0);
            assert!((salt.salt_closure() - 5e-4).abs() < 1e-12 && salt.water_closure() == 0.0);
            assert!(!Closure::of([&closed(), &water]).closes() && !Closure::of([&salt, &closed()]).closes());
        }
        assert!(Closure::of([&closed()]).closes() && Closure::of([]).closes());
    }

    #[test]
    fn salt_out_of_nothing_does_not_close() {
        assert_eq!(Ledger::default().salt_closure(), 0.0);
        let made = Ledger { salt_stored: 1e-6, ..Ledger::default() };
        assert_eq!(made.salt_closure(), 1.0);
        assert!(!Closure::of([&made]).closes());
    }

    #[test]
    fn the_limit_itself_closes_and_what_is_no_number_does_not() {
        let of = |water, salt| Closure { water, salt };
        assert!(of(CLOSES_TO, CLOSES_TO).closes());
        assert!(!of(1.01 * CLOSES_TO, 0.0).closes() && !of(0.0, 1.01 * CLOSES_TO).closes());
        assert!(!of(f64::NAN, 0.0).closes() && !of(0.0, f64::NAN).closes());
        let lost = Ledger { water_stored: f64::NAN, ..closed() };
        for ledgers in [[&lost, &closed()], [&closed(), &lost]] {
            assert!(!Closure::of(ledgers).closes(), "a number after it hides nothing");
        }
    }

    #[test]
    fn it_is_said_in_parts_that_one_can_picture() {
        let of = |water, salt| Closure { water, salt }.to_string();
        assert_eq!(of(0.0, 3.8e-4), "1 part in 2,600 of the salt is missing or too much");
        assert_eq!(of(2e-9, 0.0), "1 part in 500,000,000 of the water is missing or too much");
        assert_eq!(of(0.5, 0.0099), "50 % of the water and 1 part in 100 of the salt are missing or too much");
        assert_eq!(of(0.0, f64::NAN), "an unknown share of the salt is missing or too much");
        assert_eq!(of(1e-12, 0.0), "water and salt close");
    }
}
