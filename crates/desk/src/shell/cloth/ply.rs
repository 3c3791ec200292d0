//! One ply, draped: quick enough to follow a drag of the start.

use super::{ClothFailure, ClothSurface, PlaceOnForm};
use project::document::Document;
use project::laminate::{Extent, Fabric};
use project::shell::Draping;
use shell::cloth::{Cloth, Judgement, Mended, judge, plies::steps, staggered_seam};
use shell::drape::{At, Net, Outside, Portion, Seam};
use shell::release::Parting;

/// Which half of a form that is closed at both ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Half {
    /// The line between the halves.
    pub parting: Parting,
    /// The upper, starboard or front one.
    pub first: bool,
}

impl Half {
    /// "starboard half".
    pub fn name(&self) -> String {
        self.parting.labels().1[usize::from(!self.first)].replace("shell", "half")
    }
}

/// A ply that covers the whole shell, or one half of it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlyToLay {
    /// Index into the schedule's plies; `None` for one that is only taken for granted, because the laminate has none yet.
    pub ply: Option<usize>,
    /// Which of the whole plies it is, from the plug outward (in a mould: from the mould inward), from 0.
    pub order: usize,
    /// Its cloth.
    pub fabric: Fabric,
    /// Angle of its warp from the way forward at the start, towards starboard on the crown, degrees.
    pub warp_deg: f64,
    /// The half of the form that it covers, where cloth is laid in two.
    pub half: Option<Half>,
}

impl PlyToLay {
    /// Its cloth as draping sees it.
    pub fn cloth(&self) -> Cloth {
        Cloth { locking_deg: self.fabric.locking_deg, width: self.fabric.roll_width }
    }

    /// What it is called on templates and buttons: "2", or of halves "2a" and "2b".
    pub fn mark(&self) -> String {
        let number = self.ply.map_or(1, |k| k + 1);
        let half = self.half.map_or("", |half| if half.first { "a" } else { "b" });
        format!("{number}{half}")
    }

    /// Number and half: "2", or "2, starboard half".
    pub fn name(&self) -> String {
        let number = self.ply.map_or(1, |k| k + 1);
        self.half.map_or_else(|| number.to_string(), |half| format!("{number}, {}", half.name()))
    }

    /// Angle of the warp as it lies, degrees: the second half of two mirrors the first.
    pub fn lies_at(&self) -> f64 {
        let mirrored = self.half.is_some_and(|half| !half.first && !matches!(half.parting, Parting::Across(_)));
        if mirrored { -self.warp_deg } else { self.warp_deg }
    }

    /// "ply 2: Glass, plain weave, 160 g/m², warp at 45°".
    pub fn label(&self) -> String {
        let number = self.ply.map_or_else(|| "assumed ply".to_owned(), |k| format!("ply {}", k + 1));
        let number = self.half.map_or_else(|| number.clone(), |half| format!("{number}, {}", half.name()));
        let (name, weight) = (&self.fabric.name, self.fabric.areal_weight);
        format!("{number}: {name}, {weight:.0} g/m², warp at {:.0}°", self.warp_deg + 0.0)
    }
}

/// The plies that cover the whole shell, in the order in which they are laid. Where the laminate has none, one of the usual cloth along
/// the way forward is taken for granted: its `ply` is `None`, and whoever shows it has to say so. Where cloth is laid in halves
/// ([`super::SurfaceSource::halves`]) each ply is there twice.
pub fn plies_to_lay(document: &Document, halves: Option<Parting>) -> Vec<PlyToLay> {
    let plies = document.shell.laminate.plies.iter().enumerate();
    let whole = plies.filter(|(_, ply)| ply.extent == Extent::Whole).enumerate();
    let all: Vec<PlyToLay> = whole
        .map(|(order, (k, ply))| {
            let fabric = ply.fabric.clone();
            PlyToLay { ply: Some(k), order, fabric, warp_deg: ply.warp_deg, half: None }
        })
        .collect();
    let assumed = || PlyToLay { ply: None, order: 0, fabric: Fabric::usual(), warp_deg: 0.0, half: None };
    let all = if all.is_empty() { vec![assumed()] } else { all };
    let Some(parting) = halves else { return all };
    let both =
        |ply: PlyToLay| [true, false].map(|first| PlyToLay { half: Some(Half { parting, first }), ..ply.clone() });
    all.into_iter().flat_map(both).collect()
}

/// Station, mm, and share of a turn from the crown to starboard at which cloth starts: the builder's, or the crown at the middle of the
/// form's length. A form after the first to which the builder's station does not reach has a start of its own. Where cloth is laid in
/// halves it is that of the first.
pub fn resolved_start(surface: &ClothSurface, draping: &Draping) -> [f64; 2] {
    start_of(surface, draping, first_half(surface))
}

fn first_half(surface: &ClothSurface) -> Option<Half> {
    surface.halves.map(|parting| Half { parting, first: true })
}

/// The builder's start, if it is meant for this form.
fn set_start(surface: &ClothSurface, draping: &Draping) -> Option<[f64; 2]> {
    let [low, high] = surface.stations;
    draping.start.filter(|start| surface.first || (low..=high).contains(&start[0]))
}

/// The start of a half: the second half's mirrors the first's; a front or rear part has one of its own if the builder's is not on it.
pub fn start_of(surface: &ClothSurface, draping: &Draping, half: Option<Half>) -> [f64; 2] {
    let set = set_start(surface, draping);
    let [low, high] = surface.stations;
    let middle = 0.5 * (low + high);
    let Some(Half { parting, first }) = half else { return set.unwrap_or([middle, 0.0]) };
    match parting {
        Parting::CentrePlane => {
            let [station, turn] = set.unwrap_or([middle, 0.25]);
            let starboard = turn.min(1.0 - turn);
            [station, if first { starboard } else { (1.0 - starboard).rem_euclid(1.0) }]
        }
        Parting::Breadth => {
            let [station, turn] = set.unwrap_or([middle, 0.0]);
            let upper = (0.25..0.75).contains(&turn);
            let upper = if upper { (0.5 - turn).rem_euclid(1.0) } else { turn };
            [station, if first { upper } else { (0.5 - upper).rem_euclid(1.0) }]
        }
        Parting::Across(joint) => {
            let own = set.filter(|[station, _]| (*station <= joint) == first);
            own.unwrap_or([if first { low } else { high }, 0.0])
        }
    }
}

/// A start in words: "120.0 mm on the crown".
pub fn lay_of([station, turn]: [f64; 2]) -> String {
    let place = match turn {
        t if t < 1e-6 => "on the crown".to_owned(),
        t if (t - 0.5).abs() < 1e-6 => "on the keel".to_owned(),
        t => format!("{:.0}° round from the crown to starboard", 360.0 * t),
    };
    format!("{:.1} mm {place}", station + 0.0)
}

/// Where that is on the surface.
///
/// # Errors
/// The form does not reach that station.
pub fn start_at(surface: &ClothSurface, draping: &Draping) -> Result<At, ClothFailure> {
    begun_at(surface, draping, first_half(surface))
}

fn begun_at(surface: &ClothSurface, draping: &Draping, half: Option<Half>) -> Result<At, ClothFailure> {
    let [station, turn] = start_of(surface, draping, half);
    let [low, high] = surface.stations;
    // A coat that is taken off moves a closed end from the form's own.
    if half.is_some_and(|half| matches!(half.parting, Parting::Across(_))) && (station == low || station == high) {
        return Ok(bare(surface, draping, half, 0).natural_start());
    }
    surface.outside.at_station(station, turn).ok_or(ClothFailure::Start { station, low, high })
}

/// Most that the joint of a ply in halves lies aside, as a share of the side of a square of the part's area.
const ASIDE: f64 = 0.1;

/// The surface that a ply covers, without a seam.
fn bare(surface: &ClothSurface, draping: &Draping, half: Option<Half>, order: usize) -> Outside {
    let most = ASIDE * surface.part_area.max(0.0).sqrt();
    let aside = (steps(order) * draping.stagger).clamp(-most, most);
    let portion = |Half { parting, first }| Portion { parting, first, overlap: draping.overlap, aside };
    surface.outside.clone().with_portion(half.map(portion))
}

/// Where cloth folds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrinkleOnForm {
    /// Its most sheared place.
    pub place: PlaceOnForm,
    /// Shear there, degrees.
    pub shear_deg: f64,
    /// Its area, mm².
    pub area: f64,
}

/// A ply as it lies in one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Draped {
    /// Where it starts, on the surface.
    pub at: At,
    /// Where its edges meet, if it goes round.
    pub seam: Option<Seam>,
    /// The cloth, without slits.
    pub cloth: Mended,
    /// What is to be told of it.
    pub judgement: Judgement,
}

impl Draped {
    /// The place of the greatest shear.
    pub fn greatest(&self) -> PlaceOnForm {
        PlaceOnForm::of(self.judgement.greatest_at)
    }

    /// Where it folds, the largest first.
    pub fn wrinkles(&self) -> Vec<WrinkleOnForm> {
        let of = |w: &shell::cloth::Wrinkle| WrinkleOnForm {
            place: PlaceOnForm::of(w.at),
            shear_deg: w.shear_deg,
            area: w.area,
        };
        self.judgement.wrinkles.iter().map(of).collect()
    }
}

/// The surface that a ply covers, with its seam, and where the ply starts.
///
/// # Errors
/// A start off the form.
pub(super) fn laid_on(
    surface: &ClothSurface,
    draping: &Draping,
    ply: &PlyToLay,
) -> Result<(Outside, At), ClothFailure> {
    let at = begun_at(surface, draping, ply.half)?;
    let outside = bare(surface, draping, ply.half, ply.order);
    let seam = staggered_seam(&outside, at, ply.order, draping.stagger, draping.overlap);
    Ok((outside.with_seam(seam), at))
}

/// Its area, mm².
pub(super) fn area_of(surface: &ClothSurface, laid_on: &Outside) -> f64 {
    if laid_on.portion().is_some() { laid_on.part_area() } else { surface.part_area }
}

/// Drapes one ply in one piece; of one that is laid in halves, its half.
///
/// # Errors
/// A start off the form, or a cell that is no length or too fine.
pub fn drape_ply(surface: &ClothSurface, draping: &Draping, ply: &PlyToLay) -> Result<Draped, ClothFailure> {
    let (seamed, at) = laid_on(surface, draping, ply)?;
    let net = Net::drape(&seamed, &seamed.start(at, ply.lies_at()), surface.cell(draping))?;
    let judgement = judge(&net, &ply.cloth(), area_of(surface, &seamed));
    Ok(Draped { at, seam: seamed.seam(), cloth: Mended::laid(net, judgement.clone()), judgement })
}
