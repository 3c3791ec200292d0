//! A value that is known within a range.

/// A value with the least and the greatest it may be.
///
/// Ranges are bounds, no deviations of a statistic: sums of ranges add their ends.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Span {
    /// The least it may be.
    pub low: f64,
    /// What to plan with.
    pub likely: f64,
    /// The greatest it may be.
    pub high: f64,
}

impl Span {
    /// A value in its range; the ends are put in order and drawn out to hold the likely value.
    pub fn new(low: f64, likely: f64, high: f64) -> Self {
        Self { low: low.min(high).min(likely), likely, high: high.max(low).max(likely) }
    }

    /// A value known exactly.
    pub fn exact(value: f64) -> Self {
        Self { low: value, likely: value, high: value }
    }

    /// Low, likely and high.
    pub fn ends(self) -> [f64; 3] {
        [self.low, self.likely, self.high]
    }

    /// The range of a monotone function of it, rising or falling.
    #[must_use]
    pub fn through(self, f: impl Fn(f64) -> f64) -> Self {
        Self::new(f(self.low), f(self.likely), f(self.high))
    }

    /// The sum.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { low: self.low + other.low, likely: self.likely + other.likely, high: self.high + other.high }
    }

    /// The range times a number.
    #[must_use]
    pub fn times(self, by: f64) -> Self {
        self.through(|v| v * by)
    }

    /// Whether all three are numbers of at least `least` and in order.
    pub fn is_at_least(self, least: f64) -> bool {
        self.low >= least && self.low <= self.likely && self.likely <= self.high && self.high.is_finite()
    }
}

impl std::iter::Sum for Span {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Self::plus)
    }
}
