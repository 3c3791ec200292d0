//! Surfaces in closed form, to drape on.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used)] // a module of several tests, of which none uses everything

pub mod cases;

use form::space::{Vector, add, cross, length, sub, times};
use shell::drape::{At, Jet, Margin, Surface};
use std::f64::consts::TAU;

/// Derivatives by central differences over this: for solvers' steps, and for normals to 1e-9.
const DELTA: f64 = 1e-4;

/// A surface given by its place alone; the part is where `inside` is positive (mm to its edge), and the net may go `over` mm
/// beyond.
pub struct Given<P: Fn(At) -> Vector + Sync, I: Fn(At, Vector) -> f64 + Sync> {
    pub place: P,
    pub inside: I,
    pub over: f64,
}

impl<P: Fn(At) -> Vector + Sync, I: Fn(At, Vector) -> f64 + Sync> Surface for Given<P, I> {
    fn jet(&self, _sheet: usize, at: At) -> Jet {
        let by = |k: usize| {
            let moved = |by: f64| {
                let mut there = at;
                there[k] += by;
                (self.place)(there)
            };
            // Of fourth order.
            let near = sub(moved(DELTA), moved(-DELTA));
            let far = sub(moved(2.0 * DELTA), moved(-2.0 * DELTA));
            times(sub(times(near, 8.0), far), 1.0 / (12.0 * DELTA))
        };
        Jet { p: (self.place)(at), by: [by(0), by(1)] }
    }

    fn margin(&self, at: At, jet: &Jet) -> Margin {
        let out = -(self.inside)(at, jet.p);
        Margin { part: out, cloth: out }
    }

    fn overrun(&self) -> f64 {
        self.over
    }
}

/// A sphere by (polar angle, azimuth), with its pole at +z; the part reaches to that polar angle, the net
/// `over` mm further.
pub struct Sphere {
    pub radius: f64,
    pub to: f64,
    pub over: f64,
}

impl Surface for Sphere {
    fn jet(&self, _sheet: usize, [polar, azimuth]: At) -> Jet {
        let r = self.radius;
        let ((sp, cp), (sa, ca)) = (polar.sin_cos(), azimuth.sin_cos());
        let by = [[r * cp * ca, r * cp * sa, -r * sp], [-r * sp * sa, r * sp * ca, 0.0]];
        Jet { p: [r * sp * ca, r * sp * sa, r * cp], by }
    }

    /// Round the pole as in the plane that touches it.
    fn moved(&self, [polar, azimuth]: At, by: [f64; 2]) -> At {
        let (out, across) = (polar + by[0], polar * by[1]);
        [out.hypot(across), azimuth + across.atan2(out)]
    }

    fn margin(&self, [polar, _]: At, _: &Jet) -> Margin {
        let out = self.radius * (polar - self.to);
        Margin { part: out, cloth: out }
    }

    fn overrun(&self) -> f64 {
        self.over
    }
}

/// A place just beside the pole of a [`Sphere`], which has no directions at the pole itself.
pub const POLE: At = [1e-9, 0.0];

/// The nose bowl of the vectors: superelliptic sections by (x forward from the joint, angle from the crown to port).
#[derive(Clone, Copy, Debug)]
pub struct NoseBowl {
    pub length: f64,
    pub breadth: [f64; 2],
    pub height: [f64; 2],
    pub drop: f64,
    pub exponent: [f64; 2],
}

impl NoseBowl {
    /// Half-breadth, half height, height of the middle, exponent; beyond the ends along the end tangents.
    fn frame(&self, x: f64) -> [f64; 4] {
        let t = (x / self.length).clamp(0.0, 1.0);
        let over = x / self.length - t;
        let ([ba, bf], [ha, hf], [na, nf]) = (self.breadth, self.height, self.exponent);
        let value = [
            ba - (ba - bf) * (0.35 * t * t + 0.65 * t.powi(6)),
            ha - (ha - hf) * (0.5 * t * t + 0.5 * t.powi(5)),
            -self.drop * t * t,
            na + (nf - na) * (3.0 * t * t - 2.0 * t * t * t),
        ];
        let slope = [
            -(ba - bf) * (0.7 * t + 3.9 * t.powi(5)),
            -(ha - hf) * (t + 2.5 * t.powi(4)),
            -2.0 * self.drop * t,
            (nf - na) * (6.0 * t - 6.0 * t * t),
        ];
        [0, 1, 2, 3].map(|k| value[k] + over * slope[k])
    }

    pub fn place(&self, [x, angle]: At) -> Vector {
        let [b, h, middle, n] = self.frame(x);
        let (sin, cos) = angle.sin_cos();
        let r = ((sin / b).abs().powf(n) + (cos / h).abs().powf(n)).powf(-1.0 / n);
        [x, r * sin, middle + r * cos]
    }
}

/// Area of a surface over a rectangle of parameters, by the midpoint rule.
pub fn area(surface: &impl Surface, s: [f64; 2], v: [f64; 2], count: usize) -> f64 {
    let step = [(s[1] - s[0]) / count as f64, (v[1] - v[0]) / count as f64];
    let mut sum = 0.0;
    for i in 0..count {
        for j in 0..count {
            let jet = surface.jet(0, [s[0] + (i as f64 + 0.5) * step[0], v[0] + (j as f64 + 0.5) * step[1]]);
            sum += length(cross(jet.by[0], jet.by[1]));
        }
    }
    sum * step[0] * step[1]
}

/// A cylinder of a radius about the x axis by (x, angle), of a length, once around.
pub fn cylinder(radius: f64, long: f64) -> Given<impl Fn(At) -> Vector + Sync, impl Fn(At, Vector) -> f64 + Sync> {
    Given {
        place: move |[x, a]: At| [x, radius * a.sin(), radius * a.cos()],
        inside: move |[x, a]: At, _| x.min(long - x).min(radius * (0.5 * TAU - a.abs())),
        over: 60.0,
    }
}

/// A cone about the x axis with its tip at 0 by (x, angle), between two stations, once around.
pub fn cone(
    tangent: f64,
    from: f64,
    to: f64,
) -> Given<impl Fn(At) -> Vector + Sync, impl Fn(At, Vector) -> f64 + Sync> {
    Given {
        place: move |[x, a]: At| [x, tangent * x * a.sin(), tangent * x * a.cos()],
        inside: move |[x, a]: At, _| (x - from).min(to - x).min(tangent * x * (0.5 * TAU - a.abs())),
        over: 20.0,
    }
}

/// The outside of a ring of circular section by (angle round the axis, angle of the section), as far as that angle of the section.
pub fn ring(
    radius: f64,
    section: f64,
    to: f64,
) -> Given<impl Fn(At) -> Vector + Sync, impl Fn(At, Vector) -> f64 + Sync> {
    Given {
        place: move |[a, b]: At| {
            let r = radius + section * b.cos();
            [section * b.sin(), r * a.sin(), r * a.cos()]
        },
        inside: move |[a, b]: At, _| (radius * (1.0 - a.abs())).min(section * (to - b.abs())),
        over: 45.0,
    }
}

/// The sum of two vectors, for tests.
pub fn plus(a: Vector, b: Vector) -> Vector {
    add(a, b)
}

/// The finished skin of the demo and how its plug is built.
pub fn demo() -> (form::FinishedSkin, project::build::Build) {
    const TEXT: &str = include_str!("../../../../demo-projects/ostrel/ostrel.plug.ron");
    // The form needs no picture.
    let document = project::file::from_file(TEXT, &mut |_| Ok(Vec::new())).unwrap().document;
    let skin = form::loft(&document.forms[0]).skin.unwrap();
    (skin, (*document.build).clone())
}

/// A form of circular sections with these radii at these stations; an end of radius 0 is upright.
pub fn round_form(points: &[[f64; 2]]) -> form::FinishedSkin {
    form_of(points, 1.0, 2.0, false)
}

/// A form with these half heights at these stations, `broad` times as broad, and with superelliptic sections of that exponent; an end
/// of height 0 is upright. With a ridge the crown is a corner.
pub fn form_of(points: &[[f64; 2]], broad: f64, exponent: f64, ridge: bool) -> form::FinishedSkin {
    use project::document::{
        ArcKind, ControlSection, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, PointRole, SectionShape,
        UnitPoint, UnitSection,
    };
    use std::sync::Arc;
    let line = |scale: f64| {
        let point = |p: &[f64; 2]| LinePoint { x: p[0], value: scale * p[1], kind: LinePointKind::Smooth };
        let end = |r: f64| if r == 0.0 && scale != 0.0 { LineEnd::Upright } else { LineEnd::Free };
        let last = points[points.len() - 1][1];
        MasterLine { points: points.iter().map(point).collect(), front: end(points[0][1]), rear: end(last) }
    };
    let mut form = project::starter::empty_form("round");
    for (name, scale) in LineName::ALL.into_iter().zip([1.0, -1.0, broad, 0.0]) {
        *form.lines.get_mut(name) = Arc::new(line(scale));
    }
    let mark = |u: f64, v: f64, role: PointRole| UnitPoint { u, v, role };
    let section = UnitSection {
        points: vec![
            mark(0.0, 1.0, PointRole::Crown),
            mark(1.0, 0.0, PointRole::Breadth { knuckle: None }),
            mark(0.0, -1.0, PointRole::Keel),
        ],
        arcs: vec![if ridge { ArcKind::Conic { rho: 0.45 } } else { ArcKind::Superelliptic { exponent } }; 2],
        crown_ridge: ridge,
        keel_ridge: false,
    };
    form.sections = vec![Arc::new(ControlSection { station: points[1][0], shape: SectionShape::Shaped(section) })];
    form::loft(&form).skin.unwrap()
}

/// Points of half a circle of that radius that begins at station 0, up to a share of a half turn.
pub fn arc_points(radius: f64, share: f64, count: u32) -> Vec<[f64; 2]> {
    let at = |k: u32| {
        let angle = std::f64::consts::PI * share * f64::from(k) / f64::from(count);
        [radius * (1.0 - angle.cos()), if k == 0 { 0.0 } else { radius * angle.sin() }]
    };
    (0..=count).map(at).collect()
}
