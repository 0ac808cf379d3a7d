/// Repeatable numbers (SplitMix64, Steele, Lea and Flood 2014, OOPSLA; from memory, unverified).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dice(u64);

impl Dice {
    /// The same seed gives the same numbers on every machine.
    pub fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    /// Uniform in 0..1.
    pub fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Around a mean with about this standard deviation: a sum of four uniforms.
    pub fn around(&mut self, mean: f64, spread: f64) -> f64 {
        let sum: f64 = (0..4).map(|_| self.roll()).sum();
        mean + (sum - 2.0) * spread * 3.0_f64.sqrt()
    }
}
