//! What a photograph says without a camera, kept for the panel and the table: scale from its distances, its lens, the plane of
//! its flat figure; and the picture of that plane drawn square.
//!
//! - [`read`]: what follows from what is marked; [`square`]: the square picture; [`draw`]: the error across the picture.

pub(super) mod draw;
pub(crate) mod read;
pub(crate) mod square;

use crate::app::App;
use project::document::PictureView;
use read::Read;
use square::Squaring;

/// What is kept of flat things.
pub(crate) struct Flat {
    read: Option<Read>,
    pub(crate) squaring: Option<Squaring>,
    pub(crate) wanted: Wanted,
}

/// What is to be marked and drawn next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Wanted {
    /// Crossings of a chequered grid across and down.
    pub(crate) grid: [usize; 2],
    /// Distance between two of them, mm.
    pub(crate) spacing: f64,
    /// Room about the figure in the square picture, as a share of its size.
    pub(crate) margin: f64,
    /// The view that the square picture lies under; `None`: the picture's own.
    pub(crate) view: Option<PictureView>,
}

impl Default for Flat {
    fn default() -> Self {
        let wanted = Wanted { grid: [4, 3], spacing: 100.0, margin: 0.5, view: None };
        Self { read: None, squaring: None, wanted }
    }
}

/// What the slate asks for that is no edit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum FlatAsk {
    /// Numbers for the next grid and the next square picture.
    Want(Wanted),
    /// The crossings of a grid to be clicked.
    MarkGrid,
    /// The square picture.
    Square,
    /// No square picture after all.
    StopSquaring,
}

impl Flat {
    /// What follows from what is marked in the picture on the table.
    pub(crate) fn read(&self) -> Option<&Read> {
        self.read.as_ref()
    }
}

/// Does what the slate asks for.
pub(crate) fn act(app: &mut App, ctx: &egui::Context, ask: FlatAsk) {
    match ask {
        FlatAsk::Want(wanted) => app.table.flat.wanted = wanted,
        FlatAsk::MarkGrid => {
            let [columns, rows] = app.table.flat.wanted.grid;
            super::picking::begin(app, super::picking::Marking::Grid { columns, rows });
        }
        FlatAsk::Square => square::begin(app, ctx),
        FlatAsk::StopSquaring => {
            if let Some(squaring) = &mut app.table.flat.squaring {
                squaring.stop();
            }
        }
    }
}

/// Keeps what is read to the picture, and takes a square picture that is done.
pub(super) fn refresh(app: &mut App) {
    let document = app.desk.document().clone();
    let picture = app.table.picture.and_then(|p| document.pictures.get(p));
    match picture {
        None => app.table.flat.read = None,
        Some(picture) => {
            let known = app.table.flat.read.as_ref().is_some_and(|read| read.is_of(picture, document.model_scale));
            if !known {
                let read = Read::new(&document, picture, app.table.flat.read.as_ref());
                app.table.flat.read = Some(read);
            }
        }
    }
    square::take(app);
}
