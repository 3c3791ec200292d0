//! Small symmetric systems.

/// Solves a·x = b for a symmetric positive definite `a` (rows one after another) by Cholesky's method; `None` where it is
/// not positive.
pub(super) fn solved(mut a: Vec<f64>, mut b: Vec<f64>) -> Option<Vec<f64>> {
    let n = b.len();
    for j in 0..n {
        for k in 0..j {
            let factor = a[j * n + k];
            for i in j..n {
                a[i * n + j] -= a[i * n + k] * factor;
            }
        }
        let pivot = a[j * n + j];
        if pivot.is_nan() || pivot <= 0.0 {
            return None;
        }
        let root = pivot.sqrt();
        for i in j..n {
            a[i * n + j] /= root;
        }
    }
    for i in 0..n {
        let sum: f64 = (0..i).map(|k| a[i * n + k] * b[k]).sum();
        b[i] = (b[i] - sum) / a[i * n + i];
    }
    for i in (0..n).rev() {
        let sum: f64 = (i + 1..n).map(|k| a[k * n + i] * b[k]).sum();
        b[i] = (b[i] - sum) / a[i * n + i];
    }
    Some(b)
}
