//! Forms to begin with that are put on the first one: each a small body of its own, placed at once where such a thing belongs.
//!
//! Each is made from how far it stands out of the first form (its outer line), how far it sinks in (its inner line, hidden once it is
//! joined) and its half-breadth, over its length. Shares are of the first form's own sizes: they only have to be seen and to meet it;
//! the hand shapes them from there.

use crate::on_shell::felt;
use geometry::loft::Loft;
use project::document::{
    ControlSection, Document, Form, LineEnd, LinePoint, LinePointKind, MasterLine, MasterLines, SectionShape,
};
use project::mount::Mount;
use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
use std::sync::Arc;

/// Distance of the stations, mm, where the length goes into it: a board and a card (common practice, no source).
const PITCH: f64 = 20.0;
/// Places between both ends at which the first form is felt.
const FELT: u32 = 8;

/// What can be put on the first form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    CheekBlister,
    ChinScoop,
    ExhaustCover,
    OutletLip,
}

/// Outer line, inner line and half-breadth at a share of the length, as shares of the height and breadth of the kind; negative
/// outer lines lie within the first form.
type Row = (f64, [f64; 3]);

/// What a kind is made from.
struct Pattern {
    /// Share of the first form's length at which it begins, and its length.
    along: [f64; 2],
    /// Around the first form from the crown to starboard, degrees.
    around: f64,
    /// Its keel, not its crown, is what stands out.
    hangs: bool,
    /// How far it stands out and how broad each half is, as shares of the first form's half-breadth there.
    size: [f64; 2],
    rows: &'static [Row],
    mirrored: bool,
}

impl Kind {
    /// All of them.
    pub(crate) const ALL: [Self; 4] = [Self::CheekBlister, Self::ChinScoop, Self::ExhaustCover, Self::OutletLip];

    /// Its name.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::CheekBlister => "Cheek blister",
            Self::ChinScoop => "Chin scoop",
            Self::ExhaustCover => "Exhaust cover",
            Self::OutletLip => "Outlet lip",
        }
    }

    /// What it is for and where it is put.
    pub(crate) fn tip(self) -> &'static str {
        match self {
            Self::CheekBlister => "Closed at both ends, on both sides: room for what stands out beneath.",
            Self::ChinScoop => "Open at its front, below: lets air in.",
            Self::ExhaustCover => "Open at its rear, low on the starboard side: leads an exhaust out.",
            Self::OutletLip => "Open at its rear, below near the end: draws air out.",
        }
    }

    fn pattern(self) -> Pattern {
        match self {
            Self::CheekBlister => Pattern {
                along: [0.2, 0.55],
                around: 90.0,
                hangs: false,
                size: [0.22, 0.34],
                rows: &[(0.0, [-0.15, -0.15, 0.0]), (0.42, [1.0, -0.6, 1.0]), (1.0, [-0.15, -0.15, 0.0])],
                mirrored: true,
            },
            Self::ChinScoop => Pattern {
                along: [0.15, 0.5],
                around: 180.0,
                hangs: true,
                size: [0.3, 0.4],
                rows: &[(0.0, [0.9, -0.5, 0.95]), (0.4, [1.0, -0.5, 1.0]), (1.0, [-0.2, -0.2, 0.0])],
                mirrored: false,
            },
            Self::ExhaustCover => Pattern {
                along: [0.5, 0.35],
                around: 118.0,
                hangs: false,
                size: [0.22, 0.22],
                rows: &[(0.0, [-0.2, -0.2, 0.0]), (0.55, [0.95, -0.5, 0.95]), (1.0, [1.0, -0.5, 1.0])],
                mirrored: false,
            },
            Self::OutletLip => Pattern {
                along: [0.68, 0.28],
                around: 180.0,
                hangs: true,
                size: [0.18, 0.55],
                rows: &[(0.0, [-0.3, -0.3, 0.0]), (0.5, [0.6, -0.6, 0.95]), (1.0, [1.0, -0.6, 1.0])],
                mirrored: false,
            },
        }
    }
}

/// A new form of that kind, mounted on the first one, which has this loft; `None` where there is no section to put it on.
pub(crate) fn begin(document: &Document, first: &Loft, kind: Kind) -> Option<Form> {
    let pattern = kind.pattern();
    let ground = Ground::of(first, &pattern)?;
    Some(Form {
        lines: lines(&pattern, &ground),
        sections: sections(&pattern, ground.length),
        stations: stations(&pattern, ground.length),
        mount: Some(ground.mount),
        ..empty_form(&name(document, kind))
    })
}

/// A name that no other form of the project has.
fn name(document: &Document, kind: Kind) -> String {
    let taken = |name: &str| document.forms.iter().any(|f| f.name == name);
    let numbered = (2..).map(|n: usize| format!("{} {n}", kind.label()));
    std::iter::once(kind.label().to_owned()).chain(numbered).find(|name| !taken(name)).unwrap_or_default()
}

/// The first form where something is put on it.
struct Ground {
    mount: Mount,
    length: f64,
    /// How far the skin stands out at most beyond the chord from end to end.
    swell: f64,
    /// From the middle of its section to the skin.
    radius: f64,
}

impl Ground {
    fn of(first: &Loft, pattern: &Pattern) -> Option<Self> {
        let (front, rear) = first.x_range();
        let station = |t: f64| front + (rear - front) * (pattern.along[0] + t * pattern.along[1]);
        let (sin, cos) = pattern.around.to_radians().sin_cos();
        let place = |t: f64| {
            let (middle, far) = felt::skin(first, station(t), pattern.around)?;
            Some([station(t), far * sin, middle + far * cos])
        };
        let (from, to) = (place(0.0)?, place(1.0)?);
        let way: [f64; 3] = std::array::from_fn(|k| to[k] - from[k]);
        let beyond_chord = |t: f64| {
            let p = place(t)?;
            Some((p[1] - from[1] - t * way[1]) * sin + (p[2] - from[2] - t * way[2]) * cos)
        };
        let swell = (1..FELT).filter_map(|n| beyond_chord(f64::from(n) / f64::from(FELT))).fold(0.0, f64::max);
        let mount = Mount {
            place: from,
            roll_deg: if pattern.hangs { pattern.around - 180.0 } else { pattern.around },
            pitch_deg: (-way[2]).atan2(way[0].hypot(way[1])).to_degrees(),
            yaw_deg: way[1].atan2(way[0]).to_degrees(),
            mirrored: pattern.mirrored,
        };
        let length = way[0].hypot(way[1]).hypot(way[2]);
        let radius = felt::skin(first, station(0.5), pattern.around)?.1;
        (length > 1.0 && radius > 1.0).then_some(Self { mount, length, swell, radius })
    }
}

/// The four lines: the outer one is the crown, or the keel of what hangs; heights are widest on the datum.
fn lines(pattern: &Pattern, ground: &Ground) -> MasterLines {
    let out = pattern.size[0] * ground.radius + ground.swell;
    let broad = pattern.size[1] * ground.radius;
    let line = |value: &dyn Fn([f64; 3]) -> f64| {
        let point =
            |(t, row): &Row| LinePoint { x: t * ground.length, value: value(*row), kind: LinePointKind::Smooth };
        let points = pattern.rows.iter().map(point).collect();
        Arc::new(MasterLine { points, front: LineEnd::Free, rear: LineEnd::Free })
    };
    let outer = |sign: f64| line(&move |[outer, ..]| sign * rise(outer, out, pattern.size[0] * ground.radius));
    let inner = |sign: f64| line(&move |[_, inner, _]| sign * inner * pattern.size[0] * ground.radius);
    let [crown, keel] = if pattern.hangs { [inner(-1.0), outer(-1.0)] } else { [outer(1.0), inner(1.0)] };
    // An end that is a point lies where all lines meet; elsewhere it is widest at the chord, that is about at the skin.
    let at_end = |[outer, inner, breadth]: [f64; 3]| if breadth == 0.0 { f64::midpoint(outer, inner) } else { 0.0 };
    let sign = if pattern.hangs { -1.0 } else { 1.0 };
    MasterLines {
        crown,
        keel,
        breadth: line(&|[.., breadth]| breadth * broad),
        breadth_height: line(&|row| sign * at_end(row) * pattern.size[0] * ground.radius),
    }
}

/// What stands out does so beyond the swell of the skin; what lies within it is measured from the chord.
fn rise(share: f64, out: f64, own: f64) -> f64 {
    share * if share > 0.0 { out } else { own }
}

/// One section to shape, where it is largest, and one at each flat end.
fn sections(pattern: &Pattern, length: f64) -> Vec<Arc<ControlSection>> {
    let shaped = pattern.rows.iter().filter(|(_, row)| row[2] > 0.0);
    let section = |(t, _): &Row| {
        Arc::new(ControlSection { station: t * length, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) })
    };
    shaped.map(section).collect()
}

/// Cross planes at even distances: as many as leave room for foam between cards, and at the flat ends.
fn stations(pattern: &Pattern, length: f64) -> Vec<f64> {
    let count = (length / PITCH).round().clamp(3.0, 20.0);
    let flat = |end: f64| pattern.rows.iter().any(|(t, row)| *t == end && row[2] > 0.0);
    let at = |n: f64| length * n / count;
    let between = (1..).map(f64::from).take_while(|n| *n < count).map(at);
    let front = flat(0.0).then_some(0.0);
    front.into_iter().chain(between).chain(flat(1.0).then_some(length)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use form::meeting::{Stands, meeting};
    use project::edit::Edit;

    /// Each can be added to the document, has a surface, and meets the first form: closed where it is closed at both ends, else from
    /// rim to rim.
    #[test]
    fn every_kind_sits_on_a_plain_body() {
        let mut document = project::starter::new_document("Cowl");
        let body = project::starter::blank_form(300.0, 100.0, 90.0, 120.0);
        document = Edit::ReplaceForm { form: 0, with: body }.apply(&document).expect("a good form");
        let lofted = form::loft(&document.forms[0]);
        let first = lofted.skin.as_ref().expect("whole").loft();
        for kind in Kind::ALL {
            let form = begin(&document, first, kind).expect("there is room");
            document = Edit::AddForm(form).apply(&document).expect("keeps every promise");
            let added = document.forms.last().expect("added");
            let lofted = form::loft(added);
            let skin = lofted.skin.as_ref().unwrap_or_else(|| panic!("{kind:?}: {:?}", lofted.findings));
            let mount = added.mount.expect("mounted");
            let met = meeting(first, skin.loft(), &mount, 0.1);
            assert_eq!((&met.stands, met.lines.len(), met.lost()), (&Stands::Meets, 1, false), "{kind:?}");
            assert_eq!(met.lines[0].closed(), kind == Kind::CheekBlister, "{kind:?}");
            assert!(skin.loft().measures(0.01).volume > 1000.0, "{kind:?}");
        }
        let again = begin(&document, first, Kind::ChinScoop).expect("there is room");
        assert_eq!(again.name, "Chin scoop 2");
    }
}
