//! The shell as masses: every ply, filler and paint at its own depth under the finished skin.

use super::MassError;
use super::body::{Part, Sums};
use super::face::Face;
use super::surface::ShellSurface;
use crate::laminate::{Extent, Schedule, Span};
use form::space::Vector;

/// A hole that is cut out of the shell.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOut {
    /// What the builder calls it.
    pub name: String,
    /// Its area on the surface, mm².
    pub area: f64,
    /// Its middle, mm. Its size counts as none: it takes away a point of mass.
    pub centre: Vector,
}

/// A layer of the whole shell or of a part of it.
#[derive(Clone, Debug)]
struct Lies {
    name: String,
    /// Middle of the layer under the finished skin, mm.
    depth: f64,
    /// g/m².
    areal_mass: Span,
    extent: Extent,
}

/// The layers of a shell with their areas: the surface is read once for all that is asked of it.
#[derive(Clone, Debug)]
pub struct ShellLayers {
    lies: Vec<Lies>,
    sums: Vec<Sums>,
    plies: usize,
    area: f64,
}

impl ShellLayers {
    /// The layers of a schedule on a surface, at the depths of the likely thicknesses.
    ///
    /// # Errors
    /// A number of the schedule is out of its range.
    pub fn new(surface: &ShellSurface<'_>, schedule: &Schedule) -> Result<Self, MassError> {
        let lies = layers(schedule)?;
        let (sums, area) = gathered(surface, &lies);
        Ok(Self { lies, sums, plies: schedule.plies.len(), area })
    }

    /// Area of the finished skin, flat faces not counted, mm².
    pub fn skin_area(&self) -> f64 {
        self.area
    }

    /// Area of every ply, mm², at its own depth; of patches their own size.
    pub fn ply_areas(&self) -> Vec<f64> {
        self.sums.iter().take(self.plies).map(|sums| sums.mass).collect()
    }

    /// The layers as parts, holes taken out of each that covers the whole shell.
    ///
    /// # Errors
    /// A number of a hole is out of its range; more is cut out than there is.
    pub fn parts(&self, cut: &[CutOut]) -> Result<Vec<Part>, MassError> {
        for hole in cut {
            if !(hole.area.is_finite() && hole.area >= 0.0 && hole.centre.iter().all(|c| c.is_finite())) {
                return Err(MassError::CutOut { name: hole.name.clone() });
            }
        }
        let mut parts = Vec::new();
        for (layer, sums) in self.lies.iter().zip(&self.sums) {
            let mut sums = *sums;
            if layer.extent == Extent::Whole {
                let skin = sums.mass;
                cut.iter().for_each(|hole| sums.add(-hole.area, hole.centre));
                if sums.mass <= 0.0 {
                    return Err(MassError::AllCut { cut: skin - sums.mass, skin });
                }
            }
            // A strip that lies beyond the shell has no area.
            if let Some((centre, spread)) = sums.centred() {
                let mass = layer.areal_mass.times(1e-6 * sums.mass);
                parts.push(Part { name: layer.name.clone(), mass, centre: centre.map(Span::exact), spread });
            }
        }
        Ok(parts)
    }
}

/// Volume under the skin down to the plug, less that of the layers, mm³: what is left is foam and card. `volume` is that of the
/// finished form (`Loft::measures`), `taken_off` the coat, mm.
pub fn plug_volume(surface: &ShellSurface<'_>, volume: f64, taken_off: f64) -> f64 {
    let mut coat = 0.0;
    surface.each(surface.loft().x_range(), |element| coat += element.volume_to(taken_off));
    volume - coat
}

/// All layers, from the plug outward.
fn layers(schedule: &Schedule) -> Result<Vec<Lies>, MassError> {
    let plies = schedule.layers()?;
    let thickness = schedule.thickness()?;
    let paint = thickness.paint.likely;
    let mut depth = thickness.total().likely;
    let mut soak = schedule.soak;
    let mut out = Vec::new();
    for (i, (ply, layer)) in schedule.plies.iter().zip(plies).enumerate() {
        let whole = ply.extent == Extent::Whole;
        let half = if whole { 0.5 * layer.thickness.likely } else { 0.0 };
        depth -= half;
        let soaked = if whole { std::mem::take(&mut soak) } else { Span::default() };
        out.push(Lies {
            name: format!("ply {}, {}", i + 1, ply.fabric.name),
            depth,
            areal_mass: layer.areal_mass.plus(soaked),
            extent: ply.extent.clone(),
        });
        depth -= half;
    }
    let films =
        [("filler", &schedule.filler, paint + 0.5 * thickness.filler.likely), ("paint", &schedule.paint, 0.5 * paint)];
    for (name, film, depth) in films {
        out.push(Lies { name: name.into(), depth, areal_mass: film.areal_mass, extent: Extent::Whole });
    }
    Ok(out)
}

/// Area and its moments of every layer, and the area of the skin.
fn gathered(surface: &ShellSurface<'_>, layers: &[Lies]) -> (Vec<Sums>, f64) {
    let mut skin = 0.0;
    let mut sums = vec![Sums::default(); layers.len()];
    let range = surface.loft().x_range();
    let whole: Vec<usize> = (0..layers.len()).filter(|&i| layers[i].extent == Extent::Whole).collect();
    surface.each(range, |element| {
        skin += element.area;
        for &i in &whole {
            let (p, area) = element.at_depth(layers[i].depth);
            sums[i].add(area, p);
        }
    });
    for (layer, sums) in layers.iter().zip(&mut sums) {
        match &layer.extent {
            Extent::Whole => surface.faces().for_each(|(x, _)| add_face(surface, layer.depth, x, sums)),
            Extent::Strip { from, to } => surface.each((*from, *to), |element| {
                let (p, area) = element.at_depth(layer.depth);
                sums.add(area, p);
            }),
            Extent::Patches { places, size } => {
                // A patch lies any way round: its spread counts alike along all three axes.
                let spread = (size[0] * size[0] + size[1] * size[1]) / 36.0;
                let spread = [spread, spread, spread, 0.0, 0.0, 0.0];
                places.iter().for_each(|p| sums.add_spread(size[0] * size[1], *p, &spread));
            }
        }
    }
    (sums, skin)
}

/// A flat face stays where it is under a coat and only becomes smaller; its layers are counted in its own plane.
fn add_face(surface: &ShellSurface<'_>, depth: f64, x: f64, sums: &mut Sums) {
    let face = Face::of(surface.loft(), x, depth);
    if face.area > 0.0 {
        sums.add_spread(face.area, [x, 0.0, face.centre_z], &face.spread);
    }
}
