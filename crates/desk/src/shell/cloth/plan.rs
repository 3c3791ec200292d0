//! All plies: how each lies, what is slit, and its flat pattern.

use super::ply::{area_of, laid_on};
use super::{
    ClothFailure, ClothSurface, Draped, PlaceOnForm, PlyToLay, RollPlan, Side, drape_ply, plies_to_lay, roll_plans,
};
use form::space::Vector;
use project::build::Process;
use project::document::Document;
use shell::cloth::{Mended, Pattern, mend, pattern};
use shell::release::Parting;

/// The cloth of a form.
#[derive(Clone, Debug)]
pub struct ClothPlan {
    /// Every whole ply, in the order in which they are laid.
    pub plies: Vec<PlyPlan>,
    /// The laminate has no ply that covers the whole shell yet: one of the usual cloth stands in for it.
    pub assumed: bool,
    /// Station, mm, and share of a turn from the crown to starboard at which all plies start.
    pub start: [f64; 2],
    /// That place on the surface, mm.
    pub start_place: Vector,
    /// What comes off the roll, for each cloth.
    pub rolls: Vec<RollPlan>,
    /// Over the plug, or into a mould.
    pub process: Process,
    /// Side of the net's cells, mm, and whether the builder has set it.
    pub cell: (f64, bool),
    /// The line along which all is laid in two halves; `None` where it goes round.
    pub halves: Option<Parting>,
}

impl ClothPlan {
    /// Whether patterns are cut as seen from inside: into a mould the cloth is laid from there.
    pub fn mirrored(&self) -> bool {
        self.process == Process::FemaleMould
    }
}

/// A ply of the plan.
#[derive(Clone, Debug)]
pub struct PlyPlan {
    /// The ply.
    pub ply: PlyToLay,
    /// Station, mm, and share of a turn from the crown to starboard at which it starts.
    pub start: [f64; 2],
    /// How it lies in one piece.
    pub draped: Draped,
    /// With slits, where one piece cannot do it and slits are allowed.
    pub mended: Option<Mended>,
    /// The slits, numbered from 1 on the pattern.
    pub slits: Vec<Slit>,
    /// What is cut out, flat.
    pub pattern: Pattern,
    /// Its notches with the stations' numbers.
    pub notches: Vec<NamedNotch>,
}

impl PlyPlan {
    /// What is laid in the end: with its slits if it has some.
    pub fn cloth(&self) -> &Mended {
        self.mended.as_ref().unwrap_or(&self.draped.cloth)
    }

    /// Whether one piece without slits lies down everywhere without a fold.
    pub fn one_piece(&self) -> bool {
        self.draped.judgement.one_piece()
    }

    /// Whether what is laid in the end does.
    pub fn lies_down(&self) -> bool {
        self.cloth().judgement.one_piece()
    }

    /// "2 slits"; where the ply lies down with them, whether fewer were tried and would not do.
    pub fn slits_in_words(&self) -> String {
        let count = match self.slits.len() {
            1 => "1 slit".to_owned(),
            count => format!("{count} slits"),
        };
        let fewest = match self.slits.len() {
            // One piece does not do it, so one slit is the fewest; and of what does not lie down nobody asks.
            0 | 1 => "",
            _ if !self.lies_down() => "",
            _ if self.cloth().fewest => " (none that was tried does with fewer from this start)",
            _ => " (not all ways with fewer were tried)",
        };
        format!("{count}{fewest}")
    }

    /// The mean of 1 / cos(shear) over the part: cloth laid on an area, as a share of it ([`project::laminate::Ply::crowding`]).
    pub fn crowding(&self) -> f64 {
        let cells = || self.cloth().cells().filter(|c| c.counts());
        let areas = || cells().map(|c| c.shear_deg.to_radians().cos());
        let (cloth, covered) = (cells().count() as f64, areas().sum::<f64>());
        if covered > 0.0 { cloth / covered } else { 1.0 }
    }
}

/// A slit in words and numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slit {
    /// Where it begins.
    pub tip: PlaceOnForm,
    /// Where it ends at the cloth's edge.
    pub mouth: PlaceOnForm,
    /// Its length, mm.
    pub length: f64,
    /// By how much its edges lie over one another at the mouth once what is more than the overlap is cut off; 0 for a gore, mm.
    pub overlap: f64,
    /// By how much its edges would lie over one another at the mouth uncut, mm (a dart); negative where they part (a gore is set in).
    pub lap: f64,
    /// Length from the tip over which a strip is laid under, mm.
    pub strip: f64,
    /// Where its edges part: length and greatest width, mm, of the triangle of cloth to set in, with the overlap on all sides.
    pub gore: Option<[f64; 2]>,
}

/// A notch of a pattern.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NamedNotch {
    /// The station's number, from 1.
    pub number: usize,
    /// The station, mm.
    pub station: f64,
    /// Where it crosses the outline in the flat, mm.
    pub at: [f64; 2],
    /// Where it is on the form.
    pub place: PlaceOnForm,
    /// Unit vector along the outline there, the cloth at its left.
    pub along: [f64; 2],
}

impl NamedNotch {
    /// The station's number and the side: "3S".
    pub fn label(&self) -> String {
        let side = match self.place.side {
            Side::Starboard => "S",
            Side::Port => "P",
            Side::Centre => "",
        };
        format!("{}{side}", self.number)
    }
}

/// Lays all whole plies of a form, mends by slits what one piece cannot do where the builder allows it, and unfolds them. `progress` is
/// told how far the work is, from 0 to 1, and answers whether to go on; `None` when it does not.
///
/// # Errors
/// No such form, or a start off the form.
pub fn cloth_plan(
    document: &Document,
    form: usize,
    surface: &ClothSurface,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Option<ClothPlan>, ClothFailure> {
    let document = &*document.in_force();
    let stations = &document.forms.get(form).ok_or(ClothFailure::NoForm(form + 1))?.stations;
    let draping = &document.shell.draping;
    let to_lay = plies_to_lay(document, surface.halves);
    let assumed = to_lay.iter().all(|ply| ply.ply.is_none());
    let count = to_lay.len() as f32;
    let mut plies: Vec<PlyPlan> = Vec::new();
    for ply in to_lay {
        let done = plies.len() as f32 / count;
        if !progress(done) {
            return Ok(None);
        }
        let draped = drape_ply(surface, draping, &ply)?;
        let mended = if draping.slits && !draped.judgement.one_piece() {
            let (seamed, _) = laid_on(surface, draping, &ply)?;
            let cloth = (&ply.cloth(), area_of(surface, &seamed));
            let Some(net) = draped.cloth.pieces.first().map(|piece| &piece.net) else { continue };
            let mut go_on = |slits: usize| progress(done + slits.min(23) as f32 / 24.0 / count);
            let Some(mended) = mend(&seamed, net, cloth, draping.overlap, &mut go_on) else { return Ok(None) };
            Some(mended).filter(|mended| !mended.cuts.is_empty())
        } else {
            None
        };
        let start = super::start_of(surface, draping, ply.half);
        plies.push(unfolded((ply, start), draped, mended, draping.overlap, stations));
    }
    let start = super::resolved_start(surface, draping);
    let start_place = surface.outside.place(super::start_at(surface, draping)?);
    let process = surface.process;
    let rolls = roll_plans(&plies, process == Process::FemaleMould);
    let cell = (surface.cell(draping), draping.cell.is_some());
    let halves = surface.halves;
    Ok(progress(1.0).then_some(ClothPlan { plies, assumed, start, start_place, rolls, process, cell, halves }))
}

fn unfolded(
    (ply, start): (PlyToLay, [f64; 2]),
    draped: Draped,
    mended: Option<Mended>,
    overlap: f64,
    stations: &[f64],
) -> PlyPlan {
    let laid = mended.as_ref().unwrap_or(&draped.cloth);
    let pattern = pattern(laid, &ply.cloth(), stations);
    let slit = |cut: &shell::cloth::Cut| Slit {
        tip: PlaceOnForm::of(cut.tip_at),
        mouth: PlaceOnForm::of(cut.mouth_at),
        length: cut.length,
        overlap: cut.lap.clamp(0.0, overlap),
        lap: cut.lap,
        strip: cut.strip,
        gore: (cut.lap < 0.0).then(|| [cut.length + overlap, 2.0f64.mul_add(overlap, -cut.lap)]),
    };
    let slits = laid.cuts.iter().map(slit).collect();
    let number = |station: f64| stations.iter().position(|x| *x == station).map_or(0, |k| k + 1);
    let notches = pattern
        .notches
        .iter()
        .map(|n| NamedNotch {
            number: number(n.station),
            station: n.station,
            at: n.at,
            place: PlaceOnForm::of(n.on_form),
            along: n.along,
        })
        .collect();
    PlyPlan { ply, start, draped, mended, slits, pattern, notches }
}
