//! What clicks on the light table make: landmarks, traces, distances, straight lines, a flat figure.

use super::marks::OnPicture;
use super::{following, landmarks, tracing};
use crate::act;
use crate::app::App;
use crate::gesture::select;
use crate::view::{Selected, Tool};
use egui::{Key, Modifiers};
use project::document::KnownDistance;
use project::edit::Edit;
use project::photograph::{FigurePoint, FlatFigure, NamedDistance, Trace, Traced};

/// What is picked, click by click.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Marking {
    /// A thing whose place is known: one click.
    Landmark,
    /// Along something that is seen: as many clicks as it takes, then Enter.
    Trace(Traced),
    /// Further along a trace that is there.
    GoOn { trace: usize },
    /// Two clicks.
    Distance,
    /// Three or more, then Enter.
    Straight,
    /// Four corners of a rectangle, in turn.
    Figure,
    /// The crossings of a chequered grid, row by row.
    Grid { columns: usize, rows: usize },
}

impl Marking {
    /// What to do next, after so many clicks.
    pub(crate) fn next(self, clicked: usize) -> String {
        match self {
            Self::Landmark => "Click the landmark in the picture.".into(),
            Self::Trace(_) if clicked < 2 => "Click along it; the line need not be exact yet. Enter ends it.".into(),
            Self::Trace(_) => format!("{clicked} points. Go on, or end with Enter; Backspace takes one back."),
            Self::GoOn { .. } => tracing::going_on(clicked),
            Self::Distance if clicked == 0 => "Click one end of the known distance.".into(),
            Self::Distance => "Click its other end.".into(),
            Self::Straight if clicked < 3 => {
                "Click three or more points along something that is straight in truth.".into()
            }
            Self::Straight => {
                format!("{clicked} points. More of them near the picture's edge help most. Enter ends it.")
            }
            Self::Figure => {
                let corner = ["upper left", "upper right", "lower right", "lower left"][clicked.min(3)];
                format!("Click the {corner} corner of the rectangle.")
            }
            Self::Grid { columns, rows } => {
                let (row, column) = (clicked / columns.max(1) + 1, clicked % columns.max(1) + 1);
                format!("Row {row} of {rows} from the top: click crossing {column} of {columns} from the left.")
            }
        }
    }
}

/// What to do next, with the thing that is picked by name.
pub(crate) fn to_do(app: &App, marking: Marking) -> String {
    match marking {
        Marking::Landmark => landmarks::to_do(app),
        _ => marking.next(app.table.clicked.len()),
    }
}

/// Whether clicks mark something.
pub(crate) fn is_picking(app: &App) -> bool {
    app.table.is_open() && matches!(app.view.tool, Tool::Mark(_))
}

/// Begins to mark.
pub(crate) fn begin(app: &mut App, marking: Marking) {
    if !app.table.is_open() {
        super::toggle(app);
    }
    if app.table.is_open() {
        app.table.clicked.clear();
        app.view.tool = Tool::Mark(marking);
        app.note = Some(to_do(app, marking));
    }
}

/// A click on the picture.
pub(crate) fn clicked(app: &mut App, picture: usize, px: [f64; 2]) {
    let Tool::Mark(marking) = app.view.tool else { return };
    if app.table.clicked.last().is_some_and(|last| (last[0] - px[0]).hypot(last[1] - px[1]) < 0.25) {
        return;
    }
    app.table.clicked.push(px);
    let enough = match marking {
        Marking::Landmark => 1,
        Marking::Distance => 2,
        Marking::Figure => 4,
        Marking::Grid { columns, rows } => columns * rows,
        Marking::Trace(_) | Marking::GoOn { .. } | Marking::Straight => usize::MAX,
    };
    if app.table.clicked.len() >= enough {
        finish(app, picture, marking);
    } else {
        app.note = Some(marking.next(app.table.clicked.len()));
    }
}

/// Keys while something is marked: Enter ends it, Escape drops it, Backspace takes a click back.
pub(crate) fn keys(app: &mut App, ctx: &egui::Context) {
    if following::keys(app, ctx) {
        return;
    }
    let (Tool::Mark(marking), Some(picture)) = (app.view.tool, app.table.picture) else { return };
    if ctx.text_edit_focused() {
        return;
    }
    let pressed = |modifiers, key| ctx.input_mut(|i| i.consume_key(modifiers, key));
    if pressed(Modifiers::NONE, Key::Enter) {
        finish(app, picture, marking);
    } else if pressed(Modifiers::NONE, Key::Escape) {
        app.table.clicked.clear();
        app.view.tool = Tool::Select;
        app.note = None;
    } else if !app.table.clicked.is_empty()
        && (pressed(Modifiers::NONE, Key::Backspace) || pressed(Modifiers::COMMAND, Key::Z))
    {
        app.table.clicked.pop();
        app.note = Some(marking.next(app.table.clicked.len()));
    }
}

/// Makes what was clicked part of the document, as one step; what is missing is told, and marking goes on.
pub(crate) fn finish(app: &mut App, picture: usize, marking: Marking) {
    let clicked = app.table.clicked.clone();
    let Some((edit, what)) = made(app, picture, marking, &clicked) else {
        app.message = Some(marking.next(clicked.len()));
        return;
    };
    act::edit_once(app, &edit);
    if app.message.is_some() {
        // What was refused is clicked anew.
        app.table.clicked.pop();
        return;
    }
    app.table.clicked.clear();
    select(&mut app.view, Selected::OnPicture { picture, what });
    if marking == Marking::Landmark {
        landmarks::after_pick(app, picture);
        return;
    }
    app.view.tool = Tool::Select;
    app.note = match marking {
        Marking::Distance => Some("Now type its length on the slate.".into()),
        Marking::Figure => Some("Now type the rectangle's sides on the slate.".into()),
        _ => None,
    };
}

/// The edit, and what it makes.
fn made(app: &App, picture: usize, marking: Marking, clicked: &[[f64; 2]]) -> Option<(Edit, OnPicture)> {
    let photograph = &app.desk.document().pictures.get(picture)?.photograph;
    match (marking, clicked) {
        (Marking::Landmark, [pixel]) => {
            let landmark = app.table.landmarks.picked(photograph, *pixel);
            let what = OnPicture::Landmark(photograph.landmarks.len());
            Some((Edit::AddLandmark { picture, landmark }, what))
        }
        (Marking::Trace(of), [_, _, ..]) => {
            let trace = Trace { of, points: clicked.to_vec() };
            Some((Edit::AddTrace { picture, trace }, OnPicture::Trace(photograph.traces.len())))
        }
        (Marking::GoOn { trace }, [_, ..]) => tracing::edits::gone_on(photograph, picture, trace, clicked),
        (Marking::Distance, [a, b]) => {
            let known = KnownDistance { a: *a, b: *b, distance_mm: 1000.0, full_size: true };
            let distance = photograph.distances.len();
            let name = format!("Distance {}", distance + 3);
            let mut distances = photograph.distances.clone();
            distances.push(NamedDistance { name, known, trust_mm: 0.0 });
            Some((Edit::SetDistances { picture, distances }, OnPicture::Distance { distance, second: false }))
        }
        (Marking::Straight, [_, _, _, ..]) => {
            let mut lines = photograph.straight.clone();
            lines.push(clicked.to_vec());
            let what = OnPicture::Straight { line: lines.len() - 1, point: 0 };
            Some((Edit::SetStraightLines { picture, lines }, what))
        }
        (Marking::Figure, [_, _, _, _]) => Some(figure(picture, clicked, |k| RECTANGLE[k.min(3)])),
        (Marking::Grid { columns, rows }, _) if clicked.len() == columns * rows => {
            let spacing = app.table.flat.wanted.spacing;
            Some(figure(picture, clicked, |k| [(k % columns) as f64 * spacing, (k / columns) as f64 * spacing]))
        }
        _ => None,
    }
}

/// A rectangle whose sides are still to be typed: from its upper left corner, to the right and down, mm.
const RECTANGLE: [[f64; 2]; 4] = [[0.0, 0.0], [1000.0, 0.0], [1000.0, 1000.0], [0.0, 1000.0]];

fn figure(picture: usize, clicked: &[[f64; 2]], place: impl Fn(usize) -> [f64; 2]) -> (Edit, OnPicture) {
    let points = clicked.iter().enumerate().map(|(k, pixel)| FigurePoint { pixel: *pixel, plane: place(k) });
    let figure = Some(FlatFigure { points: points.collect(), full_size: true });
    (Edit::SetFigure { picture, figure }, OnPicture::Figure(0))
}
