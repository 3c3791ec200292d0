//! Control sections that cross: at some height one of them falls in between its two neighbours.
//!
//! ```text
//!    half-breadth at one height, along the body        a, c  neighbours      b  falls in
//!         a----.      .----c
//!               '-b--'
//! ```
//!
//! A section that is wider than both its neighbours is a bulge, as every body has one; one that is narrower than both at the same
//! height makes the waterline go in and out again. The lines may ask for that (a waist of the breadth line, a dip of the
//! crown), so it counts only where the section is also narrower there than its neighbours' unit shapes would make it.

use crate::outline::Outline;
use form::{Finding, Part, Severity};
use geometry::loft::Loft;
use project::document::Form;

/// A waterline may fall in by this much before it is told, mm.
pub const HOLLOW: f64 = 0.3;
/// Heights looked at between the lowest crown and the highest keel of three sections.
const HEIGHTS: u32 = 40;

/// A control section that falls in between its neighbours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hollow {
    /// Index of the control section.
    pub section: usize,
    /// Height at which it falls in most, mm.
    pub height: f64,
    /// Its half-breadth there, mm.
    pub half_breadth: f64,
    /// By how much it falls in, mm.
    pub depth: f64,
}

/// A control section as it is lofted, with its half boxes.
struct Cut {
    outline: Outline,
    breadth: f64,
    middle: f64,
    above: f64,
    below: f64,
    station: f64,
}

impl Cut {
    fn new(loft: &Loft, station: f64) -> Option<Self> {
        let section = loft.section(station)?;
        let outline = Outline::new(section.polyline(0.01))?;
        let (breadth, middle) = (section.breadth(), section.breadth_height());
        let (above, below) = (section.crown() - middle, middle - section.keel());
        (breadth > 0.0).then_some(Self { outline, breadth, middle, above, below, station })
    }

    fn half_breadth(&self, z: f64) -> Option<f64> {
        self.outline.half_breadths_at(z).into_iter().reduce(f64::max)
    }

    /// The share of its half box at which a height lies.
    fn share(&self, z: f64) -> f64 {
        let up = z - self.middle;
        up / (if up > 0.0 { self.above } else { self.below }).max(f64::MIN_POSITIVE)
    }

    /// Half-breadth over greatest half-breadth at a share of the half box.
    fn unit_breadth(&self, share: f64) -> Option<f64> {
        let z = self.middle + share * if share > 0.0 { self.above } else { self.below };
        self.half_breadth(z).map(|y| y / self.breadth)
    }
}

/// All control sections of a form that fall in between their neighbours.
pub fn hollows(form: &Form, loft: &Loft) -> Vec<Hollow> {
    let cuts: Vec<(usize, Cut)> =
        form.sections.iter().enumerate().filter_map(|(i, s)| Some((i, Cut::new(loft, s.station)?))).collect();
    cuts.windows(3).filter_map(|w| hollow(w[1].0, [&w[0].1, &w[1].1, &w[2].1])).collect()
}

fn hollow(section: usize, [a, b, c]: [&Cut; 3]) -> Option<Hollow> {
    let all = [a, b, c];
    let low = all.map(|s| s.middle - s.below).into_iter().fold(f64::NEG_INFINITY, f64::max);
    let high = all.map(|s| s.middle + s.above).into_iter().fold(f64::INFINITY, f64::min);
    let along = (b.station - a.station) / (c.station - a.station);
    let at = |i: u32| {
        let height = low + (high - low) * (f64::from(i) + 0.5) / f64::from(HEIGHTS);
        let [ya, half_breadth, yc] = [a.half_breadth(height)?, b.half_breadth(height)?, c.half_breadth(height)?];
        let share = b.share(height);
        let (ua, uc) = (a.unit_breadth(share)?, c.unit_breadth(share)?);
        let asked = b.breadth * (ua + along * (uc - ua));
        Some(Hollow { section, height, half_breadth, depth: ya.min(yc).min(asked) - half_breadth })
    };
    let deepest = (0..HEIGHTS).filter_map(at).max_by(|p, q| p.depth.total_cmp(&q.depth))?;
    (high > low && deepest.depth > HOLLOW).then_some(deepest)
}

/// What is found about control sections that cross.
pub fn findings(form: &Form, loft: &Loft) -> Vec<Finding> {
    let tell = |h: Hollow| {
        let what = format!(
            "The waterline at a height of {:.1} mm falls in here by {:.1} mm: this section crosses both its neighbours.",
            h.height, h.depth
        );
        let hint = "Make the section fuller there, or its neighbours leaner.";
        let finding = Finding::new(Severity::Warning, Part::Section(h.section), what, hint);
        let station = form.sections[h.section].station;
        finding.at_station(station).at_point([h.half_breadth, h.height]).with(h.depth, HOLLOW, "mm")
    };
    hollows(form, loft).into_iter().map(tell).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, free, lofted, section};

    fn with_fullness(rho: [f64; 3]) -> Form {
        let mut form = cylinder(50.0, 200.0);
        form.sections = vec![section(0.0, rho[0]), section(100.0, rho[1]), section(200.0, rho[2])];
        form
    }

    fn found(form: &Form) -> Vec<Hollow> {
        hollows(form, lofted(form).skin.as_ref().unwrap().loft())
    }

    /// Closed form: on the diagonal a conic of fullness rho stands (1 + rho) / 2 of the box out.
    #[test]
    fn a_lean_section_between_full_ones_falls_in() {
        let told = found(&with_fullness([0.6, 0.4, 0.6]));
        assert_eq!(told.len(), 1);
        assert!(told[0].section == 1 && told[0].depth > 4.0, "{told:?}");
        // At the height of the lean conic's shoulder, 0.7 of 50 mm, its half-breadth is 35 mm too.
        let lean = Cut::new(lofted(&with_fullness([0.6, 0.4, 0.6])).skin.as_ref().unwrap().loft(), 100.0).unwrap();
        assert!((lean.half_breadth(35.0).unwrap() - 35.0).abs() < 0.02);
    }

    #[test]
    fn a_bulge_a_steady_change_and_what_the_lines_ask_for_do_not_count() {
        assert_eq!(found(&with_fullness([0.4, 0.6, 0.4])), []);
        assert_eq!(found(&with_fullness([0.6, 0.5, 0.4])), []);
        let mut waisted = with_fullness([0.5, 0.5, 0.5]);
        waisted.lines.breadth = free(&[[0.0, 50.0], [100.0, 40.0], [200.0, 50.0]]);
        assert_eq!(found(&waisted), []);
    }
}
