//! From the document to what is solved: the form as drawn, its landmarks, and every photograph that can say something.

use super::camera::{CameraFailure, FoundCamera, camera};
use super::quarter::{UnitQuarter, superelliptic};
use form::Lofted;
use geometry::line::{Line, LineEnd, LinePoint, Pass};
use project::document::{Document, Form, LineName, Picture, SectionShape};
use project::edit::Refused;
use project::photograph::Traced;
use sight::drawn::Drawn;
use sight::sketch::{Priors, Sketch};
use sight::task::{CameraTrust, Landmark, Photograph, Seam, Sighting, Task};
use sight::{Model, SightError};

/// What may be changed by a solve.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Breadth {
    /// The breadth line may be wrong: it is solved with the sections.
    #[default]
    Sought,
    /// The breadth line is known and stays as it is.
    Known,
}

/// A picture that takes no part in a solve, and why.
#[derive(Clone, Debug)]
pub struct LeftOut {
    /// Index of the picture.
    pub picture: usize,
    /// Why.
    pub why: WhyLeftOut,
}

/// Why a picture takes no part in a solve.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum WhyLeftOut {
    /// Nothing is traced in it.
    #[error("nothing is traced in it")]
    NothingTraced,
    /// Its camera is not known.
    #[error("{0}")]
    NoCamera(CameraFailure),
    /// Its lens shows nothing where something is traced.
    #[error("its lens shows nothing where a trace runs: mark its straight lines again")]
    OutsideLens,
}

/// Why nothing can be solved.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SolveFailure {
    /// There is no form.
    #[error("This project has no form.")]
    NoForm,
    /// Nothing of the form is drawn.
    #[error(
        "The form \"{form}\" is not drawn yet. Trace its upper and its lower edge in a picture of the side, say on the bench where \
         it begins and ends, and begin the form from the photographs; then solve."
    )]
    NotBegun {
        /// Its name.
        form: String,
    },
    /// The form as drawn gives no skin to start from.
    #[error(
        "The form \"{form}\" cannot be lofted yet ({reason}). Draw crown, keel, breadth and breadth height, and the first and \
         the last control section: the photographs say what lies between."
    )]
    NotLofted {
        /// Its name.
        form: String,
        /// What is wrong with it.
        reason: String,
    },
    /// One name stands at two places.
    #[error(
        "The landmark \"{name}\" lies at one place in {first} and at another in {second}. One name is one thing: give one of \
         them another name, or the same place."
    )]
    TwoPlaces {
        /// The landmark.
        name: String,
        /// A picture.
        first: String,
        /// Another one.
        second: String,
    },
    /// More is traced than can be weighed in a reasonable time.
    #[error("{points} points are traced in all. Leave out some: {most} are plenty, one every few pixels is enough.")]
    TooManyPoints {
        /// So many.
        points: usize,
        /// The most.
        most: usize,
    },
    /// No picture can be used.
    #[error("No photograph can be used. {0}")]
    NoPhotograph(String),
    /// Accepting it would break what the document promises.
    #[error("The solved sections cannot be put into the project. {0}")]
    Refused(#[from] Refused),
    /// The solved form cannot be lofted.
    #[error("The solved form cannot be lofted. Look at what is traced, and at the first and last control section.")]
    Unlofted,
    /// What the photographs say makes no sound form.
    #[error(
        "What is picked and traced leads to a form that cannot be built{station}: {what} Landmarks, outline and drawn lines \
         contradict each other: look at the cameras' residuals, then at the traces."
    )]
    Unsound {
        /// What is wrong with it, a sentence.
        what: String,
        /// Where.
        station: String,
    },
    /// The solve was refused or given up.
    #[error("The sections cannot be solved: {0}.")]
    Sight(#[from] SightError),
    /// The solve was refused for a picture.
    #[error("The sections cannot be solved. {picture}: {why}.")]
    Picture {
        /// Its name.
        picture: String,
        /// Why.
        why: SightError,
    },
}

/// A photograph that takes part.
#[derive(Clone, Debug)]
pub struct Used {
    /// Index of the picture.
    pub picture: usize,
    /// Its camera from the landmarks alone.
    pub camera: FoundCamera,
}

/// Everything that a solve needs.
#[derive(Clone, Debug)]
pub(super) struct Gathered {
    pub(super) task: Task,
    pub(super) used: Vec<Used>,
    pub(super) left_out: Vec<LeftOut>,
}

/// Trust in a focal length of which nothing is known, as a share of what the landmarks say.
const LOOSE_FOCAL: f64 = 0.3;
/// A focal length that is held may still move by this share.
const HELD_FOCAL: f64 = 1e-5;
/// How far real sections may depart from superelliptic ones, as a share of their half box: what keeps the band honest for them.
/// What is traced says whether they do.
const DEPARTURE: f64 = 0.01;
/// A control section this near to an end, as a share of the length, is that end's.
const AT_END: f64 = 1e-3;
/// The most points that are traced in all photographs: a solve's time grows with them.
const MOST_POINTS: usize = 3000;
/// Landmarks of one name lie no farther apart than this, mm.
const SAME_PLACE: f64 = 1e-3;
/// Stations at which the drawn form's fullness is read.
const LOOKS: usize = 16;

pub(super) fn gather(document: &Document, breadth: Breadth) -> Result<Gathered, SolveFailure> {
    let form = document.forms.first().ok_or(SolveFailure::NoForm)?;
    if LineName::ALL.iter().all(|name| form.lines.get(*name).points.is_empty()) {
        return Err(SolveFailure::NotBegun { form: form.name.clone() });
    }
    check_traces(document)?;
    let lofted = form::loft(form);
    let sketch = sketch(form, &lofted)?;
    let usual = Priors::usual(document.model_scale, breadth == Breadth::Known);
    let ends_given = ends_given(form, &lofted, sketch.range());
    let drawn = drawn(&sketch, &lofted);
    let priors = Priors { departure: DEPARTURE, departure_learnt: true, ends_given, ..usual };
    let model = Model::holding(sketch, priors, &given(form))?;
    let model = drawn.into_iter().fold(model, Model::with_drawn);
    let (mut used, mut left_out, mut photographs, mut landmarks) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for (index, picture) in document.pictures.iter().enumerate() {
        match photograph(document, picture, &model, &mut landmarks) {
            Ok((found, photograph)) => {
                used.push(Used { picture: index, camera: found });
                photographs.push(photograph);
            }
            Err(why) => left_out.push(LeftOut { picture: index, why }),
        }
    }
    if photographs.is_empty() {
        let each = left_out
            .iter()
            .map(|l| format!("{}: {}.", document.pictures[l.picture].name, l.why.to_string().trim_end_matches('.')));
        let all = each.collect::<Vec<_>>().join(" ");
        let none = "There are no pictures: add photographs in the editor.".to_owned();
        return Err(SolveFailure::NoPhotograph(if all.is_empty() { none } else { all }));
    }
    check_names(document, &used)?;
    Ok(Gathered { task: Task { model, landmarks, photographs }, used, left_out })
}

/// Stations whose sections are pinned to measured points.
fn given(form: &Form) -> Vec<f64> {
    let pinned = form.sections.iter().filter(|s| matches!(s.shape, SectionShape::Pinned(_)));
    pinned.map(|s| s.station).collect()
}

/// What the drawn form has beside the superellipses of the sketch; `None` where it cannot be lofted.
fn drawn(sketch: &Sketch, lofted: &Lofted) -> Option<Drawn> {
    let loft = lofted.skin.as_ref()?.loft();
    let radii = |x: f64, angles: &[f64]| {
        let quarters = UnitQuarter::of(&loft.section(x)?)?;
        let exponents = [sketch.above.at(x).value, sketch.below.at(x).value];
        let half = |k: usize| {
            angles.iter().map(|a| quarters[k].radius(*a) / superelliptic(*a, exponents[k])).collect::<Vec<f64>>()
        };
        Some([half(0), half(1)])
    };
    Some(Drawn::read(sketch.range(), radii))
}

/// Whether nothing deviates at an end: it has a control section of its own, or is a point or an edge, where the lines meet.
fn ends_given(form: &Form, lofted: &Lofted, (low, high): (f64, f64)) -> [bool; 2] {
    let loft = lofted.skin.as_ref().map(|skin| skin.loft());
    [low, high].map(|end| {
        let own = form.sections.iter().any(|s| (s.station - end).abs() < AT_END * (high - low));
        let shaped = loft.and_then(|l| l.section(end)).and_then(|s| UnitQuarter::of(&s)).is_some();
        own || !shaped
    })
}

/// The lines of the form, and the fullness of its sections as they are drawn.
fn sketch(form: &Form, lofted: &Lofted) -> Result<Sketch, SolveFailure> {
    let not_lofted = |reason: String| SolveFailure::NotLofted { form: form.name.clone(), reason };
    let findings = || lofted.findings.iter().map(|f| f.what.clone()).collect::<Vec<_>>().join(" ");
    let skin = lofted.skin.as_ref().ok_or_else(|| not_lofted(findings()))?;
    let line = |name| form::line(form.lines.get(name)).map_err(|e| not_lofted(e.to_string()));
    let (low, high) = skin.loft().x_range();
    let at = |i: usize| low + (high - low) * i as f64 / LOOKS as f64;
    let read = |x: f64| skin.loft().section(x).and_then(|s| UnitQuarter::of(&s)).map(|q| (x, q.map(|q| q.exponent())));
    let read: Vec<(f64, [f64; 2])> = (0..=LOOKS).filter_map(|i| read(at(i))).collect();
    let fullness = |half: usize| level_line(&read, half, (low, high)).ok_or_else(|| not_lofted("no section".into()));
    Ok(Sketch {
        crown: line(LineName::Crown)?,
        keel: line(LineName::Keel)?,
        breadth: line(LineName::Breadth)?,
        breadth_height: line(LineName::BreadthHeight)?,
        above: fullness(0)?,
        below: fullness(1)?,
    })
}

/// Through what was read at stations, level at both ends, where the nearest reading stands for ends that are points.
fn level_line(read: &[(f64, [f64; 2])], half: usize, (low, high): (f64, f64)) -> Option<Line> {
    let (first, last) = (read.first()?, read.last()?);
    let mut points: Vec<LinePoint> = Vec::new();
    let ends = [(low, first.1[half])].into_iter();
    let inner = read.iter().filter(|(x, _)| *x > low && *x < high).map(|(x, n)| (*x, n[half]));
    for (x, value) in ends.chain(inner).chain([(high, last.1[half])]) {
        let pass = if x == low || x == high { Pass::Slope(0.0) } else { Pass::Smooth };
        points.push(LinePoint { x, value, pass });
    }
    Line::new(&points, LineEnd::Free, LineEnd::Free).ok()
}

fn photograph(
    document: &Document,
    picture: &Picture,
    model: &Model,
    landmarks: &mut Vec<Landmark>,
) -> Result<(FoundCamera, Photograph), WhyLeftOut> {
    if picture.photograph.traces.is_empty() {
        return Err(WhyLeftOut::NothingTraced);
    }
    let found = camera(document, picture).map_err(WhyLeftOut::NoCamera)?;
    let (start, trust) = start(picture, &found, model);
    let mut photograph = Photograph::new(start, trust);
    photograph.landmark_sigma = picture.photograph.picked_px;
    (photograph.outline_sigma, photograph.seam_sigma) = (picture.photograph.traced_px, picture.photograph.traced_px);
    let straight = |pixel: [f64; 2]| found.resection.camera.straightened(pixel).ok_or(WhyLeftOut::OutsideLens);
    for (fit, (index, place)) in found.resection.landmarks.iter().zip(found.landmarks.iter().zip(&found.places)) {
        if fit.used {
            let picked = &picture.photograph.landmarks[*index];
            let landmark = Landmark { name: picked.name.clone(), place: *place, sigma: [picked.trust_mm; 3] };
            let pixel = straight(picked.pixel)?;
            photograph.sightings.push(Sighting { landmark: shared(landmarks, landmark), pixel });
        }
    }
    for trace in &picture.photograph.traces {
        let pixels = trace.points.iter().map(|p| straight(*p)).collect::<Result<Vec<_>, _>>()?;
        match trace.of {
            Traced::Outline => photograph.outline.extend(pixels),
            Traced::Seam { station } => photograph.seams.push(Seam { station, pixels }),
        }
    }
    Ok((found, photograph))
}

/// What is traced is no more than can be weighed.
fn check_traces(document: &Document) -> Result<(), SolveFailure> {
    let traces = document.pictures.iter().flat_map(|p| &p.photograph.traces);
    let points = traces.map(|t| t.points.len()).sum();
    if points > MOST_POINTS { Err(SolveFailure::TooManyPoints { points, most: MOST_POINTS }) } else { Ok(()) }
}

/// In several pictures one name is one thing.
fn check_names(document: &Document, used: &[Used]) -> Result<(), SolveFailure> {
    let mut seen: Vec<(&str, [f64; 3], &str)> = Vec::new();
    for one in used {
        let Some(picture) = document.pictures.get(one.picture) else { continue };
        for (index, place) in one.camera.landmarks.iter().zip(&one.camera.places) {
            let Some(landmark) = picture.photograph.landmarks.get(*index) else { continue };
            let apart = |at: &[f64; 3]| (0..3).any(|i| (at[i] - place[i]).abs() > SAME_PLACE);
            if let Some((name, _, first)) = seen.iter().find(|(name, at, _)| *name == landmark.name && apart(at)) {
                let (name, first, second) = ((*name).to_owned(), (*first).to_owned(), picture.name.clone());
                return Err(SolveFailure::TwoPlaces { name, first, second });
            }
            seen.push((&landmark.name, *place, &picture.name));
        }
    }
    Ok(())
}

/// One name with one place is one thing, in however many pictures.
fn shared(landmarks: &mut Vec<Landmark>, landmark: Landmark) -> usize {
    landmarks.iter().position(|there| *there == landmark).unwrap_or_else(|| {
        landmarks.push(landmark);
        landmarks.len() - 1
    })
}

/// The camera to start from, with the focal length that is trusted; its distance goes along, so that the form stays as large.
fn start(picture: &Picture, found: &FoundCamera, model: &Model) -> (photo::Camera, CameraTrust) {
    let mut camera = found.resection.camera.camera;
    let focal_share = match picture.photograph.focal {
        None => LOOSE_FOCAL,
        Some(focal) => {
            let (low, high) = model.range();
            let depth = camera.depth([0.5 * (low + high), 0.0, 0.0]);
            camera.translation.z += depth * (focal.px / camera.focal_px - 1.0);
            camera.focal_px = focal.px;
            (focal.tolerance_px / focal.px).max(HELD_FOCAL)
        }
    };
    (camera, CameraTrust::Sought { focal_share })
}
