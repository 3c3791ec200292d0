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

/// A stretch is halved no more often than this.
const DEEP: u32 = 16;

/// Integrals of `N` functions over [a, b], which is halved wherever the rules with eight and with five nodes differ by more than
/// `tolerance`. Where the functions are smooth the result is nearer by orders of magnitude, for it is that of eight nodes; where their
/// slope jumps, about as near. `None` where the functions have no value.
pub fn settled<const N: usize>(
    [a, b]: [f64; 2],
    tolerance: f64,
    f: &mut impl FnMut(f64) -> Option<[f64; N]>,
) -> Option<[f64; N]> {
    halved([a, b], tolerance, f, DEEP)
}

fn halved<const N: usize>(
    [a, b]: [f64; 2],
    tolerance: f64,
    f: &mut impl FnMut(f64) -> Option<[f64; N]>,
    depth: u32,
) -> Option<[f64; N]> {
    let (fine, coarse) = (sum(gauss8(), [a, b], f)?, sum(gauss5(), [a, b], f)?);
    let is_settled = fine.iter().zip(coarse).all(|(p, q)| (p - q).abs() <= tolerance);
    if is_settled || depth == 0 {
        return Some(fine);
    }
    let middle = 0.5 * (a + b);
    let (first, second) =
        (halved([a, middle], tolerance, f, depth - 1)?, halved([middle, b], tolerance, f, depth - 1)?);
    Some(std::array::from_fn(|k| first[k] + second[k]))
}

fn sum<const N: usize>(rule: &Rule, [a, b]: [f64; 2], f: &mut impl FnMut(f64) -> Option<[f64; N]>) -> Option<[f64; N]> {
    let mut out = [0.0; N];
    for &(node, weight) in &rule.nodes {
        let value = f(a + (b - a) * node)?;
        out.iter_mut().zip(value).for_each(|(sum, v)| *sum += weight * (b - a) * v);
    }
    Some(out)
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
    fn settled_where_a_slope_jumps_and_where_it_is_infinite() {
        // ∫ |x - 0.3| over [0, 1] = 0.29, ∫ √x = 2/3.
        let mut count = 0;
        let got = settled([0.0, 1.0], 1e-8, &mut |x: f64| {
            count += 1;
            Some([(x - 0.3).abs(), x.sqrt()])
        })
        .unwrap();
        assert!((got[0] - 0.29).abs() < 1e-7 && (got[1] - 2.0 / 3.0).abs() < 1e-7, "{got:?}");
        assert!(count < 1000, "{count}");
        let mut count = 0;
        let smooth = settled([0.0, 1.0], 1e-6, &mut |x: f64| {
            count += 1;
            Some([x.exp()])
        })
        .unwrap();
        assert!((smooth[0] - (1f64.exp() - 1.0)).abs() < 1e-14 && count == 13, "{smooth:?} {count}");
        assert_eq!(settled([0.0, 1.0], 1e-6, &mut |x| (x < 0.5).then_some([x])), None);
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
