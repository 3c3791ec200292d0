//! Lines of sight in a cross plane.

use super::{SkinPlace, Target, side_of};
use crate::seen::Spot;
use geometry::control::Half;
use geometry::section::{Section, SurfacePlace};
use project::opening::Seen;
use project::photograph::Side;

/// Where a half section has a half-breadth or height.
#[derive(Clone, Copy, Debug)]
pub(in super::super) struct Root {
    pub(in super::super) half: Half,
    pub(in super::super) run: usize,
    pub(in super::super) fraction: f64,
    pub(in super::super) place: SurfacePlace,
}

/// How near a root must come, mm.
const CLOSE: f64 = 1e-10;
const MOST_STEPS: usize = 60;
/// Nearer to the centre plane than this is on it, mm.
const ON_CENTRE: f64 = 1e-9;

impl Target<'_> {
    /// Where half-breadth (k = 0) or height (k = 1) of a half section has a value, from crown to keel.
    pub(in super::super) fn roots(&self, section: &Section<'_>, k: usize, value: f64) -> Vec<Root> {
        let mut out = Vec::new();
        let miss = |c: &super::Column| section.at(c.half, c.run, c.fraction).p[k] - value;
        let mut before: Option<(&super::Column, f64)> = None;
        for column in &self.columns {
            let here = miss(column);
            if let Some((last, was)) = before
                && last.run == column.run
                && last.half == column.half
                && (was > 0.0) != (here > 0.0)
            {
                out.push(root(
                    section,
                    (column.half, column.run),
                    k,
                    value,
                    [(last.fraction, was), (column.fraction, here)],
                ));
            }
            before = Some((column, here));
        }
        out
    }

    /// The first meeting of a line of sight that stays in its cross plane.
    pub(super) fn meet_across(&self, seen: Seen, view: [f64; 2]) -> Option<SkinPlace> {
        let (low, high) = self.loft.x_range();
        let [x, across] = view;
        if !(low..=high).contains(&x) {
            return None;
        }
        let section = self.loft.section(x)?;
        let spot = |root: &Root, side| Spot { x, half: root.half, run: root.run, fraction: root.fraction, side };
        let vertical = matches!(seen, Seen::Above | Seen::Below);
        if vertical && across.abs() < ON_CENTRE {
            return self.behind_trim(seen, self.at(self.on_centre(&section, seen)?, view)?);
        }
        let [k, value] = if vertical { [0.0, across.abs()] } else { [1.0, across] };
        let out = |root: &Root| match seen {
            Seen::Above => root.place.p[1],
            Seen::Below => -root.place.p[1],
            _ => root.place.p[0],
        };
        let roots = self.roots(&section, k as usize, value);
        let first = roots.iter().max_by(|a, b| out(a).total_cmp(&out(b)))?;
        let side = match seen {
            Seen::Port => Side::Port,
            Seen::Starboard => Side::Starboard,
            _ => side_of(across),
        };
        self.behind_trim(seen, self.at(spot(first, side), view)?)
    }

    /// The crown or the keel of a section.
    fn on_centre(&self, section: &Section<'_>, seen: Seen) -> Option<Spot> {
        let mut runs = section.runs();
        let ((half, run), fraction) = if seen == Seen::Above { (runs.next()?, 0.0) } else { (runs.last()?, 1.0) };
        Some(Spot { x: section.x(), half, run, fraction, side: Side::Starboard })
    }
}

/// Newton's method, held in a bracket.
fn root(section: &Section<'_>, (half, run): (Half, usize), k: usize, value: f64, bracket: [(f64, f64); 2]) -> Root {
    let [(mut low, at_low), (mut high, at_high)] = bracket;
    let rising = at_high > at_low;
    let mut fraction = low + (high - low) * at_low / (at_low - at_high);
    let mut place = section.at(half, run, fraction);
    for _ in 0..MOST_STEPS {
        let miss = place.p[k] - value;
        if miss.abs() < CLOSE || high - low < 1e-15 {
            break;
        }
        if (miss > 0.0) == rising {
            high = fraction;
        } else {
            low = fraction;
        }
        let next = fraction - miss / place.by_fraction[k];
        fraction = if next > low && next < high { next } else { 0.5 * (low + high) };
        place = section.at(half, run, fraction);
    }
    Root { half, run, fraction, place }
}
