//! The series of a run: what was so at the end of every step.

use serde::Serialize;

use super::ledger::Ledger;
use super::simulation::Simulation;
use crate::units::suction_kpa;

/// One instant of a lane.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Sample {
    /// Seconds since the first midnight.
    pub time_s: f64,
    /// Mean water content of the whole container, m³/m³.
    pub water_content: f64,
    /// Porosity less water content, whole container, m³/m³.
    pub air_space: f64,
    /// Air content, root-weighted, m³/m³.
    pub root_air: f64,
    /// Suction, root-weighted, kPa.
    pub suction_kpa: f64,
    /// EC of the root zone as it could be sampled, mS/cm; see [`Column::root_zone_ec`](crate::engine::column::layers::Column::root_zone_ec).
    pub root_zone_ec: f64,
    /// EC that the roots feel, mS/cm: the mean of the layers' ECs by root share, which salt stress goes by. A few nearly dry layers can rule it.
    pub felt_ec: f64,
    /// Water content that the probe reads, m³/m³; `None` without a probe.
    pub probe: Option<f64>,
    /// What passed since the start.
    pub ledger: Ledger,
}

impl Sample {
    /// The lane as it is now.
    #[must_use]
    pub fn of(simulation: &Simulation) -> Self {
        let (column, state) = (simulation.column(), simulation.state());
        let ledger = *simulation.ledger();
        let water_content = ledger.water_stored / column.volume;
        let (mut root_water, mut suction_cm, mut felt_ec) = (0.0, 0.0, 0.0);
        for (i, layer) in column.layers.iter().enumerate() {
            root_water += layer.roots * state.theta[i];
            suction_cm += layer.roots * (-state.head[i]).max(0.0);
            felt_ec += layer.roots * state.ec[i];
        }
        Self {
            time_s: simulation.time_s(),
            water_content,
            air_space: column.pores - water_content,
            root_air: column.root_pores - root_water,
            suction_kpa: suction_kpa(-suction_cm),
            root_zone_ec: column.root_zone_ec(&state.theta, &state.ec),
            felt_ec,
            probe: column.has_probe().then(|| column.probe_reading(&state.theta)),
            ledger,
        }
    }

    /// The instant between two samples: amounts and states on the straight line between them.
    #[must_use]
    pub fn between(&self, later: &Self, time_s: f64) -> Self {
        let span = later.time_s - self.time_s;
        let x = if span > 0.0 { ((time_s - self.time_s) / span).clamp(0.0, 1.0) } else { 0.0 };
        let mix = |a: f64, b: f64| a + (b - a) * x;
        let mut out = *self;
        out.time_s = time_s;
        out.water_content = mix(self.water_content, later.water_content);
        out.air_space = mix(self.air_space, later.air_space);
        out.root_air = mix(self.root_air, later.root_air);
        out.suction_kpa = mix(self.suction_kpa, later.suction_kpa);
        out.root_zone_ec = mix(self.root_zone_ec, later.root_zone_ec);
        out.felt_ec = mix(self.felt_ec, later.felt_ec);
        out.probe = self.probe.zip(later.probe).map(|(a, b)| mix(a, b));
        out.ledger = self.ledger.between(&later.ledger, x);
        out
    }
}

/// Water content, head and EC of every layer: row-major, base first, a row per sample of the days that are kept in full.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Profiles {
    /// Layers in a row.
    pub layers: usize,
    /// Each row's time, seconds since the first midnight.
    pub time_s: Vec<f64>,
    /// m³/m³.
    pub theta: Vec<f32>,
    /// cm.
    pub head: Vec<f32>,
    /// mS/cm.
    pub ec: Vec<f32>,
}

impl Profiles {
    /// Adds the state of a lane as one row.
    #[allow(clippy::cast_possible_truncation)]
    pub fn push(&mut self, simulation: &Simulation) {
        let state = simulation.state();
        self.layers = state.theta.len();
        self.time_s.push(simulation.time_s());
        self.theta.extend(state.theta.iter().map(|&v| v as f32));
        self.head.extend(state.head.iter().map(|&v| v as f32));
        self.ec.extend(state.ec.iter().map(|&v| v as f32));
    }

    /// Leaves out the rows of some times, which stand together.
    pub fn leave_out(&mut self, which: impl Fn(f64) -> bool) {
        let Some(from) = self.time_s.iter().position(|t| which(*t)) else { return };
        let until = from + self.time_s.iter().skip(from).take_while(|t| which(**t)).count();
        self.time_s.drain(from..until);
        for values in [&mut self.theta, &mut self.head, &mut self.ec] {
            values.drain(from * self.layers..until * self.layers);
        }
    }

    /// Puts rows in, in place of those of the same stretch of time.
    fn put(&mut self, rows: Self) {
        let (Some(&first), Some(&last)) = (rows.time_s.first(), rows.time_s.last()) else { return };
        let from = self.time_s.partition_point(|t| *t < first);
        let until = self.time_s.partition_point(|t| *t <= last);
        self.layers = rows.layers;
        self.time_s.splice(from..until, rows.time_s);
        let values = [(&mut self.theta, rows.theta), (&mut self.head, rows.head), (&mut self.ec, rows.ec)];
        for (values, rows) in values {
            values.splice(from * self.layers..until * self.layers, rows);
        }
    }
}

/// The samples of a lane, in order of time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Series {
    /// One per step, and one for the start; of days that are not kept in full fewer.
    pub samples: Vec<Sample>,
    /// The layers at each sample of the days that are kept in full.
    pub profiles: Profiles,
}

impl Series {
    /// The lane at a time, between samples on a straight line; held at the ends. `None` only while there is no sample.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Option<Sample> {
        let after = self.samples.partition_point(|s| s.time_s < time_s);
        match (after.checked_sub(1).map(|i| &self.samples[i]), self.samples.get(after)) {
            (Some(a), Some(b)) => Some(a.between(b, time_s)),
            (Some(only), None) | (None, Some(only)) => Some(*only),
            (None, None) => None,
        }
    }

    /// Keeps the first so many samples, and their layers.
    pub fn cut(&mut self, samples: usize) {
        self.samples.truncate(samples);
        let rows = self.samples.last().map_or(0, |s| self.profiles.time_s.partition_point(|t| *t <= s.time_s));
        self.profiles.time_s.truncate(rows);
        let values = rows * self.profiles.layers;
        [&mut self.profiles.theta, &mut self.profiles.head, &mut self.profiles.ec].into_iter().for_each(|v| v.truncate(values));
    }

    /// The first so many samples, and their layers, by themselves.
    #[must_use]
    pub fn first(&self, samples: usize) -> Self {
        let Self { samples: all, profiles } = self;
        let all = all.get(..samples).unwrap_or(all);
        let rows = all.last().map_or(0, |s| profiles.time_s.partition_point(|t| *t <= s.time_s));
        let of = |values: &[f32]| values.get(..rows * profiles.layers).unwrap_or(values).to_vec();
        let (time_s, layers) = (profiles.time_s.get(..rows).unwrap_or(&profiles.time_s).to_vec(), profiles.layers);
        let profiles = Profiles { layers, time_s, theta: of(&profiles.theta), head: of(&profiles.head), ec: of(&profiles.ec) };
        Self { samples: all.to_vec(), profiles }
    }

    /// The row of the profiles that holds at a time: that of the last sample up to it, or of the first. `None` where that day is not kept in
    /// full.
    #[must_use]
    pub fn row(&self, time_s: f64) -> Option<usize> {
        let last = self.samples.partition_point(|s| s.time_s <= time_s).saturating_sub(1);
        let at = self.samples.get(last)?.time_s;
        let row = self.profiles.time_s.partition_point(|t| *t < at);
        self.profiles.time_s.get(row).is_some_and(|t| *t == at).then_some(row)
    }

    /// Adds a lane as it is now, with its layers.
    pub fn record(&mut self, simulation: &Simulation) {
        self.samples.push(Sample::of(simulation));
        self.profiles.push(simulation);
    }

    /// Puts a stretch in, in place of what is there of the same time.
    pub fn put(&mut self, stretch: Self) {
        let (Some(first), Some(last)) = (stretch.samples.first(), stretch.samples.last()) else { return };
        let from = self.samples.partition_point(|s| s.time_s < first.time_s);
        let until = self.samples.partition_point(|s| s.time_s <= last.time_s);
        self.samples.splice(from..until, stretch.samples);
        self.profiles.put(stretch.profiles);
    }

    /// Samples with `from_s ≤ time ≤ to_s`.
    #[must_use]
    pub fn span(&self, from_s: f64, to_s: f64) -> &[Sample] {
        let from = self.samples.partition_point(|s| s.time_s < from_s);
        let to = self.samples.partition_point(|s| s.time_s <= to_s);
        &self.samples[from..to.max(from)]
    }
}
