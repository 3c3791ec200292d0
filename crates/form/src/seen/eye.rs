//! The camera as the lines need it: quick, and with the pinhole's own coordinates beside the pixels.

use crate::space::{Vector, dot, sub, times};
use photo::{Lens, PictureCamera};

/// Nearer than this to the camera, mm, nothing is shown.
const NEAREST: f64 = 1.0;
/// Farther aside than this, divided by the distance ahead (87°), nothing is shown: no photograph reaches there.
const FARTHEST: f64 = 20.0;

/// A picture's camera.
#[derive(Clone, Copy, Debug)]
pub(super) struct Eye {
    /// Right, down and forward.
    axes: [Vector; 3],
    at: Vector,
    focal_px: f64,
    centre: [f64; 2],
    lens: Lens,
    reach: f64,
}

/// Where a point is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shown {
    /// As a pinhole shows it, divided by the distance ahead.
    pub(super) ideal: [f64; 2],
    /// 1 / distance ahead, 1/mm: linear across a flat thing's picture.
    pub(super) nearness: f64,
    /// As the picture shows it.
    pub(super) pixel: [f64; 2],
}

impl Eye {
    /// The eye of a picture's camera.
    pub(super) fn new(camera: &PictureCamera) -> Self {
        let r = &camera.camera.rotation;
        let axes = [0, 1, 2].map(|i| [r[(i, 0)], r[(i, 1)], r[(i, 2)]]);
        let (at, lens) = (camera.camera.eye(), camera.lens);
        Self {
            axes,
            at,
            focal_px: camera.camera.focal_px,
            centre: camera.camera.centre,
            lens,
            reach: lens.reach().min(FARTHEST),
        }
    }

    /// From a place to the eye, length 1.
    pub(super) fn from(&self, point: Vector) -> Vector {
        let way = sub(self.at, point);
        let length = dot(way, way).sqrt();
        if length > 0.0 { times(way, 1.0 / length) } else { [0.0; 3] }
    }

    /// A direction in the camera's axes.
    pub(super) fn turned(&self, v: Vector) -> Vector {
        self.axes.map(|axis| dot(axis, v))
    }

    /// Where a point is shown; `None` behind the camera and where the lens shows nothing.
    pub(super) fn shown(&self, point: Vector) -> Option<Shown> {
        let [x, y, z] = self.turned(sub(point, self.at));
        let ideal = [x / z, y / z];
        let shows = z > NEAREST && ideal[0] * ideal[0] + ideal[1] * ideal[1] < self.reach * self.reach;
        shows.then(|| Shown { ideal, nearness: 1.0 / z, pixel: self.pixel(ideal) })
    }

    /// The pixel of the pinhole's coordinates.
    pub(super) fn pixel(&self, ideal: [f64; 2]) -> [f64; 2] {
        let [x, y] = if self.lens == Lens::NONE { ideal } else { self.lens.distorted(ideal) };
        [self.focal_px * x + self.centre[0], self.focal_px * y + self.centre[1]]
    }

    /// Focal length, px.
    pub(super) fn focal_px(&self) -> f64 {
        self.focal_px
    }

    /// The direction in which the picture shows a surface's normal at a place where it is square to the line of sight: unit
    /// vector in the pinhole's coordinates. Zero for a normal along the line of sight.
    pub(super) fn flat_normal(&self, point: Vector, normal: Vector) -> [f64; 2] {
        let [x, y, z] = self.turned(sub(point, self.at));
        let [nx, ny, nz] = self.turned(normal);
        // The picture of p + h n, divided through by h.
        let (dx, dy) = (nx - nz * x / z, ny - nz * y / z);
        let length = dx.hypot(dy);
        if length > 1e-12 { [dx / length, dy / length] } else { [0.0; 2] }
    }
}
