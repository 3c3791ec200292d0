//! The unit section: four superelliptic quarters |X|^n + |Y|^n = 1, one exponent above the breadth and one below.
//!
//! Run through by the polar angle from the crown over starboard, X = r sin φ, Y = r cos φ, r = (|sin φ|^n + |cos φ|^n)^(-1/n):
//! smooth across the crown, the keel and the breadth, and with a speed that is never zero for exponents above 1.

/// A place of the unit section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Quarter {
    /// (X, Y).
    pub(crate) at: [f64; 2],
    /// By the angle.
    pub(crate) by_angle: [f64; 2],
    /// By the exponent of the half that the place lies in, at the same angle.
    pub(crate) by_exponent: [f64; 2],
    /// Whether the place lies above the breadth.
    pub(crate) above: bool,
}

/// The unit section at an angle from the crown (starboard positive, radians), with exponents above and below the breadth.
pub(crate) fn quarter(angle: f64, exponents: [f64; 2]) -> Quarter {
    let (s, c) = angle.sin_cos();
    let above = c >= 0.0;
    let n = exponents[usize::from(!above)];
    let (log_s, log_c) = (s.abs().max(1e-300).ln(), c.abs().max(1e-300).ln());
    let (sn, cn) = ((n * log_s).exp(), (n * log_c).exp());
    let g = sn + cn;
    let r = (-g.ln() / n).exp();
    // d|s|^n = n |s|^n / s · c, which has the limit 0 on the axes.
    let over = |power: f64, base: f64| if base.abs() < 1e-12 { 0.0 } else { power / base };
    let turn = -r * (over(sn, s) * c - over(cn, c) * s) / g;
    let growth = r * (g.ln() / (n * n) - (sn * log_s + cn * log_c) / (n * g));
    Quarter {
        at: [r * s, r * c],
        by_angle: [turn * s + r * c, turn * c - r * s],
        by_exponent: [growth * s, growth * c],
        above,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn lies_on_its_curve_and_derivatives_match_differences(
            angle in 0.0..std::f64::consts::TAU, up in 1.1..6.0_f64, down in 1.1..6.0_f64
        ) {
            let off_axis = (angle / std::f64::consts::FRAC_PI_2).fract();
            prop_assume!(off_axis > 0.01 && off_axis < 0.99);
            let q = quarter(angle, [up, down]);
            let n = if q.above { up } else { down };
            prop_assert!((q.at[0].abs().powf(n) + q.at[1].abs().powf(n) - 1.0).abs() < 1e-12);
            let h = 1e-6;
            let turned = [quarter(angle - h, [up, down]), quarter(angle + h, [up, down])];
            let grown = [quarter(angle, [up - h, down - h]), quarter(angle, [up + h, down + h])];
            for k in 0..2 {
                let difference = |of: [Quarter; 2]| (of[1].at[k] - of[0].at[k]) / (2.0 * h);
                prop_assert!((difference(turned) - q.by_angle[k]).abs() < 1e-5);
                prop_assert!((difference(grown) - q.by_exponent[k]).abs() < 1e-7);
            }
        }
    }

    /// The circle: X = sin, Y = cos.
    #[test]
    fn exponent_two_is_the_circle() {
        for i in 0..24 {
            let angle = f64::from(i) * 0.26;
            let q = quarter(angle, [2.0, 2.0]);
            assert!((q.at[0] - angle.sin()).abs() < 1e-14 && (q.at[1] - angle.cos()).abs() < 1e-14);
            assert!((q.by_angle[0] - angle.cos()).abs() < 1e-12 && (q.by_angle[1] + angle.sin()).abs() < 1e-12);
        }
    }
}
