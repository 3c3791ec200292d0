//! Edits that join the form to the fuselage: its rear section pinned to the fuselage's, its lines' ends brought to its station.

use crate::fuselage::{FuselageShape, lap_step, widest_gap};
use crate::mend::{errors, scratch};
use crate::outline::Outline;
use form::{Mend, loft};
use geometry::loft::Loft;
use project::airframe::{FuselageEnd, Pin};
use project::document::{Document, Form};
use project::edit::Edit;
use project::promise::MIN_SECTION_GAP;

/// The edit that pins a control section to the fuselage's section, to follow it from then on, proud of it by the step its lap
/// needs, if the gap from that step is then within what is allowed. None while the form ends elsewhere than the fuselage, which
/// is told first.
pub(crate) fn pin(end: &FuselageEnd, x: f64, form: &Form, index: usize, wall: f64) -> Option<Mend> {
    if (x - end.station).abs() > MIN_SECTION_GAP {
        return None;
    }
    let proud = lap_step(end, wall);
    let edit = |form: usize| Edit::SetFuselage(Some(FuselageEnd { pinned: Some(Pin { form, proud }), ..end.clone() }));
    let wanted = FuselageShape::of(end)?.outline().moved_out(proud);
    let gap = |loft: &Loft| {
        let outline = Outline::new(loft.section(x)?.polyline(0.01))?;
        Some(widest_gap(&outline, &wanted).proud.abs())
    };
    let label = "Pin the rear control section to the fuselage's section";
    let label = if proud > 0.0 { format!("{label}, {proud:.2} mm proud of it") } else { label.to_owned() };
    let fits = holds(form, &edit(0), |loft| gap(loft).is_some_and(|gap| gap <= end.allowed_gap));
    let named = Edit::Together { label: "Pin a section to the fuselage".to_owned(), edits: vec![edit(index)] };
    fits.then_some(Mend { label, edit: named })
}

/// The edit that brings the rear ends of all four lines to the fuselage's station, if the form then ends there.
pub(crate) fn bring_ends(end: &FuselageEnd, form: &Form, index: usize) -> Option<Mend> {
    let edit = |form_index: usize| {
        let ends = project::document::LineName::ALL.into_iter().filter_map(|line| {
            let points = &form.lines.get(line).points;
            let last = points.last().filter(|p| p.x != end.station)?;
            Some(Edit::MoveLinePoint {
                form: form_index,
                line,
                point: points.len() - 1,
                x: end.station,
                value: last.value,
            })
        });
        Edit::Together { label: "Bring the form to the fuselage".to_owned(), edits: ends.collect() }
    };
    holds(form, &edit(0), |loft| (loft.x_range().1 - end.station).abs() < 1e-6).then(|| Mend {
        label: format!("Bring the rear ends of the four lines to {:.1} mm", end.station),
        edit: edit(index),
    })
}

/// Whether an edit applies, makes no new error, and gives a loft that does what it should.
fn holds(form: &Form, edit: &Edit, does: impl Fn(&Loft) -> bool) -> bool {
    let before = errors(&loft(form));
    let after: Option<Document> = edit.apply(&scratch(form)).ok();
    after.is_some_and(|document| {
        let lofted = loft(&document.forms[0]);
        errors(&lofted) <= before && lofted.skin.as_ref().is_some_and(|skin| does(skin.loft()))
    })
}
