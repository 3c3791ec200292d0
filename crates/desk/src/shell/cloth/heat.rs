//! Shear as colours, on the form and flat.

use form::space::Vector;
use shell::cloth::{Mended, WATCH};
use shell::drape::Number;

/// What shear of that size means for a cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Well below its locking angle.
    Fine,
    /// From [`WATCH`] of its locking angle on.
    Watched,
    /// Past its locking angle: it folds.
    Locked,
    /// It lies on the allowance or the overlap, for the most part: it is cut off, or lies on the other half, and its shear does not count.
    Overlap,
}

impl Level {
    /// Of a shear, for a locking angle, degrees.
    pub fn of(shear_deg: f64, locking_deg: f64) -> Self {
        match shear_deg.abs() {
            s if s > locking_deg => Self::Locked,
            s if s > WATCH * locking_deg => Self::Watched,
            _ => Self::Fine,
        }
    }
}

/// A cell of the net, to be coloured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatCell {
    /// Number of its least corner, in yarns along warp and weft from the start.
    pub number: Number,
    /// Its corners on the form, in order round it; seen from outside the order runs counter-clockwise.
    pub corners: [Vector; 4],
    /// The same flat, mm along warp and weft from the start cross.
    pub flat: [[f64; 2]; 4],
    /// Signed shear, degrees.
    pub shear_deg: f64,
    /// What that means.
    pub level: Level,
    /// Whether most of it lies on the part; otherwise it lies on the allowance or overlap.
    pub on_part: bool,
}

impl HeatCell {
    /// Its colour, for a locking angle, degrees.
    pub fn colour(&self, locking_deg: f64) -> [u8; 3] {
        if self.level == Level::Overlap { OVERLAP } else { heat_colour(self.shear_deg, locking_deg) }
    }
}

/// Red, green and blue of what lies on the allowance or the overlap: off the scale of shear.
pub const OVERLAP: [u8; 3] = [206, 206, 204];

/// Every cell of a cloth that lies within its cut line for the most part.
pub fn heat(cloth: &Mended, locking_deg: f64) -> Vec<HeatCell> {
    let mut out = Vec::new();
    for piece in &cloth.pieces {
        let side = piece.net.cell();
        for cell in piece.cells().filter(|c| c.of_cloth >= 0.5) {
            let own = [0, 1].map(|k| cell.number[k] - piece.offset[k]);
            let Some(nodes) = piece.net.corners(own) else { continue };
            let flat = [[0, 0], [1, 0], [1, 1], [0, 1]]
                .map(|d: [i32; 2]| [0, 1].map(|k| f64::from(cell.number[k] + d[k]) * side));
            out.push(HeatCell {
                number: cell.number,
                corners: nodes.map(|n| n.p),
                flat,
                shear_deg: cell.shear_deg,
                level: if cell.counts() { Level::of(cell.shear_deg, locking_deg) } else { Level::Overlap },
                on_part: cell.counts(),
            });
        }
    }
    out
}

/// The cells' flat corners with their colour, for drawing.
pub fn flat_heat(cells: &[HeatCell], locking_deg: f64) -> Vec<([[f64; 2]; 4], [u8; 3])> {
    cells.iter().map(|c| (c.flat, c.colour(locking_deg))).collect()
}

/// Red, green and blue of a shear, for a locking angle, degrees: from pale to full as the locking angle comes nearer, a colour of its
/// own from there on.
pub fn heat_colour(shear_deg: f64, locking_deg: f64) -> [u8; 3] {
    /// Share of the locking angle, and the colour there; between them it runs evenly.
    const SCALE: [(f64, [f64; 3]); 4] = [
        (0.0, [236.0, 243.0, 246.0]),
        (0.5, [140.0, 196.0, 200.0]),
        (WATCH, [240.0, 205.0, 96.0]),
        (1.0, [226.0, 132.0, 40.0]),
    ];
    const LOCKED: [u8; 3] = [176, 28, 46];
    let share = shear_deg.abs() / locking_deg.max(f64::MIN_POSITIVE);
    if share > 1.0 {
        return LOCKED;
    }
    let k = SCALE.iter().rposition(|(from, _)| *from <= share).unwrap_or(0).min(SCALE.len() - 2);
    let ((from, a), (to, b)) = (SCALE[k], SCALE[k + 1]);
    let t = (share - from) / (to - from);
    std::array::from_fn(|c| (a[c] + t * (b[c] - a[c])).round() as u8)
}

/// Every `every`-th yarn, warp and weft, as lines on the form, mm; broken where the cloth is slit or ends.
pub fn yarns(cloth: &Mended, every: i32) -> Vec<Vec<Vector>> {
    let every = every.max(1);
    let mut out = Vec::new();
    for piece in &cloth.pieces {
        let [i, j] = piece.net.range();
        for along in [0, 1] {
            let (run, across) = if along == 0 { (i, j) } else { (j, i) };
            for b in (across.0..=across.1).filter(|b| (b + piece.offset[1 - along]).rem_euclid(every) == 0) {
                let mut line: Vec<Vector> = Vec::new();
                for a in run.0..=run.1 {
                    let number = if along == 0 { [a, b] } else { [b, a] };
                    let node = piece.net.node(number).filter(|n| n.margin.cloth <= 0.0 && piece.covers(number));
                    match node {
                        Some(node) => line.push(node.p),
                        None => keep(&mut out, &mut line),
                    }
                }
                keep(&mut out, &mut line);
            }
        }
    }
    out
}

fn keep(out: &mut Vec<Vec<Vector>>, line: &mut Vec<Vector>) {
    if line.len() > 1 {
        out.push(std::mem::take(line));
    }
    line.clear();
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test may stop at the first surprise
mod tests {
    use super::*;
    use shell::cloth::Cloth;
    use shell::drape::{At, Jet, Margin, Net, Start, Surface};

    /// Half a ball of 100 mm, of which what lies below 30 mm is overlap.
    struct Half;

    impl Surface for Half {
        fn jet(&self, _sheet: usize, [polar, azimuth]: At) -> Jet {
            let ((sp, cp), (sa, ca)) = (polar.sin_cos(), azimuth.sin_cos());
            let by = [[cp * ca, cp * sa, -sp], [-sp * sa, sp * ca, 0.0]].map(|by| by.map(|c| 100.0 * c));
            Jet { p: [sp * ca, sp * sa, cp].map(|c| 100.0 * c), by }
        }
        fn moved(&self, [polar, azimuth]: At, by: [f64; 2]) -> At {
            let (out, across) = (polar + by[0], polar * by[1]);
            [out.hypot(across), azimuth + across.atan2(out)]
        }
        fn margin(&self, _: At, jet: &Jet) -> Margin {
            Margin { part: 30.0 - jet.p[2], cloth: -jet.p[2] }
        }
        fn overrun(&self) -> f64 {
            20.0
        }
    }

    /// On a ball the net shears by 52 degrees at the equator and by 40 about 24 mm above it: past locking in the overlap alone.
    #[test]
    fn overlap_is_off_the_scale_however_it_shears() {
        let net = Net::drape(&Half, &Start { at: [1e-9, 0.0], warp: [1.0, 0.0, 0.0] }, 4.0).unwrap();
        let cloth = Mended::uncut(net, &Cloth { locking_deg: 42.0, width: 1000.0 });
        assert!(cloth.judgement.wrinkles.is_empty());
        let cells = heat(&cloth, 42.0);
        let folds = |cell: &&HeatCell| cell.shear_deg.abs() > 42.0;
        assert!(cells.iter().filter(folds).count() > 20);
        assert!(cells.iter().filter(folds).all(|cell| cell.level == Level::Overlap && cell.colour(42.0) == OVERLAP));
        assert!(cells.iter().all(|cell| (cell.level == Level::Overlap) != cell.on_part));
        assert!(!cells.iter().any(|cell| cell.colour(42.0) == heat_colour(90.0, 42.0)), "none is red");
        // The scale of shear has no such colour.
        assert!((0..=100).all(|k| heat_colour(f64::from(k), 50.0) != OVERLAP));
    }
}
