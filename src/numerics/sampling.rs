//! Sampling designs: which combinations of unknowns are tried.

/// A seeded sequence of numbers, the same on every machine.
///
/// Source: Steele, Lea & Flood 2014, "Fast splittable pseudorandom number generators" (SplitMix64).
#[derive(Clone, Debug)]
pub struct Sequence(u64);

impl Sequence {
    /// The sequence of a seed and a stream: streams of one seed have nothing to do with each other.
    #[must_use]
    pub fn new(seed: u64, stream: u64) -> Self {
        // Mixed once before the stream comes in and once after, so that seed and stream never stand for each other.
        let mixed = Self(seed).next_u64();
        Self(Self(mixed.wrapping_add(stream)).next_u64())
    }

    fn next_u64(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// The next number, 0 to below 1.
    #[allow(clippy::cast_precision_loss)]
    pub fn share(&mut self) -> f64 {
        (self.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// The next whole number below `end` (above 0).
    #[allow(clippy::cast_possible_truncation)]
    pub fn below(&mut self, end: usize) -> usize {
        ((u128::from(self.next_u64()) * end as u128) >> 64) as usize
    }
}

/// A column of a Latin hypercube: `members` shares (above 0, below 1) in random order, one within each of as many equal slices. A column
/// hangs on its own number and on nothing else of the design, so that another unknown leaves all others as they were.
///
/// Source: McKay, Beckman & Conover 1979, Technometrics 21:239–245.
#[must_use]
#[allow(clippy::cast_precision_loss)]
pub fn latin_column(members: usize, column: u64, seed: u64) -> Vec<f64> {
    let mut sequence = Sequence::new(seed, column);
    let mut slices: Vec<usize> = (0..members).collect();
    for last in (1..members).rev() {
        slices.swap(last, sequence.below(last + 1));
    }
    // Half a unit in the last place keeps it off the slice's own edge.
    let within = |slice: usize, share: f64| (slice as f64 + share.max(f64::EPSILON)) / members as f64;
    slices.into_iter().map(|slice| within(slice, sequence.share())).collect()
}

#[cfg(test)]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
mod tests {
    use super::*;

    #[test]
    fn every_slice_is_drawn_from_once() {
        for members in [1, 2, 10, 997] {
            for column in 0..4 {
                let drawn = latin_column(members, column, 7);
                let mut slices: Vec<usize> = drawn.iter().map(|u| (u * members as f64).floor() as usize).collect();
                slices.sort_unstable();
                assert_eq!(slices, (0..members).collect::<Vec<_>>());
                assert!(drawn.iter().all(|u| *u > 0.0 && *u < 1.0));
            }
        }
        assert!(latin_column(0, 0, 7).is_empty());
    }

    #[test]
    fn a_seed_gives_the_same_again_and_another_something_else() {
        assert_eq!(latin_column(50, 3, 11), latin_column(50, 3, 11));
        assert_ne!(latin_column(50, 3, 11), latin_column(50, 3, 12));
        assert_ne!(latin_column(50, 3, 11), latin_column(50, 4, 11));
        // Neither seed nor stream may stand for the other.
        assert_ne!(latin_column(50, 3, 4), latin_column(50, 4, 3));
    }

    /// Correlations of pairs of columns scatter about 0 as those of independent columns do: 1/√(n − 1).
    #[test]
    fn columns_have_nothing_to_do_with_each_other() {
        let n = 400;
        let columns: Vec<Vec<f64>> = (0..30).map(|c| latin_column(n, c, 5)).collect();
        let mut squares = Vec::new();
        for (i, a) in columns.iter().enumerate() {
            for b in &columns[..i] {
                let product: f64 = a.iter().zip(b).map(|(a, b)| (a - 0.5) * (b - 0.5)).sum();
                squares.push((12.0 * product / n as f64).powi(2) * (n - 1) as f64);
            }
        }
        let mean = squares.iter().sum::<f64>() / squares.len() as f64;
        assert!((mean - 1.0).abs() < 0.3, "{mean}");
        assert!(squares.iter().all(|s| *s < 20.0));
    }

    /// The first numbers of seed 1234567 as published with the generator's reference code.
    #[test]
    fn the_generator_is_the_published_one() {
        let mut sequence = Sequence(1_234_567);
        let drawn: Vec<u64> = (0..5).map(|_| sequence.next_u64()).collect();
        let published = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(drawn, published);
    }
}
