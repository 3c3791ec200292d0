//! All findings of a document: those of its forms and pictures, and those of fit.

use crate::plans::Planned;
use crate::reckoned::Reckoned;
use crate::shell::{Source, slow_findings};
use form::{Finding, Lofted};
use project::document::Document;
use std::borrow::Cow;
use std::sync::Arc;

/// Every finding but the plug's and what [`slow_findings`] tells, the gravest first, then by form; with the loft of each form.
pub fn findings(document: &Document, lofted: &[Arc<Lofted>], known: &Reckoned) -> Vec<Finding> {
    let document = &*document.in_force();
    let one = |index: usize| {
        lofted.get(index).map_or_else(|| Cow::Owned(form::loft(&document.forms[index])), |l| Cow::Borrowed(&**l))
    };
    let mut all = form::check(document, one);
    for index in 0..document.forms.len() {
        all.extend(fit::document_findings(document, index, &one(index)));
        all.extend(crate::shell::airflow::findings(document, index, lofted, known));
    }
    all.extend(crate::shell::findings(document));
    in_order(&mut all);
    all
}

/// Every finding of a document, the plug's included, lofting each form and planning the plug anew.
pub fn findings_anew(document: &Document) -> Vec<Finding> {
    let lofted: Vec<Arc<Lofted>> = document.forms.iter().map(|form| Arc::new(form::loft(form))).collect();
    all_findings(document, &lofted, &Reckoned::default(), &|| true).unwrap_or_default()
}

/// The same with lofts that were made before, and all that was reckoned of late; `None` as soon as `go_on` says no.
pub(crate) fn all_findings(
    document: &Document,
    lofted: &[Arc<Lofted>],
    known: &Reckoned,
    go_on: &dyn Fn() -> bool,
) -> Option<Vec<Finding>> {
    let mut found = findings(document, lofted, known);
    if !go_on() {
        return None;
    }
    // A form without a surface has no plug; why it has none is among the findings already.
    let planned = known.planned(document, lofted).ok().flatten();
    let shell = Source::of(document, lofted);
    found.extend(slow_findings(&shell, planned.as_deref(), known, &mut |_| go_on()).into_iter().flatten());
    go_on().then(|| joined(found, planned.as_deref()))
}

/// The findings of a document and those of its planned plug as one list: the gravest first, what both say only once.
pub fn joined(found: Vec<Finding>, planned: Option<&Planned>) -> Vec<Finding> {
    let mut all: Vec<Finding> = Vec::new();
    for finding in found.into_iter().chain(planned.into_iter().flat_map(Planned::findings)) {
        if !all.iter().any(|known| known.what == finding.what && known.place == finding.place) {
            all.push(finding);
        }
    }
    in_order(&mut all);
    all
}

/// The gravest first; then by form, what belongs to no form last.
fn in_order(all: &mut [Finding]) {
    all.sort_by_key(|f| (std::cmp::Reverse(f.severity), f.place.form.is_none(), f.place.form));
}

#[cfg(test)]
mod tests {
    use super::*;
    use form::{Part, Severity};
    use project::airframe::{Airframe, Gauge, GaugeMeasure, GaugeRule};
    use project::starter::{blank_form, empty_form, new_document};

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
        assert!(all.iter().any(|f| f.place.part == Part::Gauge(0)), "{all:?}");
        assert!(all.iter().any(|f| f.place.form == Some(1) && f.severity == Severity::Error), "{all:?}");
        assert!(all.is_sorted_by_key(|f| (std::cmp::Reverse(f.severity), f.place.form)), "{all:?}");
    }
}
