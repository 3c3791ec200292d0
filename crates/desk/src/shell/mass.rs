//! What the shell is made of and what it weighs: ply table, pots, shopping list, mass and balance.
//!
//! Masses in grams, areas in mm², lengths in mm; every number in its range. What the document does not say yet is no error: it is
//! told as [`Missing`], and what can be weighed is weighed without it.

mod crowding;
mod fittings;
mod holes;
mod land;
mod lap;
mod margin;
mod one_shell;
mod outside;
mod placed;
mod plug_mass;
mod reinforcement;
mod shopping;
#[cfg(test)]
mod tests;

pub use reinforcement::proposed_reinforcement;

use super::Source;
use crate::output::NotLofted;
use crate::plans::Planned;
use crate::reckoned::Reckoned;
use project::build::Process;
use project::document::Document;
use project::laminate::{Extent, LaminateError, Span, Thickness};
use shell::balance::{Balance, BallastPlace, Question, balance};
use shell::laminate::{Item, Pots};
use shell::mass::{MassError, MassProperties, Part};

/// All that is known of what the shell is made of and weighs.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// Thickness over the plug, and whether the plug follows it; `Err` says what is wrong with the schedule.
    pub thickness: Result<OverPlug, LaminateError>,
    /// The shell of the first form, then those of added forms, a mirrored one once for each side.
    pub shells: Vec<OneShell>,
    /// What to buy for all shells together.
    pub shopping: Vec<Item>,
    /// Everything that comes on: layers of each shell, ring, screws, other parts, in the order in which they are listed.
    pub parts: Vec<Line>,
    /// All of it together; `None` while nothing weighs anything.
    pub whole: Option<MassProperties>,
    /// What is taken off in its place.
    pub replaced: Option<Line>,
    /// The aircraft's balance before and after.
    pub balance: Option<Balance>,
    /// The plug of the first form.
    pub plug: Option<PlugMass>,
    /// What is not weighed yet, and how to have it weighed.
    pub missing: Vec<Missing>,
}

/// Thickness over the plug.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverPlug {
    /// By the schedule.
    pub schedule: Thickness,
    /// What is taken off between finished skin and plug; 0 for a female mould.
    pub taken_off: f64,
    /// Whether the plug follows the schedule.
    pub feeds: bool,
    /// For a female mould nothing is taken off.
    pub female_mould: bool,
}

/// The shell of one form.
#[derive(Clone, Debug, PartialEq)]
pub struct OneShell {
    /// Index of the form.
    pub form: usize,
    /// Its name; with its side for one of two.
    pub name: String,
    /// Its plies, from the plug outward.
    pub plies: Vec<PlyRow>,
    /// Its area between its ends, on the finished skin, openings not taken out, what lies beyond its form not counted, mm².
    pub area: f64,
    /// What openings take out of it, mm².
    pub cut_out: f64,
    /// What lies beyond its form, mm²: the lap on the fuselage; of an added form the land on the first one.
    pub lap: f64,
    /// Resin for it, in pots; it is laid up by itself.
    pub pots: Pots,
    /// Plies, filler and paint together.
    pub mass: MassProperties,
}

/// A row of the ply table.
#[derive(Clone, Debug, PartialEq)]
pub struct PlyRow {
    /// Which ply of the schedule.
    pub ply: usize,
    /// Its cloth.
    pub fabric: String,
    /// Areal weight of the cloth, g/m².
    pub areal_weight: f64,
    /// Its angle, degrees.
    pub warp_deg: f64,
    /// What it covers.
    pub extent: Extent,
    /// Cloth laid on an area, as a share of that area: by the draped net, or as the schedule has it.
    pub crowding: Span,
    /// The fibre volume is that of the builder's own coupon.
    pub by_coupon: bool,
    /// Fibre volume fraction.
    pub fibre_volume: Span,
    /// Thickness, mm.
    pub thickness: Span,
    /// Area it covers, lap or land counted in, mm².
    pub area: f64,
    /// Its cloth, grams.
    pub cloth: Span,
    /// Its resin, grams; the first whole ply's with what soaks in.
    pub resin: Span,
    /// Both, grams.
    pub mass: Span,
}

/// Something with its mass and place.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What kind of thing it is.
    pub kind: LineKind,
    /// Mass, centre and spread, with its name.
    pub part: Part,
}

/// What kind of thing a line of the balance is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineKind {
    /// Layers of the first form's shell.
    Shell,
    /// The shell of an added form.
    Added,
    /// The ring plate.
    Ring,
    /// A duct behind an opening.
    Duct,
    /// Screws and what they go into.
    Screws,
    /// Something else that was weighed.
    Other,
}

/// Foam and card of the plug.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlugMass {
    /// Foam, mm³.
    pub foam_volume: f64,
    /// Foam, grams.
    pub foam: Span,
    /// Card, grams.
    pub card: Span,
    /// From the plan of formers and blocks; else the plug is taken to be all foam.
    pub planned: bool,
}

/// Something that is not weighed yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What.
    pub what: String,
    /// How to have it weighed.
    pub hint: String,
}

impl Missing {
    fn new(what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { what: what.into(), hint: hint.into() }
    }
}

/// Thickness by the schedule, against what is taken off the plug.
///
/// # Errors
/// No ply covers the whole shell, or a number is out of its range.
pub fn thickness(document: &Document) -> Result<OverPlug, LaminateError> {
    let (shell, build) = (&document.shell, &document.build);
    let female_mould = build.process == Process::FemaleMould;
    let taken_off = if female_mould { 0.0 } else { build.coat.total() };
    Ok(OverPlug { schedule: shell.laminate.thickness()?, taken_off, feeds: shell.feeds_coat, female_mould })
}

/// Weighs the shell and all that belongs to it. `planned` is the plug's plan, if there is one. `progress` is told how far the work
/// is, from 0 to 1, and answers whether to go on; `None` when it does not. Remembers nothing: see [`Reckoned::weighing`].
///
/// # Errors
/// The first form cannot be lofted yet.
pub fn weigh(
    source: &Source,
    planned: Option<&Planned>,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Option<Weighing>, NotLofted> {
    Reckoned::default().weighing(source, planned, progress)
}

/// All but the plug.
pub(crate) fn weigh_shells(
    source: &Source,
    known: &Reckoned,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Option<Weighing>, NotLofted> {
    source.skin()?;
    if !progress(0.0) {
        return Ok(None);
    }
    let mut scales = Scales { source, known, missing: Vec::new(), parts: Vec::new(), shells: Vec::new() };
    if !scales.shells(progress) {
        return Ok(None);
    }
    scales.fittings();
    let whole = scales.whole();
    let replaced = scales.replaced();
    let balance = whole.as_ref().and_then(|whole| scales.balance(whole, replaced.as_ref()));
    let shopping = shopping::shopping(source.document(), &scales.shells, &mut scales.missing);
    let weighing = Weighing {
        thickness: thickness(source.document()),
        shopping,
        whole,
        replaced,
        balance,
        plug: None,
        shells: scales.shells,
        parts: scales.parts,
        missing: scales.missing,
    };
    Ok(progress(1.0).then_some(weighing))
}

/// With the plug, which follows from its plan.
pub(crate) fn with_plug(weighing: Weighing, source: &Source, planned: Option<&Planned>) -> Result<Weighing, NotLofted> {
    Ok(Weighing { plug: Some(plug_mass::plug_mass(source, source.skin()?, planned)), ..weighing })
}

/// What is on the scales so far.
struct Scales<'a> {
    source: &'a Source,
    known: &'a Reckoned,
    shells: Vec<OneShell>,
    parts: Vec<Line>,
    missing: Vec<Missing>,
}

impl Scales<'_> {
    fn document(&self) -> &Document {
        self.source.document()
    }

    fn lack(&mut self, what: impl Into<String>, hint: impl Into<String>) {
        self.missing.push(Missing::new(what, hint));
    }

    fn put(&mut self, kind: LineKind, part: Part) {
        self.parts.push(Line { kind, part });
    }

    /// A mistake in the numbers, as something that cannot be weighed.
    fn refuse(&mut self, what: impl Into<String>, why: &MassError) {
        self.lack(what, format!("{}.", sentence(&why.to_string())));
    }

    /// All of it together.
    fn whole(&mut self) -> Option<MassProperties> {
        let parts: Vec<Part> = self.parts.iter().map(|line| line.part.clone()).collect();
        match MassProperties::of(&parts) {
            Ok(whole) => Some(whole),
            Err(MassError::NoMass) => None,
            Err(why) => {
                self.refuse("All of it together", &why);
                None
            }
        }
    }

    fn replaced(&mut self) -> Option<Line> {
        let replaces = self.document().shell.weights.replaces.as_ref().map(fittings::weighed);
        if replaces.is_none() {
            self.lack(
                "The part that the shell replaces",
                "Weigh what comes off and enter its mass and centre; leave it out if nothing comes off.",
            );
        }
        replaces.map(|part| Line { kind: LineKind::Other, part })
    }

    fn balance(&mut self, whole: &MassProperties, replaced: Option<&Line>) -> Option<Balance> {
        let weights = &self.document().shell.weights;
        let Some(aircraft) = &weights.aircraft else {
            self.lack(
                "The balance of the aircraft",
                "Weigh the aircraft ready to fly on scales under its wheels, and enter its mass and its centre of gravity.",
            );
            return None;
        };
        let places: Vec<BallastPlace> = weights.ballast.iter().map(fittings::ballast_place).collect();
        let question = Question {
            aircraft: fittings::weighed(aircraft),
            taken_off: replaced.map(|line| line.part.clone()),
            comes_on: whole,
            wanted: weights.wanted,
            allowed: weights.allowed,
            places: &places,
        };
        match balance(&question) {
            Ok(found) => Some(found),
            Err(why) => {
                self.refuse("The balance of the aircraft", &why);
                None
            }
        }
    }
}

/// With a capital letter.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
