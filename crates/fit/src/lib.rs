//! Airframe, keep-outs, gauges and fairness: findings.

pub mod draw_off;
pub mod fair;
pub mod fuselage;
pub mod gauges;
pub mod hollow;
pub mod keep_outs;
mod mend;
pub mod outline;
pub mod shell;
pub mod solid;
mod space;
pub mod spacing;
#[cfg(test)]
mod testing;
pub mod thick;
pub mod thrust;
