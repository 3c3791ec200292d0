//! plugwright
fn main() {}
