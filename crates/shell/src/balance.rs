//! The aircraft's balance before and after, and the ballast that restores it.
//!
//! With M the mass of the aircraft, R that of what is taken off and N of what comes on, each at its place x:
//! after = (M x - R x + N x) / (M - R + N), and a ballast at b restores a centre c when it weighs (after - c) (M - R + N) / (c - b).
//! Both go one way with each of the six numbers while the others stay, so their ranges end at corners of the six ranges, all of which
//! are tried. The shift is taken corner by corner too: what is not known of the aircraft's own centre hardly widens it.

use crate::laminate::Span;
use crate::mass::{MassError, MassProperties, Part};

/// Where ballast could go.
#[derive(Clone, Debug, PartialEq)]
pub struct BallastPlace {
    /// What the builder calls it.
    pub name: String,
    /// Foremost and rearmost station of its middle, mm aft of the datum.
    pub stations: (f64, f64),
}

/// What restores the balance.
#[derive(Clone, Debug, PartialEq)]
pub enum Ballast {
    /// Nothing: the likely shift is within what is allowed.
    None,
    /// This much, at this station of this place: as far from the centre as the place reaches, so that least is needed.
    Add {
        /// Index of the place.
        place: usize,
        /// Station, mm aft of the datum.
        station: f64,
        /// Grams. The low end is 0 where the shift may be none.
        grams: Span,
    },
    /// No place lies on the side of the centre that ballast must be on.
    NoPlace {
        /// Whether it must be aft of the centre.
        aft: bool,
    },
}

/// Balance before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// Mass before, grams.
    pub mass_before: Span,
    /// Mass after, without ballast, grams.
    pub mass_after: Span,
    /// Centre before, mm.
    pub before: [Span; 3],
    /// Centre after, without ballast, mm.
    pub after: [Span; 3],
    /// From before to after, mm.
    pub shift: [Span; 3],
    /// What restores the station of the centre.
    pub ballast: Ballast,
}

/// The question.
#[derive(Clone, Debug, PartialEq)]
pub struct Question<'a> {
    /// The aircraft as it stands, ready to fly.
    pub aircraft: Part,
    /// What is taken off it; nothing if the new part is only added.
    pub taken_off: Option<Part>,
    /// What comes on.
    pub comes_on: &'a MassProperties,
    /// Station that the centre is to have, mm aft of the datum; that before if not given.
    pub wanted: Option<f64>,
    /// How far the centre may lie from it, mm.
    pub allowed: f64,
    /// Where ballast could go.
    pub places: &'a [BallastPlace],
}

/// The balance before and after.
///
/// # Errors
/// A range is none, or more is taken off than the aircraft weighs.
pub fn balance(question: &Question<'_>) -> Result<Balance, MassError> {
    let aircraft = &question.aircraft;
    MassProperties::of(std::slice::from_ref(aircraft))?;
    let nothing = Part::point("nothing", Span::exact(0.0), [0.0; 3]);
    let off = question.taken_off.as_ref().unwrap_or(&nothing);
    MassProperties::of(&[aircraft.clone(), off.clone()])?;
    if aircraft.mass.low <= off.mass.high {
        return Err(MassError::TakenOff { part: off.name.clone() });
    }
    let on = question.comes_on;
    let along = |axis: usize| Corners { aircraft, off, on, axis };
    let after = [0, 1, 2].map(|k| along(k).range(|c| c.after()));
    let shift = [0, 1, 2].map(|k| along(k).range(|c| c.after() - c.before));
    let mass_after = along(0).range(Corner::mass);
    let ballast = ballast(question, &along(0));
    Ok(Balance { mass_before: aircraft.mass, mass_after, before: aircraft.centre, after, shift, ballast })
}

/// One choice of all six numbers.
#[derive(Clone, Copy)]
struct Corner {
    aircraft: f64,
    before: f64,
    off: f64,
    off_at: f64,
    on: f64,
    on_at: f64,
}

impl Corner {
    fn mass(self) -> f64 {
        self.aircraft - self.off + self.on
    }

    fn after(self) -> f64 {
        (self.aircraft * self.before - self.off * self.off_at + self.on * self.on_at) / self.mass()
    }

    /// Ballast at `at` for a centre at `wanted`; negative where that side is wrong.
    fn ballast(self, wanted: Option<f64>, at: f64) -> f64 {
        let wanted = wanted.unwrap_or(self.before);
        (self.after() - wanted) * self.mass() / (wanted - at)
    }
}

/// All that may be along one axis.
struct Corners<'a> {
    aircraft: &'a Part,
    off: &'a Part,
    on: &'a MassProperties,
    axis: usize,
}

impl Corners<'_> {
    fn at(&self, pick: impl Fn(usize, Span) -> f64) -> Corner {
        Corner {
            aircraft: pick(0, self.aircraft.mass),
            before: pick(1, self.aircraft.centre[self.axis]),
            off: pick(2, self.off.mass),
            off_at: pick(3, self.off.centre[self.axis]),
            on: pick(4, self.on.mass),
            on_at: pick(5, self.on.centre[self.axis]),
        }
    }

    fn likely(&self) -> Corner {
        self.at(|_, span| span.likely)
    }

    fn range(&self, of: impl Fn(Corner) -> f64) -> Span {
        let likely = of(self.likely());
        let ends = (0..64_u32).map(|bits| of(self.at(|k, span| if bits >> k & 1 == 1 { span.high } else { span.low })));
        ends.fold(Span::exact(likely), |sum, v| Span { low: sum.low.min(v), high: sum.high.max(v), ..sum })
    }
}

fn ballast(question: &Question<'_>, along: &Corners<'_>) -> Ballast {
    let likely = along.likely();
    let wanted = question.wanted.unwrap_or(likely.before);
    let off_by = likely.after() - wanted;
    if off_by.abs() <= question.allowed.abs() {
        return Ballast::None;
    }
    let aft = off_by < 0.0;
    // The centre that is wanted is itself in a range where it is that before: a place must lie beyond all of it.
    let range = question.wanted.map_or(along.aircraft.centre[0], Span::exact);
    let reach = |place: &BallastPlace| {
        let (a, b) = place.stations;
        if aft { (a.max(b), a.max(b) - range.high) } else { (a.min(b), range.low - a.min(b)) }
    };
    let all = question.places.iter().enumerate().map(|(i, place)| (i, reach(place)));
    let best = all.filter(|(_, (_, arm))| *arm > LEAST_ARM).max_by(|a, b| a.1.1.total_cmp(&b.1.1));
    let Some((place, (station, _))) = best else { return Ballast::NoPlace { aft } };
    let grams = along.range(|c| c.ballast(question.wanted, station));
    Ballast::Add { place, station, grams: grams.through(|g| g.max(0.0)) }
}

/// Nearer to the centre than this a ballast is no cure, mm.
const LEAST_ARM: f64 = 1.0;
