use super::*;
use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

/// A block of `n` by `n` cells on its top, which lies at z = 0 and faces up; 100 mm square, 40 mm high.
fn block(n: u32) -> Mesh {
    let mut mesh = Mesh::default();
    let step = 100.0 / f64::from(n);
    for j in 0..=n {
        for i in 0..=n {
            mesh.vertices.push([f64::from(i) * step, f64::from(j) * step, 0.0]);
        }
    }
    let at = |i: u32, j: u32| j * (n + 1) + i;
    for j in 0..n {
        for i in 0..n {
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            // Both diagonals occur.
            let pair = if (i + j) % 2 == 0 { [[a, b, c], [a, c, d]] } else { [[a, b, d], [b, c, d]] };
            mesh.triangles.extend(pair);
        }
    }
    let edge = |i: u32| match i / n {
        0 => at(i, 0),
        1 => at(n, i - n),
        2 => at(3 * n - i, n),
        _ => at(0, 4 * n - i),
    };
    let below = mesh.vertices.len() as u32;
    for i in 0..4 * n {
        let [x, y, _] = mesh.vertices[edge(i) as usize];
        mesh.vertices.push([x, y, -40.0]);
    }
    let foot = mesh.vertices.len() as u32;
    mesh.vertices.push([50.0, 50.0, -40.0]);
    for i in 0..4 * n {
        let next = (i + 1) % (4 * n);
        mesh.triangles.push([edge(i), below + i, edge(next)]);
        mesh.triangles.push([edge(next), below + i, below + next]);
        mesh.triangles.push([below + next, below + i, foot]);
    }
    assert_eq!(mesh.open_edges(), 0);
    assert!((mesh.volume() - 400_000.0).abs() < 1e-6);
    mesh
}

fn circle(centre: [f64; 2], radius: f64, count: usize) -> Vec<[f64; 3]> {
    let at = |i: usize| {
        let (sin, cos) = (TAU * i as f64 / count as f64).sin_cos();
        [centre[0] + radius * cos, centre[1] + radius * sin, 0.0]
    };
    (0..count).map(at).collect()
}

/// Area of a regular polygon, a closed form.
fn polygon_area(radius: f64, count: usize) -> f64 {
    0.5 * count as f64 * radius * radius * (TAU / count as f64).sin()
}

/// Lengths of the closed loops of open edges, longest first; each open edge must be followed by exactly one other.
fn open_loops(mesh: &Mesh) -> Vec<f64> {
    let mut sides: BTreeMap<(u32, u32), i32> = BTreeMap::new();
    for t in &mesh.triangles {
        (0..3).for_each(|k| *sides.entry((t[k], t[(k + 1) % 3])).or_default() += 1);
    }
    assert!(sides.values().all(|n| *n == 1), "an edge is used twice the same way");
    let mut next: BTreeMap<u32, u32> = BTreeMap::new();
    for (a, b) in sides.keys().filter(|(a, b)| !sides.contains_key(&(*b, *a))) {
        assert!(next.insert(*a, *b).is_none(), "two loops touch");
    }
    let mut loops = Vec::new();
    while let Some((&start, _)) = next.iter().next() {
        let (mut at, mut length) = (start, 0.0);
        while let Some(to) = next.remove(&at) {
            let (p, q) = (mesh.vertices[at as usize], mesh.vertices[to as usize]);
            length += (0..3).map(|k| (q[k] - p[k]).powi(2)).sum::<f64>().sqrt();
            at = to;
        }
        assert_eq!(at, start, "open edges close");
        loops.push(length);
    }
    loops.sort_by(|a, b| b.total_cmp(a));
    loops
}

const DOWN: [f64; 3] = [0.0, 0.0, -1.0];

/// On a flat face the hole's area is that of the polygon, to rounding, wherever it lies on the cells and however coarse they are:
/// across corners of the mesh, along its edges, inside a single triangle, and whichever way round it is given.
#[test]
fn a_hole_in_a_flat_face_has_the_area_of_its_line() {
    for (n, centre, radius) in [
        (10, [50.0, 50.0], 20.0),
        (10, [43.21, 57.77], 31.3),
        (7, [50.0, 50.0], 40.0),
        (1, [60.0, 30.0], 12.0),
        (1, [50.0, 50.0], 12.0),
        (40, [50.0, 50.0], 2.5),
        (3, [50.0, 45.0], 1.5),
    ] {
        for backward in [false, true] {
            let mesh = block(n);
            let mut line = circle(centre, radius, 48);
            if backward {
                line.reverse();
            }
            let (cut, rim) = mesh.with_hole(&line, DOWN).unwrap();
            assert_eq!(rim.turned, backward);
            let gone = mesh.area() - cut.area();
            let exact = polygon_area(radius, 48);
            assert!((gone - exact).abs() < 1e-3, "{n} cells at {centre:?}: {gone} against {exact}");
            let loops = open_loops(&cut);
            let round = 48.0 * 2.0 * radius * (PI / 48.0).sin();
            assert!(loops.len() == 1 && (loops[0] - round).abs() < 1e-9, "{loops:?} against {round}");
            assert!(rim.places.len() >= 48);
        }
    }
}

/// A box whose sides lie on edges of the mesh, corners on its corners: the least clear case there is.
#[test]
fn a_line_along_the_edges_of_the_mesh_is_cut_too() {
    let line = [[20.0, 20.0, 0.0], [60.0, 20.0, 0.0], [60.0, 70.0, 0.0], [20.0, 70.0, 0.0]];
    let mesh = block(10);
    let (cut, _) = mesh.with_hole(&line, DOWN).unwrap();
    // Corners beside the line are as far off it as the line was moved aside while it was walked.
    assert!((mesh.area() - cut.area() - 2000.0).abs() < 0.5, "{}", mesh.area() - cut.area());
    let loops = open_loops(&cut);
    assert!(loops.len() == 1 && (loops[0] - 180.0).abs() < 1e-9, "{loops:?}");
}

/// A line that turns in on itself, wide of several triangles and twice across many: a horseshoe. Area by the shoelace rule.
#[test]
fn a_hollow_line_keeps_what_lies_in_its_hollow() {
    let line: Vec<[f64; 3]> = [
        [20.0, 20.0],
        [80.0, 20.0],
        [80.0, 80.0],
        [55.0, 80.0],
        [54.0, 31.0],
        [46.0, 31.0],
        [45.0, 80.0],
        [20.0, 80.0],
    ]
    .map(|[x, y]| [x + 0.37, y + 0.21, 0.0])
    .to_vec();
    let shoelace = |l: &[[f64; 3]]| {
        (0..l.len()).map(|i| (l[i], l[(i + 1) % l.len()])).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum::<f64>()
    };
    for n in [1, 3, 10, 33] {
        let mesh = block(n);
        let (cut, _) = mesh.with_hole(&line, DOWN).unwrap();
        let gone = mesh.area() - cut.area();
        assert!((gone - shoelace(&line)).abs() < 1e-3, "{n}: {gone} against {}", shoelace(&line));
        assert_eq!(open_loops(&cut).len(), 1);
    }
}

/// A pocket of straight walls: what the body loses is area times depth, and it stays closed.
#[test]
fn a_lined_and_closed_hole_is_a_pocket() {
    for backward in [false, true] {
        let mesh = block(9);
        let mut line = circle([51.0, 48.0], 22.0, 36);
        if backward {
            line.reverse();
        }
        let down = |z: f64| line.iter().map(|p| [p[0], p[1], z]).collect::<Vec<_>>();
        let (mut cut, rim) = mesh.with_hole(&line, DOWN).unwrap();
        let floor = cut.line_hole(&rim, &[down(-3.0), down(-15.0)]);
        assert_eq!(open_loops(&cut).len(), 1);
        cut.close_hole(&floor, DOWN);
        assert_eq!(cut.open_edges(), 0);
        let gone = mesh.volume() - cut.volume();
        let exact = 15.0 * polygon_area(22.0, 36);
        assert!((gone - exact).abs() < 1e-2, "{gone} against {exact}");
    }
}

#[test]
fn lines_that_cannot_be_cut_say_why() {
    let mesh = block(8);
    let off = circle([300.0, 50.0], 10.0, 24);
    assert_eq!(mesh.with_hole(&off, DOWN), Err(HoleError::OffSurface));
    let mut over = circle([98.0, 50.0], 10.0, 24);
    over.rotate_left(12); // begins on the face
    assert_eq!(mesh.with_hole(&over, DOWN), Err(HoleError::OverEdge));
    assert_eq!(mesh.with_hole(&over[..2], DOWN), Err(HoleError::Empty));
    assert_eq!(mesh.with_hole(&[[5.0, 5.0, 0.0]; 5], DOWN), Err(HoleError::Empty));
    // A second hole over the first finds the surface gone.
    let line = circle([50.0, 50.0], 20.0, 24);
    let (cut, _) = mesh.with_hole(&line, DOWN).unwrap();
    assert!(cut.with_hole(&circle([60.0, 50.0], 20.0, 24), DOWN).is_err());
}

#[test]
fn a_face_is_left_out_with_its_corners() {
    let mesh = block(4);
    let open = mesh.without_face(|p| p[2] == 0.0);
    assert!((mesh.area() - open.area() - 10_000.0).abs() < 1e-6);
    let loops = open_loops(&open);
    assert!(loops.len() == 1 && (loops[0] - 400.0).abs() < 1e-9);
    assert_eq!(open.vertices.len(), mesh.vertices.len() - 9, "the nine inner corners of the face are gone");
}

/// What lies around a line is what lies near it: a circle's disc and ring, in whole triangles, and the line's own vertices.
#[test]
fn a_patch_is_what_lies_around_a_line() {
    let mesh = block(50);
    let parted = mesh.parted(&circle([50.0, 50.0], 15.0, 60), DOWN).unwrap();
    let (patch, rim) = parted.around(10.0, |p| p[2] < 0.0);
    let area = patch.area();
    // Within the margin all of it, and beyond it no more than the diagonal of a cell.
    assert!(area > PI * 25.0 * 25.0 * 0.999 && area < PI * 28.0 * 28.0, "{area}");
    assert_eq!(open_loops(&patch).len(), 1);
    for place in &rim.places {
        let p = patch.vertices[place.vertex as usize];
        assert!(((p[0] - 50.0).hypot(p[1] - 50.0) - 15.0).abs() < 0.03, "{p:?}");
    }
    // At the edge of the face it ends, or goes down the side, as is asked.
    let near_edge = mesh.parted(&circle([80.0, 50.0], 15.0, 60), DOWN).unwrap();
    let (ends, _) = near_edge.around(10.0, |p| p[0] == 100.0);
    let (goes_on, _) = near_edge.around(10.0, |_| false);
    assert!(ends.vertices.iter().all(|p| p[2] == 0.0) && goes_on.vertices.iter().any(|p| p[2] < 0.0));
}

/// Even noise from 0 to 1 (xorshift, G. Marsaglia 2003), the same at every run.
fn noise(state: &mut u64) -> f64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    (*state >> 11) as f64 / (1_u64 << 53) as f64
}

/// Stars of any number of points, on meshes fine and coarse. References: the shoelace rule for what goes, the even-odd rule at the
/// middle of every triangle that faces the eye for what the line holds, area times depth for a pocket; and nothing gapes.
#[test]
fn a_line_of_any_shape_holds_what_lies_in_it() {
    let mut state = 0x9E37_79B9_7F4A_7C15;
    for case in 0..150 {
        let mut random = |low: f64, high: f64| low + (high - low) * noise(&mut state);
        let (cells, points) = (random(1.0, 40.0) as u32, random(3.0, 40.0) as usize);
        let (centre, radius) = ([random(35.0, 65.0), random(35.0, 65.0)], random(2.0, 30.0));
        let line: Vec<[f64; 3]> = (0..points)
            .map(|i| {
                let (sin, cos) = (TAU * i as f64 / points as f64).sin_cos();
                let far = radius * random(0.4, 1.0);
                [centre[0] + far * cos, centre[1] + far * sin, 0.0]
            })
            .collect();
        let ends = || line.iter().zip(line.iter().cycle().skip(1));
        let shoelace: f64 = ends().map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum();
        let holds = |p: [f64; 2]| {
            let crossed = |(a, b): &(&[f64; 3], &[f64; 3])| {
                (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1])
            };
            ends().filter(crossed).count() % 2 == 1
        };
        let mesh = block(cells);
        let parted = mesh.parted(&line, DOWN).unwrap_or_else(|why| panic!("case {case}: {why}"));
        assert_eq!(parted.mesh.open_edges(), 0, "case {case}");
        assert!((parted.mesh.area() - mesh.area()).abs() < 1.0, "case {case}");
        for (t, inside) in parted.mesh.triangles.iter().zip(&parted.inside) {
            let corners = t.map(|v| parted.mesh.vertices[v as usize]);
            let [a, b, c] = corners.map(|p| [p[0], p[1]]);
            if corners.iter().all(|p| p[2] == 0.0) && turn(a, b, c) > 1e-3 {
                let middle = [0, 1].map(|k| (a[k] + b[k] + c[k]) / 3.0);
                assert_eq!(*inside, holds(middle), "case {case} at {middle:?}");
            }
        }
        let (mut cut, rim) = parted.outside();
        // Corners beside the line are as far off it as the line was moved aside while it was walked.
        let aside = ASIDE * ends().map(|(a, b)| (a[0] - b[0]).hypot(a[1] - b[1])).sum::<f64>();
        let gone = mesh.area() - cut.area();
        assert!((gone - shoelace).abs() <= aside, "case {case}: {gone} against {shoelace}");
        let floor = cut.line_hole(&rim, &[line.iter().map(|p| [p[0], p[1], -10.0]).collect()]);
        cut.close_hole(&floor, DOWN);
        assert_eq!(cut.open_edges(), 0, "case {case}");
        let gone = mesh.volume() - cut.volume();
        assert!((gone - 10.0 * shoelace).abs() <= 10.0 * aside, "case {case}: {gone} against {shoelace}");
    }
}
