//! Foam blocks: per bay one on each side of the centre template (nine bays give eighteen blocks: common practice, no source), and
//! above and below a breadth template that runs through the bay.

use crate::formers::Former;
use crate::front::ahead_of;
use crate::nesting::{Nesting, Piece, Stock, nest};
use crate::openings::{CutOut, OpeningOnPlug};
use crate::region::{Point, Region};
use crate::slots::FAR;
use crate::stack::{Layer, LayerKind};
use crate::surface::{CUT, half, whole};
use crate::wire::{self, Window, WirePath};
use form::PlugSurface;
use form::openings::CutPlane;
use geometry::oblique::ObliquePlane;
use project::build::Foam;

/// On which side of the centre plane a part lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// y > 0.
    Starboard,
    /// y < 0.
    Port,
}

impl Side {
    /// Both.
    pub const BOTH: [Self; 2] = [Self::Starboard, Self::Port];

    /// The word for it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Starboard => "starboard",
            Self::Port => "port",
        }
    }
}

/// Whether a block fills its bay's whole height, or lies above or below the breadth template.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// The whole height.
    Whole,
    /// Above the breadth template.
    Above,
    /// Below it.
    Below,
}

/// One block of foam.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Its name on the assembly picture and on the block: bay and side, e.g. "3S", "3S above"; "nose S" ahead of the first face.
    pub name: String,
    /// Number of the board (bay) it is cut for, from the front; 0 for nose foam.
    pub bay: usize,
    /// Side of the centre plane.
    pub side: Side,
    /// Part of the height.
    pub level: Level,
    /// Station of its front and of its rear face, mm.
    pub stations: (f64, f64),
    /// Thickness of the board it is cut from, as measured, mm.
    pub board: f64,
    /// Outline of the finished plug on its front face, y to starboard, z up.
    pub front_face: Region,
    /// The same on its rear face.
    pub rear_face: Region,
    /// Lower left corner of the block as cut, looking at it with y to starboard and z up.
    pub corner: Point,
    /// Breadth and height as cut, with the sanding allowance on every side that is sanded, mm.
    pub size: [f64; 2],
    /// Centres of the dowel holes on its faces, as the formers beside it have them.
    pub dowels: Vec<Point>,
    /// What ducts pass on its front and on its rear face.
    pub ducts: [Vec<CutOut>; 2],
    /// Volume that is left after sanding, mm³: Simpson's rule over front face, middle and rear face, less
    /// what the ring's plane takes off a block that is as wide as its front face.
    pub volume: f64,
    edges: Window,
}

impl Block {
    /// What a wire follows to cut it with this sanding allowance on all that is sanded; `None` where one of its faces is too small for
    /// that.
    pub fn wire(&self, allowance: f64) -> Option<WirePath> {
        let window = window(self.side, &self.edges);
        let grown = |face: &Region| face.grown(allowance).intersection(&window);
        wire::path(grown(&self.front_face), grown(&self.rear_face), &self.edges)
    }

    /// Thickness along the body, mm.
    pub fn thickness(&self) -> f64 {
        self.stations.1 - self.stations.0
    }

    /// Takes over the dowel holes of the formers that lie against its faces, where its foam reaches.
    pub(crate) fn take_dowels(&mut self, formers: &[Former], glue: f64) {
        let beside = |f: &&Former| {
            let apart = (f.front - self.stations.1).abs().min((self.stations.0 - f.rear).abs());
            apart <= glue + 1e-6
        };
        let foam = self.front_face.union(&self.rear_face);
        let mut dowels: Vec<Point> = Vec::new();
        for p in formers.iter().filter(beside).flat_map(|f| &f.dowels).filter(|p| foam.contains(**p)) {
            if !dowels.contains(p) {
                dowels.push(*p);
            }
        }
        self.dowels = dowels;
    }

    /// Takes note of the ducts that pass its faces.
    pub(crate) fn mark_ducts(&mut self, openings: &[OpeningOnPlug]) {
        let window = window(self.side, &self.edges);
        for (k, face) in [&self.front_face, &self.rear_face].into_iter().enumerate() {
            let station = if k == 0 { self.stations.0 } else { self.stations.1 };
            let passes = openings.iter().filter_map(|o| o.cut_out([CutPlane::Station(station); 2]));
            self.ducts[k] = passes
                .map(|c| CutOut { region: c.region.intersection(face).intersection(&window), ..c })
                .filter(|c| !c.region.is_empty())
                .collect();
        }
    }

    /// Volume as cut, mm³.
    pub fn cut_volume(&self) -> f64 {
        self.size[0] * self.size[1] * self.thickness()
    }
}

/// What runs through the foam of a bay.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Through {
    /// Whether the centre template does.
    pub(crate) centre: bool,
    /// Height of a breadth template that does.
    pub(crate) breadth: Option<f64>,
    /// Card thickness.
    pub(crate) card: f64,
}

/// The blocks of a board (or of nose foam). A block is left out where nothing of the plug lies in it.
/// What the ring's plane takes off does not count as volume; the block is cut whole all the same, and trimmed once it is glued.
pub(crate) fn blocks(
    plug: &PlugSurface,
    layer: &Layer,
    through: &Through,
    allowance: f64,
    ring: Option<&ObliquePlane>,
) -> Vec<Block> {
    let bay = match layer.kind {
        LayerKind::Board(n) => n,
        _ => 0,
    };
    let (low, high) = plug.x_range();
    let (front, rear) = (layer.front.clamp(low, high), layer.rear.clamp(low, high));
    let sections = [front, 0.5 * (front + rear), rear].map(|x| whole(&half(plug, x, 0.0, CUT)));
    let levels: &[Level] = if through.breadth.is_some() { &[Level::Above, Level::Below] } else { &[Level::Whole] };
    let places = levels.iter().flat_map(|level| Side::BOTH.map(|side| (side, *level)));
    let blocks = places.filter_map(|place| block(&sections, layer, bay, place, through, allowance));
    let trimmed = |mut b: Block| {
        b.volume -= ring.map_or(0.0, |plane| ahead_of(&b.front_face, plane, b.stations));
        b
    };
    // Of a block that lies wholly ahead of the plane nothing would be left.
    blocks.map(trimmed).filter(|b| b.volume > LEAST_VOLUME).collect()
}

/// A block of which less is left is none, mm³.
const LEAST_VOLUME: f64 = 1.0;

fn block(
    sections: &[Region; 3],
    layer: &Layer,
    bay: usize,
    (side, level): (Side, Level),
    through: &Through,
    allowance: f64,
) -> Option<Block> {
    let edges = edges(level, through);
    let window = window(side, &edges);
    let [front, middle, rear] = [0, 1, 2].map(|k: usize| sections[k].intersection(&window));
    let (low, high) = around([&front, &middle, &rear])?;
    let stations = (layer.front, layer.rear);
    let volume = (stations.1 - stations.0) / 6.0 * (front.area() + 4.0 * middle.area() + rear.area());
    let sanded = |edge: Level| if level == edge { 0.0 } else { allowance };
    let (below, above) = (sanded(Level::Above), sanded(Level::Below));
    let size = [high[0] - low[0] + allowance, high[1] - low[1] + below + above];
    let outward = if side == Side::Port { allowance } else { 0.0 };
    let letter = if side == Side::Starboard { "S" } else { "P" };
    let bay_name = if bay == 0 { "nose ".to_owned() } else { bay.to_string() };
    let suffix = match level {
        Level::Whole => "",
        Level::Above => " above",
        Level::Below => " below",
    };
    Some(Block {
        name: format!("{bay_name}{letter}{suffix}"),
        bay,
        side,
        level,
        stations,
        board: layer.measured,
        front_face: front,
        rear_face: rear,
        corner: [low[0] - outward, low[1] - below],
        size,
        dowels: Vec::new(),
        ducts: [Vec::new(), Vec::new()],
        volume,
        edges,
    })
}

/// Lower and upper corner of the upright rectangle around some regions.
fn around(regions: [&Region; 3]) -> Option<(Point, Point)> {
    let boxes = regions.into_iter().filter_map(Region::bounds);
    boxes.reduce(|a, b| ([0, 1].map(|k: usize| a.0[k].min(b.0[k])), [0, 1].map(|k: usize| a.1[k].max(b.1[k]))))
}

/// The straight edges of what a block may fill.
fn edges(level: Level, through: &Through) -> Window {
    let inner = if through.centre { 0.5 * through.card } else { 0.0 };
    let heights = match (level, through.breadth) {
        (Level::Above, Some(z)) => (z + 0.5 * through.card, FAR),
        (Level::Below, Some(z)) => (-FAR, z - 0.5 * through.card),
        _ => (-FAR, FAR),
    };
    Window { inner, heights }
}

/// The part of the cross plane that a block may fill.
fn window(side: Side, edges: &Window) -> Region {
    let starboard = Region::rectangle([edges.inner, edges.heights.0], [FAR, edges.heights.1]);
    if side == Side::Starboard { starboard } else { starboard.mirrored() }
}

/// Boards of one nominal thickness, and how blocks are cut from them.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardPlan {
    /// Nominal thickness, mm: as boards are sold. Each block keeps the measured thickness of its own bay.
    pub thickness: f64,
    /// Indices of the blocks, in the order of the nesting's pieces.
    pub blocks: Vec<usize>,
    /// Where they lie on the boards.
    pub nesting: Nesting,
}

/// Thicknesses in which rigid foam boards are sold, mm (makers' sheets, EN 13164).
const SOLD: [f64; 8] = [20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 120.0];

/// The thickness a measured board was sold as, by tolerance class T1 of EN 13164: 2 mm either way below 50 mm, from -2 to +3 mm up
/// to 120 mm. A board outside all of these is its own kind, to a tenth of a millimetre.
fn nominal(measured: f64) -> f64 {
    let sold_as = |n: &&f64| measured >= **n - 2.0 && measured <= **n + if **n < 50.0 { 2.0 } else { 3.0 };
    let nearest = SOLD.iter().filter(sold_as).min_by(|a, b| (*a - measured).abs().total_cmp(&(*b - measured).abs()));
    nearest.copied().unwrap_or((measured * 10.0).round() / 10.0)
}

/// Nests the blocks on boards, each nominal thickness by itself.
pub(crate) fn boards(blocks: &[Block], foam: &Foam) -> Vec<BoardPlan> {
    let mut groups: Vec<(f64, Vec<usize>)> = Vec::new();
    for (i, block) in blocks.iter().enumerate() {
        let thickness = nominal(block.board);
        match groups.iter_mut().find(|g| g.0 == thickness) {
            Some(group) => group.1.push(i),
            None => groups.push((thickness, vec![i])),
        }
    }
    let stock = Stock { size: foam.board, edge: foam.edge, kerf: foam.kerf };
    let plan = |(thickness, indices): (f64, Vec<usize>)| {
        let pieces: Vec<Piece> = indices.iter().map(|&i| Piece { size: blocks[i].size }).collect();
        BoardPlan { thickness, nesting: nest(&pieces, &stock), blocks: indices }
    };
    groups.into_iter().map(plan).collect()
}

/// What the plug weighs.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mass {
    /// Foam after sanding, mm³.
    pub foam_volume: f64,
    /// Foam after sanding, g.
    pub foam: f64,
    /// Foam as cut, before sanding, mm³.
    pub cut_volume: f64,
    /// Card, mm².
    pub card_area: f64,
    /// Card, g.
    pub card: f64,
}

pub(crate) fn mass(blocks: &[Block], card_area: f64, foam: &Foam) -> Mass {
    let volume: f64 = blocks.iter().map(|b| b.volume).sum();
    Mass {
        foam_volume: volume,
        // mm³ · kg/m³ = 1e-6 g, mm² · g/m² = 1e-6 g.
        foam: volume * foam.density * 1e-6,
        cut_volume: blocks.iter().map(Block::cut_volume).sum(),
        card_area,
        card: card_area * foam.card_weight * 1e-6,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measured_boards_are_sold_as_their_nominal_thickness() {
        assert_eq!([28.0, 30.2, 32.0, 48.5, 53.0, 25.0].map(nominal), [30.0, 30.0, 30.0, 50.0, 50.0, 25.0]);
    }
}
