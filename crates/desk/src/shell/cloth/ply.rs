//! One ply, draped: quick enough to follow a drag of the start.

use super::{ClothFailure, ClothSurface, PlaceOnForm};
use project::document::Document;
use project::laminate::{Extent, Fabric};
use project::shell::Draping;
use shell::cloth::{Cloth, Judgement, Mended, judge, staggered_seam};
use shell::drape::{At, Net, Seam};

/// A ply that covers the whole shell.
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
}

impl PlyToLay {
    /// Its cloth as draping sees it.
    pub fn cloth(&self) -> Cloth {
        Cloth { locking_deg: self.fabric.locking_deg, width: self.fabric.roll_width }
    }

    /// "ply 2: Glass, plain weave, 160 g/m², warp at 45°".
    pub fn label(&self) -> String {
        let number = self.ply.map_or_else(|| "assumed ply".to_owned(), |k| format!("ply {}", k + 1));
        let (name, weight) = (&self.fabric.name, self.fabric.areal_weight);
        format!("{number}: {name}, {weight:.0} g/m², warp at {:.0}°", self.warp_deg + 0.0)
    }
}

/// The plies that cover the whole shell, in the order in which they are laid. Where the laminate has none, one of the usual cloth along
/// the way forward is taken for granted: its `ply` is `None`, and whoever shows it has to say so.
pub fn plies_to_lay(document: &Document) -> Vec<PlyToLay> {
    let plies = document.shell.laminate.plies.iter().enumerate();
    let whole = plies.filter(|(_, ply)| ply.extent == Extent::Whole).enumerate();
    let all: Vec<PlyToLay> = whole
        .map(|(order, (k, ply))| PlyToLay { ply: Some(k), order, fabric: ply.fabric.clone(), warp_deg: ply.warp_deg })
        .collect();
    if all.is_empty() { vec![PlyToLay { ply: None, order: 0, fabric: Fabric::usual(), warp_deg: 0.0 }] } else { all }
}

/// Station, mm, and share of a turn from the crown to starboard at which cloth starts: the builder's, or the crown at the middle of the
/// form's length. A form after the first to which the builder's station does not reach has a start of its own.
pub fn resolved_start(surface: &ClothSurface, draping: &Draping) -> [f64; 2] {
    let [low, high] = surface.stations;
    let meant = |start: &[f64; 2]| surface.first || (low..=high).contains(&start[0]);
    draping.start.filter(meant).unwrap_or([0.5 * (low + high), 0.0])
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
    let [station, turn] = resolved_start(surface, draping);
    let [low, high] = surface.stations;
    surface.outside.at_station(station, turn).ok_or(ClothFailure::Start { station, low, high })
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

/// Drapes one ply in one piece.
///
/// # Errors
/// A start off the form, or a cell that is no length.
pub fn drape_ply(surface: &ClothSurface, draping: &Draping, ply: &PlyToLay) -> Result<Draped, ClothFailure> {
    let at = start_at(surface, draping)?;
    let outside = &surface.outside;
    let seam = staggered_seam(outside, at, ply.order, draping.stagger, draping.overlap);
    let seamed = outside.clone().with_seam(seam);
    let net = Net::drape(&seamed, &seamed.start(at, ply.warp_deg), draping.cell)?;
    let judgement = judge(&net, &ply.cloth(), surface.part_area);
    Ok(Draped { at, seam, cloth: Mended::laid(net, judgement.clone()), judgement })
}
