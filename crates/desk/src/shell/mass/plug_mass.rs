//! What the plug weighs.

use super::PlugMass;
use crate::plans::Planned;
use crate::shell::Source;
use form::{FinishedSkin, PlugSurface};
use project::laminate::Span;
use shell::mass::{ShellSurface, plug_volume};

/// How far foam and card may lie from what is entered, as a share: a maker's own tolerance of foam's density is one twentieth, and
/// glue comes on (common practice, no source).
const WITHIN: f64 = 0.1;
/// Volume over surface of the form, mm, as `Loft::measures` takes it.
const TOLERANCE: f64 = 1e-6;

pub(super) fn plug_mass(source: &Source, skin: &FinishedSkin, planned: Option<&Planned>) -> PlugMass {
    let build = &source.document().build;
    if let Some(plan) = planned.and_then(Planned::used).filter(|plan| plan.mass.foam_volume > 0.0) {
        let (foam, card) = (about(plan.mass.foam), about(plan.mass.card));
        return PlugMass { foam_volume: plan.mass.foam_volume, foam, card, planned: true };
    }
    let taken_off = PlugSurface::of(skin, build).taken_off();
    let surface = ShellSurface::new(skin.loft(), &source.cover());
    let volume = plug_volume(&surface, skin.loft().measures(TOLERANCE).volume, taken_off);
    // kg/m³ are 1e-6 g/mm³.
    PlugMass {
        foam_volume: volume,
        foam: about(1e-6 * build.foam.density * volume),
        card: Span::default(),
        planned: false,
    }
}

fn about(grams: f64) -> Span {
    Span::new(grams * (1.0 - WITHIN), grams, grams * (1.0 + WITHIN))
}
