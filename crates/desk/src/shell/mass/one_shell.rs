//! The shell of one form: its ply table, its pots and its mass.

use super::crowding::crowding;
use super::holes::Holes;
use super::land::Land;
use super::lap::Lap;
use super::margin::Margin;
use super::outside::{Outside, Whole};
use super::{LineKind, OneShell, PlyRow, Scales};
use crate::shell::added::land;
use form::FinishedSkin;
use form::space::Vector;
use project::document::Document;
use project::laminate::{Extent, Span};
use shell::drape::{Cover, End};
use shell::laminate::{Layer, Ply, PlyMass, Schedule, ply_masses, pots};
use shell::mass::{CutOut, MassError, MassProperties, Part, ShellLayers, ShellSurface};

/// Share of the work that the shells are.
const SHARE: f32 = 0.8;

/// A shell as it is weighed, in the axes of its own form.
pub(super) struct WeighedShell {
    table: OneShell,
    parts: Vec<Part>,
}

impl Scales<'_> {
    /// The shell of the first form and those of the forms that are added to it; whether to go on.
    pub(super) fn shells(&mut self, progress: &mut dyn FnMut(f32) -> bool) -> bool {
        if let Err(why) = self.document().shell.laminate.check() {
            self.lack("The shell", format!("{}.", super::sentence(&why.to_string())));
            return true;
        }
        self.bare();
        let count = self.document().forms.len();
        for form in 0..count {
            if form == 0 {
                self.first();
            } else {
                self.added(form);
            }
            if !progress(SHARE * (form + 1) as f32 / count as f32) {
                return false;
            }
        }
        true
    }

    fn bare(&mut self) {
        if self.document().shell.laminate.paint.areal_mass.high <= 0.0 {
            self.lack(
                "Paint",
                "Enter its mass by area, 60 to 150 g/m² as a rule; without it the shell is weighed bare.",
            );
        }
    }

    fn first(&mut self) {
        let document = self.document();
        let laminate = document.shell.laminate.thickness().map_or(0.0, |t| t.laminate.likely);
        let lap = Lap::of(document, laminate);
        let (cover, holes) = (self.source.cover(), Holes::of(self.source, 0));
        let margin = lap.as_ref().map(Margin::Lap);
        let weighed =
            |skin: &FinishedSkin| self.weighed(0, &ShellSurface::new(skin.loft(), &cover), margin, &holes.cut);
        match self.source.skin().map_or(Ok(None), weighed) {
            Ok(Some(shell)) => {
                shell.parts.into_iter().for_each(|part| self.put(LineKind::Shell, part));
                holes.ducts.into_iter().for_each(|part| self.put(LineKind::Duct, part));
                self.shells.push(shell.table);
            }
            Ok(None) => (),
            Err(why) => self.refuse("The shell", &why),
        }
    }

    /// A form that is added: weighed in its own axes, then placed, once for each side where it is mirrored.
    fn added(&mut self, form: usize) {
        let name = self.document().forms[form].name.clone();
        let Some(mount) = self.document().forms[form].mount else {
            self.lack(
                format!("\"{name}\""),
                "It is not placed on the first form, so it is taken not to belong to this shell; give it a place to have it counted.",
            );
            return;
        };
        let holes = Holes::of(self.source, form);
        match self.weighed_added(form, &name, &holes.cut) {
            Ok(Some(shell)) => {
                let all: Vec<Part> = shell.parts.iter().chain(&holes.ducts).cloned().collect();
                let whole = MassProperties::of(&all).map_or_else(|_| shell.table.mass.part(""), |all| all.part(""));
                let places = super::placed::places(&whole, &mount);
                let two = places.len() > 1;
                for part in places {
                    let title = if two { format!("{name}, {}", super::placed::side(&part)) } else { name.clone() };
                    self.put(LineKind::Added, Part { name: title.clone(), ..part });
                    self.shells.push(OneShell { name: title, ..shell.table.clone() });
                }
            }
            Ok(None) => self.lack(format!("\"{name}\""), "It has no surface yet; see the findings of that form."),
            Err(why) => self.refuse(format!("\"{name}\""), &why),
        }
    }

    /// What of an added form stands out of the first one.
    fn weighed_added(&mut self, form: usize, name: &str, cut: &[CutOut]) -> Result<Option<WeighedShell>, MassError> {
        let Ok(skin) = self.source.skin_of(form) else { return Ok(None) };
        let outside = Outside::of(self.source, form, self.known);
        let told = match &outside {
            Ok(outside) => {
                let keeps = |p: Vector| outside.keeps(p);
                let surface = ShellSurface::beside(skin.loft(), &outside.lines, &keeps);
                // What is cut away has no holes to lose.
                let cut: Vec<CutOut> = cut.iter().filter(|hole| outside.keeps(hole.centre)).cloned().collect();
                let land = Land::of(outside, land(self.document()));
                return self.weighed(form, &surface, land.as_ref().map(Margin::Land), &cut);
            }
            Err(Whole::Apart(how)) => format!("It {how}, so all of it is weighed; move it until the two meet."),
            Err(Whole::Open) => {
                "Its line of meeting does not end on it, so all of it is weighed; move it onto the first \
                                 form, or sink it a little deeper."
                    .to_owned()
            }
        };
        self.lack(format!("What of \"{name}\" is cut away"), told);
        let open = Cover { front: End::Open(0.0), rear: End::Open(0.0), trim: None };
        self.weighed(form, &ShellSurface::new(skin.loft(), &open), None, cut)
    }

    fn weighed(
        &self,
        form: usize,
        surface: &ShellSurface<'_>,
        margin: Option<Margin<'_>>,
        cut: &[CutOut],
    ) -> Result<Option<WeighedShell>, MassError> {
        let document = self.document();
        let (mut schedule, numbers) = of_form(document, form);
        let crowding = crowding(self.source, form, self.known, &schedule, &numbers);
        // Cloth that crowds is heavier, and thicker by the same share.
        schedule.plies.iter_mut().zip(&crowding).for_each(|(ply, crowding)| ply.crowding = crowding.likely);
        let layers = ShellLayers::new(surface, &schedule)?;
        let mut areas = layers.ply_areas();
        let mut parts = layers.parts(cut)?;
        if let Some(margin) = margin {
            for (area, ply) in areas.iter_mut().zip(&schedule.plies) {
                *area += margin.covered(&ply.extent);
            }
            parts.extend(MassProperties::of(&on_margin(margin, &schedule)?).map(|all| all.part(margin.name())));
        }
        let masses = ply_masses(&schedule, &areas)?;
        widen(&mut parts, &crowding);
        let table = OneShell {
            form,
            name: document.forms[form].name.clone(),
            plies: rows(&schedule, &masses, (&crowding, &numbers))?,
            area: layers.skin_area(),
            cut_out: cut.iter().map(|hole| hole.area).fold(0.0, std::ops::Add::add),
            lap: margin.map_or(0.0, |margin| margin.covered(&Extent::Whole)),
            pots: pots(&masses, &schedule.resin)?,
            mass: MassProperties::of(&parts)?,
        };
        Ok(Some(WeighedShell { table, parts }))
    }
}

/// The schedule as a form is laid up by it, and which of the document's plies each is: strips and patches are given by stations and
/// places of the first form.
pub(super) fn of_form(document: &Document, form: usize) -> (Schedule, Vec<usize>) {
    let mut schedule = document.shell.laminate.clone();
    let kept = |ply: &Ply| form == 0 || ply.extent == Extent::Whole;
    let numbers = (0..schedule.plies.len()).filter(|i| kept(&schedule.plies[*i])).collect();
    schedule.plies.retain(kept);
    (schedule, numbers)
}

/// Of a mass that grows with how cloth crowds: by what share it may be less or more.
fn share(crowding: &Span) -> [f64; 2] {
    [crowding.low / crowding.likely, crowding.high / crowding.likely]
}

fn wider(mass: Span, crowding: &Span) -> Span {
    let [less, more] = share(crowding);
    Span::new(mass.low * less, mass.likely, mass.high * more)
}

/// The plies stand first among the parts, but for those that have no area.
fn widen(parts: &mut [Part], crowding: &[Span]) {
    for (i, crowding) in crowding.iter().enumerate() {
        let start = format!("ply {}, ", i + 1);
        parts
            .iter_mut()
            .filter(|part| part.name.starts_with(&start))
            .for_each(|part| part.mass = wider(part.mass, crowding));
    }
}

/// Layers on what lies beyond the form, as parts.
fn on_margin(margin: Margin<'_>, schedule: &Schedule) -> Result<Vec<Part>, MassError> {
    let mut soak = schedule.soak;
    let mut out = Vec::new();
    for (i, (ply, layer)) in schedule.plies.iter().zip(schedule.layers()?).enumerate() {
        let soaked = if ply.extent == Extent::Whole { std::mem::take(&mut soak) } else { Span::default() };
        let name = format!("ply {} on the strip beyond", i + 1);
        out.extend(margin.part(name, &ply.extent, layer.areal_mass.plus(soaked)));
    }
    if margin.outside() {
        for (name, film) in
            [("filler on the strip beyond", &schedule.filler), ("paint on the strip beyond", &schedule.paint)]
        {
            out.extend(margin.part(name.into(), &Extent::Whole, film.areal_mass));
        }
    }
    Ok(out)
}

fn rows(
    schedule: &Schedule,
    masses: &[PlyMass],
    (crowding, numbers): (&[Span], &[usize]),
) -> Result<Vec<PlyRow>, MassError> {
    let layers = schedule.layers()?;
    let row = |(i, layer): (usize, Layer)| {
        let (ply, mass) = (schedule.plies.get(i)?, masses.get(i)?);
        let (crowding, number) = (crowding.get(i)?, numbers.get(i)?);
        let (cloth, resin) = (wider(Span::exact(mass.cloth), crowding), wider(mass.resin, crowding));
        Some(PlyRow {
            ply: *number,
            fabric: ply.fabric.name.clone(),
            areal_weight: ply.fabric.areal_weight,
            warp_deg: ply.warp_deg,
            extent: ply.extent.clone(),
            crowding: *crowding,
            by_coupon: ply.coupon.is_some(),
            fibre_volume: layer.fibre_volume.unwrap_or_default(),
            thickness: layer.thickness,
            area: mass.area,
            cloth,
            resin,
            mass: cloth.plus(resin),
        })
    };
    Ok(layers.into_iter().enumerate().filter_map(row).collect())
}
