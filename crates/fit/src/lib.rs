//! Airframe, keep-outs, gauges and fairness: findings.

pub mod draw_off;
pub mod fuselage;
pub mod keep_outs;
pub mod outline;
pub mod shell;
pub mod solid;
mod space;
#[cfg(test)]
mod testing;
pub mod thrust;
