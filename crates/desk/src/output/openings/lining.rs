//! The edge of an opening on the surface, and the rings of its duct behind it.

use form::openings::{Hole, Lip, Passage, Target, holes};
use form::space::Vector;
use geometry::crossing::self_crossings;
use project::document::Form;

/// What a hole in the mesh is cut and lined by.
#[derive(Clone, Debug)]
pub(super) struct Lining {
    /// The opening's name.
    pub(super) name: String,
    /// The edge of the hole on the surface.
    pub(super) edge: Vec<Vector>,
    /// Behind it: lip, wall and inner end of a duct, as many places each as the edge has; none for a plain hole.
    pub(super) rings: Vec<Vec<Vector>>,
    /// The line of sight.
    pub(super) sight: Vector,
}

/// Those of every opening of a form and of its mirror images; or the name of one that cannot be cut, and why.
pub(super) fn linings(target: &Target<'_>, form: &Form, tolerance: f64) -> Vec<Result<Lining, (String, String)>> {
    let name = |i: usize| form.openings.get(i).map_or_else(String::new, |o| o.name.clone());
    let of = |hole: Result<Hole, (usize, form::openings::OutlineError)>| match hole {
        Ok(hole) => lining(target, &hole, name(hole.opening), tolerance),
        Err((i, why)) => Err((name(i), why.to_string())),
    };
    holes(target, form, tolerance).into_iter().map(of).collect()
}

fn lining(target: &Target<'_>, hole: &Hole, name: String, tolerance: f64) -> Result<Lining, (String, String)> {
    let Some(run) = hole.whole() else {
        return Err((name, "its outline does not lie on the form as a whole".to_owned()));
    };
    let sight = hole.seen.sight();
    let Some(passage) = hole.passage(target) else {
        return Ok(Lining { name, edge: run.places.iter().map(|p| p.place.point).collect(), rings: Vec::new(), sight });
    };
    let inner = passage.strips.iter().map(|s| s.inner).collect();
    if let Some(mut rings) = rounded(hole, &passage, tolerance) {
        let edge = rings.remove(0);
        rings.push(inner);
        return Ok(Lining { name, edge, rings, sight });
    }
    let edge = passage.strips.iter().map(|s| s.outer.point).collect();
    Ok(Lining { name, edge, rings: vec![inner], sight })
}

/// The rings of a lip, from the surface to the wall; `None` where there is no lip, or it does not fit all round.
fn rounded(hole: &Hole, passage: &Passage, tolerance: f64) -> Option<Vec<Vec<Vector>>> {
    let lips: Vec<Lip> = passage.strips.iter().map(|s| s.lip).collect::<Option<_>>()?;
    // Sagitta of one of n chords over a quarter turn: r (1 - cos(π / 4 n)).
    let half = (1.0 - tolerance / passage.lip_radius.max(tolerance)).acos();
    let count = (std::f64::consts::FRAC_PI_4 / half).ceil().clamp(2.0, 24.0) as usize;
    let arcs: Vec<Vec<Vector>> = lips.iter().map(|lip| lip.arc(count)).collect();
    let rings: Vec<Vec<Vector>> = (0..=count).map(|k| arcs.iter().map(|arc| arc[k]).collect()).collect();
    let axes = hole.seen.axes();
    let mut seen: Vec<[f64; 2]> = rings[0].iter().map(|p| axes.map(|k| p[k])).collect();
    seen.extend(seen.first().copied());
    // A line that crosses itself where it closes only meets its own first point.
    let crossed = self_crossings(&seen).iter().any(|p| (p[0] - seen[0][0]).hypot(p[1] - seen[0][1]) > 1e-6);
    (!crossed).then_some(rings)
}
