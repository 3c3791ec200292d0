//! A camera in a builder's words: how far, how high, from which side, how it was held.

use desk::photographs::FoundCamera;
use project::document::Document;

/// Where a photograph was taken from. Lengths in mm at the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pose {
    /// To the middle of the landmarks.
    pub(super) distance_mm: f64,
    /// Above what is taken for level 0; below it negative.
    pub(super) height_mm: f64,
    /// Seen from above, from the middle of the landmarks: 0 is ahead, 90 abeam, 180 astern.
    pub(super) from_ahead_deg: f64,
    pub(super) to_port: bool,
    /// Above the horizontal through the middle of the landmarks.
    pub(super) above_deg: f64,
    /// Turned about its own line of sight: positive is leaning to its left, so that the picture leans to the right.
    pub(super) leans_deg: f64,
    pub(super) sigma: PoseSigma,
}

/// Standard deviations of the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct PoseSigma {
    pub(super) distance_mm: f64,
    pub(super) height_mm: f64,
    pub(super) bearing_deg: f64,
    pub(super) above_deg: f64,
    pub(super) leans_deg: f64,
}

/// Where the eye's place begins in a resection's covariance (after three turns).
const EYE: usize = 3;

impl Pose {
    /// Of a camera that was found; heights count from `level`, mm.
    pub(super) fn of(found: &FoundCamera, level: f64) -> Self {
        let (resection, camera) = (&found.resection, &found.resection.camera.camera);
        let eye = camera.eye();
        let middle = middle(&found.places);
        let [x, y, z] = [0, 1, 2].map(|k| eye[k] - middle[k]);
        let level_mm = x.hypot(y).max(1e-9);
        let distance_mm = level_mm.hypot(z);
        let off = |along: [f64; 3]| {
            let square: f64 = (0..3)
                .flat_map(|i| (0..3).map(move |j| (i, j)))
                .map(|(i, j)| along[i] * along[j] * resection.covariance[(EYE + i, EYE + j)])
                .sum();
            square.max(0.0).sqrt()
        };
        let bearing = off([-y / level_mm, x / level_mm, 0.0]) / level_mm;
        let along = [x / level_mm, y / level_mm];
        let climb = [-along[0] * z / distance_mm, -along[1] * z / distance_mm, level_mm / distance_mm];
        let up = camera.rotation.column(2);
        Self {
            distance_mm,
            height_mm: eye[2] - level,
            from_ahead_deg: y.abs().atan2(-x).to_degrees(),
            to_port: y < 0.0,
            above_deg: z.atan2(level_mm).to_degrees(),
            leans_deg: up[0].atan2(-up[1]).to_degrees(),
            sigma: PoseSigma {
                distance_mm: resection.sigmas.distance_mm,
                height_mm: off([0.0, 0.0, 1.0]),
                bearing_deg: bearing.to_degrees(),
                above_deg: (off(climb) / distance_mm).to_degrees(),
                leans_deg: resection.sigmas.turn_deg[2],
            },
        }
    }
}

fn middle(places: &[[f64; 3]]) -> [f64; 3] {
    let count = places.len().max(1) as f64;
    [0, 1, 2].map(|k| places.iter().map(|at| at[k]).sum::<f64>() / count)
}

/// The height that "above" and "below" count from, and what it is called: the shaft where there is one, else the datum.
pub(super) fn shaft_height(document: &Document) -> (f64, &'static str) {
    match &document.airframe.thrust {
        Some(thrust) => (thrust.hub_height, "the hub"),
        None => (0.0, "the datum"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use photo::resection::{Landmark, Start, resect};
    use photo::{Camera, Lens, PictureCamera};

    /// A camera 6000 mm from the landmarks' middle, 60° from ahead to port and 10° above, the picture held level: its own
    /// numbers are the answer.
    #[test]
    fn a_known_place_is_told_in_words() {
        let places: Vec<[f64; 3]> =
            (0..8).map(|k| [0, 1, 2].map(|axis| if k >> axis & 1 == 1 { 200.0 } else { -200.0 })).collect();
        let (sin, cos) = 60_f64.to_radians().sin_cos();
        let (up, level) = 10_f64.to_radians().sin_cos();
        let eye = [-6000.0 * level * cos, -6000.0 * level * sin, 6000.0 * up];
        let camera = Camera::look_at(eye, [0.0; 3], 5000.0, [800.0, 500.0]).expect("it looks");
        let truth = PictureCamera { camera, lens: Lens::NONE };
        let landmark = |(k, at): (usize, &[f64; 3])| Landmark {
            name: k.to_string(),
            at: *at,
            sigma_mm: 0.0,
            pixel: truth.project(*at).expect("before the camera"),
            sigma_px: 1.0,
        };
        let landmarks: Vec<Landmark> = places.iter().enumerate().map(landmark).collect();
        let resection = resect(&landmarks, &Start::centred([1600, 1000], None)).expect("a camera");
        let found = FoundCamera { resection, landmarks: (0..8).collect(), places, lens: None };
        let pose = Pose::of(&found, 100.0);
        assert!((pose.distance_mm - 6000.0).abs() < 0.01, "{pose:?}");
        assert!((pose.height_mm - (6000.0 * up - 100.0)).abs() < 0.01, "{pose:?}");
        assert!((pose.from_ahead_deg - 60.0).abs() < 1e-4 && pose.to_port, "{pose:?}");
        assert!((pose.above_deg - 10.0).abs() < 1e-4 && pose.leans_deg.abs() < 1e-4, "{pose:?}");
        let sigma = pose.sigma;
        let all = [sigma.distance_mm, sigma.height_mm, sigma.bearing_deg, sigma.above_deg, sigma.leans_deg];
        assert!(all.iter().all(|s| s.is_finite() && *s > 0.0), "{sigma:?}");
    }
}
