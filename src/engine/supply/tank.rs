//! The tank in motion: what is drawn from it, what comes back, what fills it up.

use serde::Serialize;

use crate::scenario::plan::on_day;
use crate::scenario::{Filled, Refill, Scenario, Tank};

/// Litres and EC of the tank at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TankPoint {
    /// Seconds since the first midnight.
    pub time_s: f64,
    /// Litres in it.
    pub litres: f64,
    /// mS/cm; that of the last drop where it is empty.
    pub ec: f64,
}

/// What passed through the tank on a day, litres for all plants together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct TankDay {
    /// Given to the plants from it.
    pub drawn: f64,
    /// Came back into it.
    pub returned: f64,
    /// Ran over, because it was full.
    pub spilled: f64,
    /// Filled up with.
    pub refilled: f64,
    /// Litres at the end of the day.
    pub litres: f64,
    /// mS/cm at the end of the day.
    pub ec: f64,
    /// Events that got less than they asked for, or nothing.
    pub short: u32,
}

/// What became of the tank.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TankLog {
    /// The tank before every event, after every event and at every midnight.
    pub points: Vec<TankPoint>,
    /// Day by day.
    pub days: Vec<TankDay>,
}

impl TankLog {
    /// Its first so many points and days.
    #[must_use]
    pub fn up_to(&self, points: usize, days: usize) -> Self {
        Self { points: self.points.iter().take(points).copied().collect(), days: self.days.iter().take(days).copied().collect() }
    }

    /// The tank at a time: between two points of the log on a straight line. `None` only while there is no point.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Option<TankPoint> {
        let after = self.points.partition_point(|p| p.time_s < time_s);
        match (after.checked_sub(1).map(|i| self.points[i]), self.points.get(after)) {
            (Some(a), Some(b)) => {
                let x = ((time_s - a.time_s) / (b.time_s - a.time_s).max(1e-9)).clamp(0.0, 1.0);
                Some(TankPoint { time_s, litres: a.litres + x * (b.litres - a.litres), ec: a.ec + x * (b.ec - a.ec) })
            }
            (Some(only), None) | (None, Some(&only)) => Some(only),
            (None, None) => None,
        }
    }
}

/// A tank that is being drawn from.
#[derive(Clone, Debug)]
pub struct Level {
    tank: Tank,
    refill_ec: f64,
    litres: f64,
    /// mS/cm; that of the last drop where it is empty.
    ec: f64,
    /// Times that it was filled by the clock.
    fillings: usize,
    today: TankDay,
    /// What became of it so far.
    pub log: TankLog,
}

impl Level {
    /// The full tank of a scenario at its first midnight; `None` where there is none.
    #[must_use]
    pub fn new(scenario: &Scenario) -> Option<Self> {
        let tank = scenario.tank?;
        let ec = tank.start_ec.unwrap_or(scenario.feed.ec);
        let refill_ec = match tank.refill {
            Refill::Feed => scenario.feed.ec,
            Refill::Water { ec } => ec,
        };
        let (today, log) = (TankDay::default(), TankLog::default());
        let mut level = Self { tank, refill_ec, litres: tank.litres, ec, fillings: 0, today, log };
        level.mark(0.0);
        Some(level)
    }

    /// The same with another log.
    #[must_use]
    pub fn with_log(&self, log: TankLog) -> Self {
        Self {
            tank: self.tank,
            refill_ec: self.refill_ec,
            litres: self.litres,
            ec: self.ec,
            fillings: self.fillings,
            today: self.today,
            log,
        }
    }

    /// mS/cm now.
    #[must_use]
    pub fn ec(&self) -> f64 {
        self.ec
    }

    /// Litres now.
    #[must_use]
    pub fn litres(&self) -> f64 {
        self.litres
    }

    /// Puts other salt into what it holds, mS/cm·L, at least 0.
    pub fn put_salt(&mut self, salt: f64) {
        if self.litres > 0.0 {
            self.ec = salt.max(0.0) / self.litres;
        }
    }

    /// When it is filled up next, s since the first midnight, where that is by the clock.
    #[must_use]
    pub fn next_filling(&self) -> Option<f64> {
        let Filled::At(time) = self.tank.filled else { return None };
        Some(on_day(self.fillings, time.seconds()))
    }

    /// Fills it up by the clock.
    pub fn fill_by_clock(&mut self, now_s: f64) {
        self.fillings += 1;
        self.fill();
        self.mark(now_s);
    }

    /// Drain of all plants (L, mS/cm·L) comes back, where it does; what finds no room runs over.
    pub fn take_back(&mut self, litres: f64, salt: f64) {
        if !self.tank.drain_returns || litres <= 0.0 {
            return;
        }
        self.today.returned += litres;
        self.mix(litres, salt / litres);
        let over = self.litres - self.tank.litres;
        if over > 0.0 {
            self.today.spilled += over;
            self.litres = self.tank.litres;
        }
    }

    /// Fills it up before an event, if that is when it is filled.
    pub fn before_event(&mut self) {
        if self.tank.filled == Filled::Always {
            self.fill();
        }
    }

    fn fill(&mut self) {
        let litres = self.tank.litres - self.litres;
        if litres > 0.0 {
            self.today.refilled += litres;
            self.mix(litres, self.refill_ec);
        }
    }

    /// Draws litres for all plants; never more than there are, and what is missing counts as an event that fell short.
    pub fn draw(&mut self, litres: f64) {
        if litres > self.litres * (1.0 + 1e-6) {
            self.fell_short();
        }
        let litres = litres.min(self.litres);
        self.today.drawn += litres;
        self.litres -= litres;
    }

    /// Events so far that got less than they asked for, or nothing.
    #[must_use]
    pub fn short_so_far(&self) -> u32 {
        self.log.days.iter().map(|d| d.short).sum::<u32>() + self.today.short
    }

    /// Counts an event that got less than it asked for.
    pub fn fell_short(&mut self) {
        self.today.short += 1;
    }

    /// Writes down how it stands.
    pub fn mark(&mut self, time_s: f64) {
        self.log.points.push(TankPoint { time_s, litres: self.litres, ec: self.ec });
    }

    /// Closes a day.
    pub fn end_day(&mut self, time_s: f64) {
        self.mark(time_s);
        self.log.days.push(TankDay { litres: self.litres, ec: self.ec, ..std::mem::take(&mut self.today) });
    }

    /// Takes litres of an EC in. What is as salty as it is itself leaves its EC as it is, to the bit.
    fn mix(&mut self, litres: f64, ec: f64) {
        self.litres += litres;
        self.ec += litres / self.litres * (ec - self.ec);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;

    fn level(tank: Tank) -> Level {
        let mut scenario = demos().remove(0).1;
        scenario.feed.ec = 2.0;
        scenario.tank = Some(tank);
        Level::new(&scenario).unwrap()
    }

    const TANK: Tank =
        Tank { litres: 100.0, start_ec: None, refill: Refill::Water { ec: 0.5 }, filled: Filled::Always, drain_returns: true };

    #[test]
    fn what_goes_in_and_out_is_what_is_there() {
        let mut level = level(TANK);
        level.draw(40.0);
        assert_eq!((level.litres(), level.ec()), (60.0, 2.0));
        level.take_back(10.0, 50.0);
        assert!((level.ec() - (120.0 + 50.0) / 70.0).abs() < 1e-12);
        level.before_event();
        assert!((level.ec() - (170.0 + 15.0) / 100.0).abs() < 1e-12);
        level.take_back(5.0, 5.0);
        level.end_day(86_400.0);
        let day = level.log.days[0];
        assert!((day.drawn - 40.0).abs() < 1e-12 && (day.returned - 15.0).abs() < 1e-12);
        assert!((day.refilled - 30.0).abs() < 1e-12 && (day.spilled - 5.0).abs() < 1e-12);
        assert!((100.0 - day.drawn + day.returned + day.refilled - day.spilled - day.litres).abs() < 1e-12);
    }

    #[test]
    fn an_empty_tank_gives_nothing_and_is_filled_by_the_clock() {
        let mut level = level(Tank { filled: Filled::At(crate::scenario::Clock::hm(5, 0)), drain_returns: false, ..TANK });
        level.draw(1000.0);
        assert_eq!((level.litres(), level.ec()), (0.0, 2.0));
        level.take_back(50.0, 50.0);
        level.before_event();
        assert_eq!(level.litres(), 0.0, "neither drain nor a refill comes");
        assert_eq!(level.next_filling(), Some(18_000.0));
        level.fill_by_clock(18_000.0);
        assert_eq!(level.next_filling(), Some(104_400.0));
        assert!((level.ec() - 0.5).abs() < 1e-12);
    }
}
