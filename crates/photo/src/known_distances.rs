//! The scale of a picture from several known distances, and the one that does not go with the others.
//!
//! Weighted least squares for mm = scale × pixels. Each distance is held against the scale of all the others
//! (leave-one-out, studentised residuals: R. D. Cook and S. Weisberg, *Residuals and Influence in Regression*, 1982, from
//! memory), so that a wrong one cannot pull the scale to itself and hide.

/// A distance that is known and marked in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownDistance {
    /// What the builder calls it.
    pub name: String,
    /// Its two ends, pixels.
    pub ends: [[f64; 2]; 2],
    /// Its length, mm.
    pub mm: f64,
    /// How well the length is known (standard deviation), mm; zero: exactly.
    pub sigma_mm: f64,
    /// How well each end was marked in each direction (standard deviation), pixels, above zero.
    pub sigma_px: f64,
}

/// The scale of a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureScale {
    /// Millimetres to the pixel.
    pub mm_per_px: f64,
    /// Standard deviation of that: from what was given, or larger where the distances disagree by more. Distances that are
    /// out are left out of both.
    pub sigma: f64,
    /// For each distance, in the given order.
    pub distances: Vec<DistanceFit>,
    /// Root of the mean squared deviation per degree of freedom: near 1 where distances are as good as was said; `None` for
    /// a single distance.
    pub misfit: Option<f64>,
    /// With two distances that disagree by more than chance explains, by how many standard deviations: one is wrong, but
    /// nothing says which.
    pub disagreement: Option<f64>,
}

/// How a distance fits.
#[derive(Clone, Debug, PartialEq)]
pub struct DistanceFit {
    /// Its length in the picture, pixels.
    pub px: f64,
    /// Known length less what the scale gives for it, mm.
    pub residual_mm: f64,
    /// The same against the scale of the others that are not out, in standard deviations of that difference; `None` with
    /// fewer than three distances.
    pub deviations: Option<f64>,
    /// It does not go with the others and was left out of the scale.
    pub out: bool,
}

/// Why there is no scale. The text says what to do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ScaleError {
    /// No distance.
    #[error("No distance is known yet. Mark one whose length is known.")]
    None,
    /// A length is not above zero, or a number is not finite.
    #[error("{name} has no usable length. Mark its two ends apart, and give its length in mm.")]
    NoLength {
        /// Its name.
        name: String,
    },
    /// A standard deviation is not what it should be.
    #[error("How well {name} is known must be a number: pixels above 0, mm not below 0.")]
    NoDeviation {
        /// Its name.
        name: String,
    },
}

/// A deviation against the others beyond this is no chance. Common practice, no source: 3 to 3.5.
const OUT: f64 = 3.5;

/// The scale that goes best with the known distances. All must lie at one depth and square to the line of sight, or be
/// corrected beforehand.
///
/// # Errors
/// What [`ScaleError`] lists.
pub fn picture_scale(distances: &[KnownDistance]) -> Result<PictureScale, ScaleError> {
    refuse(distances)?;
    let all: Vec<Measured> = distances.iter().map(Measured::new).collect();
    let mut out = vec![false; all.len()];
    while let Some(worst) = odd_one_out(&all, &out) {
        out[worst] = true;
    }
    let kept = others(&all, &out, None);
    let fit = Fit::new(&kept);
    let against_others = |i: usize| (kept.len() >= 3 || out[i]).then(|| deviations(&all, &out, i));
    let fits = all.iter().enumerate().map(|(i, m)| DistanceFit {
        px: m.px,
        residual_mm: m.mm - fit.scale * m.px,
        deviations: against_others(i),
        out: out[i],
    });
    Ok(PictureScale {
        mm_per_px: fit.scale,
        sigma: fit.sigma * fit.misfit.unwrap_or(1.0).max(1.0),
        distances: fits.collect(),
        misfit: fit.misfit,
        disagreement: disagreement(&all),
    })
}

struct Measured {
    px: f64,
    sigma_px: f64,
    mm: f64,
    sigma_mm: f64,
}

impl Measured {
    fn new(known: &KnownDistance) -> Self {
        let [[x, y], [u, v]] = known.ends;
        // Two ends, of each only the error along the distance counts.
        let sigma_px = known.sigma_px * 2.0_f64.sqrt();
        Self { px: (x - u).hypot(y - v), sigma_px, mm: known.mm, sigma_mm: known.sigma_mm }
    }

    /// Variance of mm - scale × px.
    fn variance(&self, scale: f64) -> f64 {
        self.sigma_mm.powi(2) + (scale * self.sigma_px).powi(2)
    }
}

struct Fit {
    scale: f64,
    /// From the given deviations alone.
    sigma: f64,
    misfit: Option<f64>,
}

impl Fit {
    fn new(measured: &[&Measured]) -> Self {
        let sum = |f: &dyn Fn(&Measured) -> f64| measured.iter().map(|m| f(m)).sum::<f64>();
        let mut scale = sum(&|m| m.mm) / sum(&|m| m.px);
        // The weights depend on the scale, but hardly.
        for _ in 0..20 {
            let next = sum(&|m| m.mm * m.px / m.variance(scale)) / sum(&|m| m.px * m.px / m.variance(scale));
            let done = (next - scale).abs() <= 1e-15 * scale;
            scale = next;
            if done {
                break;
            }
        }
        let sigma = sum(&|m| m.px * m.px / m.variance(scale)).sqrt().recip();
        let squares = sum(&|m| (m.mm - scale * m.px).powi(2) / m.variance(scale));
        let misfit = (measured.len() > 1).then(|| (squares / (measured.len() - 1) as f64).sqrt());
        Self { scale, sigma, misfit }
    }
}

fn others<'a>(all: &'a [Measured], out: &[bool], but: Option<usize>) -> Vec<&'a Measured> {
    all.iter().enumerate().filter(|(i, _)| !out[*i] && Some(*i) != but).map(|(_, m)| m).collect()
}

/// How far one lies from the scale of the others, in standard deviations, which widen where the others disagree.
fn deviations(all: &[Measured], out: &[bool], i: usize) -> f64 {
    let fit = Fit::new(&others(all, out, Some(i)));
    let one = &all[i];
    let variance = one.variance(fit.scale) + (one.px * fit.sigma).powi(2);
    (one.mm - fit.scale * one.px) / (variance.sqrt() * fit.misfit.unwrap_or(1.0).max(1.0))
}

/// Of three or more, the one farthest out, if it is out.
fn odd_one_out(all: &[Measured], out: &[bool]) -> Option<usize> {
    let kept: Vec<usize> = (0..all.len()).filter(|i| !out[*i]).collect();
    if kept.len() < 3 {
        return None;
    }
    let far = kept.into_iter().map(|i| (i, deviations(all, out, i).abs()));
    far.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, d)| *d > OUT).map(|(i, _)| i)
}

fn disagreement(all: &[Measured]) -> Option<f64> {
    let [first, second] = all else { return None };
    let scales = [first, second].map(|m| m.mm / m.px);
    let mean = (scales[0] + scales[1]) / 2.0;
    let variance: f64 = [first, second].iter().map(|m| m.variance(mean) / (m.px * m.px)).sum();
    let apart = (scales[0] - scales[1]).abs() / variance.sqrt();
    (apart > OUT).then_some(apart)
}

fn refuse(distances: &[KnownDistance]) -> Result<(), ScaleError> {
    if distances.is_empty() {
        return Err(ScaleError::None);
    }
    for known in distances {
        let name = known.name.clone();
        let px = Measured::new(known).px;
        if !(px > 0.0 && px.is_finite() && known.mm > 0.0 && known.mm.is_finite()) {
            return Err(ScaleError::NoLength { name });
        }
        let usable = known.sigma_px > 0.0 && known.sigma_px.is_finite();
        if !(usable && known.sigma_mm >= 0.0 && known.sigma_mm.is_finite()) {
            return Err(ScaleError::NoDeviation { name });
        }
    }
    Ok(())
}
