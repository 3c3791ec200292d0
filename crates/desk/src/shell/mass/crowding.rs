//! How much more cloth lies on an area where it is sheared: as the draped net says.
//!
//! The net is that of yarns that neither stretch nor slip. A real weave crowds no less than not at all, and where the schedule has a
//! crowding of its own, that counts too: the range runs from the one to the other, with the net's as the likely one.

use crate::reckoned::Reckoned;
use crate::shell::Source;
use project::laminate::{Extent, Schedule, Span};

/// Of every ply of a schedule the cloth laid on an area, as a share of that area. `number` tells which ply of the document each is.
pub(super) fn crowding(
    source: &Source,
    form: usize,
    known: &Reckoned,
    schedule: &Schedule,
    number: &[usize],
) -> Vec<Span> {
    let lofted = source.lofted().get(form);
    let plan = lofted.and_then(|lofted| known.cloth(source.document(), form, lofted, &mut |_| true).ok().flatten());
    let of = |(ply, number): (&project::laminate::Ply, &usize)| {
        let pieces = plan.iter().flat_map(|plan| &plan.plies).filter(|laid| laid.ply.ply == Some(*number));
        let laid: Vec<f64> = pieces.map(crate::shell::cloth::PlyPlan::crowding).collect();
        if ply.extent != Extent::Whole || laid.is_empty() {
            return Span::exact(ply.crowding);
        }
        let net = laid.iter().sum::<f64>() / laid.len() as f64;
        Span::new(net.min(ply.crowding), net, net.max(ply.crowding))
    };
    schedule.plies.iter().zip(number).map(of).collect()
}
