//! A seam: the section at a known station as a photograph shows it, and its place nearest to a pixel.

use crate::edge::root;
use crate::outline::{Contact, Sight, Spot};
use crate::shape::Frame;
use nalgebra::Vector2;
use std::f64::consts::TAU;

/// Angles at which the section is looked at.
const ANGLES: usize = 96;
/// The facing up to which a seam counts as seen: a little round the edge, as noise carries pixels there.
const SEEN: f64 = 0.02;
/// Most steps of following from a remembered start.
const STEPS: usize = 8;

impl Sight<'_> {
    /// The place of the section at `x` nearest to a pixel, on the side that is seen.
    pub(crate) fn nearest_on_seam(&self, pixel: Vector2<f64>, x: f64, start: Option<f64>) -> Option<Contact> {
        let frame = self.shape.frame(x)?;
        let angle = match start.and_then(|a| self.follow(pixel, &frame, a)) {
            Some(angle) => angle,
            None => self.search(pixel, &frame)?,
        };
        self.seam_contact(pixel, frame, angle)
    }

    /// By the angle, from a start nearby: secant steps on the distance along the projected section.
    fn follow(&self, pixel: Vector2<f64>, frame: &Frame, start: f64) -> Option<f64> {
        let (mut a, mut b) = (start, start + 1e-4);
        let (mut fa, mut fb) = (self.along(pixel, frame, a)?, self.along(pixel, frame, b)?);
        for _ in 0..STEPS {
            let step = (-fb * (b - a) / (fb - fa)).clamp(-0.1, 0.1);
            if !step.is_finite() {
                return None;
            }
            (a, fa) = (b, fb);
            b += step;
            if step.abs() < 1e-9 {
                let place = frame.place(b);
                return ((b - start).abs() < 0.3 && self.facing(&place) < SEEN).then_some(b);
            }
            fb = self.along(pixel, frame, b)?;
        }
        None
    }

    /// Over the whole section.
    fn search(&self, pixel: Vector2<f64>, frame: &Frame) -> Option<f64> {
        let step = TAU / ANGLES as f64;
        let seen = |angle: f64| {
            let place = frame.place(angle);
            let aside = pixel - self.pose.pixel(&place.point)?;
            (self.facing(&place) < SEEN).then_some((angle, aside.norm_squared()))
        };
        let all = (0..ANGLES).filter_map(|j| seen(step * (j as f64 + 0.5)));
        let (best, _) = all.min_by(|a, b| a.1.total_cmp(&b.1))?;
        let (a, b) = (best - step, best + step);
        let (fa, fb) = (self.along(pixel, frame, a)?, self.along(pixel, frame, b)?);
        Some(if fa * fb < 0.0 { root(a, fa, b, fb, |t| self.along(pixel, frame, t)) } else { best })
    }

    /// The pixel's distance along the projected section, px.
    fn along(&self, pixel: Vector2<f64>, frame: &Frame, angle: f64) -> Option<f64> {
        let place = frame.place(angle);
        let seen = self.pose.see(&place.point)?;
        let tangent = (seen.by_point * place.by_angle).try_normalize(1e-12)?;
        Some(tangent.dot(&(pixel - seen.pixel)))
    }

    fn seam_contact(&self, pixel: Vector2<f64>, frame: Frame, angle: f64) -> Option<Contact> {
        let place = frame.place(angle);
        let seen = self.pose.see(&place.point)?;
        let tangent = (seen.by_point * place.by_angle).try_normalize(1e-12)?;
        let normal = Vector2::new(tangent.y, -tangent.x);
        let residual = normal.dot(&(pixel - seen.pixel));
        Some(Contact { spot: Spot { x: frame.x, angle }, point: place.point, frame, normal, residual })
    }
}
