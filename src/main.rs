//! start
fn main() {}
