//! demo pictures
fn main() {}
