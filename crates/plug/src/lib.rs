//! Stack, formers, half-laps, foam blocks, gauges to sand by.
