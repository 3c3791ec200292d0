//! Added forms as they lie on the first one: outlines, sections and meeting lines. Made anew only as far as something has changed.

use form::Lofted;
use form::meeting::{Meeting, Placed, meeting, mirrored, outline_along};
use geometry::loft::Loft;
use geometry::mesh::Mesh;
use project::document::{Document, Form};
use project::mount::Mount;
use std::sync::Arc;

/// How near drawn lines keep to the curves, mm.
const DRAWN: f64 = 0.05;
/// Lines of sight of side view, plan and face view in the axes of the form that is shown.
pub(super) const SIGHTS: [[f64; 3]; 3] = [[0.0, -1.0, 0.0], [0.0, 0.0, -1.0], [1.0, 0.0, 0.0]];

/// All forms of the project as far as they lie on the first one.
#[derive(Debug, Default)]
pub(super) struct Lies {
    skins: Vec<Skin>,
    all: Vec<Option<One>>,
    revision: u64,
}

/// A form and its loft.
type Skin = (Arc<Form>, Option<Arc<Lofted>>);

/// A polyline in space.
pub(super) type Curve = Vec<[f64; 3]>;

/// One added form.
#[derive(Debug)]
pub(super) struct One {
    pub(super) mount: Mount,
    /// Its outline as side view, plan and face view of the first form show it, in the axes of the first form.
    pub(super) outlines: [Vec<Curve>; 3],
    /// Its sections at its stations, in the axes of the first form.
    pub(super) sections: Vec<Curve>,
    /// The outline of the first form as the views of this one show it, in the axes of this one.
    pub(super) ground: [Vec<Curve>; 3],
    pub(super) meeting: Option<Meeting>,
}

impl Lies {
    /// Brings them up to date; `skin` gives the loft of a form.
    pub(super) fn refresh(&mut self, document: &Document, skin: impl Fn(usize) -> Option<Arc<Lofted>>) {
        let forms = &document.forms;
        let same =
            forms.len() == self.skins.len() && forms.iter().zip(&self.skins).all(|(f, (k, _))| Arc::ptr_eq(f, k));
        if same {
            return;
        }
        let before = std::mem::take(&mut self.skins);
        let known =
            |form: &Arc<Form>| before.iter().find(|(of, _)| Arc::ptr_eq(of, form)).map(|(_, skin)| skin.clone());
        self.skins = forms
            .iter()
            .enumerate()
            .map(|(index, form)| (form.clone(), known(form).unwrap_or_else(|| skin(index))))
            .collect();
        self.lay(&before);
    }

    /// Lays those anew whose place, surface or ground is another than before.
    fn lay(&mut self, before: &[Skin]) {
        let mut old = std::mem::take(&mut self.all);
        let ground_stays = same_skin(before.first(), self.skins.first());
        for index in 0..self.skins.len() {
            let kept = old.get_mut(index).and_then(Option::take);
            let own_stays = same_skin(before.get(index), self.skins.get(index));
            let (now, then) = (&self.skins[index], before.get(index));
            let same_rows = then.is_some_and(|then| then.0.mount == now.0.mount && then.0.stations == now.0.stations);
            // What a form is by itself stays while the ground under it is dragged.
            let kept = kept.filter(|_| own_stays && same_rows);
            let next = if ground_stays && kept.is_some() { kept } else { self.one_of(index, kept) };
            self.all.push(next);
        }
        self.revision += 1;
    }

    /// One of them; `kept` is itself on another ground.
    fn one_of(&self, index: usize, kept: Option<One>) -> Option<One> {
        let (form, lofted) = self.skins.get(index).filter(|_| index > 0)?;
        let mount = form.mount?;
        let own = lofted.as_ref()?.skin.as_ref()?.loft();
        let first =
            self.skins.first()?.1.as_ref().and_then(|lofted| lofted.skin.as_ref()).map(form::FinishedSkin::loft);
        let placed = Placed::new(&mount);
        let seen_along = |sight| moved(outline_along(own, placed.way_to_own(sight), DRAWN), |p| placed.to_first(p));
        let ground_along = |sight| {
            let lines = first.map(|first| outline_along(first, placed.way_to_first(sight), DRAWN)).unwrap_or_default();
            moved(lines, |p| placed.to_own(p))
        };
        let anew = || (SIGHTS.map(seen_along), moved(sections(form, own), |p| placed.to_first(p)));
        let (outlines, sections) = kept.map_or_else(anew, |one| (one.outlines, one.sections));
        Some(One {
            mount,
            outlines,
            sections,
            ground: SIGHTS.map(ground_along),
            meeting: first.map(|first| meeting(first, own, &mount, DRAWN)),
        })
    }

    /// One of them, by its index in the document.
    pub(super) fn one(&self, form: usize) -> Option<&One> {
        self.all.get(form)?.as_ref()
    }

    /// All of them, with their indices.
    pub(super) fn all(&self) -> impl Iterator<Item = (usize, &One)> {
        self.all.iter().enumerate().filter_map(|(index, one)| Some((index, one.as_ref()?)))
    }

    /// The loft of the first form.
    pub(super) fn first(&self) -> Option<&Loft> {
        self.loft(0)
    }

    fn loft(&self, form: usize) -> Option<&Loft> {
        Some(self.skins.get(form)?.1.as_ref()?.skin.as_ref()?.loft())
    }

    /// Their surfaces in the axes of the first form.
    pub(super) fn meshes(&self, tolerance: f64) -> Vec<Mesh> {
        let mut meshes = Vec::new();
        for (index, one) in self.all() {
            let Some(loft) = self.loft(index) else { continue };
            let placed = Placed::new(&one.mount);
            let mut mesh = loft.mesh(tolerance);
            mesh.vertices.iter_mut().for_each(|v| *v = placed.to_first(*v));
            if one.mount.mirrored {
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

    /// Counts the changes.
    pub(super) fn revision(&self) -> u64 {
        self.revision
    }
}

fn same_skin(a: Option<&Skin>, b: Option<&Skin>) -> bool {
    match (a, b) {
        (Some((_, Some(a))), Some((_, Some(b)))) => Arc::ptr_eq(a, b),
        _ => false,
    }
}

fn moved(lines: Vec<Curve>, to: impl Fn([f64; 3]) -> [f64; 3]) -> Vec<Curve> {
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
