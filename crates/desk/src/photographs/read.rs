//! What a picture says without a camera: its scale from all known distances, and the plane of a flat figure.

use photo::known_distances::{KnownDistance, PictureScale, ScaleError, picture_scale};
use photo::rectification::{Mark, Rectification, RectificationError, rectify};
use project::document::{self, Document, Picture};

/// The scale of a picture, mm at the model to the pixel, from every distance that is known in it: the one that set the scale,
/// the second one, and the further ones, in this order. All are taken to lie at one depth.
///
/// # Errors
/// No distance is known.
pub fn scale(document: &Document, picture: &Picture) -> Result<PictureScale, ScaleError> {
    let picked_px = picture.photograph.picked_px;
    let distance = |name: &str, known: &document::KnownDistance, trust_mm: f64| KnownDistance {
        name: name.to_owned(),
        ends: [known.a, known.b],
        mm: known.model_mm(document.model_scale),
        sigma_mm: if known.full_size { trust_mm / document.model_scale } else { trust_mm },
        sigma_px: picked_px,
    };
    let first = picture.scale.iter().map(|k| distance("Known distance", k, 0.0));
    let second = picture.check.iter().map(|k| distance("Second distance", k, 0.0));
    let further = picture.photograph.distances.iter().map(|d| distance(&d.name, &d.known, d.trust_mm));
    picture_scale(&first.chain(second).chain(further).collect::<Vec<_>>())
}

/// The names of the distances that [`scale`] uses, in their order.
pub fn distance_names(picture: &Picture) -> Vec<String> {
    let first = picture.scale.iter().map(|_| "Known distance".to_owned());
    let second = picture.check.iter().map(|_| "Second distance".to_owned());
    first.chain(second).chain(picture.photograph.distances.iter().map(|d| d.name.clone())).collect()
}

/// The plane of the picture's flat figure, read in mm at the model; `None` where no figure is marked.
///
/// # Errors
/// The figure does not make its plane readable.
pub fn figure(document: &Document, picture: &Picture) -> Option<Result<Rectification, RectificationError>> {
    let figure = picture.photograph.figure.as_ref()?;
    let to_model = if figure.full_size { 1.0 / document.model_scale } else { 1.0 };
    let mark = |p: &project::photograph::FigurePoint| Mark { plane: p.plane.map(|mm| mm * to_model), pixel: p.pixel };
    Some(rectify(&figure.points.iter().map(mark).collect::<Vec<_>>(), picture.photograph.picked_px))
}
