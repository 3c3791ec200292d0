//! The laminate in version 1.

use std::cell::Cell;

use serde::{Deserialize, Deserializer, Serialize};

use super::super::span::{self, Span};
use super::super::{is_default, same_variants};
use super::ply::Ply;
use crate::file::checked::{self, Number};
use crate::laminate as document;
use crate::promise;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Laminate {
    lay_up: LayUp,
    #[serde(deserialize_with = "plies")]
    plies: Vec<Ply>,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "resin")]
    resin: Resin,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "filler")]
    filler: Film,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "paint")]
    paint: Film,
    #[serde(skip_serializing_if = "is_default")]
    soak: Span,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum LayUp {
    Brush,
    Squeegee,
    Bag,
    Infusion,
}

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct Resin {
    #[serde(deserialize_with = "super::super::name")]
    name: String,
    density: Number,
    hardener_per_100: Number,
    pot_life: Number,
    largest_pot: Number,
    laid_per_minute: Number,
    waste: Number,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct Film {
    thickness: Span,
    areal_mass: Span,
}

same_variants!(LayUp, document::LayUp, Brush, Squeegee, Bag, Infusion);

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Laminate, D::Error> {
    checked::whole(deserializer, |laminate: &Laminate| promise::check_laminate(&laminate.to_document()))
}

fn plies<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Ply>, D::Error> {
    let read = Cell::new(0);
    checked::list(deserializer, promise::MAX_PLIES, |_, ply: &Ply| {
        promise::check_ply(read.replace(read.get() + 1), &ply.to_document())
    })
}

fn resin<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Resin, D::Error> {
    checked::whole(deserializer, |resin: &Resin| promise::check_resin(&resin.to_document()))
}

fn filler<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Film, D::Error> {
    checked::whole(deserializer, |film: &Film| promise::check_film("filler", (*film).into()))
}

fn paint<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Film, D::Error> {
    checked::whole(deserializer, |film: &Film| promise::check_film("paint", (*film).into()))
}

impl Default for Laminate {
    fn default() -> Self {
        Self::from(&document::Schedule::default())
    }
}

impl Laminate {
    pub(super) fn to_document(&self) -> document::Schedule {
        document::Schedule {
            plies: self.plies.iter().map(Ply::to_document).collect(),
            lay_up: self.lay_up.into(),
            resin: self.resin.to_document(),
            filler: self.filler.into(),
            paint: self.paint.into(),
            soak: span::document(self.soak),
        }
    }
}

impl From<&document::Schedule> for Laminate {
    fn from(schedule: &document::Schedule) -> Self {
        Self {
            lay_up: schedule.lay_up.into(),
            plies: schedule.plies.iter().map(Ply::from).collect(),
            resin: Resin::from(&schedule.resin),
            filler: schedule.filler.into(),
            paint: schedule.paint.into(),
            soak: span::file(schedule.soak),
        }
    }
}

impl Default for Resin {
    fn default() -> Self {
        Self::from(&document::Resin::default())
    }
}

impl Resin {
    fn to_document(&self) -> document::Resin {
        document::Resin {
            name: self.name.clone(),
            density: self.density.0,
            hardener_per_100: self.hardener_per_100.0,
            pot_life: self.pot_life.0,
            largest_pot: self.largest_pot.0,
            laid_per_minute: self.laid_per_minute.0,
            waste: self.waste.0,
        }
    }
}

impl From<&document::Resin> for Resin {
    fn from(resin: &document::Resin) -> Self {
        Self {
            name: resin.name.clone(),
            density: Number(resin.density),
            hardener_per_100: Number(resin.hardener_per_100),
            pot_life: Number(resin.pot_life),
            largest_pot: Number(resin.largest_pot),
            laid_per_minute: Number(resin.laid_per_minute),
            waste: Number(resin.waste),
        }
    }
}

impl From<Film> for document::Film {
    fn from(film: Film) -> Self {
        Self { thickness: span::document(film.thickness), areal_mass: span::document(film.areal_mass) }
    }
}

impl From<document::Film> for Film {
    fn from(film: document::Film) -> Self {
        Self { thickness: span::file(film.thickness), areal_mass: span::file(film.areal_mass) }
    }
}
