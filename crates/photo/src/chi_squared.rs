//! How large a sum of squared standard deviations may be by chance.

/// The chi-squared quantile for `freedom` degrees; `z` is the normal quantile of the same chance. Within 2 % of the tables
/// from three degrees on, up to a chance of 0.999.
///
/// Source: E. B. Wilson and M. M. Hilferty, "The distribution of chi-square", PNAS 17 (1931).
pub(crate) fn chi_squared_quantile(freedom: usize, z: f64) -> f64 {
    let n = freedom as f64;
    let ninth = 2.0 / (9.0 * n);
    n * (1.0 - ninth + z * ninth.sqrt()).powi(3)
}

/// Normal quantile of 0.95.
pub(crate) const Z_95: f64 = 1.644_853_627;
/// Normal quantile of 0.99.
pub(crate) const Z_99: f64 = 2.326_347_874;
/// Normal quantile of 0.999.
pub(crate) const Z_999: f64 = 3.090_232_306;

/// The chi-squared quantile for two degrees of freedom that one of `tests` passes by chance with 1 % in all. Closed form:
/// the upper tail is exp(-x / 2).
pub(crate) fn two_degrees_one_in_a_hundred(tests: usize) -> f64 {
    -2.0 * (0.01 / tests.max(1) as f64).ln()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Source: tables of the chi-squared distribution, upper points 0.05, 0.01 and 0.001 (from memory, as printed in any
    /// statistics handbook).
    #[test]
    fn quantiles_are_those_of_the_tables() {
        for (freedom, at_95, at_99, at_999) in [
            (3, 7.815, 11.345, 16.266),
            (5, 11.070, 15.086, 20.515),
            (10, 18.307, 23.209, 29.588),
            (30, 43.773, 50.892, 59.703),
        ] {
            assert_relative_eq!(chi_squared_quantile(freedom, Z_95), at_95, max_relative = 0.02);
            assert_relative_eq!(chi_squared_quantile(freedom, Z_99), at_99, max_relative = 0.02);
            assert_relative_eq!(chi_squared_quantile(freedom, Z_999), at_999, max_relative = 0.02);
        }
        assert_relative_eq!(two_degrees_one_in_a_hundred(1), 9.210, max_relative = 1e-4);
    }
}
