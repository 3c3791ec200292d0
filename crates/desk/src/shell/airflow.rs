//! What openings let in and out.
