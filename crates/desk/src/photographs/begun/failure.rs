//! Why a form cannot be begun, with what to do next.

use crate::photographs::lines::LineFailure;
use geometry::faired::FairError;
use project::document::LineName;
use project::edit::Refused;

/// Why a form cannot be begun. The text says what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BeginFailure {
    /// There is no form in the project.
    #[error("This project has no form.")]
    NoForm,
    /// It is begun already.
    #[error(
        "The form \"{form}\" is drawn already. Fair a single line from its trace instead, or empty the form first."
    )]
    Drawn {
        /// Its name.
        form: String,
    },
    /// No picture of the side.
    #[error(
        "No picture lies under the side view. Bring in a photograph from the side and choose the view Side for it."
    )]
    NoSide,
    /// Nothing traced in them.
    #[error(
        "No outline is traced in a picture of the side. Trace the upper edge of the form there, and the lower one."
    )]
    NothingTraced,
    /// A line is missing.
    #[error("Nothing is traced {} the middle of the form, so there is no {line}. Trace its {} edge in the picture of the side.", if *.upper { "above" } else { "below" }, if *.upper { "upper" } else { "lower" }, line = if *.upper { "crown" } else { "keel" })]
    Missing {
        /// The crown; else the keel.
        upper: bool,
    },
    /// Traces cannot be read.
    #[error("{picture}: {why}")]
    Unread {
        /// The picture's name.
        picture: String,
        /// Why.
        why: LineFailure,
    },
    /// A line cannot be faired.
    #[error("{}: {why}", .line.label())]
    Unfair {
        /// The line.
        line: LineName,
        /// Why.
        why: FairError,
    },
    /// A line does not go where it was traced.
    #[error(
        "{}: no fair line follows what is traced within {mm:.1} mm. Look for points that lie elsewhere, or draw this form's \
         lines by hand and fair each from its trace.",
        .line.label()
    )]
    Astray {
        /// The line.
        line: LineName,
        /// Its greatest distance from what was traced, mm.
        mm: f64,
    },
    /// An end is open.
    #[error("Where the form {} is not known. {}", if *.front { "begins" } else { "ends" }, if *.front { "Enter shaft, spinner and ring on the bench, or trace crown and keel until they meet." } else { "Enter the fuselage's end on the bench, or trace crown and keel until they meet." })]
    OpenEnd {
        /// The front; else the rear.
        front: bool,
    },
    /// The ends lie the wrong way round.
    #[error(
        "The form would begin at {front:.1} mm and end at {rear:.1} mm. Look again at the stations of ring and fuselage end."
    )]
    Turned {
        /// mm aft of the datum.
        front: f64,
        /// mm aft of the datum.
        rear: f64,
    },
    /// Crown and keel cross.
    #[error("Crown and keel cross at {x:.1} mm. Look again at what is traced there.")]
    Crossing {
        /// mm aft of the datum.
        x: f64,
    },
    /// The document refuses it.
    #[error(transparent)]
    Refused(#[from] Refused),
}
