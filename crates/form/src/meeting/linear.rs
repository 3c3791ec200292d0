//! Small systems of linear equations.

/// The solution of `N` equations, by elimination with the largest pivot; `None` where they are as good as dependent.
pub(super) fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    let largest = a.iter().flatten().fold(0.0_f64, |m, v| m.max(v.abs()));
    for k in 0..N {
        let pivot = (k..N).max_by(|&i, &j| a[i][k].abs().total_cmp(&a[j][k].abs()))?;
        if a[pivot][k].abs().partial_cmp(&(1e-13 * largest)) != Some(std::cmp::Ordering::Greater) {
            return None;
        }
        a.swap(k, pivot);
        b.swap(k, pivot);
        for i in k + 1..N {
            let by = a[i][k] / a[k][k];
            let row = a[k];
            a[i].iter_mut().zip(row).for_each(|(v, r)| *v -= by * r);
            b[i] -= by * b[k];
        }
    }
    for k in (0..N).rev() {
        let rest: f64 = (k + 1..N).map(|j| a[k][j] * b[j]).sum();
        b[k] = (b[k] - rest) / a[k][k];
    }
    Some(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_equations_give_their_four_numbers_and_dependent_ones_none() {
        let a = [[0.0, 2.0, 1.0, -1.0], [3.0, 0.5, 0.0, 2.0], [1.0, 1.0, 1.0, 1.0], [-2.0, 0.0, 4.0, 0.25]];
        let x = [1.5, -2.0, 0.25, 4.0];
        let b = a.map(|row| (0..4).map(|k| row[k] * x[k]).sum());
        let found = solve(a, b).unwrap();
        assert!((0..4).all(|k| (found[k] - x[k]).abs() < 1e-13), "{found:?}");
        assert_eq!(solve([[1.0, 2.0], [2.0, 4.0]], [1.0, 2.0]), None);
        assert_eq!(solve([[f64::NAN, 2.0], [2.0, 4.0]], [1.0, 2.0]), None);
    }
}
