//! Pictures of a form: the views of the floor, and the shaded view.

use super::former_stations;
use super::openings::{MeshKind, MeshOrder, cut_mesh};
use form::Lofted;
use form::openings::{Hole, Target, holes};
use form::space::{Vector, add, dot, length, sub, times};
use geometry::loft::Loft;
use geometry::mesh::Mesh;
use project::document::{Form, LineName};
use shade::{Background, Body, Line, Normals, Orbit, Scene, Settings, Studio, Surface};
use sheets::png::{PngError, page_to_png};
use sheets::{Affine, Anchor, Drawing, Ink, Path, Rect, Stroke, Text};

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// From port, nose to the left.
    Side,
    /// Looking aft.
    Face,
    /// The half-breadth plan.
    Plan,
    /// All sections in one drawing.
    Body,
    /// Shaded, from ahead and above.
    Shaded,
    /// Side, plan and face aligned, as on the floor of a mould loft.
    Floor,
}

/// Why there is no picture.
#[derive(Debug, thiserror::Error)]
pub enum PictureFailure {
    /// Nothing is drawn yet.
    #[error("Nothing of the form \"{0}\" can be drawn yet. Add points to its master lines first.")]
    Nothing(String),
    /// The PNG cannot be made.
    #[error("The picture cannot be made: {0}.")]
    Png(#[from] PngError),
}

/// Size of a shaded picture, pixels.
pub(super) const SHADED: [u32; 2] = [1600, 1200];
/// Longest side of a picture, pixels.
const PIXELS: f64 = 1600.0;
/// Chord error of what is drawn, as a share of the form's length.
const CHORD_SHARE: f64 = 1e-4;

/// A picture of a form as the bytes of a PNG file. A half-drawn form shows the lines that it has.
///
/// # Errors
/// Nothing is drawn yet.
pub fn picture(form: &Form, lofted: &Lofted, view: View) -> Result<Vec<u8>, PictureFailure> {
    let nothing = || PictureFailure::Nothing(form.name.clone());
    if view == View::Shaded {
        let loft = lofted.skin.as_ref().ok_or_else(nothing)?.loft();
        return Ok(shaded(form, loft, SHADED, &Shown::default())?);
    }
    let plate = Plate::new(form, lofted).ok_or_else(nothing)?;
    let drawing = match view {
        View::Side => plate.side(),
        View::Plan => plate.plan(),
        View::Face => plate.face(),
        View::Body => plate.body(),
        View::Floor | View::Shaded => plate.floor(),
    };
    if drawing.items.is_empty() {
        return Err(nothing());
    }
    let page = drawing.into_page(form.name.clone(), 3.0 * plate.text);
    Ok(page_to_png(&page, PIXELS / page.width_mm.max(page.height_mm))?)
}

/// The drawings of one form, all with pens and letters to suit its size.
struct Plate<'a> {
    form: &'a Form,
    lofted: &'a Lofted,
    loft: Option<&'a Loft>,
    /// Its openings on the surface.
    holes: Vec<Hole>,
    /// Height of small letters, mm.
    text: f64,
    chord: f64,
}

const CROWN: Ink = Ink([176, 74, 38]);
const KEEL: Ink = Ink([32, 92, 140]);
const BREADTH: Ink = Ink([38, 118, 84]);
const BREADTH_HEIGHT: Ink = Ink([122, 96, 26]);
const OPENING: Ink = Ink([104, 60, 128]);

impl<'a> Plate<'a> {
    fn new(form: &'a Form, lofted: &'a Lofted) -> Option<Self> {
        let ranges: Vec<(f64, f64)> = lofted.lines.iter().flatten().map(geometry::line::Line::range).collect();
        let low = ranges.iter().map(|r| r.0).reduce(f64::min)?;
        let high = ranges.iter().map(|r| r.1).reduce(f64::max)?;
        let values = lofted.lines.iter().flatten().flat_map(|l| l.points().iter().map(|p| p.value.abs()));
        // Letters suit the whole drawing: a short, wide form is as large as it is wide.
        let size = (high - low).max(2.0 * values.fold(0.0, f64::max));
        let loft = lofted.skin.as_ref().map(form::FinishedSkin::loft);
        let chord = CHORD_SHARE * size;
        let cut = |loft: &Loft| holes(&Target::new(loft, None), form, chord).into_iter().flatten().collect();
        let holes = lofted.whole_skin().map(|skin| cut(skin.loft())).unwrap_or_default();
        Some(Self { form, lofted, loft, holes, text: size / 90.0, chord })
    }

    fn pen(&self, weight: f64, ink: Ink) -> Stroke {
        Stroke::solid(weight * self.text * 0.12, ink)
    }

    fn line(&self, d: &mut Drawing, name: LineName, ink: Ink, weight: f64) {
        if let Some(line) = self.lofted.line(name) {
            d.push(Path::polyline(&line.polyline(self.chord), self.pen(weight, ink)));
        }
    }

    fn title(&self, d: &mut Drawing, words: &str) {
        let b = d.bounds();
        if !b.is_empty() {
            let at = [b.min[0], b.max[1] + 2.2 * self.text];
            d.push(Text::new(words, at, 1.3 * self.text).bold().ink(Ink::DARK));
        }
    }

    /// Upright marks at every station between two heights, numbered at the foot.
    fn stations(&self, d: &mut Drawing, span: impl Fn(f64) -> Option<(f64, f64)>) {
        for (i, &x) in self.form.stations.iter().enumerate() {
            let Some((low, high)) = span(x) else { continue };
            d.push(Path::line([x, low], [x, high], self.pen(1.0, Ink::MID)));
            let at = [x, low - 1.6 * self.text];
            d.push(Text::new((i + 1).to_string(), at, self.text).anchored(Anchor::Middle).ink(Ink::DARK));
        }
        for s in &self.form.sections {
            if let Some((low, high)) = span(s.station) {
                d.push(Path::line([s.station, low], [s.station, high], self.pen(2.4, CROWN)));
            }
        }
    }

    /// The edges of openings; dashed where they lie on the side that is turned away from a viewer who looks along `sight`.
    fn openings(&self, d: &mut Drawing, sight: Vector, place: impl Fn(Vector) -> Option<[f64; 2]>) {
        for run in self.holes.iter().flat_map(|hole| &hole.runs) {
            let facing = run.places.iter().filter(|p| dot(p.place.normal, sight) < 0.0).count();
            let pen = if 2 * facing >= run.places.len() {
                self.pen(3.0, OPENING)
            } else {
                Stroke::dashed(0.2 * self.text, OPENING, &[self.text, 0.7 * self.text])
            };
            let first = run.places.first().filter(|_| run.closed);
            let edge: Vec<Vector> = run.places.iter().chain(first).map(|p| p.place.point).collect();
            // Straight pieces are divided, so that a view that shows one side only loses no more than a little of one.
            let between = |w: &[Vector]| {
                let count = (length(sub(w[1], w[0])) / (0.3 * self.text)).ceil().max(1.0);
                let (a, way) = (w[0], sub(w[1], w[0]));
                (0..=count as usize).map(move |i| add(a, times(way, i as f64 / count))).collect::<Vec<_>>()
            };
            let points: Vec<Option<[f64; 2]>> = edge.windows(2).flat_map(between).map(&place).collect();
            for seen in points.split(Option::is_none) {
                let seen: Vec<[f64; 2]> = seen.iter().flatten().copied().collect();
                if seen.len() > 1 {
                    d.push(Path::polyline(&seen, pen.clone()));
                }
            }
        }
    }

    /// Straight edges where the form ends flat.
    fn ends(&self, d: &mut Drawing, span: impl Fn(f64) -> Option<(f64, f64)>) {
        let Some(loft) = self.loft else { return };
        let (front, rear) = loft.x_range();
        for x in [front, rear] {
            if let Some((low, high)) = span(x) {
                d.push(Path::line([x, low], [x, high], self.pen(3.0, Ink::BLACK)));
            }
        }
    }

    fn side(&self) -> Drawing {
        let mut d = Drawing::default();
        let span = |x: f64| self.loft?.section(x).map(|s| (s.keel(), s.crown()));
        self.stations(&mut d, span);
        self.ends(&mut d, span);
        self.line(&mut d, LineName::BreadthHeight, BREADTH_HEIGHT, 2.0);
        self.line(&mut d, LineName::Keel, KEEL, 4.0);
        self.line(&mut d, LineName::Crown, CROWN, 4.0);
        self.openings(&mut d, [0.0, 1.0, 0.0], |p| Some([p[0], p[2]]));
        self.title(&mut d, "Side view");
        d
    }

    fn plan(&self) -> Drawing {
        let mut d = Drawing::default();
        let span = |x: f64| self.loft?.section(x).map(|s| (0.0, s.half_breadth()));
        self.stations(&mut d, span);
        self.ends(&mut d, span);
        if let Some(line) = self.lofted.line(LineName::Breadth) {
            let (low, high) = line.range();
            d.push(Path::line([low, 0.0], [high, 0.0], self.pen(1.5, Ink::DARK)));
        }
        self.line(&mut d, LineName::Breadth, BREADTH, 4.0);
        self.openings(&mut d, [0.0, 0.0, -1.0], |p| (p[1] >= 0.0).then_some([p[0], p[1]]));
        self.title(&mut d, "Half-breadth plan");
        d
    }

    /// The whole outline of a section looking aft: starboard at the left.
    fn outline(&self, x: f64) -> Option<Vec<[f64; 2]>> {
        let half = self.loft?.section(x)?.polyline(self.chord);
        let starboard = half.iter().map(|p| [-p[0], p[1]]);
        let port = half.iter().rev().map(|p| [p[0], p[1]]);
        Some(starboard.chain(port).collect())
    }

    fn face(&self) -> Drawing {
        let mut d = Drawing::default();
        let Some(loft) = self.loft else { return d };
        let (front, rear) = loft.x_range();
        let controls = self.form.sections.iter().map(|s| (s.station, 2.0, CROWN));
        for (x, weight, ink) in [(rear, 3.0, Ink::DARK)].into_iter().chain(controls).chain([(front, 4.0, Ink::BLACK)]) {
            if let Some(points) = self.outline(x) {
                d.push(Path::polygon(&points, Some(self.pen(weight, ink)), None));
            }
        }
        self.openings(&mut d, [1.0, 0.0, 0.0], |p| Some([-p[1], p[2]]));
        self.centre_line(&mut d);
        self.title(&mut d, "Face, looking aft (starboard at the left)");
        d
    }

    /// Forward sections to starboard, after ones to port, about the station of greatest area.
    fn body(&self) -> Drawing {
        let mut d = Drawing::default();
        let Some(loft) = self.loft else { return d };
        let areas = loft.curve_of_areas(61);
        let widest = areas.iter().max_by(|a, b| a.area.total_cmp(&b.area)).map_or(0.0, |a| a.x);
        let (front, rear) = loft.x_range();
        let stations = former_stations(self.form, loft).into_iter().map(|s| s.1);
        for x in stations.chain([front, rear]) {
            let Some(section) = loft.section(x) else { continue };
            let side = if x <= widest { -1.0 } else { 1.0 };
            let points: Vec<[f64; 2]> = section.polyline(self.chord).iter().map(|p| [side * p[0], p[1]]).collect();
            let control = self.form.sections.iter().any(|s| (s.station - x).abs() < 1e-6);
            let pen = if control { self.pen(2.6, CROWN) } else { self.pen(1.8, Ink::BLACK) };
            d.push(Path::polyline(&points, pen));
        }
        self.centre_line(&mut d);
        self.title(&mut d, "Body plan: forward sections at the left, after sections at the right");
        d
    }

    fn centre_line(&self, d: &mut Drawing) {
        let b = d.bounds();
        if !b.is_empty() {
            let dash = Stroke::dashed(0.1 * self.text, Ink::MID, &[2.0 * self.text, self.text]);
            d.push(Path::line([0.0, b.min[1] - self.text], [0.0, b.max[1] + self.text], dash));
        }
    }

    /// Side view, the plan under it on the same stations, the face beside it on the same heights.
    fn floor(&self) -> Drawing {
        let (mut d, plan, face) = (self.side(), self.plan(), self.face());
        let gap = 5.0 * self.text;
        let side: Rect = d.bounds();
        let (under, beside) = (plan.bounds(), face.bounds());
        if !under.is_empty() {
            d.push_mapped(&plan, &Affine::shift([0.0, side.min[1] - gap - under.max[1]]));
        }
        if !beside.is_empty() {
            d.push_mapped(&face, &Affine::shift([side.max[0] + gap - beside.min[0], 0.0]));
        }
        d
    }
}

/// What a shaded view shows besides the form.
#[derive(Default)]
pub(super) struct Shown {
    /// Bodies of other forms, where they are.
    pub(super) bodies: Vec<Mesh>,
    /// Lines on them.
    pub(super) lines: Vec<Line>,
}

/// The shaded view with its stations and what is shown besides, in so many pixels across and up.
pub(super) fn shaded(form: &Form, loft: &Loft, size: [u32; 2], besides: &Shown) -> Result<Vec<u8>, PngError> {
    let (front, rear) = loft.x_range();
    let tolerance = (rear - front) * CHORD_SHARE * 3.0;
    let order = MeshOrder { kind: MeshKind::Skin, tolerance, trim: None, closed_ends: [true; 2] };
    let mesh = cut_mesh(form, loft, &order).mesh;
    let body = Body::new(&mesh, Normals::default());
    let studio = Studio::default();
    let cut: Vec<Hole> = holes(&Target::new(loft, None), form, tolerance).into_iter().flatten().collect();
    let stations = former_stations(form, loft).into_iter().flat_map(|s| station_lines(loft, s.1, &cut));
    let lines: Vec<Line> = stations.chain(besides.lines.iter().cloned()).collect();
    let others: Vec<Body> = besides.bodies.iter().map(|mesh| Body::new(mesh, Normals::default())).collect();
    let all = std::iter::once(&body).chain(&others);
    let surfaces: Vec<Surface<'_>> = all.map(|body| Surface { body, paint: &studio }).collect();
    let background = Background::Gradient { top: [222, 228, 230], bottom: [244, 242, 236] };
    let scene = Scene { surfaces: &surfaces, lines: &lines, background };
    let settings = Settings { size, ..Settings::default() };
    let picture = shade::render(&scene, &Orbit::fitting(body.bounds()).camera(size), &settings);
    sheets::png::rgba_to_png(picture.width, picture.height, picture.rgba)
}

/// A station's line, but for what openings have taken away.
fn station_lines(loft: &Loft, x: f64, cut: &[Hole]) -> Vec<Line> {
    let Some(half) = loft.section(x).map(|s| s.polyline(0.05)) else { return Vec::new() };
    let port = half.iter().map(|p| [x, -p[0], p[1]]);
    let round = port.chain(half.iter().rev().map(|p| [x, p[0], p[1]]));
    let left: Vec<Option<Vector>> = round.map(|p| (!cut.iter().any(|hole| holds(hole, p))).then_some(p)).collect();
    let line = |points: &[Option<Vector>]| Line {
        points: points.iter().flatten().copied().collect(),
        opacity: 0.45,
        ..Line::default()
    };
    left.split(Option::is_none).filter(|points| points.len() > 1).map(line).collect()
}

/// Whether a place of the surface lies in an opening: within its outline as it is seen, and no deeper than its edge.
fn holds(hole: &Hole, p: Vector) -> bool {
    let sight = hole.seen.sight();
    let deepest = hole.places().map(|place| dot(place.point, sight)).fold(f64::NEG_INFINITY, f64::max);
    dot(p, sight) <= deepest + 1e-6 && hole.curve.inside(hole.seen.axes().map(|k| p[k]))
}
