//! How far a pixel lies from the silhouette near a place of it, on the true surface.

use super::eye::Eye;
use super::grid::{BESIDE, Spot, SurfaceNode};
use super::link::SilhouetteKind;
use super::silhouette::SilhouettePlace;
use geometry::control::Half;
use geometry::loft::Loft;
use photo::PictureCamera;
use project::photograph::Side;

/// Newton's steps at most, and how small the last must be (shares of a run, and of the length).
const STEPS: usize = 25;
const CLOSE: f64 = 1e-8;
/// Steps for derivatives by differences, well above the noise of lengths along arcs.
const H: f64 = 3e-5;

/// The cosine between normal and line of sight below which a surface is seen edge on.
const EDGE_ON: f64 = 1e-5;

/// Where the silhouette passes a pixel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// Where on the surface.
    pub spot: Spot,
    /// Where it is, mm.
    pub point: [f64; 3],
    /// From the silhouette to the pixel along `outward` of the place that was started from, px: positive outside.
    pub distance_px: f64,
}

/// Where the silhouette meets the straight line through `pixel` along `place.outward`, sought by Newton's method from `place`; on an
/// edge or a rim the edge stays one. `None` where it is not found near that place, and for a tip.
pub fn contact(loft: &Loft, camera: &PictureCamera, place: &SilhouettePlace, pixel: [f64; 2]) -> Option<Contact> {
    let search = Search { loft, eye: &Eye::new(camera), place, pixel };
    let mut spot = place.spot;
    for _ in 0..STEPS {
        let step = search.step(spot)?;
        spot = search.moved(spot, step);
        if step[0].abs() + step[1].abs() < CLOSE {
            let node = SurfaceNode::at(loft, spot)?;
            if !search.turns_away(spot, &node) {
                return None;
            }
            return Some(Contact { spot, point: node.point, distance_px: search.aside(&node)?[1] });
        }
    }
    None
}

struct Search<'a> {
    loft: &'a Loft,
    eye: &'a Eye,
    place: &'a SilhouettePlace,
    pixel: [f64; 2],
}

impl Search<'_> {
    fn length(&self) -> f64 {
        let (low, high) = self.loft.x_range();
        high - low
    }

    /// From the node's picture to the pixel: along the silhouette, and outward, px.
    fn aside(&self, node: &SurfaceNode) -> Option<[f64; 2]> {
        let at = self.eye.shown(node.point)?.pixel;
        let [dx, dy] = [self.pixel[0] - at[0], self.pixel[1] - at[1]];
        let [nx, ny] = self.place.outward;
        Some([nx * dy - ny * dx, nx * dx + ny * dy])
    }

    /// Whether the surface turns away there: smoothly, or at an edge that the silhouette has come to.
    fn turns_away(&self, spot: Spot, node: &SurfaceNode) -> bool {
        if self.place.kind != SilhouetteKind::Surface || node.facing(self.eye).abs() < EDGE_ON {
            return true;
        }
        let beside =
            [-H, H].map(|h| SurfaceNode::at(self.loft, self.moved(spot, [0.0, h])).map(|n| n.facing(self.eye)));
        matches!(beside, [Some(a), Some(b)] if a * b < 0.0)
    }

    /// What must vanish: the facing, and the pixel's distance along the silhouette as an angle.
    fn miss(&self, spot: Spot) -> Option<[f64; 2]> {
        let node = SurfaceNode::at(self.loft, spot)?;
        Some([node.facing(self.eye), self.aside(&node)?[0] / self.eye.focal_px()])
    }

    /// Newton's step, in shares of the length and of the run.
    fn step(&self, spot: Spot) -> Option<[f64; 2]> {
        let here = self.miss(spot)?;
        let by = |step: [f64; 2]| {
            let h = if step[0] + step[1] > 0.0 { 1.0 } else { -1.0 };
            self.miss(self.moved(spot, step)).map(|m| [0, 1].map(|k| (m[k] - here[k]) / (H * h)))
        };
        // Away from the ends, where there is no surface beyond.
        let (low, high) = self.loft.x_range();
        let aft = if spot.x + H * (high - low) > high { -H } else { H };
        let round = if spot.fraction + H > 1.0 { -H } else { H };
        let at_mark = spot.fraction <= 0.0 || spot.fraction >= 1.0;
        let step = match self.place.kind {
            SilhouetteKind::Tip => return None,
            SilhouetteKind::Rim => [0.0, -here[1] / by([0.0, round])?[1]],
            SilhouetteKind::Edge if at_mark => [-here[1] / by([aft, 0.0])?[1], 0.0],
            SilhouetteKind::Edge => [0.0, -here[1] / by([0.0, round])?[1]],
            SilhouetteKind::Surface => {
                let (x, f) = (by([aft, 0.0])?, by([0.0, round])?);
                let turn = x[0] * f[1] - f[0] * x[1];
                [(here[1] * f[0] - here[0] * f[1]) / turn, (here[0] * x[1] - here[1] * x[0]) / turn]
            }
        };
        let sound = step.iter().all(|s| s.is_finite());
        sound.then(|| [step[0].clamp(-0.05, 0.05), step[1].clamp(-0.2, 0.2)])
    }

    /// The spot after a step in shares of the length and of the run: from run to run, and over the centre plane to the other
    /// side.
    fn moved(&self, spot: Spot, [aft, round]: [f64; 2]) -> Spot {
        let (low, high) = self.loft.x_range();
        // A rim stays at its end; else the surface is read a hair inside, as at an end its slopes are those of what runs on beyond.
        let beside = if self.place.kind == SilhouetteKind::Rim { 0.0 } else { BESIDE * self.length() };
        let x = (spot.x + aft * self.length()).clamp(low + beside, high - beside);
        let fraction = spot.fraction + round;
        let next = if fraction > 1.0 { Some((1_isize, fraction - 1.0)) } else { None };
        let next = if fraction < 0.0 { Some((-1, fraction + 1.0)) } else { next };
        match next {
            None => Spot { x, fraction, ..spot },
            Some((by, fraction)) => self.neighbour(Spot { x, ..spot }, by, fraction),
        }
    }

    fn neighbour(&self, spot: Spot, by: isize, fraction: f64) -> Spot {
        let Some(section) = self.loft.section(spot.x) else { return spot };
        let runs: Vec<(Half, usize)> = section.runs().collect();
        let here = runs.iter().position(|r| *r == (spot.half, spot.run)).unwrap_or(0);
        match here.checked_add_signed(by).and_then(|i| runs.get(i)) {
            Some(&(half, run)) => Spot { half, run, fraction, ..spot },
            None => {
                let side = if spot.side == Side::Port { Side::Starboard } else { Side::Port };
                Spot { side, fraction: 1.0 - fraction, ..spot }
            }
        }
    }
}
