//! View state: what the builder looks at, how near, and what is selected. Kept per machine, never in the document.

pub(crate) use crate::floor::item::Item;
use crate::floor::layout::{Camera, View};
use crate::light_table::marks::OnPicture;
use crate::light_table::picking::Marking;
use crate::on_shell::{OnShell, ShellPage};
use crate::units::Units;
use project::document::{Document, Form, LineName, SectionShape};

/// Everything about looking, nothing about the form.
#[derive(Debug)]
pub(crate) struct ViewState {
    pub(crate) form: usize,
    pub(crate) camera: Camera,
    pub(crate) fold: Fold,
    pub(crate) tool: Tool,
    pub(crate) selected: Selected,
    pub(crate) shown: Option<Shown>,
    /// Where a finding led to, until something else is selected.
    pub(crate) spot: Option<Spot>,
    pub(crate) snap: Snap,
    pub(crate) units: Units,
    pub(crate) tab: Tab,
    /// The page of the shell that is open.
    pub(crate) shell: ShellPage,
    pub(crate) areas: bool,
    pub(crate) comb: bool,
    pub(crate) findings: bool,
    pub(crate) card: Card,
    pub(crate) reference: Reference,
    /// The floor shall be fitted as soon as its size is known.
    pub(crate) fit_wanted: bool,
    /// The floor shows everything and has not been zoomed or panned since: it is fitted again when its size changes.
    pub(crate) fitted: bool,
}

impl Default for ViewState {
    fn default() -> Self {
        Self {
            form: 0,
            camera: Camera::default(),
            fold: Fold::default(),
            tool: Tool::default(),
            selected: Selected::Nothing,
            shown: None,
            spot: None,
            snap: Snap::default(),
            units: Units::default(),
            tab: Tab::default(),
            shell: ShellPage::default(),
            areas: true,
            comb: false,
            findings: false,
            card: Card::default(),
            reference: Reference::default(),
            fit_wanted: true,
            fitted: false,
        }
    }
}

/// Which view has grown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Fold {
    /// All views side by side at one scale.
    #[default]
    Even,
    /// The side view.
    Side,
    /// The half-breadth plan.
    Plan,
    /// The face view.
    Face,
    /// The body plan.
    Body,
}

impl Fold {
    /// The next in turn, for the fold key.
    pub(crate) fn next(self) -> Self {
        match self {
            Self::Even => Self::Side,
            Self::Side => Self::Face,
            Self::Face => Self::Plan,
            Self::Plan => Self::Body,
            Self::Body => Self::Even,
        }
    }
}

/// What a click on the floor does.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) enum Tool {
    /// Selects and drags.
    #[default]
    Select,
    /// Adds a point to a line or to the shown control section.
    AddPoint(Option<LineName>),
    /// Picks two points of a picture.
    Pick(Pick),
    /// Traces a section of the fuselage on a face picture.
    Trace,
    /// Marks something on the picture that lies on the light table.
    Mark(Marking),
    /// Draws the outline of an opening, click by click.
    Outline,
}

/// Picking two points of a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pick {
    pub(crate) picture: usize,
    pub(crate) purpose: PickPurpose,
    /// The first point, px of the picture, once it is picked.
    pub(crate) first: Option<[f64; 2]>,
}

/// What two picked points are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum PickPurpose {
    /// A known distance sets the scale.
    Scale,
    /// A second known distance checks the first.
    Check,
    /// Both points shall lie level.
    Level,
    /// One point shall lie on the datum.
    Datum,
}

/// What is selected; indices into the shown form or the project.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Selected {
    Nothing,
    Line(LineName),
    LinePoint {
        line: LineName,
        point: usize,
    },
    Section(usize),
    SectionPoint {
        section: usize,
        point: usize,
    },
    Arc {
        section: usize,
        arc: usize,
    },
    Station(usize),
    /// Something that lies on the bench, by the handle of one of the views.
    Bench {
        item: Item,
        view: View,
    },
    Picture(usize),
    /// One of two points that were picked on a picture.
    PicturePoint {
        picture: usize,
        purpose: PickPurpose,
        second: bool,
    },
    /// Something of the shell, by the handle of one of the views.
    OnShell {
        item: OnShell,
        view: View,
    },
    /// Something that was picked on a picture.
    OnPicture {
        picture: usize,
        what: OnPicture,
    },
}

impl Selected {
    /// Whether both are the same thing, be it taken hold of in different views.
    pub(crate) fn is_same_as(self, other: Self) -> bool {
        match (self, other) {
            (Self::Bench { item, .. }, Self::Bench { item: other, .. }) => item.thing() == other.thing(),
            (Self::OnShell { item, .. }, Self::OnShell { item: other, .. }) => item.thing() == other.thing(),
            _ => self == other,
        }
    }

    /// What of the shell is selected.
    pub(crate) fn on_shell(self) -> Option<OnShell> {
        match self {
            Self::OnShell { item, .. } => Some(item),
            _ => None,
        }
    }

    /// What lies on the bench and is selected.
    pub(crate) fn item(self) -> Option<Item> {
        match self {
            Self::Bench { item, .. } => Some(item),
            _ => None,
        }
    }

    /// The picture that is selected or has a picked point selected.
    pub(crate) fn picture(self) -> Option<usize> {
        match self {
            Self::Picture(picture) | Self::PicturePoint { picture, .. } | Self::OnPicture { picture, .. } => {
                Some(picture)
            }
            _ => None,
        }
    }

    /// The master line that is selected or has its point selected.
    pub(crate) fn line(self) -> Option<LineName> {
        match self {
            Self::Line(line) | Self::LinePoint { line, .. } => Some(line),
            _ => None,
        }
    }

    /// The control section that is selected or has a part selected.
    pub(crate) fn section(self) -> Option<usize> {
        match self {
            Self::Section(section) | Self::SectionPoint { section, .. } | Self::Arc { section, .. } => Some(section),
            _ => None,
        }
    }

    /// Whether it still exists.
    pub(crate) fn exists(self, document: &Document, form: &Form) -> bool {
        let points = |section: usize| form.sections.get(section).map_or(0, |s| point_count(&s.shape));
        match self {
            Self::Nothing | Self::Line(_) => true,
            Self::LinePoint { line, point } => point < form.lines.get(line).points.len(),
            Self::Section(section) => section < form.sections.len(),
            Self::SectionPoint { section, point } => point < points(section),
            Self::Arc { section, arc } => arc + 1 < points(section),
            Self::Station(station) => station < form.stations.len(),
            Self::Bench { item, .. } => item.exists(&document.airframe),
            Self::OnShell { item, .. } => item.exists(document, form),
            Self::Picture(picture) => picture < document.pictures.len(),
            Self::PicturePoint { picture, purpose, .. } => {
                document.pictures.get(picture).is_some_and(|p| crate::pictures::picked_points(p, purpose).is_some())
            }
            Self::OnPicture { picture, what } => {
                let p = document.pictures.get(picture);
                p.is_some_and(|p| crate::light_table::marks::exists(&p.photograph, what))
            }
        }
    }
}

fn point_count(shape: &SectionShape) -> usize {
    match shape {
        SectionShape::Shaped(unit) => unit.points.len(),
        SectionShape::Pinned(measured) => measured.points.len(),
    }
}

/// The section that the face view shows strongly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shown {
    /// A control section.
    Control(usize),
    /// A station.
    Station(usize),
}

/// The spot that a finding is about, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Spot {
    /// Distance aft of the datum.
    pub(crate) station: Option<f64>,
    /// Half-breadth and height.
    pub(crate) at: Option<[f64; 2]>,
}

/// What a drag is drawn to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Snap {
    pub(crate) points: bool,
    pub(crate) stations: bool,
    pub(crate) grid: bool,
}

impl Default for Snap {
    fn default() -> Self {
        Self { points: true, stations: true, grid: false }
    }
}

/// The slate's pages.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) enum Tab {
    /// What is selected.
    #[default]
    Shape,
    /// Stations and their table.
    Stations,
    /// What lies on the bench.
    Bench,
    /// How the plug is built.
    Build,
    /// The shell over the plug.
    Shell,
    /// Pictures under the drawing.
    Pictures,
    /// Name, scale, forms and measures.
    Project,
}

impl Tab {
    /// All pages in order.
    pub(crate) const ALL: [Tab; 7] =
        [Self::Shape, Self::Stations, Self::Bench, Self::Build, Self::Shell, Self::Pictures, Self::Project];

    /// The page's title.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::Shape => "Shape",
            Self::Stations => "Stations",
            Self::Bench => "Bench",
            Self::Build => "Build",
            Self::Shell => "Shell",
            Self::Pictures => "Pictures",
            Self::Project => "Project",
        }
    }
}

/// The loose card with the shaded view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Card {
    pub(crate) open: bool,
    pub(crate) large: bool,
    /// Where it lies, from the floor's lower right corner, in points; negative is inwards.
    pub(crate) from_corner: [f32; 2],
    /// Around the body from ahead, and above the waterline plane, degrees.
    pub(crate) turn: [f32; 2],
    /// How much nearer than needed to see all.
    pub(crate) nearer: f32,
}

impl Default for Card {
    fn default() -> Self {
        Self { open: true, large: false, from_corner: [-10.0, -10.0], turn: [40.0, 20.0], nearer: 1.0 }
    }
}

/// The loose card with a reference picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Reference {
    pub(crate) open: bool,
    /// Where it lies, from the floor's upper left corner, in points.
    pub(crate) from_corner: [f32; 2],
}

impl Default for Reference {
    fn default() -> Self {
        Self { open: false, from_corner: [16.0, 70.0] }
    }
}
