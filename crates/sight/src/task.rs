//! What the builder gives: photographs with what is traced on them, landmarks, and how far each is trusted.

use crate::error::SightError;
use crate::shape::Model;
use photo::Camera;

/// A thing whose place on the machine is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Landmark {
    /// What the builder calls it.
    pub name: String,
    /// Where it is said to lie: x aft, y to starboard, z up, mm.
    pub place: [f64; 3],
    /// How far that is trusted, one standard deviation along each axis, mm; 0 is exact.
    pub sigma: [f64; 3],
}

/// A landmark marked on a photograph.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sighting {
    /// Index into the landmarks.
    pub landmark: usize,
    /// Where it is seen, px.
    pub pixel: [f64; 2],
}

/// How far a photograph's camera is trusted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CameraTrust {
    /// As it is; landmarks say nothing.
    Exact,
    /// It is only where the search begins; the landmarks and the form itself say where it stands.
    Sought {
        /// Trust in the focal length that the camera has: one standard deviation as a share of it, 0.02 for 2 %.
        focal_share: f64,
    },
}

/// A line of the surface at a known station: a panel line, an edge of paint, the end of the form.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// mm aft of the datum.
    pub station: f64,
    /// Points of it that are seen, px.
    pub pixels: Vec<[f64; 2]>,
}

/// One photograph. Its pixels are those of a pinhole camera: a lens's distortion is taken off before.
#[derive(Clone, Debug, PartialEq)]
pub struct Photograph {
    /// Where it was taken from, in the axes and the scale of the form.
    pub camera: Camera,
    /// How far the camera is trusted.
    pub trust: CameraTrust,
    /// Landmarks marked on it.
    pub sightings: Vec<Sighting>,
    /// Points of the outline against the background, in order along it, px.
    pub outline: Vec<[f64; 2]>,
    /// Seams at known stations.
    pub seams: Vec<Seam>,
    /// How closely the outline is traced, one standard deviation, px.
    pub outline_sigma: f64,
    /// How closely seams are traced, px.
    pub seam_sigma: f64,
    /// How closely landmarks are marked, px along each axis.
    pub landmark_sigma: f64,
}

impl Photograph {
    /// A photograph with nothing on it yet, traced to one pixel.
    pub fn new(camera: Camera, trust: CameraTrust) -> Self {
        Self {
            camera,
            trust,
            sightings: Vec::new(),
            outline: Vec::new(),
            seams: Vec::new(),
            outline_sigma: 1.0,
            seam_sigma: 1.0,
            landmark_sigma: 1.0,
        }
    }

    pub(crate) fn is_sought(&self) -> bool {
        self.trust != CameraTrust::Exact
    }
}

/// All that a solve is given.
#[derive(Clone, Debug)]
pub struct Task {
    /// The form: known lines, and the unknown functions with their priors.
    pub model: Model,
    /// Landmarks, shared by all photographs.
    pub landmarks: Vec<Landmark>,
    /// The photographs.
    pub photographs: Vec<Photograph>,
}

/// Landmarks below which a camera is not sought.
pub(crate) const FEWEST_LANDMARKS: usize = 4;

impl Task {
    /// # Errors
    /// What no solve can use: nothing traced, numbers that are not finite, trust that is not above zero, seams outside the
    /// form, too few landmarks for a camera that is sought, a form behind its camera.
    pub fn check(&self) -> Result<(), SightError> {
        if self.photographs.iter().all(|p| p.outline.is_empty() && p.seams.iter().all(|s| s.pixels.is_empty())) {
            return Err(SightError::NothingTraced);
        }
        if self.model.unknowns() == 0 && !self.photographs.iter().any(Photograph::is_sought) {
            return Err(SightError::NothingUnknown);
        }
        self.landmarks.iter().try_for_each(check_landmark)?;
        self.photographs.iter().enumerate().try_for_each(|(i, p)| self.check_photograph(i + 1, p))
    }

    fn check_photograph(&self, number: usize, photograph: &Photograph) -> Result<(), SightError> {
        check_numbers(number, photograph)?;
        let (low, high) = self.model.range();
        let slack = 1e-6 * (high - low);
        let outside = |s: &&Seam| !(s.station >= low - slack && s.station <= high + slack);
        if let Some(seam) = photograph.seams.iter().find(outside) {
            return Err(SightError::SeamOutside { photograph: number, station: seam.station, low, high });
        }
        if photograph.sightings.iter().any(|s| s.landmark >= self.landmarks.len()) {
            return Err(SightError::NoSuchLandmark(number));
        }
        let mut seen: Vec<usize> = photograph.sightings.iter().map(|s| s.landmark).collect();
        seen.sort_unstable();
        seen.dedup();
        if photograph.is_sought() && seen.len() < FEWEST_LANDMARKS {
            return Err(SightError::CameraOpen { photograph: number, sightings: seen.len() });
        }
        let sketch = self.model.sketch();
        let corners = [low, high].into_iter().flat_map(|x| {
            let (top, bottom, side) = (sketch.crown.at(x).value, sketch.keel.at(x).value, sketch.breadth.at(x).value);
            [side, -side].into_iter().flat_map(move |y| [[x, y, top], [x, y, bottom]])
        });
        let before = |c: [f64; 3]| photograph.camera.depth(c) > 0.0;
        if !corners.into_iter().all(before) {
            return Err(SightError::CameraBehind(number));
        }
        Ok(())
    }
}

fn check_landmark(landmark: &Landmark) -> Result<(), SightError> {
    let finite = landmark.place.iter().chain(&landmark.sigma).all(|v| v.is_finite());
    if !finite {
        return Err(SightError::NotFinite(format!("landmark \"{}\"", landmark.name)));
    }
    if landmark.sigma.iter().any(|s| *s < 0.0) {
        return Err(SightError::NotPositive(format!("the trust in landmark \"{}\"", landmark.name)));
    }
    Ok(())
}

fn check_numbers(number: usize, photograph: &Photograph) -> Result<(), SightError> {
    let what = |part: &str| format!("photograph {number}: {part}");
    let pixels = |mut all: std::slice::Iter<'_, [f64; 2]>| all.all(|p| p[0].is_finite() && p[1].is_finite());
    let camera = &photograph.camera;
    let numbers = camera.rotation.iter().chain(camera.translation.iter()).chain(&camera.centre);
    if !numbers.chain([&camera.focal_px]).all(|v| v.is_finite()) {
        return Err(SightError::NotFinite(what("its camera")));
    }
    if !pixels(photograph.outline.iter()) {
        return Err(SightError::NotFinite(what("its outline")));
    }
    if !photograph.seams.iter().all(|s| s.station.is_finite() && pixels(s.pixels.iter())) {
        return Err(SightError::NotFinite(what("a seam")));
    }
    if !photograph.sightings.iter().all(|s| s.pixel.iter().all(|v| v.is_finite())) {
        return Err(SightError::NotFinite(what("a marked landmark")));
    }
    let above = |v: f64| v.is_finite() && v > 0.0;
    let focal_trust = match photograph.trust {
        CameraTrust::Exact => 1.0,
        CameraTrust::Sought { focal_share } => focal_share,
    };
    let trusts = [
        (camera.focal_px, "the focal length"),
        (photograph.outline_sigma, "the closeness of the outline"),
        (photograph.seam_sigma, "the closeness of seams"),
        (photograph.landmark_sigma, "the closeness of landmarks"),
        (focal_trust, "the trust in the focal length"),
    ];
    let bad = trusts.into_iter().find(|(v, _)| !above(*v));
    bad.map_or(Ok(()), |(_, part)| Err(SightError::NotPositive(what(part))))
}
