//! Water that runs straight through the medium, and the salt it picks up on its way.
//!
//! What runs through leaves with c_f + p·(c_root − c_f), c_root the water-weighted mean EC of the layers it passes, from the top
//! down to the outlet (judgement). In each of them a share p of it, in proportion to the layer's water, changes places with as much
//! of the layer's own: it takes the layer's EC and leaves its own behind. Summed up that is the formula; and since a layer gives
//! only of its own, it can be solved together with all else and takes none below zero, however long the step.

use crate::engine::column::layers::Column;
use crate::engine::supply::clock::Supply;
use crate::scenario::Top;

/// Water that runs straight through, mL/s.
#[must_use]
pub fn rate(column: &Column, supply: Supply) -> f64 {
    match (column.boundaries.top, supply) {
        (Top::Emitters, Supply::Drip { rate, .. }) => rate * column.channelling,
        _ => 0.0,
    }
}

/// What changes places in each layer.
#[derive(Clone, Debug)]
pub struct Exchange {
    /// mL/s in each layer passed, from the outlet's up.
    pub in_layer: Vec<f64>,
    /// The lowest layer passed.
    pub from: usize,
    /// mL/s in all.
    whole: f64,
}

impl Exchange {
    /// Nothing, in a column.
    #[must_use]
    pub fn new(column: &Column) -> Self {
        Self { in_layer: vec![0.0; column.len() - column.outlet], from: column.outlet, whole: 0.0 }
    }

    /// Sets what changes places while `through` mL/s run through.
    pub fn set(&mut self, column: &Column, through: f64) {
        self.whole = through * column.channel_pick_up;
    }

    /// Whether anything does.
    #[inline]
    #[must_use]
    pub fn is_on(&self) -> bool {
        self.whole > 0.0
    }

    /// Shares it out by the water of the layers at these water contents.
    pub fn share_out(&mut self, column: &Column, theta: &[f64]) {
        if !self.is_on() {
            return;
        }
        let layers = &column.layers[self.from..];
        let mut water = 0.0;
        for ((q, layer), theta) in self.in_layer.iter_mut().zip(layers).zip(&theta[self.from..]) {
            *q = theta * layer.volume;
            water += *q;
        }
        let per_water = self.whole / water;
        self.in_layer.iter_mut().for_each(|q| *q *= per_water);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::Solver;
    use crate::scenario::presets::{Library, demos};

    /// It passes the layers from the outlet up, and what changes places is shared out by their water.
    #[test]
    fn it_passes_what_lies_above_the_outlet() {
        let mut lane = demos().remove(0).1.lanes.remove(1);
        lane.container.outlet_height_cm = 5.0;
        let column = Column::build(&lane, &Solver::default(), &Library::shipped()).unwrap();
        let supply = Supply::Drip { rate: 2.0, ec: 1.0 };
        assert!((rate(&column, supply) - 2.0 * 0.08).abs() < 1e-15);
        assert_eq!([rate(&column, Supply::Off), rate(&column, Supply::Flood { depth: 9.0, ec: 1.0 })], [0.0, 0.0]);
        let theta: Vec<f64> = (0..column.len()).map(|i| if i % 2 == 0 { 0.2 } else { 0.6 }).collect();
        let mut exchange = Exchange::new(&column);
        assert!(!exchange.is_on());
        exchange.set(&column, 0.16);
        exchange.share_out(&column, &theta);
        assert!(exchange.is_on() && exchange.from == column.outlet && exchange.from > 5);
        assert_eq!(exchange.from + exchange.in_layer.len(), column.len());
        assert!((exchange.in_layer.iter().sum::<f64>() - 0.3 * 0.16).abs() < 1e-15);
        let water = |k: usize| theta[column.outlet + k] * column.layers[column.outlet + k].volume;
        for (k, q) in exchange.in_layer.iter().enumerate() {
            assert!((q / exchange.in_layer[0] - water(k) / water(0)).abs() < 1e-12);
        }
        exchange.set(&column, 0.0);
        assert!(!exchange.is_on());
    }
}
