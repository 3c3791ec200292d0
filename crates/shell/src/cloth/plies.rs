//! Several plies over one another, each with its own angle, their seams staggered.

use super::judge::judge;
use super::search::Found;
use super::{Cloth, Judgement};
use crate::drape::{At, DrapeError, Net, Outside, Seam};
use form::space::length;

/// A ply that has been draped.
#[derive(Clone, Debug, PartialEq)]
pub struct DrapedPly {
    /// Angle of its warp from the way forward, degrees.
    pub angle_deg: f64,
    /// Its seam, moved aside from that of the ply below.
    pub seam: Option<Seam>,
    /// Its net.
    pub net: Net,
    /// What the net says.
    pub judgement: Judgement,
}

/// Drapes plies from one start at their angles from the way forward, degrees. Seams lie in turn on either side of the first ply's,
/// one `stagger` further aside each time, mm: 0, +1, -1, +2, -2 times. Staggering is common practice, no source.
///
/// # Errors
/// As [`Net::drape`].
pub fn drape_plies(
    outside: &Outside,
    first: &Found,
    angles_deg: &[(f64, Cloth)],
    stagger: f64,
    cell: f64,
) -> Result<Vec<DrapedPly>, DrapeError> {
    let part_area = outside.part_area();
    let ply = |(k, &(angle_deg, cloth)): (usize, &(f64, Cloth))| {
        let seam = first.seam.map(|seam| moved(outside, first.at, seam, steps(k) * stagger));
        let seamed = outside.clone().with_seam(seam);
        let net = Net::drape(&seamed, &seamed.start(first.at, angle_deg), cell)?;
        let judgement = judge(&net, &cloth, part_area);
        Ok(DrapedPly { angle_deg, seam, net, judgement })
    };
    angles_deg.iter().enumerate().map(ply).collect()
}

/// The seam of the ply of that number, from 0, of those that start at a place: opposite the start for the first, the others aside from it
/// in turn as [`drape_plies`] says. `None` where cloth has no edges to meet.
pub fn staggered_seam(outside: &Outside, at: At, number: usize, stagger: f64, overlap: f64) -> Option<Seam> {
    outside.seam_opposite(at, overlap).map(|seam| moved(outside, at, seam, steps(number) * stagger))
}

/// By how many staggers the edges of the ply of that number, from 0, lie aside: 0, +1, -1, +2, -2 and so on.
pub fn steps(number: usize) -> f64 {
    number.div_ceil(2) as f64 * if number % 2 == 1 { 1.0 } else { -1.0 }
}

/// A seam moved round by a distance as it is measured at the start's station.
fn moved(outside: &Outside, at: At, seam: Seam, by: f64) -> Seam {
    let mut round = seam.round;
    let steps = 40;
    for _ in 0..steps {
        let speed = length(outside.by_round([at[0], round]));
        round += by / f64::from(steps) / speed.max(1e-9);
    }
    Seam { round, ..seam }
}
