//! All findings of a document: those of its forms and pictures, and those of fit.

use form::{Finding, Lofted};
use project::document::Document;
use std::borrow::Cow;

/// Every finding, by form, the gravest first within a form, what belongs to no form last; `lofted` gives the loft of each
/// form.
pub fn findings<'a>(document: &Document, lofted: impl Fn(usize) -> Cow<'a, Lofted>) -> Vec<Finding> {
    let mut all = form::check(document, &lofted);
    for index in 0..document.forms.len() {
        all.extend(fit::document_findings(document, index, &lofted(index)));
    }
    in_order(&mut all);
    all
}

/// Every finding of a document, the plug's included, lofting each form anew.
pub fn findings_anew(document: &Document) -> Vec<Finding> {
    let lofted: Vec<Lofted> = document.forms.iter().map(|form| form::loft(form)).collect();
    let mut all = findings(document, |index| Cow::Borrowed(&lofted[index]));
    all.extend(lofted.first().map(|first| plug_findings(document, first)).unwrap_or_default());
    in_order(&mut all);
    all
}

/// What was found while the plug of the first form was planned, if its stack is used. A plan takes a second or so: too long for
/// every step of a drag.
pub fn plug_findings(document: &Document, lofted: &Lofted) -> Vec<Finding> {
    let plan = crate::output::plug_plan(document, lofted).ok().flatten();
    let mut found = plan.map(|plan| plan.findings).unwrap_or_default();
    found.iter_mut().for_each(|f| f.place.form = Some(0));
    found
}

fn in_order(all: &mut [Finding]) {
    all.sort_by_key(|f| (f.place.form.is_none(), f.place.form, std::cmp::Reverse(f.severity)));
}

#[cfg(test)]
mod tests {
    use super::*;
    use form::{Part, Severity};
    use project::airframe::{Airframe, Gauge, GaugeMeasure, GaugeRule};
    use project::starter::{blank_form, empty_form, new_document};
    use std::sync::Arc;

    #[test]
    fn findings_of_forms_and_of_fit_stand_together_the_gravest_first() {
        let mut document = new_document("Test");
        document.forms = vec![Arc::new(blank_form(240.0, 90.0, 110.0, 80.0)), Arc::new(empty_form("Empty"))];
        let gauge = Gauge {
            name: "Landing gear".into(),
            station: 200.0,
            measure: GaugeMeasure::WidthAt { height: 0.0 },
            rule: GaugeRule::AtLeast,
            value: 190.0,
            tolerance: 0.5,
        };
        document.airframe = Arc::new(Airframe { gauges: vec![gauge], ..Airframe::default() });
        let all = findings_anew(&document);
        let first: Vec<Severity> = all.iter().filter(|f| f.place.form == Some(0)).map(|f| f.severity).collect();
        assert!(first.is_sorted_by(|a, b| a >= b) && all.iter().any(|f| f.place.part == Part::Gauge(0)), "{all:?}");
        assert!(all.iter().any(|f| f.place.form == Some(1) && f.severity == Severity::Error), "{all:?}");
        assert!(all.is_sorted_by_key(|f| f.place.form), "{all:?}");
    }
}
