//! The assembly picture: the stack from the side and from above with all part numbers, and the formers one behind the other.

use super::composer::{Composer, label};
use super::{Subject, mm};
use plug::{Block, Former, Layer, LayerKind, Level, Plan, Point, Region};
use sheets::{Affine, Anchor, Drawing, Ink, Path, Rect, Stroke, Text};

const FOAM: Ink = Ink([236, 240, 244]);
const CARD: Ink = Ink([196, 150, 96]);
const PLATE: Ink = Ink([120, 120, 120]);
/// Size of numbers, mm on paper.
const NUMBER: f64 = 2.6;

pub(super) fn set(c: &mut Composer, s: &Subject<'_>, plan: &Plan) {
    c.chapter("Assembly picture");
    let most = 0.23 * c.height();
    c.figure(&side(s, plan, [c.width(), most]));
    c.caption(
        "From port, the front at the left. Cards carry their numbers above, boards and bays below. Under each card stands the station \
         of its front face.",
    );
    if !plan.blocks.is_empty() {
        c.figure(&above(plan, [c.width(), most]));
        c.caption(
            "From above, the front at the left, starboard above the centre line. The blocks of foam as cut, with their names: bay and \
             side, S for starboard and P for port.",
        );
    }
    if !plan.formers.is_empty() {
        let picture = behind_each_other(plan, [c.width(), 0.42 * c.height()]);
        c.heading_of("The formers, one behind the other", picture.bounds().size()[1] + 12.0);
        c.figure(&picture);
        c.caption("Drawn apart along the centre line, seen from ahead and above on the port side; port is nearer.");
    }
}

/// Paper from the model: a scale, with the model's point `from` at the origin.
fn scaled(from: Point, k: f64) -> Affine {
    Affine::shift([-from[0], -from[1]]).then(&Affine::scale([k, k]))
}

/// The largest scale at which a size fits.
fn fit(size: [f64; 2], room: [f64; 2]) -> f64 {
    (room[0] / size[0].max(1e-9)).min(room[1] / size[1].max(1e-9))
}

fn side(s: &Subject<'_>, plan: &Plan, room: [f64; 2]) -> Drawing {
    let mut d = Drawing::default();
    let lines = s.loft.lines();
    let (low, high) = s.loft.x_range();
    let steps = 120;
    let at = |k: usize| low + (high - low) * k as f64 / steps as f64;
    let crown = (0..=steps).map(|k| [at(k), lines.crown.at(at(k)).value]);
    let keel = (0..=steps).rev().map(|k| [at(k), lines.keel.at(at(k)).value]);
    let outline: Vec<Point> = crown.chain(keel).collect();
    let mut bounds = Rect::NOTHING;
    outline.iter().for_each(|&p| bounds.include(p));
    plan.ledger.layers.iter().for_each(|l| {
        bounds.include([l.front, bounds.min[1]]);
        bounds.include([l.rear, bounds.min[1]]);
    });
    let k = fit(bounds.size(), [room[0] - 8.0, room[1] - 22.0]);
    let map = scaled(bounds.min, k);
    for layer in &plan.ledger.layers {
        draw_layer(&mut d, s, plan, layer, &map);
    }
    if let Some(centre) = &plan.centre {
        draw_region(&mut d, &centre.part, &map, &Stroke::solid(0.2, Ink::BLACK));
    }
    let points: Vec<Point> = outline.iter().map(|&p| map.apply(p)).collect();
    d.push(Path::polygon(&points, Some(Stroke::dashed(0.15, Ink::DARK, &[1.5, 1.0])), None));
    number_layers(&mut d, plan, &map, k * bounds.size()[1]);
    d
}

/// A layer from its lower to its upper edge: those of the former for a card, of the plug for the rest.
fn draw_layer(d: &mut Drawing, s: &Subject<'_>, plan: &Plan, layer: &Layer, map: &Affine) {
    let middle = 0.5 * (layer.front + layer.rear);
    let heights = |x: f64| s.loft.section(x).map(|q| (q.keel(), q.crown()));
    let ink = match layer.kind {
        LayerKind::Card(_) => CARD,
        LayerKind::RingPlate => PLATE,
        LayerKind::Board(_) | LayerKind::NoseFoam => FOAM,
    };
    let former = match layer.kind {
        LayerKind::Card(n) => plan.formers.iter().find(|f| f.number == n),
        _ => None,
    };
    let card = former.and_then(|f| f.outline.bounds()).map(|(a, b)| (a[1], b[1]));
    let inside = |x: f64| x.clamp(s.loft.x_range().0, s.loft.x_range().1);
    let (front, rear) = (heights(inside(layer.front)), heights(inside(layer.rear)));
    let corners: Vec<Point> = match (card, front, rear) {
        (Some((low, high)), ..) => {
            vec![[layer.front, low], [layer.rear, low], [layer.rear, high], [layer.front, high]]
        }
        (None, Some(f), Some(r)) => {
            let m = heights(inside(middle)).unwrap_or(f);
            vec![
                [layer.front, f.0],
                [middle, m.0],
                [layer.rear, r.0],
                [layer.rear, r.1],
                [middle, m.1],
                [layer.front, f.1],
            ]
        }
        _ => return,
    };
    let corners: Vec<Point> = corners.iter().map(|&p| map.apply(p)).collect();
    d.push(Path::polygon(&corners, Some(Stroke::solid(0.1, Ink::DARK)), Some(ink)));
}

/// Card numbers above, board numbers below, stations under the cards; what finds no room is left to the tables.
fn number_layers(d: &mut Drawing, plan: &Plan, map: &Affine, top: f64) {
    let step = 1.25 * NUMBER;
    for layer in &plan.ledger.layers {
        let x = map.apply([0.5 * (layer.front + layer.rear), 0.0])[0];
        let text = |words: String, y: f64| Text::new(words, [x, y], NUMBER).anchored(Anchor::Middle);
        match layer.kind {
            LayerKind::Card(n) => {
                label(d, [0, 1].map(|r| text(n.to_string(), top + 2.0 + f64::from(r) * step).bold()));
                let station = Text::new(mm(layer.front), [x + 0.35 * NUMBER, -step - 2.0], 0.8 * NUMBER);
                label(d, [station.turned(90.0).anchored(Anchor::End).ink(Ink::DARK)]);
            }
            LayerKind::Board(n) => {
                label(d, [text(n.to_string(), -step)]);
            }
            LayerKind::NoseFoam => {
                label(d, [text("nose".to_owned(), -step)]);
            }
            LayerKind::RingPlate => {
                label(d, [text("ring".to_owned(), top + 2.0), text("ring".to_owned(), top + 2.0 + step)]);
            }
        }
    }
}

fn above(plan: &Plan, room: [f64; 2]) -> Drawing {
    let mut d = Drawing::default();
    let mut bounds = Rect::NOTHING;
    for b in &plan.blocks {
        bounds.include([b.stations.0, b.corner[0]]);
        bounds.include([b.stations.1, b.corner[0] + b.size[0]]);
    }
    let k = fit(bounds.size(), [room[0] - 8.0, room[1]]);
    let map = scaled(bounds.min, k);
    for former in &plan.formers {
        if let Some((a, b)) = former.outline.bounds() {
            let card = Rect { min: [former.front, a[0]], max: [former.rear, b[0]] };
            d.push(Path::rect(&map.apply_rect(&card), Some(Stroke::solid(0.1, Ink::DARK)), Some(CARD)));
        }
    }
    let on_top = |b: &&Block| b.level != Level::Below;
    for block in plan.blocks.iter().filter(on_top) {
        draw_block(&mut d, plan, block, &map);
    }
    let line = [[bounds.min[0] - 4.0 / k, 0.0], [bounds.max[0] + 4.0 / k, 0.0]].map(|p| map.apply(p));
    d.push(Path::line(line[0], line[1], Stroke::dashed(0.13, Ink::DARK, &[8.0, 1.5, 1.0, 1.5])));
    d
}

/// A block from above, with its name and that of the block under it.
fn draw_block(d: &mut Drawing, plan: &Plan, block: &Block, map: &Affine) {
    let [low, high] = [block.corner[0], block.corner[0] + block.size[0]];
    let area = map.apply_rect(&Rect { min: [block.stations.0, low], max: [block.stations.1, high] });
    d.push(Path::rect(&area, Some(Stroke::solid(0.15, Ink::DARK)), Some(FOAM)));
    let below = plan.blocks.iter().find(|b| b.level == Level::Below && b.bay == block.bay && b.side == block.side);
    let names: Vec<&str> = [Some(block), below].into_iter().flatten().map(|b| b.name.as_str()).collect();
    let c = area.centre();
    for (k, name) in names.iter().enumerate() {
        let level = c[1] - 0.35 * NUMBER - (k as f64 - 0.5 * (names.len() - 1) as f64) * 1.3 * NUMBER;
        let plain = Text::new(*name, [c[0], level], NUMBER).anchored(Anchor::Middle).bold();
        let x = c[0] + 0.35 * NUMBER + (k as f64 - 0.5 * (names.len() - 1) as f64) * 1.3 * NUMBER;
        let upright = Text::new(*name, [x, c[1]], NUMBER).anchored(Anchor::Middle).bold().turned(90.0);
        let fits = plain.width() < area.size()[0];
        label(d, if fits { [plain.clone(), upright.clone()] } else { [upright, plain] });
    }
}

/// How far a millimetre to port moves to the right and down in the oblique picture.
const OBLIQUE: [f64; 2] = [0.42, 0.22];

/// Formers from the rear to the front, so that the nearer hides the farther; drawn apart so far that each shows its number.
fn behind_each_other(plan: &Plan, room: [f64; 2]) -> Drawing {
    let mut d = Drawing::default();
    let Some(apart) = spread(&plan.formers) else { return d };
    let place = |f: &Former, p: Point| [f.front * apart - OBLIQUE[0] * p[0], p[1] + OBLIQUE[1] * p[0]];
    let mut bounds = Rect::NOTHING;
    for f in &plan.formers {
        f.part.pieces.iter().flatten().flatten().for_each(|&p| bounds.include(place(f, p)));
    }
    let k = fit(bounds.size(), [room[0] - 6.0, room[1] - 14.0]);
    let map = scaled(bounds.min, k);
    for f in plan.formers.iter().rev() {
        for piece in &f.part.pieces {
            let moved: Vec<Vec<Point>> =
                piece.iter().map(|c| c.iter().map(|&p| map.apply(place(f, p))).collect()).collect();
            draw_contours(&mut d, &moved, &Stroke::solid(0.15, Ink::BLACK), Some(Ink([244, 232, 214])));
        }
    }
    let foot = |f: &Former| f.outline.bounds().map(|(low, _)| map.apply(place(f, [0.0, low[1]])));
    for f in &plan.formers {
        let Some([x, y]) = foot(f) else { continue };
        let levels = [y - 1.4 * NUMBER, y - 2.7 * NUMBER];
        label(
            &mut d,
            levels.map(|at| Text::new(f.number.to_string(), [x, at], NUMBER).anchored(Anchor::Middle).bold()),
        );
    }
    d
}

/// By how much stations are drawn apart: so that a former of middling breadth covers no more than a part of the next.
fn spread(formers: &[Former]) -> Option<f64> {
    let (first, last) = (formers.first()?, formers.last()?);
    let breadths = formers.iter().filter_map(|f| f.outline.bounds()).map(|(a, b)| b[0] - a[0]);
    let widest = breadths.fold(0.0, f64::max);
    let pitch = (last.front - first.front) / (formers.len().max(2) - 1) as f64;
    Some((0.5 * OBLIQUE[0] * widest / pitch.max(1e-6)).max(1.0))
}

fn draw_region(d: &mut Drawing, region: &Region, map: &Affine, pen: &Stroke) {
    for piece in &region.pieces {
        let moved: Vec<Vec<Point>> = piece.iter().map(|c| c.iter().map(|&p| map.apply(p)).collect()).collect();
        draw_contours(d, &moved, pen, None);
    }
}

/// Outline and holes as one path, so that what lies in a hole is not painted; points that paper cannot show are left out.
fn draw_contours(d: &mut Drawing, contours: &[Vec<Point>], pen: &Stroke, fill: Option<Ink>) {
    let segments = contours.iter().flat_map(|c| Path::polygon(&thinned(c), None, None).segments).collect();
    d.push(Path { segments, stroke: Some(pen.clone()), fill });
}

/// Without points that lie nearer than this to the last one, mm on paper.
const COARSE: f64 = 0.15;

fn thinned(contour: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::new();
    for &p in contour {
        if out.last().is_none_or(|q| (p[0] - q[0]).hypot(p[1] - q[1]) >= COARSE) {
            out.push(p);
        }
    }
    out
}
