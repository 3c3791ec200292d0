//! The strip of card by which the screws' holes are drilled: wrapped round the joint, with a hole for each.

use fit::fuselage::screw_strip;
use project::airframe::{FuselageEnd, LapSide};
use project::build::Build;
use project::document::{Document, Form};
use sheets::{CardTemplate, Mark, MarkPen, Part};

/// The strip goes on beyond crown and keel by this much, mm, so that both halves can be laid against the centre line.
const BEYOND: f64 = 10.0;
/// Card beyond the holes on the strip's inner side, mm.
const LAND: f64 = 8.0;

/// The grey line runs this far inside the edge that it tells, mm.
const EDGE_LINE: f64 = 0.5;

/// The strip that is wrapped round the joint to drill the holes; none without screws.
pub(super) fn part(document: &Document, form: &Form) -> Option<Part> {
    let end = document.airframe.fuselage.as_ref()?;
    Some(drawn(end, &document.build, document, form)?.part())
}

fn drawn(end: &FuselageEnd, build: &Build, document: &Document, form: &Form) -> Option<CardTemplate> {
    let strip = screw_strip(end, fit::wall(build))?;
    let (length, high) = (strip.half_girth, strip.from_edge + 0.5 * strip.hole + LAND);
    let rectangle = vec![[-BEYOND, 0.0], [length + BEYOND, 0.0], [length + BEYOND, high], [-BEYOND, high]];
    let holes = strip.along.iter().map(|x| circle([*x, strip.from_edge], 0.5 * strip.hole));
    let mut marks: Vec<Mark> = [(0.0, "crown"), (length, "keel")]
        .map(|(x, name)| Mark {
            points: vec![[x, 0.0], [x, high]],
            pen: MarkPen::Centre,
            name: format!("centre line, {name}"),
        })
        .to_vec();
    let (edge, round, way) = match end.lap.side {
        LapSide::Over => ("the shell's rear edge", "wrap it round the shell", "over"),
        LapSide::Into => ("the fuselage's front edge", "wrap it round the fuselage", "into"),
    };
    let along = vec![[0.0, EDGE_LINE], [length, EDGE_LINE]];
    marks.push(Mark { points: along, pen: MarkPen::Heavy, name: edge.to_owned() });
    // A cross reaches beyond the hole, to be seen when the drill stands on it.
    let arm = 0.5 * strip.hole + 2.0;
    for (number, x) in strip.along.iter().enumerate() {
        let name = format!("screw {}", number + 1);
        marks.push(Mark {
            points: vec![[x - arm, strip.from_edge], [x + arm, strip.from_edge]],
            pen: MarkPen::Station,
            name: String::new(),
        });
        marks.push(Mark {
            points: vec![[*x, strip.from_edge - arm], [*x, strip.from_edge + arm]],
            pen: MarkPen::Station,
            name,
        });
    }
    Some(CardTemplate {
        id: "screw-strip".to_owned(),
        title: "Screw strip".to_owned(),
        short: "screws".to_owned(),
        contours: std::iter::once(rectangle).chain(holes).collect(),
        marks,
        head: vec![format!("starboard; turn over for port: {} screws in all", strip.count)],
        notes: vec![
            format!("{round}, its grey edge along {edge}, crown and keel on the centre line"),
            format!("holes of {:.1} mm, {:.1} mm from the grey edge", strip.hole, strip.from_edge),
            format!(
                "the shell laps {:.1} mm {way} the fuselage, {:.2} mm clear per side",
                end.lap.length, end.lap.clearance
            ),
        ],
        sides: Some(["CROWN".to_owned(), "KEEL".to_owned()]),
        up: false,
        project: document.name.clone(),
        form: form.name.clone(),
        ..CardTemplate::default()
    })
}

/// A hole as a polygon that leaves no more than a hundredth of a millimetre of card.
fn circle([x, y]: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    const CORNERS: u32 = 48;
    let place = |i: u32| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / f64::from(CORNERS)).sin_cos();
        [x + radius * cos, y + radius * sin]
    };
    (0..CORNERS).map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{FuselageSection, Lap, ScrewSpacing, Screws};

    fn end(side: LapSide, spacing: ScrewSpacing) -> FuselageEnd {
        FuselageEnd {
            station: 300.0,
            section: FuselageSection::Circle { diameter: 160.0, centre_height: 0.0 },
            further: None,
            lap: Lap { side, length: 15.0, clearance: 0.3 },
            screws: Some(Screws { spacing, edge_distance: 6.0, hole: 3.2 }),
            allowed_gap: 0.5,
            allowed_break_deg: 2.0,
            pinned: None,
        }
    }

    /// Closed form: half the girth of a circle, π r, with the holes at odd shares of half a pitch; a pitch of at most 60 mm on
    /// 2 π 80 = 502.65 mm takes nine screws, of which the fifth lies at the keel.
    #[test]
    fn holes_stand_on_the_strip_as_the_screws_around_the_joint() {
        let document = project::starter::new_document("Test");
        let form = document.forms[0].clone();
        let mut build = (*document.build).clone();
        build.coat.laminate = 0.9;
        let wall = fit::wall(&build);
        for (side, radius, from_edge) in [(LapSide::Over, 80.3 + wall, 6.0), (LapSide::Into, 80.0, 9.0)] {
            for (spacing, count, on_half) in [
                (ScrewSpacing::Count(6), 6.0, 3),
                (ScrewSpacing::Pitch(60.0), 9.0, 5),
                (ScrewSpacing::Count(1), 1.0, 1),
            ] {
                let drawn = drawn(&end(side, spacing), &build, &document, &form).unwrap();
                let holes = &drawn.contours[1..];
                assert_eq!(holes.len(), on_half, "{side:?} {spacing:?}");
                for (i, hole) in holes.iter().enumerate() {
                    let middle = [0, 1].map(|k| hole.iter().map(|p| p[k]).sum::<f64>() / hole.len() as f64);
                    let wanted = std::f64::consts::TAU * radius * (i as f64 + 0.5) / count;
                    assert!(
                        (middle[0] - wanted).abs() < 0.05 && (middle[1] - from_edge).abs() < 1e-9,
                        "{middle:?} {wanted}"
                    );
                    assert!(hole.iter().all(|p| ((p[0] - middle[0]).hypot(p[1] - middle[1]) - 1.6).abs() < 1e-9));
                }
                let outline = drawn.contours[0].iter().map(|p| p[0]).fold(0.0, f64::max) - BEYOND;
                assert!((outline - std::f64::consts::PI * radius).abs() < 0.05, "{outline}");
            }
        }
        let without = FuselageEnd { screws: None, ..end(LapSide::Over, ScrewSpacing::Count(6)) };
        assert_eq!(drawn(&without, &build, &document, &form), None);
    }
}
