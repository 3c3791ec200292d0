//! Airframe, keep-outs, gauges and fairness: findings.
