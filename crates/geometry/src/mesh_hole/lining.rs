//! What goes on behind a hole: rings of as many points as the line has, joined by strips, and a floor over the last.

use super::{HoleRim, RimPlace, Seen};
use crate::mesh::{Mesh, ears};

impl Mesh {
    /// Lines a hole of this mesh: strips from its rim to the first ring and from ring to ring, their insides outward of the body,
    /// towards the hole. Ring points belong to the points of the line by their number. Gives the edge of the last ring, the hole at
    /// its left.
    pub fn line_hole(&mut self, rim: &HoleRim, rings: &[Vec<[f64; 3]>]) -> HoleRim {
        let mut last = rim.clone();
        for ring in rings.iter().filter(|ring| ring.len() == rim.points) {
            let ring: Vec<[f64; 3]> = if rim.turned { super::turned_round(ring) } else { ring.clone() };
            let first = self.vertices.len() as u32;
            self.vertices.extend(&ring);
            let places =
                (0..ring.len()).map(|i| RimPlace { vertex: first + i as u32, along: i as f64 }).collect::<Vec<_>>();
            self.strip(&last.places, &places, rim.points as f64);
            last.places = places;
        }
        last
    }

    /// The closed strip between two rings that begin at the same place, so that its edge on the first ring runs along it.
    fn strip(&mut self, near: &[RimPlace], far: &[RimPlace], end: f64) {
        // Each ring once round, with its first place again at its end.
        let round = |ring: &[RimPlace], i: usize| {
            ring.get(i).map_or((ring[0].vertex, end), |place| (place.vertex, place.along))
        };
        let (mut i, mut j) = (0, 0);
        while i < near.len() || j < far.len() {
            let (a, b) = (round(near, i), round(far, j));
            let next_near = (i < near.len()).then(|| round(near, i + 1));
            let next_far = (j < far.len()).then(|| round(far, j + 1));
            let near_goes = match (next_near, next_far) {
                (Some(n), Some(f)) => n.1 <= f.1,
                (Some(_), None) => true,
                _ => false,
            };
            match (near_goes, next_near, next_far) {
                (true, Some(next), _) => {
                    self.triangles.push([a.0, next.0, b.0]);
                    i += 1;
                }
                (_, _, Some(next)) => {
                    self.triangles.push([a.0, next.0, b.0]);
                    j += 1;
                }
                _ => return,
            }
        }
    }

    /// Closes a ring with a floor that faces the line of sight; true for a ring that is flat, or nearly so.
    pub fn close_hole(&mut self, rim: &HoleRim, sight: [f64; 3]) {
        let seen = Seen::along(sight);
        let clockwise: Vec<u32> = rim.places.iter().rev().map(|p| p.vertex).collect();
        let triangles = {
            let at = |v: u32| seen.place(self.vertices[v as usize]);
            ears(&clockwise, &at)
        };
        self.triangles.extend(triangles.into_iter().map(|[a, b, c]| [a, c, b]));
    }
}
