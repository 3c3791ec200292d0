//! Pictures of coloured cells on a form: the far ones are drawn first, so that the near ones hide them.

use form::space::{Vector, add, cross, dot, sub, times, unit};
use sheets::{Affine, Anchor, Drawing, Ink, Item, Path, Rect, Stroke, Text};

/// A cell and its colour.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facet {
    /// In turn around it, mm.
    pub(super) corners: [Vector; 4],
    pub(super) ink: Ink,
}

/// The inside of a shell, as it is seen through its open end.
const INSIDE: Ink = Ink([205, 205, 205]);
/// Lines lie on the surface; they are drawn as if this much nearer, mm.
const NEARER: f64 = 4.0;
/// Pen that closes the joints between cells, mm on paper.
const JOINT: f64 = 0.12;
/// The two sides that a form is shown from: from the form to the eye.
const EYES: [Vector; 2] = [[-0.75, 0.85, 0.5], [-0.6, -0.85, -0.6]];

/// Cells and lines as they are seen from afar, `eye` pointing from the form to the eye, within a box of this size, mm on paper.
pub(super) fn seen_from(eye: Vector, facets: &[Facet], lines: &[(Vec<Vector>, Stroke)], size: [f64; 2]) -> Drawing {
    let eye = unit(eye);
    let right = unit(cross([0.0, 0.0, 1.0], eye));
    let up = cross(eye, right);
    let flat = |p: Vector| [dot(p, right), dot(p, up)];
    let middle = middle_of(facets);
    let mut items: Vec<(f64, Item)> = Vec::with_capacity(facets.len());
    let mut bounds = Rect::NOTHING;
    for p in facets.iter().flat_map(|f| f.corners) {
        bounds.include(flat(p));
    }
    let scale = if bounds.is_empty() {
        1.0
    } else {
        (size[0] / bounds.size()[0].max(1e-9)).min(size[1] / bounds.size()[1].max(1e-9))
    };
    let paper = |p: Vector| flat(p).map(|v| v * scale);
    for facet in facets {
        let ink = if faces_away(facet, eye, middle) { INSIDE } else { facet.ink };
        let path = Path::polygon(&facet.corners.map(paper), Some(Stroke::solid(JOINT, ink)), Some(ink));
        items.push((depth(&facet.corners, eye), path.into()));
    }
    for (line, stroke) in lines {
        for w in line.windows(2) {
            let path = Path::line(paper(w[0]), paper(w[1]), stroke.clone());
            items.push((depth(w, eye) + NEARER, path.into()));
        }
    }
    items.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut drawing = Drawing::default();
    items.into_iter().for_each(|(_, item)| drawing.push(item));
    drawing
}

/// From starboard, ahead and above, and from port, ahead and below, side by side.
pub(super) fn two_sides(facets: &[Facet], lines: &[(Vec<Vector>, Stroke)], width: f64, height: f64) -> Drawing {
    let gap = 8.0;
    let size = [0.5 * (width - gap), height];
    let mut drawing = Drawing::default();
    for (k, (eye, words)) in
        EYES.into_iter().zip(["from starboard, ahead, above", "from port, ahead, below"]).enumerate()
    {
        let one = seen_from(eye, facets, lines, size);
        let b = one.bounds();
        if b.is_empty() {
            continue;
        }
        let left = k as f64 * (size[0] + gap) + 0.5 * (size[0] - b.size()[0]);
        let shift = Affine::shift([left - b.min[0], 0.5 * (size[1] - b.size()[1]) - b.min[1]]);
        one.items.iter().for_each(|item| drawing.push(item.mapped(&shift)));
        let at = [k as f64 * (size[0] + gap) + 0.5 * size[0], -4.0];
        drawing.push(Text::new(words, at, 2.6).anchored(Anchor::Middle));
    }
    drawing
}

/// Bands of colour with their words, in a row.
pub(super) fn legend(bands: &[(Ink, &str)]) -> Drawing {
    let (size, mut left) = (2.6, 0.0);
    let mut drawing = Drawing::default();
    for (ink, words) in bands {
        let edge = Rect { min: [left, 0.0], max: [left + 6.0, 3.2] };
        drawing.push(Path::rect(&edge, Some(Stroke::solid(0.15, Ink::DARK)), Some(*ink)));
        let text = Text::new(*words, [left + 7.5, 0.6], size);
        left += 7.5 + text.width() + 6.0;
        drawing.push(text);
    }
    drawing
}

fn depth(points: &[Vector], eye: Vector) -> f64 {
    points.iter().map(|p| dot(*p, eye)).sum::<f64>() / points.len().max(1) as f64
}

fn middle_of(facets: &[Facet]) -> Vector {
    let all = facets.iter().flat_map(|f| f.corners);
    let (sum, count) = all.fold(([0.0; 3], 0_u32), |(sum, n), p| (add(sum, p), n + 1));
    times(sum, 1.0 / f64::from(count.max(1)))
}

/// Whether a cell shows its inside: cells run either way round, so outward is away from the middle of the form across its length.
fn faces_away(facet: &Facet, eye: Vector, middle: Vector) -> bool {
    let [a, b, c, d] = facet.corners;
    let normal = cross(sub(c, a), sub(d, b));
    let centre = times(add(add(a, b), add(c, d)), 0.25);
    let out = sub(centre, [centre[0], 0.0, middle[2]]);
    // A flat end has no way out across the length.
    let outward =
        if dot(normal, out).abs() > 1e-9 { dot(normal, out).signum() } else { (centre[0] - middle[0]) * normal[0] };
    outward * dot(normal, eye) < 0.0
}
