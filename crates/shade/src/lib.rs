//! The shaded view: a z-buffer rasteriser on the CPU.
