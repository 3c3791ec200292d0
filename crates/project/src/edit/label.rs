//! What an edit is called in the list of undo steps.

use super::Edit;
use crate::document::{LineName, PointRole, SectionShape};

impl Edit {
    /// A few words for the builder, such as "Move crown point".
    pub fn label(&self) -> String {
        match self {
            Self::AddLinePoint { line, .. } => on_line("Add", *line),
            Self::MoveLinePoint { line, .. } => on_line("Move", *line),
            Self::SetLinePointKind { line, .. } => on_line("Change", *line),
            Self::RemoveLinePoint { line, .. } => on_line("Remove", *line),
            Self::SetLineEnds { line, .. } => format!("Set ends of {}", line.label().to_lowercase()),
            Self::SetSectionPointRole { role, .. } => role_label(*role).into(),
            Self::ReplaceSection { with, .. } => match with.shape {
                SectionShape::Pinned(_) => "Pin section".into(),
                SectionShape::Shaped(_) => "Reshape section".into(),
            },
            Self::SetFuselage(None) => "Remove fuselage end".into(),
            Self::SetThrust(None) => "Remove thrust line".into(),
            Self::CheckPicture { known: None, .. } => "Clear second distance".into(),
            Self::SetFigure { figure: None, .. } => "Clear flat figure".into(),
            Self::SetFocalLength { focal: None, .. } => "Clear focal length".into(),
            Self::SetCameraDistance { distance_mm: None, .. } => "Clear distance to camera".into(),
            Self::Together { label, .. } => label.clone(),
            other => other.fixed_label().into(),
        }
    }

    /// The labels that depend on the kind of edit alone.
    fn fixed_label(&self) -> &'static str {
        match self {
            Self::SetName(_) => "Rename project",
            Self::SetModelScale(_) => "Set model scale",
            Self::SetPaper(_) => "Set paper",
            Self::AddForm(_) => "Add form",
            Self::ReplaceForm { .. } => "Replace form",
            Self::RenameForm { .. } => "Rename form",
            Self::RemoveForm { .. } => "Remove form",
            Self::SetLengthwise { .. } => "Set run between sections",
            Self::SetEdgeRadii { .. } => "Set edge radii",
            Self::AddSection { .. } => "Add section",
            Self::MoveSection { .. } => "Move section",
            Self::CopySection { .. } => "Copy section",
            Self::RemoveSection { .. } => "Remove section",
            Self::AddSectionPoint { .. } => "Add section point",
            Self::MoveSectionPoint { .. } => "Move section point",
            Self::RemoveSectionPoint { .. } => "Remove section point",
            Self::SetArc { .. } => "Change arc",
            Self::SetRidges { .. } => "Set ridges",
            Self::AddStation { .. } => "Add station",
            Self::MoveStation { .. } => "Move station",
            Self::RemoveStation { .. } => "Remove station",
            Self::SetStations { .. } => "Set stations",
            Self::AddPicture(_) => "Add picture",
            Self::RemovePicture { .. } => "Remove picture",
            Self::RenamePicture { .. } => "Rename picture",
            Self::PlacePicture { .. } => "Place picture",
            Self::ScalePicture { .. } => "Scale picture",
            Self::CheckPicture { .. } => "Set second distance",
            Self::LevelPicture { .. } => "Level picture",
            Self::ShowPicture { .. } => "Show picture",
            other => other.photograph_label(),
        }
    }

    /// The labels of what is known of photographs.
    fn photograph_label(&self) -> &'static str {
        match self {
            Self::SetDistances { .. } => "Set known distances",
            Self::SetFigure { .. } => "Set flat figure",
            Self::SetStraightLines { .. } => "Set straight lines",
            Self::SetFocalLength { .. } => "Set focal length",
            Self::SetCameraDistance { .. } => "Set distance to camera",
            Self::SetCloseness { .. } => "Set closeness",
            Self::AddLandmark { .. } => "Add landmark",
            Self::ReplaceLandmark { .. } => "Change landmark",
            Self::RemoveLandmark { .. } => "Remove landmark",
            Self::AddTrace { .. } => "Add trace",
            Self::ReplaceTrace { .. } => "Change trace",
            Self::RemoveTrace { .. } => "Remove trace",
            other => other.airframe_label(),
        }
    }

    /// The labels of what lies on the bench and of the build.
    fn airframe_label(&self) -> &'static str {
        match self {
            Self::SetFuselage(_) => "Set fuselage end",
            Self::SetThrust(_) => "Set thrust line",
            Self::AddKeepOut(_) => "Add keep-out",
            Self::ReplaceKeepOut { .. } => "Change keep-out",
            Self::RemoveKeepOut { .. } => "Remove keep-out",
            Self::AddGauge(_) => "Add gauge",
            Self::ReplaceGauge { .. } => "Change gauge",
            Self::RemoveGauge { .. } => "Remove gauge",
            Self::SetDrawOff(_) => "Set way off",
            Self::SetBuild(_) => "Set build",
            Self::SetShell(_) => "Set shell",
            Self::AddOpening { .. } => "Add opening",
            Self::ReplaceOpening { .. } => "Change opening",
            Self::RemoveOpening { .. } => "Remove opening",
            Self::SetMount { .. } => "Place form",
            Self::SetFormBuild { .. } => "Set build of form",
            _ => "Change",
        }
    }
}

fn on_line(verb: &str, line: LineName) -> String {
    format!("{verb} {} point", line.label().to_lowercase())
}

fn role_label(role: PointRole) -> &'static str {
    match role {
        PointRole::Knuckle { .. } | PointRole::Breadth { knuckle: Some(_) } => "Make knuckle",
        _ => "Make smooth",
    }
}
