//! Roots of one unknown, with what was found on the way to them.

/// A root is found when it is missed by less than this, mm.
pub(crate) const SETTLED: f64 = 1e-10;

/// The root of a miss that rises about as fast as x, near `start`, and what belongs to it: a few secant steps. `None` where they
/// leave the reach or do not settle.
pub(crate) fn secant<T>(miss: &impl Fn(f64) -> (f64, T), start: f64, reach: f64) -> Option<(f64, T)> {
    let (mut x0, (mut f0, found)) = (start, miss(start));
    if f0.abs() < SETTLED {
        return Some((x0, found));
    }
    let mut x1 = x0 - f0;
    for _ in 0..5 {
        let (f1, found) = miss(x1);
        if f1.abs() < SETTLED {
            return Some((x1, found));
        }
        let next = x1 - f1 * (x1 - x0) / (f1 - f0);
        if !(start - reach..=start + reach).contains(&next) {
            return None;
        }
        (x0, f0, x1) = (x1, f1, next);
    }
    None
}

/// Where a miss changes its sign, and what belongs to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Root<T> {
    /// The root, as close as it comes.
    At(f64, T),
    /// The miss leaps past zero here: what belongs to just below and to just above.
    Leap(f64, [T; 2]),
}

impl<T> Root<T> {
    /// The root, or the lower side of the leap.
    pub(crate) fn lower(self) -> (f64, T) {
        match self {
            Self::At(x, found) | Self::Leap(x, [found, _]) => (x, found),
        }
    }
}

/// A bracket as narrow as [`SETTLED`] that still misses by more than this holds a leap, mm.
const LEAP: f64 = 1e-7;

/// The root of a miss that rises from `low` to `high`, and what belongs to it, by regula falsi with the Illinois step, which never
/// stalls on one side (M. Dowell and P. Jarratt, "A modified regula falsi method", BIT 11, 1971; from memory).
pub(crate) fn regula_falsi<T>(miss: &impl Fn(f64) -> (f64, T), low: f64, high: f64) -> Root<T> {
    let (at_low, found) = miss(low);
    if at_low.abs() < SETTLED {
        return Root::At(low, found);
    }
    let mut below = (low, at_low, found);
    let (at_high, found) = miss(high);
    if at_high.abs() < SETTLED {
        return Root::At(high, found);
    }
    let mut above = (high, at_high, found);
    let (mut at_low, mut at_high) = (at_low, at_high);
    for _ in 0..80 {
        let (low, high) = (below.0, above.0);
        if high - low < SETTLED {
            break;
        }
        let guess = low - at_low * (high - low) / (at_high - at_low);
        let x = if guess > low && guess < high { guess } else { 0.5 * (low + high) };
        let (here, found) = miss(x);
        if here.abs() < SETTLED {
            return Root::At(x, found);
        }
        if here < 0.0 {
            (at_low, at_high) = (here, 0.5 * at_high);
            below = (x, here, found);
        } else {
            (at_high, at_low) = (here, 0.5 * at_low);
            above = (x, here, found);
        }
    }
    if below.1 < -LEAP && above.1 > LEAP {
        return Root::Leap(below.0, [below.2, above.2]);
    }
    let nearer = if below.1.abs() <= above.1.abs() { below } else { above };
    Root::At(nearer.0, nearer.2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// x + 0.2 sin x = 1, whose root fixed-point iteration finds to rounding.
    #[test]
    fn both_ways_find_the_root_and_what_belongs_to_it() {
        let exact = (0..200).fold(1.0_f64, |x, _| 1.0 - 0.2 * x.sin());
        let miss = |x: f64| (x + 0.2 * x.sin() - 1.0, 2.0 * x);
        for (x, with) in [secant(&miss, 1.0, 0.5).unwrap(), regula_falsi(&miss, 0.0, 3.0).lower()] {
            assert!((x - exact).abs() < 1e-9 && (with - 2.0 * x).abs() < 1e-15, "{x} against {exact}");
        }
        assert!(secant(&miss, 1.0, 0.01).is_none());
        assert_eq!(regula_falsi(&|x| (x, ()), 0.0, 3.0), Root::At(0.0, ()));
    }
    #[test]
    fn a_leap_past_zero_is_told_with_both_of_its_sides() {
        let miss = |x: f64| if x < 1.25 { (x - 2.0, "below") } else { (x + 0.5, "above") };
        let Root::Leap(x, sides) = regula_falsi(&miss, 0.0, 3.0) else { panic!("no leap") };
        assert!((x - 1.25).abs() < 1e-9, "{x}");
        assert_eq!(sides, ["below", "above"]);
    }
}
