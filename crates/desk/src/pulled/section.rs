//! Points of control sections, and their curves between the points.

use super::line::by_value;
use super::sight::{SightLine, edge_on, miss};
use super::{Held, Moves, Pulled, at};
use geometry::arc::Arc as Curve;
use geometry::section::Section;
use project::document::{ArcKind, LineName, PointRole, SectionShape, UnitSection};
use project::edit::{Edit, Refused};
use project::photograph::Side;

/// A half box thinner than this, mm, has no room for a pull.
const THIN: f64 = 0.01;
/// Places of an arc at which the nearest to the pointer is sought.
const LOOKS: usize = 32;

/// A point of a control section, or the arc between two, under the pointer.
#[derive(Debug)]
pub(super) struct SectionMove {
    section: usize,
    station: f64,
    side: Side,
    what: What,
    frame: HalfBoxes,
}

#[derive(Debug)]
enum What {
    Point(usize),
    /// The fullness of an arc.
    Fullness(usize),
    /// A new point in a cubic arc.
    NewPoint(usize),
}

/// Half-breadth, breadth height, and the heights above and below it, mm.
#[derive(Clone, Copy, Debug)]
struct HalfBoxes {
    breadth: f64,
    middle: f64,
    above: f64,
    below: f64,
}

impl HalfBoxes {
    fn of(section: &Section<'_>) -> Self {
        let middle = section.breadth_height();
        let (above, below) = (section.crown() - middle, middle - section.keel());
        Self { breadth: section.breadth(), middle, above, below }
    }

    fn has_room(&self) -> bool {
        self.breadth > THIN && self.above > THIN && self.below > THIN
    }

    /// Shares of the half box.
    fn unit(&self, y: f64, z: f64) -> [f64; 2] {
        let up = z - self.middle;
        [y / self.breadth, up / if up > 0.0 { self.above } else { self.below }]
    }

    /// Half-breadth and height, mm.
    fn place(&self, [u, v]: [f64; 2]) -> [f64; 2] {
        [u * self.breadth, self.middle + v * if v > 0.0 { self.above } else { self.below }]
    }
}

/// A point of a control section. The marks move the master lines at the section's station.
pub(super) fn point(held: &Held, section: usize, point: usize, side: Side) -> Result<Moves, Refused> {
    let (station, unit) = shaped(held, section)?;
    let gone = || Refused::new("That point is not there any more.", "Choose another one.");
    let line = match unit.points.get(point).ok_or_else(gone)?.role {
        PointRole::Crown => Some(LineName::Crown),
        PointRole::Keel => Some(LineName::Keel),
        PointRole::Breadth { .. } => Some(LineName::Breadth),
        PointRole::Smooth | PointRole::Knuckle { .. } => None,
    };
    if let Some(line) = line {
        return by_value(held, line, station, side).map(Moves::Line);
    }
    let frame = frame(held, section, station)?;
    Ok(Moves::Section(SectionMove { section, station, side, what: What::Point(point), frame }))
}

/// A place on the curve of a control section.
pub(super) fn curve(held: &Held, section: usize, [_, y, z]: [f64; 3]) -> Result<Moves, Refused> {
    let (station, unit) = shaped(held, section)?;
    let frame = frame(held, section, station)?;
    let side = if y < 0.0 { Side::Port } else { Side::Starboard };
    let arcs = arcs(unit)?;
    let near = |arc: &Curve| {
        let far = |i: usize| {
            let [py, pz] = frame.place(arc.jet(i as f64 / LOOKS as f64).p);
            (py - y.abs()).hypot(pz - z)
        };
        (0..=LOOKS).map(far).fold(f64::INFINITY, f64::min)
    };
    let nearest = arcs.iter().map(near).enumerate().min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(i, _)| i);
    let what = match unit.arcs.get(nearest) {
        Some(ArcKind::Conic { .. } | ArcKind::Superelliptic { .. })
            if !matches!(arcs.get(nearest), Some(Curve::Cubic(_))) =>
        {
            What::Fullness(nearest)
        }
        _ => What::NewPoint(nearest),
    };
    Ok(Moves::Section(SectionMove { section, station, side, what, frame }))
}

fn shaped(held: &Held, section: usize) -> Result<(f64, &UnitSection), Refused> {
    let gone = || Refused::new("That control section is not there any more.", "Choose another one.");
    let control = held.form()?.sections.get(section).ok_or_else(gone)?;
    match &control.shape {
        SectionShape::Shaped(unit) => Ok((control.station, unit)),
        SectionShape::Pinned(_) => Err(Refused::new(
            format!("Section {} is pinned to measured points.", section + 1),
            "Edit its measured points, or unpin it to shape it freely.",
        )),
    }
}

fn arcs(unit: &UnitSection) -> Result<Vec<Curve>, Refused> {
    let curve = form::shaped_curve(unit);
    curve
        .map(|c| c.arcs().to_vec())
        .map_err(|e| Refused::new(format!("The section has no curve: {e}."), "Mend it first."))
}

fn frame(held: &Held, section: usize, station: f64) -> Result<HalfBoxes, Refused> {
    let lofted = form::loft(held.form()?);
    let frame = lofted.skin.as_ref().and_then(|s| s.loft().section(station)).map(|s| HalfBoxes::of(&s));
    frame.filter(HalfBoxes::has_room).ok_or_else(|| {
        Refused::new(
            format!("Section {} has no breadth or no height there.", section + 1),
            "Draw the four master lines so that the form has room at its station.",
        )
    })
}

impl SectionMove {
    pub(super) fn label(&self, _: &Held) -> Result<String, Refused> {
        let section = self.section + 1;
        Ok(match self.what {
            What::Point(_) => format!("moves a point of control section {section}, {}", at(self.station)),
            What::Fullness(_) => format!("sets the fullness of control section {section}, {}", at(self.station)),
            What::NewPoint(_) => format!("adds a point to control section {section}, {}", at(self.station)),
        })
    }

    pub(super) fn pull(&self, held: &Held, pixel: [f64; 2]) -> Result<Pulled, Refused> {
        let sight = SightLine::through(&held.camera, pixel)?;
        let [_, y, z] = sight.on_plane(0, self.station).ok_or_else(|| edge_on("the section"))?;
        // The builder's hand may slip over the centre plane; the form does not.
        let wanted = self.frame.unit((self.side.sign() * y).max(0.0), z);
        let (form, section) = (held.form, self.section);
        let (edit, got) = match self.what {
            What::Point(point) => {
                let [u, v] = wanted;
                (Edit::MoveSectionPoint { form, section, point, u, v }, wanted)
            }
            What::NewPoint(after) => {
                let [u, v] = wanted;
                (Edit::AddSectionPoint { form, section, after, u, v, role: PointRole::Smooth }, wanted)
            }
            What::Fullness(arc) => {
                let (_, unit) = shaped(held, section)?;
                let (kind, got) = fullness(unit, arc, wanted)?;
                (Edit::SetArc { form, section, arc, kind }, got)
            }
        };
        let [y, z] = self.frame.place(got);
        Ok(Pulled { edit, miss_px: miss(&held.camera, [self.station, self.side.sign() * y, z], pixel) })
    }
}

/// The kind of an arc with the fullness at which it passes through a place, or nearest to it, and where it then passes.
fn fullness(unit: &UnitSection, index: usize, wanted: [f64; 2]) -> Result<(ArcKind, [f64; 2]), Refused> {
    let stuck = || Refused::new("This arc has no fullness.", "Add a point to it instead.");
    let arcs = arcs(unit)?;
    let kind = match arcs.get(index).ok_or_else(stuck)? {
        Curve::Conic(conic) => {
            // A conic is b(A) b(B) : c² = 1 : 4 w² in shares of its triangle A C B (see `geometry::conic`).
            let (ca, cb) = (minus(conic.a, conic.c), minus(conic.b, conic.c));
            let way = minus(wanted, conic.c);
            let turn = perp(ca, cb);
            let (a, b) = (perp(way, cb) / turn, perp(ca, way) / turn);
            let w = if a <= 0.0 || b <= 0.0 { f64::INFINITY } else { (1.0 - a - b).max(0.0) / (2.0 * (a * b).sqrt()) };
            let rho = if w.is_finite() { w / (1.0 + w) } else { 1.0 };
            ArcKind::Conic { rho: rho.clamp(geometry::conic::LEAST_RHO, geometry::conic::GREATEST_RHO) }
        }
        Curve::Superelliptic(arc) => {
            let share = |axis: [f64; 2]| {
                let way = minus(wanted, arc.origin);
                (way[0] * axis[0] + way[1] * axis[1]) / (axis[0] * axis[0] + axis[1] * axis[1])
            };
            ArcKind::Superelliptic { exponent: exponent(share(arc.ex), share(arc.ey)) }
        }
        Curve::Cubic(_) => return Err(stuck()),
    };
    let mut with = unit.clone();
    *with.arcs.get_mut(index).ok_or_else(stuck)? = kind;
    let after = self::arcs(&with)?;
    let got = after.get(index).map(|arc| nearest(arc, wanted)).ok_or_else(stuck)?;
    Ok((kind, got))
}

/// The exponent n with X^n + Y^n = 1, by bisection, as the sum falls with n where both are below 1; held to what is accepted.
fn exponent(x: f64, y: f64) -> f64 {
    let (mut low, mut high) = (geometry::superellipse::LEAST_EXPONENT, geometry::superellipse::GREATEST_EXPONENT);
    if x.max(y) >= 1.0 {
        return high;
    }
    for _ in 0..60 {
        let n = 0.5 * (low + high);
        if x.max(0.0).powf(n) + y.max(0.0).powf(n) > 1.0 { low = n } else { high = n }
    }
    0.5 * (low + high)
}

/// The place of an arc nearest to a point, in unit coordinates: looked for, then halved down on (golden section).
fn nearest(arc: &Curve, to: [f64; 2]) -> [f64; 2] {
    let far = |t: f64| {
        let [u, v] = minus(arc.jet(t).p, to);
        u.hypot(v)
    };
    let step = 1.0 / LOOKS as f64;
    let best = (0..=LOOKS).map(|i| i as f64 * step).min_by(|a, b| far(*a).total_cmp(&far(*b))).unwrap_or(0.0);
    let (mut low, mut high) = ((best - step).max(0.0), (best + step).min(1.0));
    let ratio = 0.5 * (5_f64.sqrt() - 1.0);
    for _ in 0..60 {
        let (a, b) = (high - ratio * (high - low), low + ratio * (high - low));
        if far(a) < far(b) { high = b } else { low = a }
    }
    arc.jet(0.5 * (low + high)).p
}

fn minus(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn perp(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
