//! Strands that were asked for, kept with the unit form.
//!
//! A strand does not depend on the station, and polylines halve the same runs again and again: of many sections of one form
//! nearly all strands are asked for again.

use crate::unit::{Strand, UnitForm};
use std::collections::HashMap;
use std::sync::{Arc, Mutex};

/// Half, run, and the bits of the fraction.
type Place = (usize, usize, u64);

/// Shared by copies of the form's `Arc`, never by forms that differ.
#[derive(Debug, Default)]
pub(crate) struct Strands(Mutex<HashMap<Place, Arc<Strand>>>);

impl Clone for Strands {
    fn clone(&self) -> Self {
        Self::default()
    }
}

/// Most control shapes times strands that are kept: some 20 MB.
const MOST: usize = 300_000;

impl UnitForm {
    /// The strand at a fraction of a run, remembered.
    pub(crate) fn strand(&self, half: usize, run: usize, fraction: f64) -> Arc<Strand> {
        let half_loft = &self.halves[half];
        let place = (half, run, fraction.to_bits());
        // A thread that panicked while it held the lock left at worst a strand out.
        let mut known = self.strands.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if known.len() * half_loft.stations.len().max(1) > MOST {
            known.clear();
        }
        known.entry(place).or_insert_with(|| Arc::new(half_loft.strand(run, fraction))).clone()
    }
}
