//! Where the form's edge against the background is seen: the places whose normal is square to the ray of sight, and the one
//! of them that is nearest to a pixel.
//!
//! A pixel q and a place P of the edge with the outward normal n of the projected edge give the distance n·(q - π(P)). P
//! itself slides along the edge when form or camera change, but that does not change the distance to first order, so its
//! derivative is -n·∂π(P) at a fixed place (the envelope theorem).

use crate::pose::Pose;
use crate::shape::{Frame, Place, Shape};
use crate::task::{Photograph, Seam};
use nalgebra::{Matrix2, Vector2, Vector3};

/// Newton's steps.
const STEPS: usize = 12;
/// Newton is done when it moves less than these shares of the length and radians.
const CLOSE: f64 = 1e-9;
/// How far beyond an end the surface is continued along the tangents, as a share of the length.
pub(crate) const BEYOND: f64 = 0.02;

/// A place on the surface by its numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Station, mm.
    pub x: f64,
    /// Angle from the crown over starboard, radians.
    pub angle: f64,
}

/// A pixel and the place of the form that it shows.
#[derive(Clone, Copy, Debug)]
pub struct Contact {
    /// The place.
    pub spot: Spot,
    /// Where it lies, mm.
    pub point: Vector3<f64>,
    /// The lines at its station.
    pub(crate) frame: Frame,
    /// Square to the projected curve, of length 1: for an outline it points away from the form.
    pub normal: Vector2<f64>,
    /// The pixel's distance along that normal, px.
    pub residual: f64,
}

/// One photograph's sight of one shape.
#[derive(Clone, Copy)]
pub(crate) struct Sight<'a> {
    pub(crate) shape: &'a Shape<'a>,
    pub(crate) pose: &'a Pose,
    eye: Vector3<f64>,
}

impl<'a> Sight<'a> {
    pub(crate) fn new(shape: &'a Shape<'a>, pose: &'a Pose) -> Self {
        Self { shape, pose, eye: pose.eye() }
    }

    /// Cosine of the angle between the normal and the ray from the eye: negative on what faces the eye, zero on its edge.
    pub(crate) fn facing(&self, place: &Place) -> f64 {
        let (normal, ray) = (place.normal(), place.point - self.eye);
        normal.dot(&ray) / (normal.norm() * ray.norm())
    }

    /// The projected normal, of length 1.
    fn flat_normal(&self, place: &Place) -> Option<Vector2<f64>> {
        let normal = self.pose.camera().rotation * place.normal();
        Vector2::new(normal.x, normal.y).try_normalize(1e-12 * normal.norm())
    }

    /// The place of the edge nearest to a pixel, from a start nearby.
    pub(crate) fn nearest(&self, pixel: Vector2<f64>, start: Spot) -> Option<Contact> {
        let length = self.shape.model().length();
        let (low, high) = self.shape.model().range();
        let first = self.pose.pixel(&self.shape.place(start.x, start.angle)?.point)?;
        let reach = 1.5 * (pixel - first).norm() + 0.01 * (first - self.pose.pixel(&self.middle())?).norm();
        let mut spot = start;
        for _ in 0..STEPS {
            let step = self.step(pixel, spot)?;
            spot = Spot { x: spot.x + step.x.clamp(-0.1, 0.1) * length, angle: spot.angle + step.y.clamp(-0.4, 0.4) };
            if spot.x < low - BEYOND * length || spot.x > high + BEYOND * length {
                return None;
            }
            if step.norm() < CLOSE {
                return self.contact(pixel, spot).filter(|c| c.residual.abs() < reach);
            }
        }
        None
    }

    fn middle(&self) -> Vector3<f64> {
        let (low, high) = self.shape.model().range();
        let x = 0.5 * (low + high);
        Vector3::new(x, 0.0, self.shape.frame(x).map_or(0.0, |f| f.middle.0))
    }

    /// Newton's step in shares of the length and radians, with the derivatives by differences.
    fn step(&self, pixel: Vector2<f64>, spot: Spot) -> Option<Vector2<f64>> {
        const H: f64 = 1e-6;
        let length = self.shape.model().length();
        let frame = self.shape.frame(spot.x)?;
        let here = self.away(pixel, &frame.place(spot.angle))?;
        let turned = self.away(pixel, &frame.place(spot.angle + H))?;
        let aft = self.away(pixel, &self.shape.frame(spot.x + H * length)?.place(spot.angle))?;
        let slopes = Matrix2::from_columns(&[(aft - here) / H, (turned - here) / H]);
        let step = -(slopes.try_inverse()? * here);
        (step.x.is_finite() && step.y.is_finite()).then_some(step)
    }

    /// What must vanish: the facing, and the pixel's distance along the projected edge as an angle.
    fn away(&self, pixel: Vector2<f64>, place: &Place) -> Option<Vector2<f64>> {
        let normal = self.flat_normal(place)?;
        let aside = pixel - self.pose.pixel(&place.point)?;
        Some(Vector2::new(self.facing(place), normal.perp(&aside) / self.pose.camera().focal_px))
    }

    /// The contact at a place that lies on the edge.
    pub(crate) fn contact(&self, pixel: Vector2<f64>, spot: Spot) -> Option<Contact> {
        let frame = self.shape.frame(spot.x)?;
        let place = frame.place(spot.angle);
        let normal = self.flat_normal(&place)?;
        let residual = normal.dot(&(pixel - self.pose.pixel(&place.point)?));
        Some(Contact { spot, point: place.point, frame, normal, residual })
    }
}

/// What each traced point of a photograph shows of a shape, the outline first and then seam by seam; `None` for a point that shows
/// nothing of it.
pub fn residuals(shape: &Shape<'_>, photograph: &Photograph) -> Vec<Option<Contact>> {
    let pose = Pose::new(&photograph.camera, Vector3::zeros());
    let sight = Sight::new(shape, &pose);
    let edge = sight.edge();
    let outline = photograph.outline.iter().map(|q| sight.contact_from(Vector2::from(*q), &edge));
    let on_seam = |s: &Seam| {
        let station = s.station;
        let nearest = |q: &[f64; 2]| sight.nearest_on_seam(Vector2::from(*q), station, None);
        s.pixels.iter().map(nearest).collect::<Vec<_>>()
    };
    outline.chain(photograph.seams.iter().flat_map(on_seam)).collect()
}
