//! Cloth on the plug.
