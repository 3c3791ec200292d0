//! What goes on the shell: ring plate, screws, and what the builder has weighed.

use super::{LineKind, Scales};
use fit::fuselage::{FuselageShape, screw_places};
use form::shaft::{RingPlace, ring};
use form::space::{add, times};
use project::airframe::Airframe;
use project::laminate::Span;
use project::shell::{BallastPlace, Weighed};
use shell::mass::{MassProperties, Part, ring_part};

/// How far the density of the ring's plate may lie from what is entered, as a share: that of birch plywood from sheet to sheet (from
/// memory, 650 to 700 kg/m³).
const DENSITY_WITHIN: f64 = 0.05;

impl Scales<'_> {
    /// Ring, screws and other parts.
    pub(super) fn fittings(&mut self) {
        self.ring();
        self.screws();
        let parts: Vec<Part> = self.document().shell.weights.parts.iter().map(weighed).collect();
        parts.into_iter().for_each(|part| self.put(LineKind::Other, part));
    }

    fn ring(&mut self) {
        let document = self.document();
        let Some(line) = document.airframe.thrust.as_ref().filter(|line| line.spinner.diameter > 0.0) else { return };
        let (place, weights) = (ring(line), &document.shell.weights);
        if line.ring.thickness <= 0.0 || weights.ring_density <= 0.0 {
            self.lack("The ring plate", "Give it a thickness in the thrust line, and a density in the weights.");
            return;
        }
        let part = ring_plate(&place, line.ring.thickness, weights.ring_density, weights.ring_bore);
        self.put(LineKind::Ring, part);
    }

    fn screws(&mut self) {
        let places = places_of_screws(&self.document().airframe);
        if places.is_empty() {
            return;
        }
        let each = self.document().shell.weights.screw;
        if each.high <= 0.0 {
            self.lack(
                format!("The {} screws", places.len()),
                "Weigh a few of them with their anchors together, and enter the mass of one.",
            );
            return;
        }
        // They are all alike: what is not known of one is not known of all in the same way, and their centre stays.
        let points: Vec<Part> = places.iter().map(|at| Part::point("screw", Span::exact(1.0), *at)).collect();
        if let Ok(all) = MassProperties::of(&points) {
            let part = all.part(format!("{} screws with their anchors", places.len()));
            self.put(LineKind::Screws, Part { mass: each.times(places.len() as f64), ..part });
        }
    }
}

/// Places of the screws around the fuselage end, mm; none without.
pub(super) fn places_of_screws(airframe: &Airframe) -> Vec<[f64; 3]> {
    let Some(end) = &airframe.fuselage else { return Vec::new() };
    match (&end.screws, FuselageShape::of(end)) {
        (Some(screws), Some(shape)) => screw_places(end, &shape, screws),
        _ => Vec::new(),
    }
}

/// The plate as a flat ring half-way through its thickness.
fn ring_plate(place: &RingPlace, thickness: f64, density: f64, bore: f64) -> Part {
    let radii = [0.5 * place.diameter, 0.5 * place.diameter * bore.clamp(0.0, 1.0)];
    let area = std::f64::consts::PI * (radii[0] * radii[0] - radii[1] * radii[1]);
    let grams = 1e-3 * area * thickness * density;
    let mass = Span::new(grams * (1.0 - DENSITY_WITHIN), grams, grams * (1.0 + DENSITY_WITHIN));
    let middle = times(add(place.front.point, place.rear.point), 0.5);
    ring_part("ring plate", mass, middle, place.rear.normal, radii)
}

/// What was weighed, as a part.
pub(super) fn weighed(it: &Weighed) -> Part {
    Part::point(it.name.clone(), it.mass, it.centre).within(it.within)
}

pub(super) fn ballast_place(place: &BallastPlace) -> shell::balance::BallastPlace {
    let [a, b] = place.stations;
    shell::balance::BallastPlace { name: place.name.clone(), stations: (a, b) }
}
