//! The picture on the card: drawn beside the window's thread, so a drag goes on ahead of it.

use super::cut;
use crate::floor::airframe::{Pen, SpaceLine};
use crate::follower::Follower;
use crate::on_shell::added::{OnTheFirst, meshes};
use crate::on_shell::heat::HeatMap;
use crate::on_shell::heat::scale::Scale;
use crate::on_shell::heat::shaded::Warmed;
use crate::on_shell::openings::OneLaid;
use crate::theme::Theme;
use egui::{ColorImage, ImageData, TextureHandle, TextureOptions};
use form::Lofted;
use geometry::mesh::Mesh;
use shade::{Background, Body, Line, Normals, Orbit, Paint, Scene, Settings, Studio, Surface};
use std::sync::Arc;

/// Chord error of the mesh that is drawn, mm.
const DRAWN: f64 = 0.12;
/// The body may fill the picture a little more than turning it all round would allow.
const FILL: f64 = 1.2;
/// The bench may make the body in the picture smaller by no more than this.
const MOST: f64 = 1.35;

/// The picture that was drawn last.
#[derive(Default)]
pub(crate) struct CardPicture {
    drawn: Option<Follower<Made, Arc<Drawn>>>,
    /// Which of them the texture holds.
    texture: Option<(u64, TextureHandle)>,
}

/// What a picture depends on.
#[derive(Clone, Copy, PartialEq)]
pub(super) struct Made {
    pub(super) revision: u64,
    pub(super) size: [u32; 2],
    pub(super) turn: [f32; 2],
    pub(super) nearer: f32,
    pub(super) dark: bool,
    pub(super) airframe: u64,
    pub(super) planned: u64,
    /// Of the heat map; 0 for none.
    pub(super) warmth: u64,
    /// Which form, its openings and what is put on it.
    pub(super) shell: (usize, u64, u64),
    /// Openings are cut out: not while something is dragged, to be quick.
    pub(super) cut: bool,
}

/// What is drawn.
pub(super) struct Shown {
    pub(super) lofted: Arc<Lofted>,
    /// Cut out of the body.
    pub(super) openings: Option<Arc<Vec<OneLaid>>>,
    /// Forms that lie on it, and a number that changes with them.
    pub(super) added: (u64, Vec<OnTheFirst>),
    /// What the body is coloured by.
    pub(super) warmth: Option<(Arc<HeatMap>, Scale)>,
    /// Lines on the body and about it.
    pub(super) lines: Vec<Line>,
    /// What stands about it and is to be seen too.
    pub(super) bench: Vec<SpaceLine>,
    pub(super) theme: &'static Theme,
}

/// A picture, and what of it the next one takes over.
struct Drawn {
    mesh: (u64, Arc<Mesh>),
    /// The body of that mesh, with the openings of that revision cut out.
    body: ((u64, Option<u64>), Arc<Body>),
    added: (u64, Arc<Vec<Body>>),
    image: Arc<ColorImage>,
}

impl CardPicture {
    /// The picture as it was drawn last; `shown` is asked for only where another one is to be drawn.
    pub(super) fn texture(
        &mut self,
        ctx: &egui::Context,
        made: Made,
        shown: impl FnOnce() -> Option<Shown>,
    ) -> Option<&TextureHandle> {
        let drawn = self.drawn.get_or_insert_with(|| Follower::new(ctx));
        if drawn.wants(&made)
            && let Some(shown) = shown()
        {
            drawn.follow(&made, false, move |before| Arc::new(shown.drawn(made, before.map(|before| &**before))));
        }
        let revision = drawn.revision();
        let shows = self.texture.as_ref().is_some_and(|(of, _)| *of == revision);
        if let Some(drawn) = drawn.made().filter(|_| !shows) {
            let image = ImageData::Color(drawn.image.clone());
            match &mut self.texture {
                Some((of, texture)) => {
                    texture.set(image, TextureOptions::LINEAR);
                    *of = revision;
                }
                None => self.texture = Some((revision, ctx.load_texture("shaded", image, TextureOptions::LINEAR))),
            }
        }
        self.texture.as_ref().map(|(_, texture)| texture)
    }

    /// Whether another is being drawn.
    #[cfg(test)]
    pub(crate) fn is_under_way(&self) -> bool {
        self.drawn.as_ref().is_some_and(Follower::is_under_way)
    }
}

impl Shown {
    fn drawn(&self, made: Made, before: Option<&Drawn>) -> Drawn {
        let mesh = self.mesh(made, before);
        let body = self.body(made, &mesh.1, before);
        let added = self.added(made, before);
        let image = Arc::new(self.image(made, &body.1, &added.1));
        Drawn { mesh, body, added, image }
    }

    fn mesh(&self, made: Made, before: Option<&Drawn>) -> (u64, Arc<Mesh>) {
        let known = before.map(|before| &before.mesh).filter(|(of, _)| *of == made.revision);
        known.cloned().unwrap_or_else(|| {
            let skin = self.lofted.skin.as_ref();
            (made.revision, Arc::new(skin.map(|skin| skin.loft().mesh(DRAWN)).unwrap_or_default()))
        })
    }

    fn body(&self, made: Made, mesh: &Mesh, before: Option<&Drawn>) -> ((u64, Option<u64>), Arc<Body>) {
        let of = (made.revision, made.cut.then_some(made.shell.1));
        let known = before.map(|before| &before.body).filter(|(known, _)| *known == of);
        known.cloned().unwrap_or_else(|| {
            let with_holes = self.openings.as_ref().map(|laid| cut::cut(mesh, laid));
            (of, Arc::new(Body::new(with_holes.as_ref().unwrap_or(mesh), Normals::default())))
        })
    }

    fn added(&self, made: Made, before: Option<&Drawn>) -> (u64, Arc<Vec<Body>>) {
        let (revision, forms) = &self.added;
        if made.shell.0 != 0 {
            return (u64::MAX, Arc::default());
        }
        let known = before.map(|before| &before.added).filter(|(of, _)| of == revision);
        known.cloned().unwrap_or_else(|| {
            let bodies = meshes(forms, DRAWN).iter().map(|mesh| Body::new(mesh, Normals::default())).collect();
            (*revision, Arc::new(bodies))
        })
    }

    fn image(&self, made: Made, body: &Body, added: &[Body]) -> ColorImage {
        let mut orbit = Orbit::fitting(body.bounds());
        orbit.azimuth_deg = f64::from(made.turn[0]);
        orbit.elevation_deg = f64::from(made.turn[1]);
        orbit.span_mm = orbit.span_mm.max(reach(&self.bench, orbit.target).min(MOST * orbit.span_mm));
        orbit.span_mm /= f64::from(made.nearer) * FILL;
        let plain = Studio { colour: self.theme.body_lit, gloss: 0.25 };
        let warmed = self.warmth.as_ref().map(|(map, scale)| Warmed { map, scale: *scale, plain });
        let painted: &dyn Paint = warmed.as_ref().map_or(&plain, |warmed| warmed);
        let surfaces: Vec<Surface<'_>> = std::iter::once((body, painted))
            .chain(added.iter().map(|body| (body, &plain as &dyn Paint)))
            .map(|(body, paint)| Surface { body, paint })
            .collect();
        let floor = self.theme.floor.to_array();
        let background = Background::Plain([floor[0], floor[1], floor[2]]);
        let scene = Scene { surfaces: &surfaces, lines: &self.lines, background };
        let settings = Settings { size: made.size, ..Settings::default() };
        let picture = shade::render(&scene, &orbit.camera(made.size), &settings);
        let size = [picture.width as usize, picture.height as usize];
        ColorImage::from_rgba_unmultiplied(size, &picture.rgba)
    }
}

/// How wide a picture about a place must be to show what stands there.
fn reach(bench: &[SpaceLine], [x, y, z]: [f64; 3]) -> f64 {
    let points = bench.iter().filter(|line| line.pen != Pen::Axis).flat_map(|line| &line.points);
    2.1 * points.map(|p| (p[0] - x).hypot(p[1] - y).hypot(p[2] - z)).fold(0.0, f64::max)
}
