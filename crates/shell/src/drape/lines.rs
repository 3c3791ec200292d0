//! Where a parameter is divided.

/// Rising values at which a parameter is divided, by halving: all are multiples of 1 / [`FINE`].
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Lines {
    at: Vec<f64>,
    /// For every stretch of 1 / [`FINE`], the interval that holds it.
    holding: Vec<u32>,
}

/// How finely a parameter may be divided: a unit into so many.
pub(crate) const FINE: f64 = 64.0;
/// How often a unit may be halved.
pub(crate) const MOST_HALVINGS: u32 = 6;

/// An interval that holds a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Within {
    pub(crate) interval: usize,
    /// The value in the interval, from -1 to 1.
    pub(crate) local: f64,
    /// Change of that by the value.
    pub(crate) scale: f64,
}

impl Lines {
    /// Of at least two values, from 0 to a whole number.
    pub(crate) fn new(at: Vec<f64>) -> Self {
        let last = at.last().map_or(0.0, |last| last * FINE) as u32;
        let holds = |k: u32| at.partition_point(|line| *line <= f64::from(k) / FINE).clamp(1, at.len() - 1) - 1;
        let holding = (0..last).map(|k| holds(k) as u32).collect();
        Self { at, holding }
    }

    /// How many intervals there are.
    pub(crate) fn intervals(&self) -> usize {
        self.at.len() - 1
    }

    /// The last value.
    pub(crate) fn last(&self) -> f64 {
        self.at[self.at.len() - 1]
    }

    /// The two ends of every interval.
    pub(crate) fn windows(&self) -> std::slice::Windows<'_, f64> {
        self.at.windows(2)
    }

    /// The interval that holds a value, the one after it at a line but none that begins at `limit`: what ends there is read up to
    /// its end. Values outside belong to the first or the last.
    #[inline]
    pub(crate) fn within(&self, at: f64, limit: f64) -> Within {
        let fine = ((at * FINE).max(0.0) as usize).min(self.holding.len() - 1);
        let found = self.holding[fine] as usize;
        let interval = if self.at[found] >= limit { found.saturating_sub(1) } else { found };
        let (from, to) = (self.at[interval], self.at[interval + 1]);
        let scale = 2.0 / (to - from);
        Within { interval, local: (at - from) * scale - 1.0, scale }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_found_in_its_interval() {
        let lines = Lines::new(vec![0.0, 0.25, 0.25 + 1.0 / FINE, 0.5, 1.0, 2.0]);
        for (at, interval, local) in [
            (-0.5, 0, -5.0),
            (0.0, 0, -1.0),
            (0.25, 1, -1.0),
            (0.26, 1, 0.28),
            (0.75, 3, 0.0),
            (2.0, 4, 1.0),
            (2.5, 4, 2.0),
        ] {
            let within = lines.within(at, f64::INFINITY);
            assert_eq!(within.interval, interval, "{at}");
            assert!((within.local - local).abs() < 1e-12, "{at}: {}", within.local);
        }
        // What ends at a line is read from before it.
        let within = lines.within(1.0, 1.0);
        assert_eq!((within.interval, within.local), (3, 1.0));
    }
}
