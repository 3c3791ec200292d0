//! After sanding: what was measured with calipers, station by station, against the plug.

use super::composer::{Align, Composer, Table};
use super::{Subject, fine, mm};
use crate::sanded::{Verdict, exaggeration};
use form::PlugSurface;
use plug::{ALLOWED_DEVIATION, Deviation, Plan, Point};
use sheets::{Affine, Anchor, Drawing, Ink, Path, Rect, Stroke, Text};

/// Chord error of the drawn sections, mm.
const DRAWN: f64 = 0.05;
/// Height of a section on paper, mm, and the longest bar.
const HEIGHT: f64 = 62.0;
const LONGEST: f64 = 12.0;
/// Size of numbers, mm on paper.
const NUMBER: f64 = 2.6;

const WIDE: Ink = Ink([196, 96, 16]);
const NARROW: Ink = Ink([24, 84, 168]);
const GOOD: Ink = Ink([30, 120, 60]);

/// The chapter; left out while nothing was measured.
pub(super) fn set(c: &mut Composer, s: &Subject<'_>, plan: &Plan) {
    let deviations = &plan.gauges.deviations;
    if deviations.is_empty() {
        return;
    }
    c.chapter("After sanding");
    c.text(&format!(
        "Only what was measured and typed in is shown. Half of every difference lies on either side of the centre plane; more than {} mm \
         in the width is worth going back to.",
        mm(ALLOWED_DEVIATION)
    ));
    c.table(&all(deviations));
    let plug = PlugSurface::of(s.skin, &s.document.build);
    let sections: Vec<Section> =
        stations(deviations).into_iter().filter_map(|x| Section::of(&plug, x, deviations)).collect();
    // All sections alike, so that they can be compared.
    let times = sections.iter().map(|s| exaggeration(&s.deviations, LONGEST / s.scale)).fold(f64::INFINITY, f64::min);
    for section in sections {
        let drawing = section.drawing(times);
        let station = section.station;
        c.heading_of(&format!("Station {} mm, looking aft", mm(station)), drawing.bounds().size()[1] + 12.0);
        c.figure(&drawing);
        c.caption(&format!(
            "The plug's section, and what the width is off on each side, {times:.0} times as large: outward is left to sand, inward was \
             sanded too far. The numbers are for the whole width, mm."
        ));
    }
}

fn all(deviations: &[Deviation]) -> Table {
    let right = Align::Right;
    let mut table = Table::new(&[
        ("Station mm", right),
        ("Height mm", right),
        ("Measured mm", right),
        ("Plug mm", right),
        ("Measured less plug mm", right),
        ("", Align::Left),
    ]);
    for d in deviations {
        let known = |v: Option<f64>| v.map_or_else(|| "–".to_owned(), fine);
        table.row([
            mm(d.measured.station),
            mm(d.measured.height),
            fine(d.measured.width),
            known(d.planned),
            known(d.over()),
            Verdict::of(d).map_or("the plug has no width there", Verdict::label).to_owned(),
        ]);
    }
    table
}

/// The stations at which something was measured, from the front.
fn stations(deviations: &[Deviation]) -> Vec<f64> {
    let mut all: Vec<f64> = deviations.iter().map(|d| d.measured.station).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

/// The plug's section at a station and what was measured there, from the lowest.
struct Section {
    station: f64,
    outline: Vec<Point>,
    bounds: Rect,
    /// Millimetres on paper for one at the model.
    scale: f64,
    deviations: Vec<Deviation>,
}

impl Section {
    fn of(plug: &PlugSurface, station: f64, all: &[Deviation]) -> Option<Self> {
        let half = plug.section(station, 0.0, DRAWN).outline;
        let starboard = half.iter().map(|p| [-p[0], p[1]]);
        let outline: Vec<Point> = starboard.chain(half.iter().rev().copied()).collect();
        let mut bounds = Rect::NOTHING;
        outline.iter().for_each(|p| bounds.include(*p));
        let mut deviations: Vec<Deviation> = all.iter().filter(|d| d.measured.station == station).copied().collect();
        deviations.sort_by(|a, b| a.measured.height.total_cmp(&b.measured.height));
        let [width, height] = bounds.size();
        let scale = HEIGHT / width.max(height).max(1e-9);
        (half.len() > 1 && !bounds.is_empty()).then_some(Self { station, outline, bounds, scale, deviations })
    }

    /// With a bar at both ends of every width, so many times as long as that side is off.
    fn drawing(&self, times: f64) -> Drawing {
        let map = Affine::scale([self.scale, self.scale]);
        let mut d = Drawing::default();
        let points: Vec<Point> = self.outline.iter().map(|p| map.apply(*p)).collect();
        d.push(Path::polygon(&points, Some(Stroke::solid(0.25, Ink::DARK)), None));
        let ends = [[0.0, self.bounds.min[1]], [0.0, self.bounds.max[1]]].map(|p| map.apply(p));
        d.push(Path::line(ends[0], ends[1], Stroke::dashed(0.12, Ink::MID, &[4.0, 1.0, 1.0, 1.0])));
        let mut free_from = f64::NEG_INFINITY;
        for deviation in &self.deviations {
            // Where widths lie close together the table alone has their numbers.
            let level = map.apply([0.0, deviation.measured.height])[1];
            let numbered = level >= free_from;
            if numbered {
                free_from = level + 1.4 * NUMBER;
            }
            width(&mut d, deviation, &map, times, numbered);
        }
        d
    }
}

fn width(d: &mut Drawing, deviation: &Deviation, map: &Affine, times: f64, numbered: bool) {
    let (Some(planned), Some(over), Some(verdict)) = (deviation.planned, deviation.over(), Verdict::of(deviation))
    else {
        return;
    };
    let (half, height) = (0.5 * planned, deviation.measured.height);
    let ink = match verdict {
        Verdict::LeftToSand => WIDE,
        Verdict::Done => GOOD,
        Verdict::TooFar => NARROW,
    };
    let from = |side: f64| map.apply([side * half, height]);
    let to = |side: f64| map.apply([side * (half + 0.5 * over * times), height]);
    d.push(Path::line(from(-1.0), from(1.0), Stroke::dashed(0.1, Ink::MID, &[1.0, 1.0])));
    for side in [-1.0, 1.0] {
        d.push(Path::line(from(side), to(side), Stroke::solid(1.2, ink)));
    }
    if !numbered {
        return;
    }
    let sign = if over > 0.0 { "+" } else { "" };
    let beyond = from(1.0)[0].max(to(1.0)[0]) + 2.0;
    let words = format!("{sign}{}", fine(over));
    d.push(Text::new(words, [beyond, from(1.0)[1] - 0.36 * NUMBER], NUMBER).anchored(Anchor::Start).ink(ink));
}
