//! What a solve found, made ready to be drawn and read: all that takes time, on the thread of the solve.

use crate::floor::solved::ribbon::{self, Ribbon};
use desk::photographs::words::{self, Words};
use desk::photographs::{Breadth, FoundCamera, Solved};
use form::Lofted;
use form::seen::{Sight, silhouette};
use photo::PictureCamera;
use project::document::{Document, Form, LineName};
use project::photograph::{Photograph, Traced};
use sight::shape::Place;
use sight::solution::{CameraAfter, Grade, Observation};
use sight::traced::Trace;
use std::sync::Arc;
use std::time::Duration;

/// A solve's result and what is drawn of it. Nothing of the project has changed by it.
pub(crate) struct Found {
    pub(crate) solved: Solved,
    /// What it was solved from.
    pub(crate) document: Arc<Document>,
    pub(crate) breadth: Breadth,
    /// Sections with their band, by station: those that are told, and the control sections, of both forms.
    pub(crate) sections: Vec<(f64, Ribbon)>,
    /// The lines that were solved.
    pub(crate) lines: Vec<(LineName, Ribbon)>,
    /// The photographs that took part, in the order of [`Solved::used`].
    pub(crate) photographs: Vec<SolvedPhotograph>,
    pub(crate) findings: Vec<Words>,
    /// What would help, best first, with the share of the band that it would leave.
    pub(crate) advice: Vec<(String, f64)>,
    pub(crate) took: Duration,
}

/// A photograph after a solve, in its own pixels, lens and all.
pub(crate) struct SolvedPhotograph {
    pub(crate) picture: usize,
    /// The solved form against the background.
    pub(crate) outline: Vec<Vec<[f64; 2]>>,
    pub(crate) residuals: Vec<Residual>,
    pub(crate) camera: CameraMove,
}

/// A traced point and how far it lies from the solved form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Residual {
    pub(crate) at: [f64; 2],
    /// From the point to the solved outline or seam, px; `None` where the form has none for it.
    pub(crate) to_form: Option<[f64; 2]>,
    pub(crate) left_out: bool,
}

/// By how much a camera moved from what its landmarks alone had said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CameraMove {
    /// The eye, mm.
    pub(crate) eye_mm: f64,
    /// All round, degrees.
    pub(crate) turn_deg: f64,
    /// Focal length before and after, px.
    pub(crate) focal_px: [f64; 2],
    /// Largest distance of a landmark on the photograph, px.
    pub(crate) landmarks_px: f64,
}

impl Found {
    pub(crate) fn new(solved: Solved, document: Arc<Document>, breadth: Breadth, took: Duration) -> Self {
        let forms = [&document, &Arc::new(solved.after.clone())].map(|d| d.forms.first().cloned());
        let lofted: Vec<(Arc<Form>, Lofted)> =
            forms.into_iter().flatten().map(|form| (form.clone(), form::loft(&form))).collect();
        let (mut sections, mut lines, mut photographs) = (Vec::new(), Vec::new(), Vec::new());
        if let [(drawn, before), (accepted, after)] = lofted.as_slice() {
            sections = ribbons(&solved, [drawn, accepted], [before, after]);
            let both = [LineName::Breadth, LineName::BreadthHeight];
            let line = |name| ribbon::line(&solved, [before, after], name).map(|ribbon| (name, ribbon));
            lines = both.into_iter().filter_map(line).collect();
            let all = 0..solved.used.len();
            photographs = all.filter_map(|n| photograph(&solved, &document, n, (accepted, after))).collect();
        }
        let findings = words::findings(&document, &solved);
        let advice = solved.advice.iter().map(|a| (words::advice(&document, &solved, a), a.then / a.now)).collect();
        Self { solved, document, breadth, sections, lines, photographs, findings, advice, took }
    }

    /// The solved section at a station, if it is told there.
    pub(crate) fn section(&self, x: f64) -> Option<&Ribbon> {
        self.sections.iter().find(|(at, _)| (at - x).abs() < NEAR).map(|(_, ribbon)| ribbon)
    }

    /// The station that changes most.
    pub(crate) fn most_changed(&self) -> Option<f64> {
        let all = self.solved.stations.iter();
        all.max_by(|a, b| a.greatest_change().total_cmp(&b.greatest_change())).map(|s| s.station)
    }

    /// How much of all half-breadths at a told station the photographs say.
    pub(crate) fn grade(station: &desk::photographs::StationChange) -> Grade {
        let prior = station.rows.iter().map(|r| r.prior_sigma.powi(2)).sum::<f64>();
        let left = station.rows.iter().map(|r| r.sigma.powi(2)).sum::<f64>();
        Grade::of((left / prior).sqrt())
    }

    pub(crate) fn picture_name(&self, picture: usize) -> &str {
        self.document.pictures.get(picture).map_or("picture", |p| p.name.as_str())
    }
}

/// A station this near is the same, mm.
pub(crate) const NEAR: f64 = 1e-3;

fn ribbons(solved: &Solved, forms: [&Form; 2], [before, after]: [&Lofted; 2]) -> Vec<(f64, Ribbon)> {
    let (Some(before), Some(after)) = (&before.skin, &after.skin) else { return Vec::new() };
    let told = solved.stations.iter().map(|s| s.station);
    let control = forms.into_iter().flat_map(|form| form.sections.iter().map(|s| s.station));
    let mut stations: Vec<f64> = told.chain(control).collect();
    stations.sort_by(f64::total_cmp);
    stations.dedup_by(|b, a| (*b - *a).abs() < NEAR);
    let ribbon = |x| ribbon::section(solved, [before.loft(), after.loft()], x).map(|ribbon| (x, ribbon));
    stations.into_iter().filter_map(ribbon).collect()
}

fn photograph(
    solved: &Solved,
    document: &Document,
    number: usize,
    (form, lofted): (&Form, &Lofted),
) -> Option<SolvedPhotograph> {
    let (used, after) = (solved.used.get(number)?, solved.solution.cameras().get(number)?);
    let marked = &document.pictures.get(used.picture)?.photograph;
    let outline = silhouette(lofted, form, &PictureCamera::from(after.camera)).into_iter();
    let against_background = outline.flat_map(|curve| {
        let places: Vec<Option<[f64; 2]>> = curve
            .iter()
            .map(|p| p.pixel.filter(|_| p.sight == Sight::Outline).and_then(|pixel| bent(&used.camera, pixel)))
            .collect();
        runs(&places)
    });
    let mine = solved.solution.observations().iter().filter(|o| o.photograph == number);
    let residual = |o: &Observation| {
        let at = traced_pixel(marked, o)?;
        let shape = solved.solution.shape();
        let place = o.spot.and_then(|spot| shape.place(spot.x, spot.angle));
        let nearest = place.and_then(|place| {
            let straight = used.camera.resection.camera.straightened(at)?;
            bent(&used.camera, nearest(&after.camera, &place, o.trace, straight)?)
        });
        let to_form = nearest.map(|p| [p[0] - at[0], p[1] - at[1]]);
        Some(Residual { at, to_form, left_out: o.left_out })
    };
    Some(SolvedPhotograph {
        picture: used.picture,
        outline: against_background.collect(),
        residuals: mine.filter_map(residual).collect(),
        camera: camera_move(&used.camera, after),
    })
}

/// Where the solved form comes nearest to a traced pixel, both as a pinhole shows them.
///
/// The place that an outline's pixel was given to slides along the outline; only its distance square to it counts. The plane
/// through the eye that touches the form there shows as that line: its normal in the picture is the surface's as the camera
/// turns it.
fn nearest(camera: &photo::Camera, place: &Place, of: Trace, pixel: [f64; 2]) -> Option<[f64; 2]> {
    let seen = camera.project(place.point.into())?;
    if of != Trace::Outline {
        return Some(seen);
    }
    let turned = camera.rotation * place.normal();
    let length = turned.x.hypot(turned.y);
    let normal = [turned.x / length, turned.y / length];
    let off = (0..2).map(|i| normal[i] * (seen[i] - pixel[i])).sum::<f64>();
    off.is_finite().then(|| [0, 1].map(|i| pixel[i] + off * normal[i]))
}

/// Where the picture, taken through its lens, shows what a pinhole would show at a pixel.
fn bent(found: &FoundCamera, pixel: [f64; 2]) -> Option<[f64; 2]> {
    let taken = &found.resection.camera;
    taken.lens.bent(pixel, taken.camera.centre, taken.camera.focal_px)
}

/// Stretches without a gap, of two places at least.
fn runs(places: &[Option<[f64; 2]>]) -> Vec<Vec<[f64; 2]>> {
    let stretches = places.split(Option::is_none).map(|run| run.iter().flatten().copied().collect::<Vec<_>>());
    stretches.filter(|run| run.len() > 1).collect()
}

/// The pixel of an observation: outlines count through all traces of the outline, seams one by one.
fn traced_pixel(photograph: &Photograph, o: &Observation) -> Option<[f64; 2]> {
    let traces = photograph.traces.iter();
    match o.trace {
        Trace::Outline => {
            let outlines = traces.filter(|t| t.of == Traced::Outline).flat_map(|t| &t.points);
            outlines.copied().nth(o.index)
        }
        Trace::Seam(seam) => {
            let mut seams = traces.filter(|t| matches!(t.of, Traced::Seam { .. }));
            seams.nth(seam)?.points.get(o.index).copied()
        }
    }
}

fn camera_move(found: &FoundCamera, after: &CameraAfter) -> CameraMove {
    let (before, now) = (&found.resection.camera.camera, &after.camera);
    let (a, b) = (before.eye(), now.eye());
    let eye_mm = (0..3).map(|i| (b[i] - a[i]).powi(2)).sum::<f64>().sqrt();
    // The angle of the rotation from one to the other: its trace is 1 + 2 cos.
    let cosine = 0.5 * ((now.rotation * before.rotation.transpose()).trace() - 1.0);
    CameraMove {
        eye_mm,
        turn_deg: cosine.clamp(-1.0, 1.0).acos().to_degrees(),
        focal_px: [before.focal_px, now.focal_px],
        landmarks_px: after.sightings_px.iter().map(|[x, y]| x.hypot(*y)).fold(0.0, f64::max),
    }
}
