//! A part of an added form in the axes of the first one, as its mount places it.

use form::meeting::Placed;
use form::space::Vector;
use project::laminate::Span;
use project::mount::Mount;
use shell::mass::Part;

/// The part as placed, and its mirror image where there is a second one.
pub(super) fn places(part: &Part, mount: &Mount) -> Vec<Part> {
    let placed = placed(part, mount);
    let other = mount.mirrored.then(|| mirrored(&placed));
    std::iter::once(placed).chain(other).collect()
}

/// On which side a placed part lies.
pub(super) fn side(part: &Part) -> &'static str {
    if part.centre[1].likely < 0.0 { "port" } else { "starboard" }
}

/// Turned by its mount and moved. Along every axis of the first form the centre may be off by what its own ranges come to, turned.
fn placed(part: &Part, mount: &Mount) -> Part {
    let frame = Placed::new(mount);
    let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|axis| frame.way_to_first(axis));
    let likely = frame.to_first(part.centre.map(|c| c.likely));
    let centre = [0, 1, 2].map(|k| {
        let ends = [0, 1, 2].map(|j| part.centre[j].through(|v| axes[j][k] * (v - part.centre[j].likely)));
        let off: Span = ends.into_iter().sum();
        Span::new(likely[k] + off.low, likely[k], likely[k] + off.high)
    });
    Part { name: part.name.clone(), mass: part.mass, centre, spread: turned(&part.spread, &axes) }
}

/// Second moments in other axes: the sum over both pairs of own axes.
fn turned([xx, yy, zz, xy, xz, yz]: &[f64; 6], axes: &[Vector; 3]) -> [f64; 6] {
    let own = [[*xx, *xy, *xz], [*xy, *yy, *yz], [*xz, *yz, *zz]];
    let of = |a: usize, b: usize| {
        let pairs = (0..3).flat_map(|i| (0..3).map(move |j| (i, j)));
        pairs.map(|(i, j)| axes[i][a] * own[i][j] * axes[j][b]).sum()
    };
    [of(0, 0), of(1, 1), of(2, 2), of(0, 1), of(0, 2), of(1, 2)]
}

fn mirrored(part: &Part) -> Part {
    let [x, y, z] = part.centre;
    let [xx, yy, zz, xy, xz, yz] = part.spread;
    Part { centre: [x, y.times(-1.0), z], spread: [xx, yy, zz, -xy, xz, -yz], ..part.clone() }
}
