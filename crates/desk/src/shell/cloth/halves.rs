//! Forms that are closed at both ends: two halves, the best start of both, and the lines along which they could be parted.

use super::ply::{area_of, laid_on};
use super::proposals::{MOST, SEARCH_SHARE, turned};
use super::{ClothFailure, ClothSurface, PlaceOnForm, PlyToLay, Proposal, drape_ply, lay_of, plies_to_lay, start_of};
use project::document::Document;
use project::edit::Edit;
use project::shell::{Draping, Parting as Chosen, Shell};
use shell::cloth::{Judgement, mend, search};
use shell::release::Parting;

/// The best ways of laying both halves along the line at hand, by search, and the plain ones along the other lines. Every one has been
/// laid as a whole, slit where the builder allows it and one piece a half does not do. `None` when `progress` says not to go on.
pub(super) fn by_halves(
    document: &Document,
    surface: &ClothSurface,
    (first, parting): (&PlyToLay, Parting),
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Option<Vec<Proposal>>, ClothFailure> {
    let draping = &document.shell.draping;
    let (half, _) = laid_on(surface, draping, first)?;
    let mut go_on = |done: f64| progress(SEARCH_SHARE * done as f32);
    let found = search(&half, &first.cloth(), surface.cell(draping), draping.overlap, &mut go_on);
    let Some(found) = found else { return Ok(None) };
    let chosen = document.shell.release.parting;
    let mut ways: Vec<Way> = found
        .iter()
        .map(|found| {
            let start = [half.place(found.at)[0], half.turn(found.at)];
            Way { parting, start: Some(start), warp_deg: found.angle_deg }
        })
        .collect();
    ways.push(Way { parting, start: None, warp_deg: first.warp_deg });
    // The joint line is the first form's.
    let others =
        [Parting::CentrePlane, Parting::Breadth].into_iter().filter(|other| surface.first && *other != parting);
    ways.extend(others.map(|parting| Way { parting, start: None, warp_deg: 0.0 }));
    let mut all = Vec::new();
    for (k, way) in ways.iter().enumerate() {
        let done = SEARCH_SHARE + (1.0 - SEARCH_SHARE) * k as f32 / ways.len() as f32;
        match laid(document, surface, way, &mut || progress(done))? {
            Some((judgement, slits)) => all.push(way.proposal(document, surface, (judgement, slits), chosen)),
            None => return Ok(None),
        }
    }
    // Stable, so that of equals the one that the search liked better comes first.
    all.sort_by(|a, b| a.cost().partial_cmp(&b.cost()).unwrap_or(std::cmp::Ordering::Equal));
    all.dedup_by(|a, b| a.label == b.label);
    all.truncate(MOST);
    Ok(progress(1.0).then_some(all))
}

/// A way of laying both halves.
struct Way {
    parting: Parting,
    start: Option<[f64; 2]>,
    warp_deg: f64,
}

impl Way {
    fn surface(&self, surface: &ClothSurface) -> ClothSurface {
        ClothSurface { halves: Some(self.parting), ..surface.clone() }
    }

    fn draping(&self, draping: &Draping) -> Draping {
        Draping { start: self.start, ..*draping }
    }

    fn proposal(
        &self,
        document: &Document,
        surface: &ClothSurface,
        (judgement, slits): (Judgement, Option<(usize, Judgement)>),
        chosen: Chosen,
    ) -> Proposal {
        let (surface, draping) = (self.surface(surface), self.draping(&document.shell.draping));
        let half = super::Half { parting: self.parting, first: true };
        let start = start_of(&surface, &draping, Some(half));
        let place = super::start_at(&surface, &draping).map_or([0.0; 3], |at| surface.outside.place(at));
        let parting = chosen_of(self.parting);
        let (line, _) = self.parting.labels();
        let label = format!("Two halves {line}, from station {}, warp at {:.0}°", lay_of(start), self.warp_deg + 0.0);
        let edits = vec![Edit::SetShell(turned(&document.shell, start, self.warp_deg, Some(parting)))];
        let edit = Edit::Together { label: label.clone(), edits };
        let (warp_deg, place) = (self.warp_deg, PlaceOnForm::of(place));
        let parting = (parting != chosen).then_some(parting);
        Proposal { start, warp_deg, place, judgement, slits, edit, label, parting }
    }
}

fn chosen_of(parting: Parting) -> Chosen {
    match parting {
        Parting::Breadth => Chosen::BreadthLine,
        Parting::CentrePlane => Chosen::CentrePlane,
        Parting::Across(station) => Chosen::Across(station),
    }
}

type Laid = (Judgement, Option<(usize, Judgement)>);

/// What both halves say, and with slits if they need some.
fn laid(
    document: &Document,
    surface: &ClothSurface,
    way: &Way,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<Option<Laid>, ClothFailure> {
    let (surface, draping) = (way.surface(surface), way.draping(&document.shell.draping));
    let shell = Shell { draping, ..turned(&document.shell, [0.0; 2], way.warp_deg, None) };
    let turned = Document { shell: std::sync::Arc::new(shell), ..document.clone() };
    let mut uncut = Judgement::default();
    let (mut slits, mut with) = (0, Judgement::default());
    for ply in plies_to_lay(&turned, surface.halves).iter().take(2) {
        let ply = PlyToLay { warp_deg: way.warp_deg, ..ply.clone() };
        let draped = drape_ply(&surface, &draping, &ply)?;
        uncut = uncut.with(&draped.judgement);
        let net = draped.cloth.pieces.first().map(|piece| &piece.net).filter(|_| !draped.judgement.one_piece());
        let Some(net) = net.filter(|_| draping.slits) else {
            with = with.with(&draped.judgement);
            continue;
        };
        let (seamed, _) = laid_on(&surface, &draping, &ply)?;
        let cloth = (&ply.cloth(), area_of(&surface, &seamed));
        let Some(mended) = mend(&seamed, net, cloth, draping.overlap, &mut |_| go_on()) else { return Ok(None) };
        slits += mended.cuts.len();
        with = with.with(&mended.judgement);
    }
    let slit = draping.slits && !uncut.one_piece();
    Ok(Some((uncut, slit.then_some((slits, with)))))
}
