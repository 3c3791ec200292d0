//! Gauss–Legendre quadrature.
//!
//! Nodes and weights are the roots of the Legendre polynomials and the classical weights 2 / ((1 - x²) P'(x)²)
//! (Abramowitz & Stegun, *Handbook of Mathematical Functions*, 25.4.29), found by Newton's method to rounding.

use std::sync::OnceLock;

/// Nodes and weights of one rule on [0, 1].
#[derive(Clone, Debug)]
pub struct Rule {
    /// (node, weight), by rising node; the weights add up to 1.
    pub nodes: Vec<(f64, f64)>,
}

impl Rule {
    /// The rule with `n` nodes, exact for polynomials up to degree 2n - 1.
    pub fn gauss(n: usize) -> Self {
        let mut nodes: Vec<(f64, f64)> = (0..n).map(|i| node(n, i)).collect();
        nodes.reverse();
        Self { nodes }
    }

    /// Integral of `f` over [a, b].
    pub fn integrate(&self, a: f64, b: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
        let h = b - a;
        self.nodes.iter().map(|&(x, w)| w * f(a + h * x)).sum::<f64>() * h
    }
}

/// The five-point rule, made once.
pub fn gauss5() -> &'static Rule {
    static RULE: OnceLock<Rule> = OnceLock::new();
    RULE.get_or_init(|| Rule::gauss(5))
}

/// The eight-point rule, made once.
pub fn gauss8() -> &'static Rule {
    static RULE: OnceLock<Rule> = OnceLock::new();
    RULE.get_or_init(|| Rule::gauss(8))
}

/// Node `i` (counted from the right end) of the rule with `n` nodes, with its weight, on [0, 1].
fn node(n: usize, i: usize) -> (f64, f64) {
    let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
    let mut slope = 1.0;
    for _ in 0..50 {
        let (p, dp) = legendre(n, x);
        slope = dp;
        let step = p / dp;
        x -= step;
        if step.abs() < 1e-16 {
            break;
        }
    }
    (0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope))
}

/// Value and slope of the Legendre polynomial of degree `n`, by its three-term recurrence.
fn legendre(n: usize, x: f64) -> (f64, f64) {
    let (mut before, mut here) = (1.0, x);
    for k in 2..=n {
        let k = k as f64;
        (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
    }
    (here, n as f64 * (x * here - before) / (x * x - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_up_to_degree_two_n_less_one() {
        for n in 2..12 {
            let rule = Rule::gauss(n);
            let degree = 2 * n as i32 - 1;
            let got = rule.integrate(0.0, 2.0, |x| x.powi(degree));
            let exact = 2f64.powi(degree + 1) / f64::from(degree + 1);
            assert!((got / exact - 1.0).abs() < 1e-13, "n = {n}: {got} against {exact}");
        }
    }

    #[test]
    fn three_points_as_tabulated() {
        // Abramowitz & Stegun, table 25.4, n = 3: nodes 0, ±0.774596669241483; weights 0.888888888888889, 0.555555555555556.
        let rule = Rule::gauss(3);
        assert!((2.0 * rule.nodes[2].0 - 1.0 - 0.774_596_669_241_483).abs() < 1e-15);
        assert!((2.0 * rule.nodes[1].1 - 0.888_888_888_888_889).abs() < 1e-14);
        assert!((2.0 * rule.nodes[0].1 - 0.555_555_555_555_556).abs() < 1e-14);
    }
}
