//! How the form meets the fuselage around the whole section: gaps and breaks in slope.

use super::shape::FuselageShape;
use crate::outline::Outline;
use geometry::loft::Loft;

/// A gap between form and fuselage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// How far the form stands proud of the fuselage, mm; negative where it stands back.
    pub proud: f64,
    /// Half-breadth and height of the place on the fuselage.
    pub at: [f64; 2],
}

/// The widest gap between two outlines, measured from each of them to the other.
pub fn widest_gap(form: &Outline, fuselage: &Outline) -> Gap {
    let from_fuselage = fuselage.points().iter().map(|p| Gap { proud: -form.nearest(*p).distance, at: *p });
    let from_form = form.points().iter().map(|p| {
        let nearest = fuselage.nearest(*p);
        Gap { proud: nearest.distance, at: nearest.at }
    });
    let none = Gap { proud: 0.0, at: fuselage.points()[0] };
    from_fuselage.chain(from_form).fold(none, |worst, g| if g.proud.abs() > worst.proud.abs() { g } else { worst })
}

/// The least of what the form stands proud of the fuselage, mm.
pub fn least_proud(form: &Outline, fuselage: &Outline) -> Gap {
    let all = form.points().iter().map(|p| {
        let nearest = fuselage.nearest(*p);
        Gap { proud: nearest.distance, at: nearest.at }
    });
    let none = Gap { proud: f64::INFINITY, at: fuselage.points()[0] };
    all.fold(none, |least, g| if g.proud < least.proud { g } else { least })
}

/// A break in slope between form and fuselage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlopeBreak {
    /// Degrees by which the fuselage opens more than the form; negative where it closes in.
    pub degrees: f64,
    /// Half-breadth and height of the place on the form.
    pub at: [f64; 2],
}

/// Places looked at on every run between two marks of the form's section.
const PER_RUN: u32 = 24;

/// The greatest break in slope around the whole section at station `x`: the angle between the two surfaces in the plane of
/// the fuselage's normal and the way aft. `None` without a further section, or where the form has no section.
pub fn greatest_break(loft: &Loft, x: f64, fuselage: &FuselageShape) -> Option<SlopeBreak> {
    let section = loft.section(x)?;
    let mut worst: Option<SlopeBreak> = None;
    for (half, run) in section.runs() {
        for i in 0..=PER_RUN {
            let place = section.at(half, run, f64::from(i) / f64::from(PER_RUN));
            let [dy, dz] = place.by_fraction;
            let length = dy.hypot(dz);
            if length <= 0.0 {
                continue;
            }
            let own = (place.by_x[1] * dy - place.by_x[0] * dz) / length;
            let degrees = (fuselage.slope(place.p)?.atan() - own.atan()).to_degrees();
            if worst.is_none_or(|w| degrees.abs() > w.degrees.abs()) {
                worst = Some(SlopeBreak { degrees, at: place.p });
            }
        }
    }
    worst
}
