//! What of the shell can be taken hold of on the floor.

use project::document::{Document, Form};
use project::edit::Edit;
use project::opening::{Opening, Outline};

use super::ShellPage;

/// Something of the shell; openings are those of the shown form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum OnShell {
    /// An opening, by a handle of its outline.
    Opening {
        /// Its index.
        opening: usize,
        /// What of it.
        grip: OpeningGrip,
    },
    /// An added form.
    Added {
        /// Its index in the document.
        form: usize,
        /// What of it.
        grip: AddedGrip,
    },
    /// Where cloth is begun.
    ClothStart,
    /// The way of the warp there.
    ClothWay,
}

/// What a handle of an opening changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum OpeningGrip {
    /// The whole: its middle.
    Whole,
    /// Its size along the first place of the view.
    Width,
    /// Its size along the second.
    Height,
    /// The radius of its corners.
    Radius,
    /// Which way it is turned.
    Turn,
    /// A point of a drawn outline.
    Point(usize),
    /// The inner outline of its duct: its middle.
    Inner,
    /// The inner outline's size along the first place of the view.
    InnerWidth,
    /// Along the second.
    InnerHeight,
}

/// What a handle of an added form changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum AddedGrip {
    /// Its place.
    Place,
    /// Its rear end: which way it lies.
    Way,
}

impl OnShell {
    /// The thing that this is a handle of; itself for a whole thing.
    pub(crate) fn thing(self) -> Self {
        match self {
            Self::Opening { opening, .. } => Self::Opening { opening, grip: OpeningGrip::Whole },
            Self::Added { form, .. } => Self::Added { form, grip: AddedGrip::Place },
            Self::ClothStart | Self::ClothWay => Self::ClothStart,
        }
    }

    /// The page that tells of it.
    pub(crate) fn page(self) -> ShellPage {
        match self {
            Self::Opening { .. } => ShellPage::Openings,
            Self::Added { .. } => ShellPage::Added,
            Self::ClothStart | Self::ClothWay => ShellPage::Cloth,
        }
    }

    /// Whether it is a point of a drawn outline.
    pub(crate) fn is_outline_point(self) -> bool {
        matches!(self, Self::Opening { grip: OpeningGrip::Point(_), .. })
    }

    /// Whether it still exists.
    pub(crate) fn exists(self, document: &Document, shown: &Form) -> bool {
        match self {
            Self::Opening { opening, grip } => shown.openings.get(opening).is_some_and(|o| grip.exists(o)),
            Self::Added { form, .. } => document.forms.get(form).is_some_and(|form| form.mount.is_some()),
            Self::ClothStart | Self::ClothWay => true,
        }
    }

    /// The edit that removes it from the document; `shown` is the form that is shown.
    pub(crate) fn removed(self, document: &Document, shown: usize) -> Option<Edit> {
        match self {
            Self::Opening { opening, grip: OpeningGrip::Point(point) } => {
                let now = document.forms.get(shown)?.openings.get(opening)?;
                let Outline::Drawn { points } = &now.outline else { return None };
                let mut points = points.clone();
                (point < points.len()).then(|| points.remove(point));
                let with = Opening { outline: Outline::Drawn { points }, ..(**now).clone() };
                Some(Edit::ReplaceOpening { form: shown, index: opening, with })
            }
            Self::Opening { opening, .. } => Some(Edit::RemoveOpening { form: shown, index: opening }),
            Self::Added { form, .. } => Some(Edit::RemoveForm { form }),
            Self::ClothStart | Self::ClothWay => None,
        }
    }
}

fn inner(opening: &Opening) -> Option<&Outline> {
    opening.duct.as_ref()?.inner.as_ref()
}

impl OpeningGrip {
    fn exists(self, opening: &Opening) -> bool {
        match (self, &opening.outline) {
            (Self::Whole, _)
            | (Self::Width | Self::Height | Self::Turn, Outline::Ellipse { .. } | Outline::Box { .. })
            | (Self::Radius, Outline::Box { .. }) => true,
            (Self::Point(point), Outline::Drawn { points }) => point < points.len(),
            (Self::Inner, _) => inner(opening).is_some(),
            (Self::InnerWidth | Self::InnerHeight, _) => {
                matches!(inner(opening), Some(Outline::Ellipse { .. } | Outline::Box { .. }))
            }
            _ => false,
        }
    }
}
