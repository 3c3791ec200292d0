//! A flat end face of a form.

use super::body::Tensor;
use geometry::loft::Loft;

/// Area of a face with its centre and spread; symmetric about the centre plane.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Face {
    pub(crate) area: f64,
    pub(crate) centre_z: f64,
    /// About its centre, mm².
    pub(crate) spread: Tensor,
}

/// How far its outline's chords may lie beside it, mm.
const CHORD: f64 = 0.002;

impl Face {
    /// The face at an end, its outline that of the skin moved inward by a depth.
    pub(crate) fn of(loft: &Loft, x: f64, depth: f64) -> Self {
        let outline = if depth == 0.0 {
            loft.section(x).map(|s| s.polyline(CHORD)).unwrap_or_default()
        } else {
            loft.offset_section(x, depth, CHORD).outline
        };
        Self::within(&outline)
    }

    /// Both halves of the region within a half outline that runs from crown to keel, by Green's theorem over its chords.
    fn within(half: &[[f64; 2]]) -> Self {
        let [mut area, mut z, mut yy, mut zz] = [0.0; 4];
        for w in half.windows(2) {
            let ([y0, z0], [y1, z1]) = (w[0], w[1]);
            // Moments of the triangle that the chord makes with the origin; the centre plane adds none.
            let twice = y1 * z0 - y0 * z1;
            area += twice / 2.0;
            z += twice * (z0 + z1) / 6.0;
            yy += twice * (y0 * y0 + y0 * y1 + y1 * y1) / 12.0;
            zz += twice * (z0 * z0 + z0 * z1 + z1 * z1) / 12.0;
        }
        if area <= 0.0 {
            return Self::default();
        }
        let centre_z = z / area;
        let spread = [0.0, yy / area, zz / area - centre_z * centre_z, 0.0, 0.0, 0.0];
        Self { area: 2.0 * area, centre_z, spread }
    }
}
