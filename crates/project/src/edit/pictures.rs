//! Edits of the pictures.

use std::sync::Arc;

use super::{Refused, gone};
use crate::document::{Document, KnownDistance, Picture, Placement};
use crate::file::file_of;
use crate::promise::{self, MAX_PICTURES};

pub(super) fn add(d: &mut Document, picture: &Picture) -> Result<(), Refused> {
    promise::check_picture(picture)?;
    promise::check_count("pictures", d.pictures.len() + 1, MAX_PICTURES)?;
    d.pictures.push(Arc::new(Picture { file: file_of(picture), ..picture.clone() }));
    Ok(())
}

pub(super) fn remove(d: &mut Document, index: usize) -> Result<(), Refused> {
    picture_mut(d, index)?;
    d.pictures.remove(index);
    Ok(())
}

pub(super) fn rename(d: &mut Document, index: usize, name: &str) -> Result<(), Refused> {
    promise::check_name("The picture", name)?;
    picture_mut(d, index)?.name = name.to_owned();
    Ok(())
}

pub(super) fn place(d: &mut Document, index: usize, placement: Placement) -> Result<(), Refused> {
    movable(d, index)?.placement = placement;
    promise::check_placement(&placement)
}

pub(super) fn scale(d: &mut Document, index: usize, known: KnownDistance) -> Result<(), Refused> {
    promise::check_known(&known)?;
    let mm_per_px = known.mm_per_px(d.model_scale);
    let picture = movable(d, index)?;
    picture.scale = Some(known);
    picture.placement = picture.placement.scaled_about(known.a, mm_per_px);
    promise::check_placement(&picture.placement)
}

pub(super) fn check(d: &mut Document, index: usize, known: Option<KnownDistance>) -> Result<(), Refused> {
    known.iter().try_for_each(promise::check_known)?;
    picture_mut(d, index)?.check = known;
    Ok(())
}

pub(super) fn level(d: &mut Document, index: usize, points: [[f64; 2]; 2]) -> Result<(), Refused> {
    promise::check_level(&points)?;
    let picture = movable(d, index)?;
    picture.level = Some(points);
    picture.placement = picture.placement.levelled(points);
    promise::check_placement(&picture.placement)
}

pub(super) fn show(d: &mut Document, index: usize, opacity: f64, locked: bool, hidden: bool) -> Result<(), Refused> {
    promise::check_opacity(opacity)?;
    let picture = picture_mut(d, index)?;
    (picture.opacity, picture.locked, picture.hidden) = (opacity, locked, hidden);
    Ok(())
}

fn picture_mut(d: &mut Document, index: usize) -> Result<&mut Picture, Refused> {
    d.pictures.get_mut(index).map(Arc::make_mut).ok_or_else(|| gone("picture", index))
}

fn movable(d: &mut Document, index: usize) -> Result<&mut Picture, Refused> {
    let picture = picture_mut(d, index)?;
    if picture.locked {
        return Err(Refused::new(format!("The picture {} is locked.", picture.name), "Unlock it to move or scale it."));
    }
    Ok(picture)
}
