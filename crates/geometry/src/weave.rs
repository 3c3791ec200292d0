//! Strands along the body, so dense that the chords between them follow every section.
//!
//! A weave belongs to a unit form and a closeness in the unit box. While lines are being dragged the unit form stays, and
//! with it the weave: a section is then one short sum a strand.

use crate::control::Half;
use crate::loft::Loft;
use crate::unit::{Bay, HalfLoft, Strand, UnitForm};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

/// Strands from crown to keel.
#[derive(Clone, Debug, Default)]
pub struct Weave {
    strands: Vec<(Half, Arc<Strand>)>,
}

impl Weave {
    pub(crate) fn strands(&self) -> impl Iterator<Item = (Half, &Strand)> {
        self.strands.iter().map(|(half, strand)| (*half, &**strand))
    }

    /// The weave whose chords stay within `closeness` of the control shapes, and of the shapes midway between them.
    fn new(unit: &UnitForm, closeness: f64) -> Self {
        let mut weave = Self::default();
        for (k, half) in unit.halves.iter().enumerate() {
            let places = places(half);
            for run in 0..half.run_count() {
                let strand = |f: f64| unit.strand(k, run, f);
                if weave.strands.is_empty() {
                    weave.strands.push((half.half, strand(0.0)));
                }
                for w in half.run_breaks(run).windows(2) {
                    let (from, to) = ((w[0], strand(w[0])), (w[1], strand(w[1])));
                    halve(&places, half.half, &strand, &from, &to, closeness, 10, &mut weave.strands);
                    weave.strands.push((half.half, to.1));
                }
            }
        }
        weave
    }
}

/// Where closeness is checked: at the control stations and midway between them.
fn places(half: &HalfLoft) -> Vec<Bay> {
    let middles = half.stations.windows(2).map(|w| 0.5 * (w[0] + w[1]));
    let mut xs: Vec<f64> = half.stations.iter().copied().chain(middles).collect();
    if xs.is_empty() {
        xs.push(0.0);
    }
    xs.into_iter().map(|x| half.bay(x)).collect()
}

#[expect(clippy::too_many_arguments, reason = "a recursion that carries its whole state")]
fn halve(
    places: &[Bay],
    half: Half,
    strand: &impl Fn(f64) -> Arc<Strand>,
    from: &(f64, Arc<Strand>),
    to: &(f64, Arc<Strand>),
    closeness: f64,
    depth: u32,
    out: &mut Vec<(Half, Arc<Strand>)>,
) {
    let f = 0.5 * (from.0 + to.0);
    let middle = (f, strand(f));
    let quarters = [strand(0.5 * (from.0 + f)), strand(0.5 * (f + to.0))];
    let off = |bay: &Bay| {
        let (a, b) = (from.1.uv(bay), to.1.uv(bay));
        let far = |s: &Arc<Strand>| crate::flatten::distance_to_chord(s.uv(bay), a, b) > closeness;
        far(&middle.1) || quarters.iter().any(far)
    };
    if depth == 0 || !places.iter().any(off) {
        return;
    }
    halve(places, half, strand, from, &middle, closeness, depth - 1, out);
    out.push((half, middle.1.clone()));
    halve(places, half, strand, &middle, to, closeness, depth - 1, out);
}

/// Weaves of a unit form that were asked for, by closeness in halvings of the unit box. Shared by copies of the form's
/// `Arc`, never by forms that differ.
#[derive(Debug, Default)]
pub(crate) struct Weaves(Mutex<BTreeMap<i32, Arc<Weave>>>);

impl Clone for Weaves {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl UnitForm {
    fn weave(&self, closeness: f64) -> Arc<Weave> {
        let halvings = (-closeness.log2()).ceil().clamp(0.0, 30.0) as i32;
        // A thread that panicked while it held the lock left at worst a weave out.
        let mut known = self.weaves.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        known.entry(halvings).or_insert_with(|| Arc::new(Weave::new(self, 0.5f64.powi(halvings)))).clone()
    }
}

impl Loft {
    /// Strands so dense that the chords between them stay within `tolerance` mm of the sections, as far as that is checked:
    /// at the control shapes and midway between them, at the size of the largest half box. Half to all of the tolerance is
    /// used up, as closeness goes in steps of two.
    pub fn weave(&self, tolerance: f64) -> Arc<Weave> {
        let size = self
            .x_breaks()
            .into_iter()
            .map(|x| self.frame(x))
            .fold(0.0_f64, |size, f| size.max(f.breadth.0.abs()).max(f.above.0.abs()).max(f.below.0.abs()));
        self.unit().weave(tolerance / size.max(1e-6))
    }
}
