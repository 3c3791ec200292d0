//! Added forms as they lie on the first one: outlines and sections, made anew only as far as something has changed. What needs the
//! first form too is in `met`.

use super::met::{Met, MetOf, Pair};
use crate::follower::Follower;
use form::Lofted;
use form::meeting::{Meeting, Placed, mirrored, outline_along};
use geometry::loft::Loft;
use geometry::mesh::Mesh;
use project::document::{Document, Form};
use project::mount::Mount;
use std::sync::Arc;

/// How near drawn lines keep to the curves, mm.
pub(super) const DRAWN: f64 = 0.05;
/// Lines of sight of side view, plan and face view in the axes of the form that is shown.
pub(super) const SIGHTS: [[f64; 3]; 3] = [[0.0, -1.0, 0.0], [0.0, 0.0, -1.0], [1.0, 0.0, 0.0]];

/// All forms of the project as far as they lie on the first one.
pub(super) struct Lies {
    skins: Vec<Skin>,
    all: Vec<Option<One>>,
    met: Follower<MetOf, Vec<Option<Arc<Met>>>>,
    changes: u64,
}

/// A form and its loft.
type Skin = (Arc<Form>, Option<Arc<Lofted>>);

/// A polyline in space.
pub(super) type Curve = Vec<[f64; 3]>;

/// One added form by itself.
#[derive(Debug)]
pub(super) struct One {
    pub(super) mount: Mount,
    /// Its outline as side view, plan and face view of the first form show it, in the axes of the first form.
    pub(super) outlines: [Vec<Curve>; 3],
    /// Its sections at its stations, in the axes of the first form.
    pub(super) sections: Vec<Curve>,
}

impl Lies {
    /// Nothing laid yet.
    pub(super) fn new(ctx: &egui::Context) -> Self {
        Self { skins: Vec::new(), all: Vec::new(), met: Follower::new(ctx), changes: 0 }
    }

    /// Brings them up to date; `skin` gives the loft of a form, `shown` is the one whose ground is to be seen. While something is
    /// dragged, what needs two forms follows a little behind.
    pub(super) fn refresh(
        &mut self,
        document: &Document,
        shown: usize,
        at_rest: bool,
        skin: impl Fn(usize) -> Option<Arc<Lofted>>,
    ) {
        let forms = &document.forms;
        let same =
            forms.len() == self.skins.len() && forms.iter().zip(&self.skins).all(|(f, (k, _))| Arc::ptr_eq(f, k));
        if !same {
            let before = std::mem::take(&mut self.skins);
            let known =
                |form: &Arc<Form>| before.iter().find(|(of, _)| Arc::ptr_eq(of, form)).map(|(_, skin)| skin.clone());
            let skins = forms.iter().enumerate();
            self.skins = skins.map(|(i, form)| (form.clone(), known(form).unwrap_or_else(|| skin(i)))).collect();
            self.lay(&before);
        }
        let pairs = (0..self.skins.len()).map(|index| self.pair(index, index == shown)).collect();
        let of = MetOf(pairs);
        let from = of.clone();
        // The window does not wait for the first ones.
        let at_once = at_rest && self.met.made().is_some();
        self.met.follow(&of, at_once, move |before| from.meet(before.map_or(&[], Vec::as_slice)));
    }

    /// Lays those anew whose surface, stations or turn is another than before; one that is only put elsewhere is moved.
    fn lay(&mut self, before: &[Skin]) {
        let mut old = std::mem::take(&mut self.all);
        let mut stays = before.len() == self.skins.len();
        for index in 0..self.skins.len() {
            let kept = old.get_mut(index).and_then(Option::take);
            let own_stays = same_skin(before.get(index), self.skins.get(index));
            let same_rows = before.get(index).is_some_and(|then| then.0.stations == self.skins[index].0.stations);
            let kept = kept.filter(|_| own_stays && same_rows);
            let place = self.mount(index);
            let same_place = before.get(index).is_some_and(|then| then.0.mount == self.skins[index].0.mount);
            stays &= same_place && (kept.is_some() || place.is_none());
            let next = place.and_then(|mount| match kept {
                Some(one) if turned_alike(&one.mount, &mount) => Some(one.put(mount)),
                _ => self.one_of(index, mount),
            });
            self.all.push(next);
        }
        self.changes += u64::from(!stays);
    }

    fn mount(&self, index: usize) -> Option<Mount> {
        self.skins.get(index).filter(|_| index > 0)?.0.mount
    }

    /// One of them.
    fn one_of(&self, index: usize, mount: Mount) -> Option<One> {
        let (form, own) = (&self.skins.get(index)?.0, self.loft(index)?);
        let placed = Placed::new(&mount);
        let seen_along = |sight| moved(outline_along(own, placed.way_to_own(sight), DRAWN), |p| placed.to_first(p));
        let sections = moved(sections(form, own), |p| placed.to_first(p));
        Some(One { mount, outlines: SIGHTS.map(seen_along), sections })
    }

    /// A form and the one it is put on, as far as both have a surface.
    fn pair(&self, index: usize, with_ground: bool) -> Option<Pair> {
        let mount = self.mount(index)?;
        self.loft(index)?;
        self.loft(0)?;
        let skin = |index: usize| self.skins.get(index)?.1.clone();
        Some(Pair { first: skin(0)?, own: skin(index)?, mount, with_ground })
    }

    /// One of them, by its index in the document.
    pub(super) fn one(&self, form: usize) -> Option<&One> {
        self.all.get(form)?.as_ref()
    }

    /// All of them, with their indices.
    pub(super) fn all(&self) -> impl Iterator<Item = (usize, &One)> {
        self.all.iter().enumerate().filter_map(|(index, one)| Some((index, one.as_ref()?)))
    }

    /// How one meets the first form; while something is dragged, as it was a moment before.
    pub(super) fn met(&self, form: usize) -> Option<&Met> {
        self.one(form)?;
        self.met.made()?.get(form)?.as_deref()
    }

    /// Where it meets it.
    pub(super) fn meeting(&self, form: usize) -> Option<&Meeting> {
        self.met(form).map(|met| &met.meeting)
    }

    /// The loft of the first form.
    pub(super) fn first(&self) -> Option<&Loft> {
        self.loft(0)
    }

    fn loft(&self, form: usize) -> Option<&Loft> {
        Some(self.skins.get(form)?.1.as_ref()?.skin.as_ref()?.loft())
    }

    /// Their surfaces.
    pub(super) fn surfaces(&self) -> Vec<OnTheFirst> {
        let lofted = |index: usize| self.skins.get(index)?.1.clone();
        self.all().filter_map(|(index, one)| Some(OnTheFirst { lofted: lofted(index)?, mount: one.mount })).collect()
    }

    /// Whether it is being found how they meet the first form.
    #[cfg(test)]
    pub(super) fn is_under_way(&self) -> bool {
        self.met.is_under_way()
    }

    /// Changes with them and with how they meet the first form.
    pub(super) fn revision(&self) -> u64 {
        self.changes + self.met.revision()
    }

    /// Changes with them alone.
    pub(super) fn own_revision(&self) -> u64 {
        self.changes
    }
}

impl One {
    /// The same at another place, turned the same way.
    fn put(mut self, mount: Mount) -> Self {
        let by: [f64; 3] = std::array::from_fn(|k| mount.place[k] - self.mount.place[k]);
        let lines = self.outlines.iter_mut().flatten().chain(&mut self.sections);
        lines.flatten().for_each(|p| (0..3).for_each(|k| p[k] += by[k]));
        self.mount = mount;
        self
    }
}

/// The surface of an added form, and where it lies on the first one.
#[derive(Clone)]
pub(crate) struct OnTheFirst {
    lofted: Arc<Lofted>,
    mount: Mount,
}

/// Surfaces of added forms in the axes of the first one, those of mirror images too.
pub(crate) fn meshes(forms: &[OnTheFirst], tolerance: f64) -> Vec<Mesh> {
    let mut meshes = Vec::new();
    for OnTheFirst { lofted, mount } in forms {
        let Some(skin) = &lofted.skin else { continue };
        let placed = Placed::new(mount);
        let mut mesh = skin.loft().mesh(tolerance);
        mesh.vertices.iter_mut().for_each(|v| *v = placed.to_first(*v));
        if mount.mirrored {
            let mut other = mesh.clone();
            other.vertices.iter_mut().for_each(|v| *v = mirrored(*v));
            // A mirror image is inside out until its triangles run the other way round.
            other.triangles.iter_mut().for_each(|t| t.swap(1, 2));
            meshes.push(other);
        }
        meshes.push(mesh);
    }
    meshes
}

fn turned_alike(a: &Mount, b: &Mount) -> bool {
    (a.roll_deg, a.pitch_deg, a.yaw_deg) == (b.roll_deg, b.pitch_deg, b.yaw_deg)
}

fn same_skin(a: Option<&Skin>, b: Option<&Skin>) -> bool {
    match (a, b) {
        (Some((_, Some(a))), Some((_, Some(b)))) => Arc::ptr_eq(a, b),
        _ => false,
    }
}

/// Lines in other axes.
pub(super) fn moved(lines: Vec<Curve>, to: impl Fn([f64; 3]) -> [f64; 3]) -> Vec<Curve> {
    lines.into_iter().map(|line| line.into_iter().map(&to).collect()).collect()
}

/// Whole sections at a form's stations, from keel to keel.
fn sections(form: &Form, loft: &Loft) -> Vec<Curve> {
    let section = |x: &f64| {
        let half = loft.section(*x)?.polyline(DRAWN);
        let port = half.iter().rev().map(|p| [*x, -p[0], p[1]]);
        Some(port.chain(half.iter().map(|p| [*x, p[0], p[1]])).collect())
    };
    form.stations.iter().filter_map(section).collect()
}
