//! Gauges to sand by: outside templates, the caliper table, and how far a sanded plug is off.
//!
//! ```text
//!   .----------.   an outside template of one side: the negative of the plug, `land` wide beyond it, its foot on the base line
//!   '-.        |   that all templates share, so that it stands up on the bench; the two sides meet on the centre plane
//!      \       |
//!       |      |
//!      /       |
//!   .-'        |
//!   |__________|  base line
//! ```

use crate::finding::finding;
use crate::foam::Side;
use crate::openings::{EdgeTick, OpeningOnPlug};
use crate::region::{Point, Region};
use crate::surface::{CUT, READ, follow, half, half_breadth_at, near_centre};
use form::{Finding, PlugSurface, Severity};
use project::build::{MeasuredWidth, Sanding};

/// All gauges of a plug.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gauges {
    /// Outside templates at stations.
    pub stations: Vec<OutsideTemplate>,
    /// Outside templates along crown and keel.
    pub lines: Vec<LineTemplate>,
    /// Widths to check with calipers.
    pub calipers: Vec<CaliperRow>,
    /// What was measured, against the plug.
    pub deviations: Vec<Deviation>,
}

/// The outside template of one side at a station, y to starboard, z up.
#[derive(Clone, Debug, PartialEq)]
pub struct OutsideTemplate {
    /// Station, mm.
    pub station: f64,
    /// Side of the plug it is held against.
    pub side: Side,
    /// What is cut.
    pub part: Region,
    /// Height of its foot, the same for all.
    pub base: f64,
    /// Where edges of openings cross its station.
    pub ticks: Vec<EdgeTick>,
}

/// Which line of the centre plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CentreLine {
    /// The upper edge.
    Crown,
    /// The lower edge.
    Keel,
}

impl CentreLine {
    /// The word for it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Crown => "crown",
            Self::Keel => "keel",
        }
    }
}

/// The outside template along a line, x aft, z up. That of the keel stands on the base line; that of the crown has its straight
/// edge above, and stands when the plug lies on its back.
#[derive(Clone, Debug, PartialEq)]
pub struct LineTemplate {
    /// Which line.
    pub line: CentreLine,
    /// What is cut.
    pub part: Region,
    /// Height of its straight edge.
    pub base: f64,
    /// Where edges of openings cross the centre plane.
    pub ticks: Vec<EdgeTick>,
}

/// Widths of the plug at one station.
#[derive(Clone, Debug, PartialEq)]
pub struct CaliperRow {
    /// Station, mm.
    pub station: f64,
    /// Height of keel and crown, mm.
    pub heights: (f64, f64),
    /// Greatest width, mm.
    pub greatest: f64,
    /// (height, width) at round heights, from the lowest, mm.
    pub widths: Vec<(f64, f64)>,
}

/// A measured width against the plug's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deviation {
    /// What was measured.
    pub measured: MeasuredWidth,
    /// The plug's width there; `None` where the plug has none.
    pub planned: Option<f64>,
}

impl Deviation {
    /// Measured less planned: positive where foam is left to sand, mm.
    pub fn over(&self) -> Option<f64> {
        self.planned.map(|p| self.measured.width - p)
    }
}

/// Widths off by more than this are told, mm (common practice, no source).
pub const ALLOWED_DEVIATION: f64 = 0.5;

/// All gauges, and findings for stations without a plug and widths that are off. The plug reaches from `range.0` to `range.1`;
/// calipers are used at `formers` and at the templates' stations.
pub(crate) fn gauges(
    plug: &PlugSurface,
    sanding: &Sanding,
    range: (f64, f64),
    formers: &[f64],
) -> (Gauges, Vec<Finding>) {
    let mut findings = Vec::new();
    let lines = centre_lines(plug, range);
    let keel = lines.iter().map(|s| s.1[0]).fold(f64::INFINITY, f64::min);
    let base = keel - sanding.land;
    let inside = |x: &&f64| **x >= range.0 - 1e-6 && **x <= range.1 + 1e-6;
    let stations: Vec<f64> = sanding.stations.iter().filter(inside).copied().collect();
    findings.extend(sanding.stations.iter().filter(|x| !inside(x)).map(|x| outside_plug(*x, range)));
    let templates = stations.iter().flat_map(|&x| outside(plug, x, base, sanding.land)).collect();
    let along = if sanding.lines { line_templates(&lines, sanding.land) } else { Vec::new() };
    let mut rows: Vec<f64> = formers.iter().chain(&stations).copied().collect();
    rows.sort_by(f64::total_cmp);
    rows.dedup_by(|b, a| *b - *a < 0.5);
    let calipers = rows.iter().filter_map(|&x| caliper_row(plug, x)).collect();
    let deviations: Vec<Deviation> = sanding.measured.iter().map(|m| deviation(plug, m)).collect();
    findings.extend(deviations.iter().filter_map(off));
    (Gauges { stations: templates, lines: along, calipers, deviations }, findings)
}

impl Gauges {
    /// Marks where the edges of openings meet the templates.
    pub(crate) fn mark_openings(&mut self, openings: &[OpeningOnPlug]) {
        for opening in openings {
            for t in &mut self.stations {
                let own = |p: &Point| (p[0] >= 0.0) == (t.side == Side::Starboard);
                let crossings: Vec<Point> = opening.crossings(0, t.station).into_iter().filter(own).collect();
                t.ticks.extend(opening.ticks(&t.part, &crossings));
            }
            for t in &mut self.lines {
                t.ticks.extend(opening.ticks(&t.part, &opening.crossings(1, 0.0)));
            }
        }
    }
}

/// Keel and crown heights along the plug.
fn centre_lines(plug: &PlugSurface, range: (f64, f64)) -> Vec<(f64, [f64; 2])> {
    let read = |x: f64| {
        let outline = near_centre(plug, x, 0.0, 0.0);
        Some([outline.last()?[1], outline.first()?[1]])
    };
    follow(&[range.0, range.1], &read)
}

/// Both sides' templates at a station.
fn outside(plug: &PlugSurface, station: f64, base: f64, land: f64) -> Vec<OutsideTemplate> {
    let outline = half(plug, station, 0.0, CUT);
    let section = crate::surface::whole(&outline);
    let Some((_, high)) = section.bounds() else { return Vec::new() };
    let block = Region::rectangle([0.0, base], [high[0] + land, high[1] + land]);
    let starboard = block.without(&section);
    let template = |side| {
        let part = if side == Side::Starboard { starboard.clone() } else { starboard.mirrored() };
        OutsideTemplate { station, side, part, base, ticks: Vec::new() }
    };
    Side::BOTH.map(template).to_vec()
}

fn line_templates(lines: &[(f64, [f64; 2])], land: f64) -> Vec<LineTemplate> {
    let (Some(first), Some(last)) = (lines.first(), lines.last()) else { return Vec::new() };
    [CentreLine::Crown, CentreLine::Keel]
        .into_iter()
        .map(|line| {
            let k = usize::from(line == CentreLine::Crown);
            let heights = lines.iter().map(|s| s.1[k]);
            let base = match line {
                CentreLine::Crown => heights.fold(f64::NEG_INFINITY, f64::max) + land,
                CentreLine::Keel => heights.fold(f64::INFINITY, f64::min) - land,
            };
            let edge = lines.iter().map(|s| [s.0, s.1[k]]);
            let outline: Vec<Point> = edge.chain([[last.0, base], [first.0, base]]).collect();
            LineTemplate { line, part: Region::of(&outline), base, ticks: Vec::new() }
        })
        .collect()
}

/// Heights of a caliper row are multiples of one of these, mm.
const STEPS: [f64; 7] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
/// As many widths as a row should have at most.
const MOST: f64 = 9.0;

fn caliper_row(plug: &PlugSurface, station: f64) -> Option<CaliperRow> {
    let outline = half(plug, station, 0.0, READ);
    let (crown, keel) = (outline.first()?[1], outline.last()?[1]);
    let greatest = 2.0 * outline.iter().map(|p| p[0]).fold(0.0, f64::max);
    let step = STEPS.into_iter().find(|s| (crown - keel) / s <= MOST).unwrap_or(200.0);
    let heights = ((keel / step).ceil() as i64..=(crown / step).floor() as i64).map(|i| i as f64 * step);
    let width = |z: f64| Some((z, 2.0 * half_breadth_at(&outline, z)?));
    Some(CaliperRow { station, heights: (keel, crown), greatest, widths: heights.filter_map(width).collect() })
}

fn deviation(plug: &PlugSurface, measured: &MeasuredWidth) -> Deviation {
    let (low, high) = plug.x_range();
    let inside = measured.station >= low && measured.station <= high;
    let outline = if inside { half(plug, measured.station, 0.0, CUT) } else { Vec::new() };
    Deviation { measured: *measured, planned: half_breadth_at(&outline, measured.height).map(|y| 2.0 * y) }
}

fn off(deviation: &Deviation) -> Option<Finding> {
    let m = &deviation.measured;
    let place = |f: Finding, y: f64| f.at_station(m.station).at_point([y, m.height]);
    let Some(over) = deviation.over() else {
        let what = "A width was measured where the plug has none.";
        let found = finding(Severity::Note, what, "Check the station and the height that were entered.");
        return Some(place(found, 0.5 * m.width));
    };
    (over.abs() > ALLOWED_DEVIATION).then(|| {
        let (what, hint) = if over > 0.0 {
            (format!("The sanded plug is {over:.1} mm too wide here."), "Sand both sides by half of it.")
        } else {
            (format!("The sanded plug is {:.1} mm too narrow here.", -over), "Fill both sides by half of it.")
        };
        let found = finding(Severity::Warning, what, hint);
        place(found, 0.5 * m.width).with(over.abs(), ALLOWED_DEVIATION, "mm")
    })
}

fn outside_plug(station: f64, range: (f64, f64)) -> Finding {
    let what = format!(
        "The outside template at {station:.1} mm lies off the plug, which is from {:.1} to {:.1} mm.",
        range.0, range.1
    );
    finding(Severity::Warning, what, "Choose a station on the plug.").at_station(station)
}
