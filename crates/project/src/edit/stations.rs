//! Edits of the stations.

use std::borrow::Cow;

use super::{Refused, gone};
use crate::document::{Document, Form};
use crate::promise::{self, MIN_POINT_GAP, apart};

/// While a stack sets a form's stations, the builder's own stay as they are.
pub(super) fn are_the_builders(d: &Document, form: usize) -> Result<(), Refused> {
    if form == 0 && matches!(d.in_force(), Cow::Owned(_)) {
        let hint =
            "Change its boards on the page Build, or put the stack out of use: your own stations then come back.";
        return Err(Refused::new("The stations follow the cards of the stack.", hint));
    }
    Ok(())
}

pub(super) fn add(f: &mut Form, x: f64) -> Result<(), Refused> {
    promise::check_mm("The station", x)?;
    if f.stations.iter().any(|other| !apart(0.0, (x - other).abs(), MIN_POINT_GAP)) {
        return Err(Refused::new(format!("There is a station at {x} mm already."), "Choose another place."));
    }
    let at = f.stations.partition_point(|other| *other < x);
    f.stations.insert(at, x);
    promise::check_stations(&f.stations)
}

pub(super) fn move_to(f: &mut Form, station: usize, x: f64) -> Result<(), Refused> {
    remove(f, station)?;
    add(f, x)
}

pub(super) fn remove(f: &mut Form, station: usize) -> Result<(), Refused> {
    if station >= f.stations.len() {
        return Err(gone("station", station));
    }
    f.stations.remove(station);
    Ok(())
}

pub(super) fn set(f: &mut Form, stations: &[f64]) -> Result<(), Refused> {
    f.stations = in_order(stations)?;
    Ok(())
}

/// Stations as they were given, in order and each once.
pub(super) fn in_order(stations: &[f64]) -> Result<Vec<f64>, Refused> {
    stations.iter().try_for_each(|x| promise::check_mm("The station", *x))?;
    let mut sorted = stations.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup_by(|later, kept| !apart(*kept, *later, MIN_POINT_GAP));
    promise::check_stations(&sorted)?;
    Ok(sorted)
}
