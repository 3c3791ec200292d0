//! The best start and the best way to turn the cloth, as edits.

use super::halves::by_halves;
use super::{ClothFailure, ClothSurface, PlaceOnForm, PlyToLay, drape_ply, lay_of, plies_to_lay};
use project::document::Document;
use project::edit::Edit;
use project::shell::{Draping, Parting, Shell};
use shell::cloth::{Found, Judgement, Mended, mend, search};
use shell::drape::Net;

/// A way of laying the cloth that was found.
#[derive(Clone, Debug)]
pub struct Proposal {
    /// Station, mm, and share of a turn from the crown to starboard.
    pub start: [f64; 2],
    /// Angle of the first ply's warp from the way forward, degrees; the others turn with it.
    pub warp_deg: f64,
    /// That place on the form.
    pub place: PlaceOnForm,
    /// What the first ply's net says, in one piece.
    pub judgement: Judgement,
    /// Where one piece cannot do it and slits are allowed: how many would be cut, and what the cloth with them says.
    pub slits: Option<(usize, Judgement)>,
    /// The edit that puts start and warp into the document.
    pub edit: Edit,
    /// "Start the cloth at station 120.0 mm on the crown, warp at 45°".
    pub label: String,
    /// Where it is laid in two halves, the joint line that the document would have to choose; `None` where nothing changes in that.
    pub parting: Option<Parting>,
}

impl Proposal {
    /// Whether one piece does it.
    pub fn one_piece(&self) -> bool {
        self.judgement.one_piece()
    }

    /// Whether it lies down in the end, with slits or without.
    pub fn lies_down(&self) -> bool {
        self.one_piece() || self.slits.as_ref().is_some_and(|(_, with)| with.one_piece())
    }

    /// What counts against it: that it folds, how much of it, then its slits.
    pub(super) fn cost(&self) -> (bool, f64, usize) {
        let (count, last) = self.slits.as_ref().map_or((0, &self.judgement), |(count, with)| (*count, with));
        let bad = if self.lies_down() { 0.0 } else { last.locked + last.missed };
        (!self.lies_down(), bad, count)
    }

    /// The edit that puts start and warp into a shell that may have changed otherwise since the search.
    pub fn edit_of(&self, shell: &Shell) -> Edit {
        let edits = vec![Edit::SetShell(turned(shell, self.start, self.warp_deg, self.parting))];
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
    let plies = plies_to_lay(document, surface.halves);
    let Some(first) = plies.first() else { return Ok(Some(Vec::new())) };
    if let Some(parting) = surface.halves {
        return by_halves(document, surface, (first, parting), progress);
    }
    let mut go_on = |done: f64| progress(SEARCH_SHARE * done as f32);
    let found = search(&surface.outside, &first.cloth(), surface.cell(draping), draping.overlap, &mut go_on);
    let Some(mut found) = found else { return Ok(None) };
    let mut all: Vec<Proposal> = found.iter().map(|found| proposal(document, surface, found)).collect();
    if draping.slits && !all.iter().any(Proposal::one_piece) {
        found.push(plain(surface, draping, first)?);
        all.extend(found.iter().skip(all.len()).map(|found| proposal(document, surface, found)));
        let share = (1.0 - SEARCH_SHARE) / all.len() as f32;
        for (k, (found, proposal)) in found.iter().zip(&mut all).enumerate() {
            let mut go_on = |_| progress(SEARCH_SHARE + share * k as f32);
            let Some(mended) = slit(surface, draping, first, found, &mut go_on)? else { return Ok(None) };
            proposal.slits = Some((mended.cuts.len(), mended.judgement));
        }
        // Stable, so that of equals the one that the search liked better comes first.
        all.sort_by(|a, b| a.cost().partial_cmp(&b.cost()).unwrap_or(std::cmp::Ordering::Equal));
        all.truncate(MOST);
    }
    Ok(progress(1.0).then_some(all))
}

/// Share of the work that is the search itself; the rest is the slits.
pub(super) const SEARCH_SHARE: f32 = 0.5;
/// Most proposals.
pub(super) const MOST: usize = 4;

/// The builder's own way of laying it, which a slit may mend with less than those that were found.
fn plain(surface: &ClothSurface, draping: &Draping, ply: &PlyToLay) -> Result<Found, ClothFailure> {
    let draped = drape_ply(surface, draping, ply)?;
    Ok(Found { at: draped.at, angle_deg: ply.warp_deg, seam: draped.seam, judgement: draped.judgement })
}

fn slit(
    surface: &ClothSurface,
    draping: &Draping,
    ply: &PlyToLay,
    found: &Found,
    go_on: &mut dyn FnMut(usize) -> bool,
) -> Result<Option<Mended>, ClothFailure> {
    let seamed = found.seamed(&surface.outside);
    let net = Net::drape(&seamed, &found.start(&seamed), surface.cell(draping))?;
    Ok(mend(&seamed, &net, (&ply.cloth(), surface.part_area), draping.overlap, go_on))
}

fn proposal(document: &Document, surface: &ClothSurface, found: &Found) -> Proposal {
    let at = surface.outside.place(found.at);
    let start = [at[0], surface.outside.turn(found.at)];
    let warp_deg = found.angle_deg;
    let label = format!("Start the cloth at station {}, warp at {:.0}°", lay_of(start), warp_deg + 0.0);
    let edits = vec![Edit::SetShell(turned(&document.shell, start, warp_deg, None))];
    let edit = Edit::Together { label: label.clone(), edits };
    let judgement = found.judgement.clone();
    Proposal { start, warp_deg, place: PlaceOnForm::of(at), judgement, slits: None, edit, label, parting: None }
}

/// The shell with that start and joint line, its whole plies turned together so that the first lies at that angle.
pub(super) fn turned(shell: &Shell, start: [f64; 2], warp_deg: f64, parting: Option<Parting>) -> Shell {
    let mut shell = shell.clone();
    shell.draping.start = Some(start);
    shell.release.parting = parting.unwrap_or(shell.release.parting);
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
