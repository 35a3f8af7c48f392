/// Numbers that look random and are the same on every machine: a mixer of a
/// counter. [S: random-numbers]
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// From any seed; seeds side by side give numbers that have nothing to do with each other.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Any number of 64 bits.
    pub fn number(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// 0 to 1, 1 left out.
    pub fn unit(&mut self) -> f64 {
        (self.number() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// 0 to `end`, `end` left out.
    pub fn below(&mut self, end: usize) -> usize {
        (self.number() % end as u64) as usize
    }

    /// True in this part of all cases.
    pub fn chance(&mut self, part: f64) -> bool {
        self.unit() < part
    }

    /// One of them.
    pub fn pick<T: Clone>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())].clone()
    }

    /// Evenly on a log axis.
    pub fn log(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.unit())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What public pages print for this seed. [S: random-numbers]
    #[test]
    fn the_mixer_is_the_known_one() {
        let mut dice = Dice::new(1_234_567);
        let first: [u64; 5] = std::array::from_fn(|_| dice.number());
        assert_eq!(
            first,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821
            ]
        );
    }
}
