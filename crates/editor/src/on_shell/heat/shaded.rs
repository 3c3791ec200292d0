//! Heat maps on the shaded body.

use super::scale::Scale;
use super::{HeatMap, Patch};
use crate::theme::Theme;
use form::space::{dot, sub};
use shade::{Paint, Spot, Studio};

/// Studio light on a body whose colour follows a map, in the hues of a light room, which a lit body needs in any; where the map says
/// nothing it has the plain one.
pub(crate) struct Warmed<'a> {
    pub(crate) map: &'a HeatMap,
    pub(crate) scale: Scale,
    pub(crate) plain: Studio,
}

impl Paint for Warmed<'_> {
    fn light(&self, spot: &Spot) -> [f32; 3] {
        let patch = self.map.near(spot.position);
        let colour = patch.map(|patch| {
            let value = if patch.beyond { patch.value } else { between(patch, spot.position) };
            let [r, g, b, _] = self.scale.colour(Theme::of(false), value).to_array();
            [r, g, b]
        });
        Studio { colour: colour.unwrap_or(self.plain.colour), ..self.plain }.light(spot)
    }
}

/// The values of a patch's corners, each weighed by how near it is.
fn between(patch: &Patch, at: [f64; 3]) -> f64 {
    let weigh = |corner: [f64; 3]| {
        let d = sub(corner, at);
        1.0 / (dot(d, d) + 1e-3)
    };
    let weights = patch.corners.map(weigh);
    let sum: f64 = weights.iter().sum();
    weights.iter().zip(patch.values).map(|(w, value)| w * value).sum::<f64>() / sum
}
