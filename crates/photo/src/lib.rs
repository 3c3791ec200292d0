//! A picture made true: decoding, scale, level and the pinhole camera.
