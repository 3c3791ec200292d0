//! Widths and heights the form must keep, such as the landing gear's, and the edit that mends them.
//!
//! A width at a height is taken between the outermost crossings of the finished skin with that height, a height at a
//! half-breadth between the highest and the lowest crossing.

use crate::mend::Trial;
use crate::outline::Outline;
use form::{Finding, Lofted, Mend, Part, Severity};
use geometry::loft::Loft;
use project::airframe::{Gauge, GaugeMeasure, GaugeRule};
use project::document::{Form, LineName};

/// Chord error of the outlines that are measured, mm.
const FINE: f64 = 0.0005;

/// What a gauge measures.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Whole width or height, mm; 0 where the section does not reach the gauge.
    pub value: f64,
    /// Half-breadths or heights of all crossings of the half section, from the crown on.
    pub crossings: Vec<f64>,
}

/// What a gauge measures on a form; `None` where its station lies beyond the form.
pub fn measure(gauge: &Gauge, loft: &Loft) -> Option<Measured> {
    let outline = Outline::new(loft.section(gauge.station)?.polyline(FINE))?;
    Some(match gauge.measure {
        GaugeMeasure::WidthAt { height } => {
            let crossings = outline.half_breadths_at(height);
            let outermost = crossings.iter().copied().fold(0.0, f64::max);
            Measured { value: 2.0 * outermost, crossings }
        }
        GaugeMeasure::HeightAt { half_breadth } => {
            let crossings = heights(&outline, half_breadth.abs());
            let (low, high) =
                crossings.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| (l.min(*z), h.max(*z)));
            Measured { value: (high - low).max(0.0), crossings }
        }
    })
}

/// On the centre plane the outline ends rather than crosses.
fn heights(outline: &Outline, half_breadth: f64) -> Vec<f64> {
    if half_breadth > 0.0 {
        return outline.heights_at(half_breadth);
    }
    let points = outline.points();
    vec![points[0][1], points[points.len() - 1][1]]
}

/// By how much a measure misses what a gauge asks for, beyond its tolerance: positive too little, negative too much, 0
/// where it fits.
pub fn missing(gauge: &Gauge, measured: f64) -> f64 {
    let lacks = gauge.value - measured;
    let out = lacks.abs() > gauge.tolerance + 1e-9;
    let counts = match gauge.rule {
        GaugeRule::AtLeast => lacks > 0.0,
        GaugeRule::AtMost => lacks < 0.0,
        GaugeRule::Exactly => true,
    };
    if out && counts { lacks } else { 0.0 }
}

/// What is found about the gauges; `index` is the form's in the document, for the edits that are offered.
pub fn findings(gauges: &[Gauge], form: &Form, index: usize, lofted: &Lofted) -> Vec<Finding> {
    let Some(skin) = &lofted.skin else { return Vec::new() };
    let one = |(i, gauge): (usize, &Gauge)| finding(i, gauge, skin.loft(), form, index);
    gauges.iter().enumerate().filter_map(one).collect()
}

fn finding(i: usize, gauge: &Gauge, loft: &Loft, form: &Form, index: usize) -> Option<Finding> {
    let Some(measured) = measure(gauge, loft) else {
        let (low, high) = loft.x_range();
        let what = format!("{} is gauged beyond the form, which runs from {low:.1} to {high:.1} mm.", gauge.name);
        let finding = Finding::new(Severity::Note, Part::Gauge(i), what, "Move the gauge's station onto the form.");
        return Some(finding.at_station(gauge.station));
    };
    let missing = missing(gauge, measured.value);
    if missing == 0.0 {
        return None;
    }
    let finding = Finding::new(Severity::Warning, Part::Gauge(i), in_words(gauge, &measured), hint(gauge, missing))
        .at_station(gauge.station)
        .at_point(place(gauge, &measured))
        .with(measured.value, gauge.value, "mm");
    Some(finding.mended_by(mend(gauge, loft, form, index)))
}

fn in_words(gauge: &Gauge, measured: &Measured) -> String {
    let rule = match gauge.rule {
        GaugeRule::AtLeast => "at least",
        GaugeRule::AtMost => "at most",
        GaugeRule::Exactly => "exactly",
    };
    let (what, at) = match gauge.measure {
        GaugeMeasure::WidthAt { height } => ("wide", format!("at a height of {height:.1} mm")),
        GaugeMeasure::HeightAt { half_breadth } => ("high", format!("at a half-breadth of {half_breadth:.1} mm")),
    };
    let is = if measured.crossings.is_empty() {
        "does not reach there".to_owned()
    } else {
        format!("is {:.2} mm {what} {at}", measured.value)
    };
    format!("{}: the form {is}; it must be {rule} {:.2} mm {what}.", gauge.name, gauge.value)
}

fn hint(gauge: &Gauge, missing: f64) -> String {
    let too_little = missing > 0.0;
    let (line, way) = match gauge.measure {
        GaugeMeasure::WidthAt { .. } => ("breadth line", if too_little { "out" } else { "in" }),
        GaugeMeasure::HeightAt { .. } => ("crown or keel line", if too_little { "apart" } else { "together" }),
    };
    let done = if too_little { "won" } else { "taken off" };
    format!("Move the {line} {way} here; {:.2} mm in all are to be {done}.", missing.abs())
}

fn place(gauge: &Gauge, measured: &Measured) -> [f64; 2] {
    match gauge.measure {
        GaugeMeasure::WidthAt { height } => [0.5 * measured.value, height],
        GaugeMeasure::HeightAt { half_breadth } => [half_breadth, measured.crossings.first().copied().unwrap_or(0.0)],
    }
}

/// The one point that mends a gauge, if there is one: nothing is offered that was not applied and measured.
fn mend(gauge: &Gauge, loft: &Loft, form: &Form, index: usize) -> Option<Mend> {
    let middle = loft.lines().breadth_height.at(gauge.station).value;
    let lines: &[LineName] = match gauge.measure {
        GaugeMeasure::WidthAt { height } if height >= middle => &[LineName::Breadth, LineName::Crown],
        GaugeMeasure::WidthAt { .. } => &[LineName::Breadth, LineName::Keel],
        GaugeMeasure::HeightAt { .. } => &[LineName::Crown, LineName::Keel],
    };
    let value = |lofted: &Lofted| measure(gauge, lofted.skin.as_ref()?.loft()).map(|m| m.value);
    let fits = |value: f64| missing(gauge, value) == 0.0;
    let mut trial = Trial::new(form, index, gauge.value, gauge.tolerance, &value, &fits)?;
    lines.iter().find_map(|line| trial.mend(*line, gauge.station))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, forms, lofted, round};
    use proptest::prelude::*;
    use std::sync::Arc;

    fn gauge(measure: GaugeMeasure, rule: GaugeRule, value: f64) -> Gauge {
        Gauge { name: "Landing gear".into(), station: 120.0, measure, rule, value, tolerance: 0.2 }
    }

    fn width(height: f64) -> GaugeMeasure {
        GaugeMeasure::WidthAt { height }
    }

    /// Closed form: a circle of radius 50 is 80 mm wide 30 mm above its centre, and 80 mm high 30 mm beside it.
    #[test]
    fn widths_and_heights_of_a_circle() {
        let lofted = lofted(&cylinder(50.0, 200.0));
        let loft = lofted.skin.as_ref().unwrap().loft();
        let value = |m| measure(&gauge(m, GaugeRule::Exactly, 0.0), loft).unwrap();
        assert!((value(width(30.0)).value - 80.0).abs() < 0.005);
        assert!((value(width(-30.0)).value - 80.0).abs() < 0.005);
        assert!((value(GaugeMeasure::HeightAt { half_breadth: 30.0 }).value - 80.0).abs() < 0.005);
        assert!((value(GaugeMeasure::HeightAt { half_breadth: 0.0 }).value - 100.0).abs() < 1e-9);
        assert_eq!(value(width(60.0)), Measured { value: 0.0, crossings: vec![] });
    }

    #[test]
    fn rules_and_tolerances() {
        let miss = |rule, value, measured| missing(&gauge(width(0.0), rule, value), measured);
        assert_eq!(miss(GaugeRule::AtLeast, 80.0, 79.8), 0.0);
        assert_eq!(miss(GaugeRule::AtLeast, 80.0, 79.0), 1.0);
        assert_eq!(miss(GaugeRule::AtLeast, 80.0, 99.0), 0.0);
        assert_eq!(miss(GaugeRule::AtMost, 80.0, 81.0), -1.0);
        assert_eq!(miss(GaugeRule::AtMost, 80.0, 20.0), 0.0);
        assert_eq!(miss(GaugeRule::Exactly, 80.0, 81.0), -1.0);
        assert_eq!(miss(GaugeRule::Exactly, 80.0, 79.0), 1.0);
    }

    fn found(gauge: &Gauge, form: &Form) -> Vec<Finding> {
        findings(std::slice::from_ref(gauge), form, 0, &lofted(form))
    }

    fn applied(form: &Form, mend: &Mend) -> Form {
        let mut document = project::starter::new_document("Test");
        document.forms = vec![Arc::new(form.clone())];
        Form::clone(&mend.edit.apply(&document).unwrap().forms[0])
    }

    #[test]
    fn what_is_offered_mends() {
        let form = round(&[[0.0, 50.0], [100.0, 52.0], [200.0, 55.0]]);
        let height = GaugeMeasure::HeightAt { half_breadth: 20.0 };
        for gauge in [
            gauge(width(20.0), GaugeRule::AtLeast, 102.0),
            gauge(width(-20.0), GaugeRule::AtMost, 90.0),
            gauge(width(0.0), GaugeRule::Exactly, 108.0),
            gauge(height, GaugeRule::AtLeast, 100.0),
            gauge(height, GaugeRule::AtMost, 94.0),
        ] {
            let told = found(&gauge, &form);
            assert_eq!(told.len(), 1, "{gauge:?}");
            let mend = told[0].mend.as_ref().expect("a mend");
            assert_eq!(found(&gauge, &applied(&form, mend)), [], "{mend:?}");
        }
    }

    /// A circle of radius 50 is 100 mm wide and high: what is lacking is won, what is over is taken off.
    #[test]
    fn what_is_over_is_taken_off_rather_than_won() {
        let hint = |rule, value| found(&gauge(width(0.0), rule, value), &cylinder(50.0, 200.0))[0].hint.clone();
        let over = "Move the breadth line in here; 4.00 mm in all are to be taken off.";
        assert_eq!(hint(GaugeRule::AtMost, 96.0), over);
        assert_eq!(hint(GaugeRule::Exactly, 96.0), over);
        let lacking = "Move the breadth line out here; 4.00 mm in all are to be won.";
        assert_eq!(hint(GaugeRule::AtLeast, 104.0), lacking);
        assert_eq!(hint(GaugeRule::Exactly, 104.0), lacking);
    }

    #[test]
    fn far_from_any_point_one_is_added() {
        let form = cylinder(50.0, 200.0);
        let told = found(&gauge(width(0.0), GaugeRule::AtLeast, 104.0), &form);
        let mend = told[0].mend.as_ref().unwrap();
        assert!(mend.label.starts_with("Move point 2 of the breadth line out by 3.3"), "{}", mend.label);
        let near_front = Gauge { station: 100.0, ..gauge(width(49.0), GaugeRule::AtLeast, 140.0) };
        // No breadth brings 140 mm that near to the crown; nothing is offered that does not mend.
        if let Some(mend) = &found(&near_front, &form)[0].mend {
            assert_eq!(found(&near_front, &applied(&form, mend)), []);
        }
    }

    #[test]
    fn a_gauge_beyond_the_form_is_a_note() {
        let beyond = Gauge { station: 300.0, ..gauge(width(0.0), GaugeRule::AtLeast, 10.0) };
        let told = found(&beyond, &cylinder(50.0, 200.0));
        assert!(told.len() == 1 && told[0].severity == Severity::Note, "{told:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]

        #[test]
        fn every_offer_mends_a_random_form(form in forms(), at in 0.0..1.0_f64, height in -25.0..25.0_f64, wanted in 40.0..200.0_f64) {
            let length = form.stations[4];
            let gauge = Gauge { station: at * length, ..gauge(width(height), GaugeRule::Exactly, wanted) };
            for finding in found(&gauge, &form) {
                if let Some(mend) = &finding.mend {
                    prop_assert_eq!(found(&gauge, &applied(&form, mend)), vec![], "{:?}", mend);
                }
            }
        }
    }
}
