//! The shaded surface, drawn beside the window's thread: a drag never waits for it. While something moves it is drawn coarser, and
//! only when the last one is done; it lies in the picture's own pixels, so it stays in its place however the picture is moved.

use crate::app::App;
use crate::theme::Theme;
use desk::photographs::FoundCamera;
use desk::shaded::{ShadedForm, Window};
use desk::{Outcome, Work};
use egui::{ColorImage, Context, Rect, TextureHandle, TextureId, TextureOptions};
use shade::Studio;
use std::sync::Arc;

/// Chord error of the mesh that is drawn, mm: standing, and while something moves.
const MESH: [f64; 2] = [0.12, 0.6];
/// Pixels for a pixel of the screen, a side, standing and while something moves.
const SHARE: [f64; 2] = [1.0, 0.5];
/// A picture has no more pixels than this: a large screen's worth.
const MOST_PIXELS: f64 = 4.0e6;

/// The picture of the surface that was drawn last.
#[derive(Default)]
pub(crate) struct Shade {
    work: Option<Work<Source, Option<Drawn>>>,
    /// What was drawn last, and from what.
    last: Option<(Source, TextureHandle)>,
    /// Its mesh, kept while the form stays.
    mesh: Option<Mesh>,
}

/// What a picture of the surface is made from.
#[derive(Clone)]
struct Source {
    revision: u64,
    camera: Arc<FoundCamera>,
    window: Window,
    coarse: bool,
    dark: bool,
}

impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        let same = |s: &Self| (s.revision, s.window, s.coarse, s.dark);
        same(self) == same(other) && Arc::ptr_eq(&self.camera, &other.camera)
    }
}

#[derive(Clone)]
struct Mesh {
    revision: u64,
    coarse: bool,
    form: Arc<ShadedForm>,
}

struct Drawn {
    image: ColorImage,
    mesh: Mesh,
}

impl Shade {
    /// The picture, its upper left corner in the photograph and its size there, px.
    pub(super) fn drawn(&self) -> Option<(TextureId, [f64; 2], [f64; 2])> {
        let (source, texture) = self.last.as_ref()?;
        let Window { least, scale, size } = source.window;
        Some((texture.id(), least, size.map(|s| f64::from(s) / scale)))
    }

    fn take(&mut self, ctx: &Context) {
        let Some((source, Outcome::Done(Some(drawn)))) = self.work.as_mut().and_then(Work::poll) else { return };
        self.mesh = Some(drawn.mesh);
        let texture = match self.last.take() {
            Some((_, mut texture)) => {
                texture.set(drawn.image, TextureOptions::LINEAR);
                texture
            }
            None => ctx.load_texture("the form over the photograph", drawn.image, TextureOptions::LINEAR),
        };
        self.last = Some((source, texture));
    }
}

/// Takes what is done, and has the surface drawn as it is seen now, if it is shown.
pub(in crate::light_table) fn refresh(app: &mut App, ctx: &Context, table: Rect, theme: &Theme) {
    let shows = app.table.shows;
    let camera = super::camera(app).filter(|_| shows.form && shows.shaded);
    let (Some(camera), Some(lofted)) = (camera, app.derived.lofted().cloned()) else {
        app.table.overlay.shade = Shade::default();
        return;
    };
    let moving = app.desk.is_previewing() || app.table.hands.is_panning() || ctx.input(|i| i.is_scrolling());
    let coarse = usize::from(moving);
    let window = window(app, ctx.pixels_per_point(), table, SHARE[coarse]);
    let source = Source { revision: app.derived.revision, camera, window, coarse: moving, dark: theme.dark };
    let shade = &mut app.table.overlay.shade;
    shade.take(ctx);
    if shade.last.as_ref().is_some_and(|(last, _)| *last == source) {
        return;
    }
    let ctx = ctx.clone();
    let work = shade.work.get_or_insert_with(|| Work::new(Arc::new(move || ctx.request_repaint())));
    // One after the other: what is asked for anew drops what is being drawn, and a drag would show none of them.
    if work.progress().is_some() {
        return;
    }
    let kept = shade.mesh.clone();
    let colour = theme.body_lit;
    work.want(source.clone(), move |_| {
        let fits = |mesh: &Mesh| mesh.revision == source.revision && (mesh.coarse == source.coarse || !mesh.coarse);
        let mesh = match kept.filter(fits) {
            Some(mesh) => mesh,
            None => {
                let loft = lofted.skin.as_ref()?.loft();
                let form = Arc::new(ShadedForm::new(loft, MESH[usize::from(source.coarse)]));
                Mesh { revision: source.revision, coarse: source.coarse, form }
            }
        };
        let paint = Studio { colour, gloss: 0.25 };
        let picture = mesh.form.through(&source.camera.resection.camera, &source.window, &paint, !source.coarse);
        let size = [picture.width as usize, picture.height as usize];
        Some(Drawn { image: ColorImage::from_rgba_unmultiplied(size, &picture.rgba), mesh })
    });
}

/// The part of the picture that the table shows.
fn window(app: &App, points: f32, table: Rect, share: f64) -> Window {
    let sheet = &app.table.sheet;
    let size = [table.width(), table.height()].map(f64::from);
    let wanted = f64::from(points) * share;
    let pixels = size[0] * size[1] * wanted * wanted;
    let density = if pixels > MOST_PIXELS { wanted * (MOST_PIXELS / pixels).sqrt() } else { wanted };
    let size = size.map(|s| (s * density).ceil().max(1.0) as u32);
    Window { least: sheet.px(table, table.min), scale: sheet.scale * density, size }
}
