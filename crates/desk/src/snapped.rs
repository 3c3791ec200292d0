//! What a landmark may be tied to near a pixel: the first form's own lines, the airframe, and what is picked in other pictures.

use form::seen::{NearWhat, SeenPart, Wanted, seen};

use form::{Lofted, landmark_place};
use photo::PictureCamera;
use project::document::Document;
use project::photograph::{LandmarkPlace, Side};

/// Something that a landmark may be tied to.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// What the landmark's place would be.
    pub place: LandmarkPlace,
    /// What it is, for the builder.
    pub label: String,
    /// Where the picture shows it, px.
    pub pixel: [f64; 2],
    /// Where it lies, mm.
    pub point: [f64; 3],
}

impl Candidate {
    fn new(document: &Document, camera: &PictureCamera, place: LandmarkPlace, label: String) -> Option<Self> {
        let point = landmark_place(document, place).ok()?;
        Some(Self { place, label, pixel: camera.project(point)?, point })
    }

    fn away(&self, pixel: [f64; 2]) -> f64 {
        (self.pixel[0] - pixel[0]).hypot(self.pixel[1] - pixel[1])
    }
}

const SIDES: [(Side, &str); 2] = [(Side::Starboard, "starboard"), (Side::Port, "port")];

/// All fixed things that a camera shows: the airframe, landmarks of any picture, and crown, keel and breadth at the form's ends,
/// control sections and stations.
pub fn landmark_candidates(document: &Document, camera: &PictureCamera) -> Vec<Candidate> {
    let mut all = airframe(document);
    let picked = document.pictures.iter().flat_map(|p| &p.photograph.landmarks);
    for landmark in picked {
        if !all.iter().any(|(place, _)| *place == landmark.place) {
            all.push((landmark.place, landmark.name.clone()));
        }
    }
    for (station, where_) in marked(document) {
        all.push((LandmarkPlace::Crown { station }, format!("Crown {where_}")));
        all.push((LandmarkPlace::Keel { station }, format!("Keel {where_}")));
        let breadth = |(side, word)| (LandmarkPlace::Breadth { station, side }, format!("Breadth {word}, {where_}"));
        all.extend(SIDES.map(breadth));
    }
    all.into_iter().filter_map(|(place, label)| Candidate::new(document, camera, place, label)).collect()
}

fn airframe(document: &Document) -> Vec<(LandmarkPlace, String)> {
    let mut all = vec![
        (LandmarkPlace::Hub, "Hub: centre of the spinner's back plate".to_owned()),
        (LandmarkPlace::Mount, "Where the shaft meets the firewall".to_owned()),
        (LandmarkPlace::FuselageCrown, "Top of the fuselage's end".to_owned()),
        (LandmarkPlace::FuselageKeel, "Bottom of the fuselage's end".to_owned()),
    ];
    let breadth = |(side, word)| (LandmarkPlace::FuselageBreadth { side }, format!("Fuselage's end, {word}"));
    all.extend(SIDES.map(breadth));
    if let Some(thrust) = &document.airframe.thrust {
        // The bench knows no length of the spinner; half its diameter is a round one, to be typed true.
        let ahead = 0.5 * thrust.spinner.diameter;
        all.push((LandmarkPlace::SpinnerTip { ahead }, "Spinner tip: type its length".to_owned()));
    }
    all
}

/// Ends, control sections and stations of the first form, each once.
fn marked(document: &Document) -> Vec<(f64, String)> {
    let Some(form) = document.forms.first() else { return Vec::new() };
    let crown = &form.lines.crown.points;
    let ends = [(crown.first(), "at the front"), (crown.last(), "at the rear")];
    let mut out: Vec<(f64, String)> = ends.into_iter().filter_map(|(p, word)| Some((p?.x, word.to_owned()))).collect();
    let sections = form.sections.iter().enumerate();
    let sections = sections.map(|(i, s)| (s.station, format!("at control section {}, {:.1} mm", i + 1, s.station)));
    let stations = form.stations.iter().map(|x| (*x, format!("at station {x:.1} mm")));
    for next in sections.chain(stations) {
        if !out.iter().any(|(x, _)| (x - next.0).abs() < 1e-6) {
            out.push(next);
        }
    }
    out
}

/// What lies within `radius_px` of a pixel, nearest first; a fixed thing goes before a place of a line that is no more than 1 px
/// nearer. Places along crown, keel and breadth are those at a tenth of a millimetre.
pub fn landmarks_near(
    document: &Document,
    lofted: &Lofted,
    camera: &PictureCamera,
    pixel: [f64; 2],
    radius_px: f64,
) -> Vec<Candidate> {
    let mut all: Vec<(f64, Candidate)> = landmark_candidates(document, camera)
        .into_iter()
        .map(|c| (c.away(pixel), c))
        .chain(on_lines(document, lofted, camera, pixel, radius_px).into_iter().map(|c| (c.away(pixel) + 1.0, c)))
        .collect();
    all.retain(|(_, c)| c.away(pixel) <= radius_px);
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.into_iter().map(|(_, c)| c).collect()
}

fn on_lines(
    document: &Document,
    lofted: &Lofted,
    camera: &PictureCamera,
    pixel: [f64; 2],
    radius_px: f64,
) -> Vec<Candidate> {
    let Some(form) = document.forms.first() else { return Vec::new() };
    let wanted =
        Wanted { sections: false, stations: false, control_lines: false, silhouette: false, ..Wanted::default() };
    let lines = seen(lofted, form, camera, &wanted);
    let mut out: Vec<Candidate> = Vec::new();
    for near in lines.near(pixel, radius_px) {
        let NearWhat::Line(part) = near.what else { continue };
        let station = (near.place.point[0] * 10.0).round() / 10.0;
        let (place, label) = match part {
            SeenPart::Crown => (LandmarkPlace::Crown { station }, "Crown".to_owned()),
            SeenPart::Keel => (LandmarkPlace::Keel { station }, "Keel".to_owned()),
            SeenPart::Breadth(side) => {
                let word = if side == Side::Port { "port" } else { "starboard" };
                (LandmarkPlace::Breadth { station, side }, format!("Breadth {word}"))
            }
            _ => continue,
        };
        let label = format!("{label} at {station:.1} mm");
        out.extend(Candidate::new(document, camera, place, label).filter(|c| !out.iter().any(|o| o.place == c.place)));
    }
    out
}
