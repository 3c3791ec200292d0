//! Where the line of sight through a pixel meets what something may move in.

use photo::PictureCamera;
use project::edit::Refused;

/// Sine of the angle between line of sight and plane below which the plane is seen edge on: about 3°.
const EDGE_ON: f64 = 0.05;

/// The line of sight through a pixel.
pub(super) struct SightLine {
    eye: [f64; 3],
    along: [f64; 3],
}

impl SightLine {
    pub(super) fn through(camera: &PictureCamera, pixel: [f64; 2]) -> Result<Self, Refused> {
        let none = || Refused::new("The lens shows nothing there.", "Stay within the picture.");
        let along = camera.sight(pixel).ok_or_else(none)?;
        Ok(Self { eye: camera.camera.eye(), along })
    }

    /// Where it meets the plane in which one coordinate has a value; `None` where the plane is seen edge on or lies behind the
    /// camera.
    pub(super) fn on_plane(&self, axis: usize, value: f64) -> Option<[f64; 3]> {
        let way = (value - self.eye[axis]) / self.along[axis];
        let seen = self.along[axis].abs() > EDGE_ON && way > 0.0 && way.is_finite();
        seen.then(|| std::array::from_fn(|k| if k == axis { value } else { self.eye[k] + way * self.along[k] }))
    }

    /// The value of one coordinate, the others being those of `point`, at which a place comes nearest to the line of sight;
    /// `None` where the line of sight runs along that coordinate.
    pub(super) fn along_axis(&self, axis: usize, point: [f64; 3]) -> Option<f64> {
        // Nearest places of two straight lines: the part of the way between them that is square to the line of sight.
        let along = self.along[axis];
        let square = 1.0 - along * along;
        let from: [f64; 3] = std::array::from_fn(|k| self.eye[k] - point[k]);
        let ahead: f64 = (0..3).map(|k| from[k] * self.along[k]).sum();
        (square > EDGE_ON * EDGE_ON).then(|| point[axis] + (from[axis] - ahead * along) / square)
    }
}

/// How far from a pixel a place is shown, px; infinite where it is not shown.
pub(super) fn miss(camera: &PictureCamera, point: [f64; 3], pixel: [f64; 2]) -> f64 {
    camera.project(point).map_or(f64::INFINITY, |at| (at[0] - pixel[0]).hypot(at[1] - pixel[1]))
}

/// A plane is seen edge on.
pub(super) fn edge_on(what: &str) -> Refused {
    Refused::new(
        format!("In this picture {what} is seen edge on, so a pull would not tell how far to go."),
        "Pull in a picture from another side, or in the drawing.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use photo::Camera;

    #[test]
    fn the_line_of_sight_meets_planes_and_axes_where_the_point_is() {
        let camera = Camera::look_at([-900.0, 700.0, 400.0], [100.0, 0.0, 0.0], 3000.0, [2000.0, 1500.0]).unwrap();
        let camera = PictureCamera::from(camera);
        let point = [80.0, 40.0, -25.0];
        let line = SightLine::through(&camera, camera.project(point).unwrap()).unwrap();
        for axis in 0..3 {
            let met = line.on_plane(axis, point[axis]).unwrap();
            assert!((0..3).all(|k| (met[k] - point[k]).abs() < 1e-8), "{met:?}");
            let mut moved = point;
            moved[axis] += 33.0;
            assert!((line.along_axis(axis, moved).unwrap() - point[axis]).abs() < 1e-8);
        }
    }
}
