//! Edits of what lies on the bench.

use super::{Refused, gone};
use crate::airframe::{Airframe, DrawOff, FuselageEnd, Gauge, KeepOut, ThrustLine};
use crate::promise::{self, MAX_GAUGES, MAX_KEEP_OUTS};

pub(super) fn set_fuselage(a: &mut Airframe, end: Option<&FuselageEnd>) -> Result<(), Refused> {
    end.into_iter().try_for_each(promise::check_fuselage)?;
    a.fuselage = end.cloned();
    Ok(())
}

pub(super) fn set_thrust(a: &mut Airframe, thrust: Option<ThrustLine>) -> Result<(), Refused> {
    thrust.iter().try_for_each(promise::check_thrust)?;
    a.thrust = thrust;
    Ok(())
}

pub(super) fn add_keep_out(a: &mut Airframe, keep_out: &KeepOut) -> Result<(), Refused> {
    promise::check_keep_out(keep_out)?;
    promise::check_count("keep-outs", a.keep_outs.len() + 1, MAX_KEEP_OUTS)?;
    a.keep_outs.push(keep_out.clone());
    Ok(())
}

pub(super) fn replace_keep_out(a: &mut Airframe, index: usize, with: &KeepOut) -> Result<(), Refused> {
    promise::check_keep_out(with)?;
    *a.keep_outs.get_mut(index).ok_or_else(|| gone("keep-out", index))? = with.clone();
    Ok(())
}

pub(super) fn remove_keep_out(a: &mut Airframe, index: usize) -> Result<(), Refused> {
    remove(&mut a.keep_outs, "keep-out", index)
}

pub(super) fn add_gauge(a: &mut Airframe, gauge: &Gauge) -> Result<(), Refused> {
    promise::check_gauge(gauge)?;
    promise::check_count("gauges", a.gauges.len() + 1, MAX_GAUGES)?;
    a.gauges.push(gauge.clone());
    Ok(())
}

pub(super) fn replace_gauge(a: &mut Airframe, index: usize, with: &Gauge) -> Result<(), Refused> {
    promise::check_gauge(with)?;
    *a.gauges.get_mut(index).ok_or_else(|| gone("gauge", index))? = with.clone();
    Ok(())
}

pub(super) fn remove_gauge(a: &mut Airframe, index: usize) -> Result<(), Refused> {
    remove(&mut a.gauges, "gauge", index)
}

pub(super) fn set_draw_off(a: &mut Airframe, way: DrawOff) -> Result<(), Refused> {
    a.draw_off = way;
    Ok(())
}

fn remove<T>(list: &mut Vec<T>, what: &str, index: usize) -> Result<(), Refused> {
    if index >= list.len() {
        return Err(gone(what, index));
    }
    list.remove(index);
    Ok(())
}
