//! Chance that is the same every time.

/// A 64-bit mixing generator (splitmix, from memory).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly from `low` to `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Normal, of deviation 1 (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        let (a, b) = (self.between(1e-12, 1.0), self.between(0.0, std::f64::consts::TAU));
        (-2.0 * a.ln()).sqrt() * b.cos()
    }
}
