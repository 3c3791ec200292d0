//! The best start and the best way to turn the cloth, as edits.

use super::{ClothFailure, ClothSurface, PlaceOnForm, plies_to_lay};
use project::document::Document;
use project::edit::Edit;
use project::shell::Shell;
use shell::cloth::{Found, Judgement, search};

/// A way of laying the cloth that was found.
#[derive(Clone, Debug)]
pub struct Proposal {
    /// Station, mm, and share of a turn from the crown to starboard.
    pub start: [f64; 2],
    /// Angle of the first ply's warp from the way forward, degrees; the others turn with it.
    pub warp_deg: f64,
    /// That place on the form.
    pub place: PlaceOnForm,
    /// What the first ply's net says.
    pub judgement: Judgement,
    /// The edit that puts start and warp into the document.
    pub edit: Edit,
    /// "Start the cloth at station 120.0 mm on the crown, warp at 45°".
    pub label: String,
}

impl Proposal {
    /// Whether one piece does it.
    pub fn one_piece(&self) -> bool {
        self.judgement.one_piece()
    }

    /// The edit that puts start and warp into a shell that may have changed otherwise since the search.
    pub fn edit_of(&self, shell: &Shell) -> Edit {
        let edits = vec![Edit::SetShell(turned(shell, self.start, self.warp_deg))];
        Edit::Together { label: self.label.clone(), edits }
    }
}

/// Searches for the best start and warp of the first whole ply: some 400 drapes. The best few, the best first; `progress` is told how far
/// the work is, from 0 to 1, and answers whether to go on; `None` when it does not.
///
/// # Errors
/// No such form.
pub fn proposals(
    document: &Document,
    form: usize,
    surface: &ClothSurface,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Option<Vec<Proposal>>, ClothFailure> {
    document.forms.get(form).ok_or(ClothFailure::NoForm(form + 1))?;
    let draping = &document.shell.draping;
    let plies = plies_to_lay(document);
    let Some(first) = plies.first() else { return Ok(Some(Vec::new())) };
    let mut go_on = |done: f64| progress(done as f32);
    let found = search(&surface.outside, &first.cloth(), draping.cell, draping.overlap, &mut go_on);
    Ok(found.map(|found| found.iter().map(|found| proposal(document, surface, found)).collect()))
}

fn proposal(document: &Document, surface: &ClothSurface, found: &Found) -> Proposal {
    let at = surface.outside.place(found.at);
    let turn = surface.outside.turn(found.at);
    let start = [at[0], turn];
    let warp_deg = found.angle_deg;
    let where_ = match turn {
        t if t.abs() < 1e-6 => "on the crown".to_owned(),
        t if (t - 0.5).abs() < 1e-6 => "on the keel".to_owned(),
        t => format!("{:.0}° round from the crown to starboard", 360.0 * t),
    };
    let label = format!("Start the cloth at station {:.1} mm {where_}, warp at {:.0}°", at[0] + 0.0, warp_deg + 0.0);
    let edit =
        Edit::Together { label: label.clone(), edits: vec![Edit::SetShell(turned(&document.shell, start, warp_deg))] };
    Proposal { start, warp_deg, place: PlaceOnForm::of(at), judgement: found.judgement.clone(), edit, label }
}

/// The shell with that start, its whole plies turned together so that the first lies at that angle.
fn turned(shell: &Shell, start: [f64; 2], warp_deg: f64) -> Shell {
    let mut shell = shell.clone();
    shell.draping.start = Some(start);
    let whole = |ply: &&mut project::laminate::Ply| ply.extent == project::laminate::Extent::Whole;
    let mut by = None;
    for ply in shell.laminate.plies.iter_mut().filter(whole) {
        let by = *by.get_or_insert(warp_deg - ply.warp_deg);
        ply.warp_deg = half_turn(ply.warp_deg + by);
    }
    shell
}

/// An angle of a yarn, which has no head: from above -90 to 90 degrees.
fn half_turn(deg: f64) -> f64 {
    let turned = deg.rem_euclid(180.0);
    if turned > 90.0 { turned - 180.0 } else { turned }
}
