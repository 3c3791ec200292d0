//! The land of an added form's shell: the strip beyond the line of meeting that lies on the first form and is glued.
//!
//! It is as long as the line and of one width; its mass lies along the line, its width counting for nothing.

use super::outside::Outside;
use form::space::{Vector, add, dot, length, sub, times};
use project::laminate::{Extent, Span};
use shell::mass::Part;

/// A land, in the axes of the added form.
pub(super) struct Land {
    /// mm².
    area: f64,
    centre: Vector,
    /// Mean squares and products of the distances from its centre, mm²: xx, yy, zz, xy, xz, yz.
    spread: [f64; 6],
}

impl Land {
    /// Along the lines of meeting, so wide, mm; `None` where it has no area.
    pub(super) fn of(outside: &Outside<'_>, width: f64) -> Option<Self> {
        let chords: Vec<[Vector; 2]> = outside.places().iter().flat_map(|line| chords(line)).collect();
        let long: f64 = chords.iter().map(|[a, b]| length(sub(*b, *a))).sum();
        let centre = chords.iter().fold([0.0; 3], |sum, [a, b]| {
            let half = 0.5 * length(sub(*b, *a)) / long;
            add(sum, times(add(*a, *b), half))
        });
        let mut spread = [0.0; 6];
        for [a, b] in &chords {
            let share = length(sub(*b, *a)) / long;
            let [a, b] = [sub(*a, centre), sub(*b, centre)];
            for (sum, [i, j]) in spread.iter_mut().zip([[0, 0], [1, 1], [2, 2], [0, 1], [0, 2], [1, 2]]) {
                // The mean of a product of two linear functions along a chord.
                *sum += share * (2.0 * (a[i] * a[j] + b[i] * b[j]) + a[i] * b[j] + b[i] * a[j]) / 6.0;
            }
        }
        let area = long * width;
        (area > 0.0 && dot(centre, centre).is_finite()).then_some(Self { area, centre, spread })
    }

    /// Area of it that a ply covers, mm²: strips and patches belong to the first form.
    pub(super) fn covered(&self, extent: &Extent) -> f64 {
        if *extent == Extent::Whole { self.area } else { 0.0 }
    }

    /// What a layer of so many g/m² weighs on it.
    pub(super) fn part(&self, name: String, extent: &Extent, areal_mass: Span) -> Option<Part> {
        let area = self.covered(extent);
        (area > 0.0).then(|| Part {
            name,
            mass: areal_mass.times(1e-6 * area),
            centre: self.centre.map(Span::exact),
            spread: self.spread,
        })
    }
}

fn chords(line: &[Vector]) -> impl Iterator<Item = [Vector; 2]> {
    line.windows(2).map(|w| [w[0], w[1]])
}
