//! The form's surface for one choice of the unknowns: superelliptic quarters over smooth lines.
//!
//! ```text
//!   angle 0 at the crown, π/2 at the starboard breadth, π at the keel, 3π/2 at the port breadth
//!   y = B(x) X,   z = breadth height(x) + h(x) Y,   h the height of the half above or below the breadth
//! ```

use crate::departure::{Departure, swell};
use crate::drawn::Drawn;
use crate::error::SightError;
use crate::quarter::{Quarter, quarter};
use crate::sketch::{FUNCTIONS, Function, Priors, Sketch};
use crate::smooth::Smooth;
use geometry::line::Line;
use nalgebra::{DVector, Vector3};
use std::f64::consts::{FRAC_PI_2, PI};

/// No exponent falls below this: it is approached smoothly, within 0.0001 of the plain sum above 1.75.
const LEAST_EXPONENT: f64 = 1.05;
/// Width of that approach.
const SOFT: f64 = 0.1;
/// A given station this near to an end, as a share of the length, is that end.
const AT_END: f64 = 1e-3;
/// Stations at which a form is looked at for crossing lines.
const LOOKS: usize = 48;

/// What is known and what is sought: the sketch, the priors, and the smooth functions between them.
#[derive(Clone, Debug)]
pub struct Model {
    sketch: Sketch,
    priors: Priors,
    smooth: Smooth,
    range: (f64, f64),
    functions: Vec<Function>,
    drawn: Option<Drawn>,
}

impl Model {
    /// A model over the stretch that the sketch's lines share.
    ///
    /// # Errors
    /// Lines that share no stretch or cross, priors that are not finite or negative, fewer than three knots.
    pub fn new(sketch: Sketch, priors: Priors) -> Result<Self, SightError> {
        Self::holding(sketch, priors, &[])
    }

    /// A model of which some sections between the ends are given too, at these stations: nothing deviates there.
    ///
    /// # Errors
    /// As [`Model::new`].
    pub fn holding(sketch: Sketch, priors: Priors, given: &[f64]) -> Result<Self, SightError> {
        let range = sketch.range();
        if range.0.partial_cmp(&range.1) != Some(std::cmp::Ordering::Less) {
            return Err(SightError::BadForm("its lines share no stretch of stations".into()));
        }
        check_priors(&priors)?;
        let reach = priors.reach * (range.1 - range.0);
        // The ends are held by the priors.
        let inside =
            |x: &f64| *x > range.0 + AT_END * (range.1 - range.0) && *x < range.1 - AT_END * (range.1 - range.0);
        let given: Vec<f64> = given.iter().copied().filter(inside).collect();
        let smooth = Smooth::holding(range, reach, priors.knots, priors.ends_given, &given)
            .ok_or_else(|| SightError::BadForm("its points are too close for the correlation length".into()))?;
        let functions = Function::ALL.into_iter().filter(|f| priors.of(*f) > 0.0).collect();
        let model = Self { sketch, priors, smooth, range, functions, drawn: None };
        model.shape(&vec![0.0; model.unknowns()]).check().map_err(|x| {
            SightError::BadForm(format!("at station {x:.1} crown, breadth height and keel do not follow one another"))
        })?;
        Ok(model)
    }

    /// The same with what the drawn form has beside the sketch's superellipses, which stays with it.
    #[must_use]
    pub fn with_drawn(self, drawn: Drawn) -> Self {
        Self { drawn: Some(drawn), ..self }
    }

    /// Whether the drawn sections themselves are more than this far from superelliptic, a share of the radius.
    pub(crate) fn drawn_departs(&self, by: f64) -> bool {
        self.drawn.as_ref().is_some_and(|drawn| drawn.size() > by)
    }

    /// The lines as they stand.
    pub fn sketch(&self) -> &Sketch {
        &self.sketch
    }

    /// How far the unknown functions may stray.
    pub fn priors(&self) -> &Priors {
        &self.priors
    }

    /// Foremost and rearmost station, mm.
    pub fn range(&self) -> (f64, f64) {
        self.range
    }

    /// Length, mm.
    pub(crate) fn length(&self) -> f64 {
        self.range.1 - self.range.0
    }

    /// The functions that are sought.
    pub fn functions(&self) -> &[Function] {
        &self.functions
    }

    /// How many numbers are sought: all functions together. Each has the prior deviation 1 and is independent of the others.
    pub fn unknowns(&self) -> usize {
        self.functions.len() * self.smooth.count()
    }

    /// How the functions answer to their unknowns at a station: every function alike, before its prior deviation.
    pub(crate) fn shares(&self, x: f64) -> Vec<f64> {
        self.smooth.at(x)
    }

    /// The prior deviation of every function at a station as a share of its full one: 0 at a given end section.
    pub(crate) fn looseness(&self, x: f64) -> f64 {
        self.shares(x).iter().map(|s| s * s).sum::<f64>().sqrt()
    }

    /// The surface for these unknowns; missing ones count as 0.
    pub fn shape(&self, unknowns: &[f64]) -> Shape<'_> {
        let count = self.smooth.count();
        let weights = std::array::from_fn(|f| {
            let place = self.functions.iter().position(|g| *g as usize == f)?;
            let mine: Vec<f64> = (0..count).map(|j| unknowns.get(place * count + j).copied().unwrap_or(0.0)).collect();
            Some(self.smooth.weights(&mine) * self.priors.of(Function::ALL[f]))
        });
        Shape { model: self, weights }
    }
}

fn check_priors(priors: &Priors) -> Result<(), SightError> {
    let finite = |v: f64| v.is_finite() && v >= 0.0;
    if !Function::ALL.iter().all(|f| finite(priors.of(*f))) {
        return Err(SightError::NotFinite("a prior deviation".into()));
    }
    if !(priors.reach.is_finite() && priors.reach > 0.0) {
        return Err(SightError::NotPositive("the correlation length".into()));
    }
    if priors.knots < 3 {
        return Err(SightError::BadForm("each function needs at least three points along the form".into()));
    }
    Ok(())
}

/// The surface for one choice of the unknowns.
#[derive(Clone, Debug)]
pub struct Shape<'a> {
    model: &'a Model,
    weights: [Option<DVector<f64>>; FUNCTIONS],
}

/// The lines of a shape at one station, each with its slope in x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// The station, mm.
    pub x: f64,
    /// Half-breadth, mm.
    pub breadth: (f64, f64),
    /// Breadth height, mm.
    pub middle: (f64, f64),
    /// Height of the half above the breadth, and of the one below it, mm.
    pub heights: [(f64, f64); 2],
    /// Exponent above and below the breadth.
    pub exponents: [(f64, f64); 2],
    /// What no superellipse has, above and below the breadth.
    pub(crate) departures: [Departure; 2],
    /// How each exponent answers to its plain sum: 1 but near the least exponent.
    pub(crate) exponent_rates: [f64; 2],
}

/// A place on the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Where, mm.
    pub point: Vector3<f64>,
    /// By the station, at the same angle.
    pub by_x: Vector3<f64>,
    /// By the angle, mm per radian.
    pub by_angle: Vector3<f64>,
}

impl Place {
    /// Outward normal, of any length.
    pub fn normal(&self) -> Vector3<f64> {
        self.by_x.cross(&self.by_angle)
    }
}

impl Shape<'_> {
    /// The model behind it.
    pub fn model(&self) -> &Model {
        self.model
    }

    /// The deviation of a function at a station and its slope.
    pub fn deviation(&self, function: Function, x: f64) -> (f64, f64) {
        self.deviations(x)[function as usize]
    }

    fn deviations(&self, x: f64) -> [(f64, f64); FUNCTIONS] {
        let mut out = [(0.0, 0.0); FUNCTIONS];
        for (i, kernel) in self.model.smooth.kernels(x).enumerate() {
            for (value, weights) in out.iter_mut().zip(&self.weights) {
                let weight = weights.as_ref().map_or(0.0, |w| w[i]);
                value.0 += kernel.value * weight;
                value.1 += kernel.slope * weight;
            }
        }
        out
    }

    /// The lines at a station, beyond the ends along the end tangents; `None` where the section has no breadth or a half has
    /// no height.
    pub fn frame(&self, x: f64) -> Option<Frame> {
        let read = |line: &Line| {
            let at = line.at(x);
            (at.value, at.slope)
        };
        let plus = |a: (f64, f64), b: (f64, f64)| (a.0 + b.0, a.1 + b.1);
        let minus = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0, a.1 - b.1);
        let sketch = &self.model.sketch;
        let [both, split, height, breadth, slant_up, corners_up, slant_down, corners_down] = self.deviations(x);
        let middle = plus(read(&sketch.breadth_height), height);
        let heights = [minus(read(&sketch.crown), middle), minus(middle, read(&sketch.keel))];
        let breadth = plus(read(&sketch.breadth), breadth);
        let (above, below) = (plus(read(&sketch.above), both), plus(read(&sketch.below), both));
        let soft = [floored(plus(above, split)), floored(minus(below, split))];
        let drawn = self.model.drawn.as_ref().map(|drawn| drawn.at(x));
        let [above_drawn, below_drawn] = [0, 1].map(|half| drawn.map(|d| d[half]));
        let sound = breadth.0 > 0.0 && heights.iter().all(|h| h.0 > 0.0);
        sound.then(|| Frame {
            x,
            breadth,
            middle,
            heights,
            exponents: soft.map(|(value, _)| value),
            departures: [
                Departure { modes: [slant_up, corners_up], drawn: above_drawn },
                Departure { modes: [slant_down, corners_down], drawn: below_drawn },
            ],
            exponent_rates: soft.map(|(_, rate)| rate),
        })
    }

    /// The place at a station and an angle; `None` where there is no section.
    pub fn place(&self, x: f64, angle: f64) -> Option<Place> {
        self.frame(x).map(|f| f.place(angle))
    }

    /// # Errors
    /// The first station inside the form that has no section.
    pub(crate) fn check(&self) -> Result<(), f64> {
        let (low, length) = (self.model.range.0, self.model.length());
        let at = |i: usize| low + length * (i as f64 + 0.5) / LOOKS as f64;
        (0..LOOKS).map(at).find(|x| self.frame(*x).is_none()).map_or(Ok(()), Err)
    }
}

/// An exponent held smoothly above the least one, with its slope; and the rate at which it answers.
fn floored((value, slope): (f64, f64)) -> ((f64, f64), f64) {
    let u = (value - LEAST_EXPONENT) / SOFT;
    let (soft, rate) = if u > 30.0 { (u, 1.0) } else { (u.exp().ln_1p(), 1.0 / (1.0 + (-u).exp())) };
    ((LEAST_EXPONENT + SOFT * soft, slope * rate), rate)
}

impl Frame {
    /// The place at an angle.
    pub fn place(&self, angle: f64) -> Place {
        let q = self.quarter(angle);
        let half = usize::from(!q.above);
        let ((b, bx), (m, mx), (h, hx), (_, nx)) =
            (self.breadth, self.middle, self.heights[half], self.exponents[half]);
        let swell = self.departures[half].at(angle);
        let size = swell.size;
        let [u, v] = q.at.map(|c| c * size);
        let [ua, va] = [0, 1].map(|k| q.by_angle[k] * size + q.at[k] * swell.by_angle);
        let [ux, vx] = [0, 1].map(|k| q.by_exponent[k] * size * nx + q.at[k] * swell.by_x);
        Place {
            point: Vector3::new(self.x, b * u, m + h * v),
            by_x: Vector3::new(1.0, bx * u + b * ux, mx + hx * v + h * vx),
            by_angle: Vector3::new(0.0, b * ua, h * va),
        }
    }

    fn quarter(&self, angle: f64) -> Quarter {
        quarter(angle, self.exponents.map(|n| n.0))
    }

    /// (y, z) at an angle by each function of [`Function::ALL`], at the same station and angle.
    pub fn by_functions(&self, angle: f64) -> [[f64; 2]; FUNCTIONS] {
        let q = self.quarter(angle);
        let half = usize::from(!q.above);
        let (b, h) = (self.breadth.0, self.heights[half].0);
        let size = self.departures[half].at(angle).size;
        let rate = self.exponent_rates[half] * size;
        let exponent = [b * q.by_exponent[0] * rate, h * q.by_exponent[1] * rate];
        let (split_sign, height_sign) = if q.above { (1.0, -1.0) } else { (-1.0, 1.0) };
        let split = exponent.map(|v| v * split_sign);
        let mut out = [[0.0; 2]; FUNCTIONS];
        out[..4].copy_from_slice(&[exponent, split, [0.0, 1.0 + height_sign * q.at[1] * size], [q.at[0] * size, 0.0]]);
        for (mode, (value, _)) in swell(angle).into_iter().enumerate() {
            out[4 + 2 * half + mode] = [b * q.at[0] * value, h * q.at[1] * value];
        }
        out
    }

    /// Angle on the starboard side at a height; `None` above the crown or below the keel.
    pub fn angle_at(&self, z: f64) -> Option<f64> {
        let up = z - self.middle.0;
        let half = usize::from(up < 0.0);
        let v = up.abs() / self.heights[half].0;
        if v > 1.0 {
            return None;
        }
        let n = self.exponents[half].0;
        let u = (1.0 - v.powf(n)).max(0.0).powf(1.0 / n);
        let plain = if half == 0 { u.atan2(v) } else { u.atan2(-v) };
        if self.departures[half].is_none() { Some(plain) } else { Some(self.angle_near(z, half)) }
    }

    /// By bisection, as the height falls steadily from the crown to the keel.
    fn angle_near(&self, z: f64, half: usize) -> f64 {
        let (mut a, mut b) = if half == 0 { (0.0, FRAC_PI_2) } else { (FRAC_PI_2, PI) };
        for _ in 0..40 {
            let m = 0.5 * (a + b);
            if self.place(m).point.z > z { a = m } else { b = m }
        }
        0.5 * (a + b)
    }

    /// Half-breadth at a height, mm; `None` above the crown or below the keel.
    pub fn half_breadth(&self, z: f64) -> Option<f64> {
        self.angle_at(z).map(|a| self.place(a).point.y)
    }

    /// The same lines and exponents without departures.
    pub fn superelliptic(&self) -> Self {
        Self { departures: [Departure::NONE; 2], ..*self }
    }

    /// Crown and keel, z mm.
    pub fn span(&self) -> (f64, f64) {
        (self.middle.0 + self.heights[0].0, self.middle.0 - self.heights[1].0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sketch::blend;
    use proptest::prelude::*;

    fn model() -> Model {
        let flat = |front: f64, rear: f64| blend((0.0, front), (400.0, rear)).unwrap();
        let sketch = Sketch {
            crown: flat(60.0, 120.0),
            keel: flat(-70.0, -110.0),
            breadth: flat(70.0, 150.0),
            breadth_height: flat(-5.0, 10.0),
            above: flat(2.0, 2.6),
            below: flat(2.2, 2.4),
        };
        Model::new(sketch, Priors { departure: 0.01, ..Priors::usual(4.0, false) }).unwrap()
    }

    proptest! {
        #[test]
        fn derivatives_match_differences(
            z in proptest::collection::vec(-1.0..1.0_f64, 56), x in 20.0..380.0_f64, angle in 0.0..6.0_f64
        ) {
            let axis = (angle / FRAC_PI_2).fract();
            prop_assume!(axis > 0.02 && axis < 0.98);
            let model = model();
            let shape = model.shape(&z);
            let Some(frame) = shape.frame(x) else { return Ok(()) };
            let place = frame.place(angle);
            let h = 1e-4;
            let at = |x: f64, a: f64| shape.place(x, a).unwrap().point;
            let by_x = (at(x + h, angle) - at(x - h, angle)) / (2.0 * h);
            let by_angle = (at(x, angle + 1e-6) - at(x, angle - 1e-6)) / 2e-6;
            prop_assert!((by_x - place.by_x).norm() < 1e-4 * (1.0 + by_x.norm()), "{by_x} {}", place.by_x);
            prop_assert!((by_angle - place.by_angle).norm() < 1e-4 * (1.0 + by_angle.norm()));
            let shares = model.shares(x);
            for (f, function) in model.functions().iter().enumerate() {
                let mut moved = z.clone();
                let step = 1e-5;
                moved[f * shares.len() + 3] += step;
                let there = model.shape(&moved).place(x, angle).unwrap().point;
                let rate = model.priors().of(*function) * shares[3];
                let answer = frame.by_functions(angle)[*function as usize];
                prop_assert!(((there.y - place.point.y) / step - answer[0] * rate).abs() < 2e-3, "{function:?}");
                prop_assert!(((there.z - place.point.z) / step - answer[1] * rate).abs() < 2e-3, "{function:?}");
            }
        }

        #[test]
        fn an_angle_leads_back_to_its_height(
            z in proptest::collection::vec(-1.0..1.0_f64, 56), x in 20.0..380.0_f64, share in 0.01..0.99_f64
        ) {
            let model = model();
            let shape = model.shape(&z);
            let Some(frame) = shape.frame(x) else { return Ok(()) };
            let (crown, keel) = frame.span();
            let height = keel + share * (crown - keel);
            let place = frame.place(frame.angle_at(height).unwrap());
            prop_assert!((place.point.z - height).abs() < 1e-6 * (crown - keel));
            prop_assert!(place.point.y >= 0.0);
        }
    }
}
