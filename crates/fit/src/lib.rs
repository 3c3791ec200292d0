//! Airframe, keep-outs, gauges and fairness: findings.

pub mod draw_off;
pub mod fuselage;
pub mod gauges;
pub mod keep_outs;
mod mend;
pub mod outline;
pub mod shell;
pub mod solid;
mod space;
#[cfg(test)]
mod testing;
pub mod thrust;
