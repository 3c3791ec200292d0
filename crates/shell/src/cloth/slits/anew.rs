//! The cloth beyond a slit, laid down anew, and what is to be told of the slit.

use super::trials::Trial;
use super::{Cut, Dart, Piece};
use crate::drape::{Arm, Net, Number, Surface};
use form::space::{Vector, cross, dot, length, sub, times};

/// What is laid anew beyond a corner with a slit along one of the two ways, and the number of links of the slit.
pub(super) fn laid_beyond(
    surface: &impl Surface,
    old: &Net,
    way: Number,
    (corner, along): (Number, usize),
    overlap: f64,
) -> Option<(Piece, i32)> {
    let (net, links) = laid_anew(surface, old, way, corner, along)?;
    let laps = laps(old, &net, way, corner, along);
    let cut_off = |lap: &f64| ((lap - overlap) / net.cell()).max(0.0) as i32;
    let dart = Dart { along, cells: laps.iter().map(cut_off).collect() };
    Some((Piece { net, offset: [0, 0], way: Some(way), dart, let_go: Vec::new() }, links))
}

/// By how much the two edges of a slit lie over one another at every link from its tip, mm; past the end of the edge that stays it goes
/// on growing evenly.
fn laps(old: &Net, anew: &Net, way: Number, corner: Number, along: usize) -> Vec<f64> {
    let step = |from: Number, k: usize, n: i32| {
        if k == 0 { [from[0] + n * way[0], from[1]] } else { [from[0], from[1] + n * way[1]] }
    };
    let mut laps = vec![0.0];
    let mut seen: Option<(f64, f64)> = None;
    for n in 1.. {
        let number = step([0, 0], along, n);
        let Some(edge) = anew.node(number) else { break };
        let found = old.node(step(corner, along, n)).zip(anew.node(step(number, 1 - along, 1)));
        let lap = found.map(|(stays, next)| {
            let apart = sub(stays.p, edge.p);
            length(apart).copysign(dot(apart, sub(next.p, edge.p)))
        });
        seen = lap.map(|lap| (f64::from(n), lap)).or(seen);
        laps.push(lap.or_else(|| seen.map(|(m, lap)| lap * f64::from(n) / m)).unwrap_or(0.0));
    }
    laps
}

/// The net beyond a corner: from the yarn across it, with a new yarn along, square to that. With the number of links of the new
/// yarn within the cut line.
fn laid_anew(surface: &impl Surface, net: &Net, way: Number, corner: Number, along: usize) -> Option<(Net, i32)> {
    let tip = net.node(corner)?;
    let towards = |k: usize, n: i32| {
        if k == 0 { [corner[0] + n * way[0], corner[1]] } else { [corner[0], corner[1] + n * way[1]] }
    };
    let nodes = (1..).map_while(|n| net.node(towards(1 - along, n)).copied()).collect();
    let mut across = Arm { nodes, end: None };
    // Outside the cut line it runs on straight, so that what is laid anew is not short of it there.
    if let [.., a, b] = across.nodes[..] {
        let on = Arm::straight(surface, b.at, sub(b.p, a.p), net.cell());
        across.nodes.extend(on.nodes);
        across.end = on.end;
    }
    // Where the cloth ends there is no edge that stays, and so no slit.
    let old = net.node(towards(along, 1)).filter(|old| old.margin.cloth <= 0.0)?;
    let first = across.nodes.first()?;
    let (yarn, old) = (sub(first.p, tip.p), sub(old.p, tip.p));
    let square = cross(tip.normal(), yarn);
    let square = if dot(square, old) < 0.0 { times(square, -1.0) } else { square };
    let new = Arm::straight(surface, tip.at, square, net.cell());
    // Without a yarn along the slit nothing is laid anew, and nothing that is not there can be bad.
    if new.nodes.is_empty() {
        return None;
    }
    let length = new.nodes.iter().take_while(|n| n.margin.cloth <= 0.0).count() as i32;
    let mut arms: [Arm; 4] = Default::default();
    let side = |k: usize| if way[k] > 0 { k } else { k + 2 };
    arms[side(along)] = new;
    arms[side(1 - along)] = across;
    Some((Net::between(surface, net.cell(), tip, arms)?, length))
}

/// What is to be told of a slit in a piece.
pub(super) fn cut(piece: &Piece, way: Number, trial: &Trial, overlap: f64) -> Cut {
    let (k, net) = (trial.along, &piece.net);
    let step = |n: i32| {
        if k == 0 {
            [trial.corner[0] + n * way[0], trial.corner[1]]
        } else {
            [trial.corner[0], trial.corner[1] + n * way[1]]
        }
    };
    let laps = laps(net, &trial.piece.net, way, trial.corner, k);
    let tip_at = net.node(trial.corner).map_or([0.0; 3], |n| n.p);
    let mut out = Cut {
        tip: [0, 1].map(|k| piece.offset[k] + trial.corner[k]),
        way: if k == 0 { [way[0], 0] } else { [0, way[1]] },
        side: if k == 0 { [0, way[1]] } else { [way[0], 0] },
        length: 0.0,
        tip_at,
        mouth_at: tip_at,
        lap: 0.0,
        strip: 0.0,
        gore: 0.0,
    };
    let edges = |n: i32| {
        let own = if k == 0 { [n * way[0], 0] } else { [0, n * way[1]] };
        net.node(step(n)).zip(trial.piece.net.node(own)).map(|(stays, anew)| [stays.p, anew.p])
    };
    for (n, lap) in (0..).zip(laps).skip(1) {
        let Some(stays) = net.node(step(n)).filter(|stays| stays.margin.cloth <= 0.0) else { break };
        out.length = f64::from(n) * net.cell();
        (out.mouth_at, out.lap) = (stays.p, lap);
        if lap < overlap {
            out.strip = out.length;
        }
        if stays.margin.part <= 0.0 {
            let gore = edges(n - 1).zip(edges(n)).filter(|_| lap < 0.0);
            out.gore += gore.map_or(0.0, |([a, b], [d, c])| quadrangle([a, b, c, d]));
        }
    }
    out
}

/// Area of four corners in order, mm²: half the cross product of the diagonals.
fn quadrangle([a, b, c, d]: [Vector; 4]) -> f64 {
    0.5 * length(cross(sub(c, a), sub(d, b)))
}
