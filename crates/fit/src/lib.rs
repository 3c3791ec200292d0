//! Airframe, keep-outs, gauges and fairness: findings.

pub mod fuselage;
pub mod outline;
mod space;
pub mod thrust;
