//! Forms that are put on the first one.
