//! `plugwright measure`.

use super::{open_form, say};
use crate::arguments::Measure;
use crate::failure::Failure;
use geometry::loft::Loft;
use geometry::section::Section;
use serde_json::{Value, json};
use std::process::ExitCode;

/// Estimated error of volume over surface, and of surface over length, mm.
const TOLERANCE: f64 = 1e-6;
/// Chord error of the half sections that are written, mm.
const CHORD: f64 = 0.01;

pub(crate) fn run(arguments: &Measure) -> Result<ExitCode, Failure> {
    let (form, lofted) = open_form(&arguments.source)?;
    let loft = match &lofted.skin {
        Some(skin) => skin.loft(),
        None => return Err(desk::output::NotLofted::of(&form.name, &lofted).into()),
    };
    let sections = sections(loft, arguments, &form.stations)?;
    if arguments.json {
        say(&report(loft, &sections).to_string());
    } else {
        print_text(loft, &sections);
    }
    Ok(ExitCode::SUCCESS)
}

/// The sections that were asked for; of the project's own stations those inside the form.
fn sections<'a>(loft: &'a Loft, arguments: &Measure, stations: &[f64]) -> Result<Vec<Section<'a>>, Failure> {
    if arguments.at.is_empty() {
        return Ok(stations.iter().filter_map(|x| loft.section(*x)).collect());
    }
    let (low, high) = loft.x_range();
    let at = |&x: &f64| loft.section(x).ok_or(Failure::Outside { asked: x, low, high });
    arguments.at.iter().map(at).collect()
}

fn report(loft: &Loft, sections: &[Section<'_>]) -> Value {
    let body = loft.measures(TOLERANCE);
    let (low, high) = loft.x_range();
    json!({
        "length_mm": high - low,
        "volume_mm3": body.volume,
        "lateral_surface_mm2": body.lateral_surface,
        "centroid_mm": body.centroid,
        "stations": sections.iter().map(station).collect::<Vec<_>>(),
    })
}

fn station(section: &Section<'_>) -> Value {
    let m = section.measures();
    json!({
        "x_mm": section.x(),
        "area_mm2": m.area,
        "girth_mm": m.girth,
        "half_breadth_mm": section.half_breadth(),
        "top_mm": section.top(),
        "bottom_mm": section.bottom(),
        "half_section_mm": section.polyline(CHORD),
    })
}

fn print_text(loft: &Loft, sections: &[Section<'_>]) {
    let body = loft.measures(TOLERANCE);
    let (low, high) = loft.x_range();
    say(&format!("length           {:.3} mm, from {low:.3} to {high:.3}", high - low));
    say(&format!("volume           {:.1} mm3 = {:.4} l", body.volume, body.volume * 1e-6));
    say(&format!("lateral surface  {:.1} mm2 = {:.4} m2", body.lateral_surface, body.lateral_surface * 1e-6));
    let [x, y, z] = body.centroid;
    say(&format!("centroid         x {:.3}  y {:.3}  z {:.3} mm", plain(x), plain(y), plain(z)));
    say("");
    let heads = ["station mm", "area mm2", "girth mm", "half-breadth", "top mm", "bottom mm"];
    say(&heads.map(|h| format!("{h:>13}")).concat());
    for s in sections {
        let m = s.measures();
        let row = [s.x(), m.area, m.girth, s.half_breadth(), s.top(), s.bottom()];
        say(&row.map(|v| format!("{:>13.3}", plain(v))).concat());
    }
}

/// Without the sign of a zero that rounding leaves.
fn plain(value: f64) -> f64 {
    if value.abs() < 5e-4 { 0.0 } else { value }
}
