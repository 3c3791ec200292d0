//! Strands that were asked for, kept with the unit form.
//!
//! A strand does not depend on the station, and polylines halve the same runs again and again: of many sections of one form
//! nearly all strands are asked for again. Where bays are held back, that depends on the master lines; while those are dragged the
//! strands as they are where nothing is held back stay.

use crate::unit::{Strand, UnitForm};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Half, run, and the bits of the fraction.
type Place = (usize, usize, u64);
type Known = Mutex<HashMap<Place, Arc<Strand>>>;

/// Shared by copies of the form's `Arc`; of forms that differ only in what is held back the free ones are shared.
#[derive(Debug, Default)]
pub(crate) struct Strands {
    free: Arc<Known>,
    held: Known,
}

impl Clone for Strands {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl Strands {
    /// Those of a form of the same control shapes with bays that are held back.
    pub(crate) fn of_a_limited_form(&self) -> Self {
        Self { free: self.free.clone(), held: Known::default() }
    }
}

/// Most control shapes times strands that are kept of either kind: some 20 MB.
const MOST: usize = 300_000;

impl UnitForm {
    /// The strand at a fraction of a run, remembered.
    pub(crate) fn strand(&self, half: usize, run: usize, fraction: f64) -> Arc<Strand> {
        let half_loft = &self.halves[half];
        let place = (half, run, fraction.to_bits());
        let shapes = half_loft.stations.len();
        let free = || remembered(&self.strands.free, place, shapes, || half_loft.free_strand(run, fraction));
        if half_loft.holds() {
            remembered(&self.strands.held, place, shapes, || half_loft.held(&free()))
        } else {
            free()
        }
    }
}

fn remembered(known: &Known, place: Place, shapes: usize, make: impl FnOnce() -> Strand) -> Arc<Strand> {
    // A thread that panicked while it held the lock left at worst a strand out.
    let mut known = known.lock().unwrap_or_else(PoisonError::into_inner);
    if known.len() * shapes.max(1) > MOST {
        known.clear();
    }
    known.entry(place).or_insert_with(|| Arc::new(make())).clone()
}
