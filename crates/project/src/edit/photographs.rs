//! Edits of what is known of photographs.

use std::sync::Arc;

use super::{Edit, Refused, gone};
use crate::document::Document;
use crate::photograph::{Landmark, Photograph, Trace};
use crate::promise::{self, MAX_LANDMARKS, MAX_TRACES};

impl Edit {
    /// Changes what is known of a photograph; other edits change nothing here.
    pub(super) fn change_photograph(&self, d: &mut Document, picture: usize) -> Result<(), Refused> {
        let picture = d.pictures.get_mut(picture).ok_or_else(|| gone("picture", picture))?;
        let p = &mut Arc::make_mut(picture).photograph;
        match self {
            Self::SetDistances { distances, .. } => p.distances.clone_from(distances),
            Self::SetFigure { figure, .. } => p.figure.clone_from(figure),
            Self::SetStraightLines { lines, .. } => p.straight.clone_from(lines),
            Self::SetFocalLength { focal, .. } => p.focal = *focal,
            Self::SetCameraDistance { distance_mm, .. } => p.distance_mm = *distance_mm,
            Self::SetCloseness { picked_px, traced_px, .. } => (p.picked_px, p.traced_px) = (*picked_px, *traced_px),
            Self::AddLandmark { landmark, .. } => return add_landmark(p, landmark),
            Self::ReplaceLandmark { index, with, .. } => return replace_landmark(p, *index, with),
            Self::RemoveLandmark { index, .. } => return remove(&mut p.landmarks, "landmark", *index),
            Self::AddTrace { trace, .. } => return add_trace(p, trace),
            Self::ReplaceTrace { index, with, .. } => return replace_trace(p, *index, with),
            Self::RemoveTrace { index, .. } => return remove(&mut p.traces, "trace", *index),
            _ => return Ok(()),
        }
        promise::check_photograph(p)
    }
}

fn add_landmark(p: &mut Photograph, landmark: &Landmark) -> Result<(), Refused> {
    promise::check_landmark(landmark)?;
    promise::check_new_name(&p.landmarks, &landmark.name)?;
    promise::check_count("landmarks", p.landmarks.len() + 1, MAX_LANDMARKS)?;
    p.landmarks.push(landmark.clone());
    Ok(())
}

fn replace_landmark(p: &mut Photograph, index: usize, with: &Landmark) -> Result<(), Refused> {
    let there = p.landmarks.get_mut(index).ok_or_else(|| gone("landmark", index))?;
    there.clone_from(with);
    promise::check_landmarks(&p.landmarks)
}

fn add_trace(p: &mut Photograph, trace: &Trace) -> Result<(), Refused> {
    promise::check_trace(trace)?;
    promise::check_count("traces", p.traces.len() + 1, MAX_TRACES)?;
    p.traces.push(trace.clone());
    Ok(())
}

fn replace_trace(p: &mut Photograph, index: usize, with: &Trace) -> Result<(), Refused> {
    promise::check_trace(with)?;
    p.traces.get_mut(index).ok_or_else(|| gone("trace", index))?.clone_from(with);
    Ok(())
}

fn remove<T>(all: &mut Vec<T>, what: &str, index: usize) -> Result<(), Refused> {
    if index >= all.len() {
        return Err(gone(what, index));
    }
    all.remove(index);
    Ok(())
}
