//! The shell of one form: its ply table, its pots and its mass.

use super::holes::Holes;
use super::lap::Lap;
use super::{LineKind, OneShell, PlyRow, Scales};
use project::document::Document;
use project::laminate::{Extent, Span};
use shell::drape::{Cover, End};
use shell::laminate::{PlyMass, Schedule, ply_masses, pots};
use shell::mass::{CutOut, MassError, MassProperties, Part, ShellSurface, ply_areas, shell_parts};

/// What the lap's layers together are called.
const LAP: &str = "lap on the fuselage, all layers";
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
        match self.weighed(0, &cover, lap.as_ref(), &holes.cut) {
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
        let open = Cover { front: End::Open(0.0), rear: End::Open(0.0), trim: None };
        let holes = Holes::of(self.source, form);
        match self.weighed(form, &open, None, &holes.cut) {
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

    fn weighed(
        &self,
        form: usize,
        cover: &Cover,
        lap: Option<&Lap>,
        cut: &[CutOut],
    ) -> Result<Option<WeighedShell>, MassError> {
        let Ok(skin) = self.source.skin_of(form) else { return Ok(None) };
        let document = self.document();
        let schedule = of_form(document, form);
        let surface = ShellSurface::new(skin.loft(), cover);
        let mut areas = ply_areas(&surface, &schedule)?;
        let mut parts = shell_parts(&surface, &schedule, cut)?;
        if let Some(lap) = lap {
            for (area, ply) in areas.iter_mut().zip(&schedule.plies) {
                *area += lap.covered(&ply.extent);
            }
            let layers = on_lap(lap, &schedule)?;
            parts.extend(MassProperties::of(&layers).map(|all| all.part(LAP)));
        }
        let mut area = 0.0;
        surface.each(skin.loft().x_range(), |element| area += element.area);
        let masses = ply_masses(&schedule, &areas)?;
        let table = OneShell {
            form,
            name: document.forms[form].name.clone(),
            plies: rows(&schedule, &masses)?,
            area,
            cut_out: cut.iter().map(|hole| hole.area).fold(0.0, std::ops::Add::add),
            lap: lap.map_or(0.0, Lap::area),
            pots: pots(&masses, &schedule.resin)?,
            mass: MassProperties::of(&parts)?,
        };
        Ok(Some(WeighedShell { table, parts }))
    }
}

/// The schedule as a form is laid up by it: strips and patches are given by stations and places of the first.
pub(super) fn of_form(document: &Document, form: usize) -> Schedule {
    let mut schedule = document.shell.laminate.clone();
    if form > 0 {
        schedule.plies.retain(|ply| ply.extent == Extent::Whole);
    }
    schedule
}

/// Layers on the lap, as parts.
fn on_lap(lap: &Lap, schedule: &Schedule) -> Result<Vec<Part>, MassError> {
    let mut soak = schedule.soak;
    let mut out = Vec::new();
    for (i, (ply, layer)) in schedule.plies.iter().zip(schedule.layers()?).enumerate() {
        let soaked = if ply.extent == Extent::Whole { std::mem::take(&mut soak) } else { Span::default() };
        let name = format!("ply {} on the lap", i + 1);
        out.extend(lap.part(name, &ply.extent, layer.areal_mass.plus(soaked)));
    }
    if lap.outside {
        for (name, film) in [("filler on the lap", &schedule.filler), ("paint on the lap", &schedule.paint)] {
            out.extend(lap.part(name.into(), &Extent::Whole, film.areal_mass));
        }
    }
    Ok(out)
}

fn rows(schedule: &Schedule, masses: &[PlyMass]) -> Result<Vec<PlyRow>, MassError> {
    let layers = schedule.layers()?;
    let all = schedule.plies.iter().zip(layers).zip(masses).enumerate();
    let row = |(i, ((ply, layer), mass)): (usize, ((&shell::laminate::Ply, _), &PlyMass))| {
        let layer: shell::laminate::Layer = layer;
        PlyRow {
            ply: i,
            fabric: ply.fabric.name.clone(),
            areal_weight: ply.fabric.areal_weight,
            warp_deg: ply.warp_deg,
            extent: ply.extent.clone(),
            crowding: ply.crowding,
            by_coupon: ply.coupon.is_some(),
            fibre_volume: layer.fibre_volume.unwrap_or_default(),
            thickness: layer.thickness,
            area: mass.area,
            cloth: mass.cloth,
            resin: mass.resin,
            mass: mass.total(),
        }
    };
    Ok(all.map(row).collect())
}
