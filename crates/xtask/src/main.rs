//! (in work)
fn main() {}
