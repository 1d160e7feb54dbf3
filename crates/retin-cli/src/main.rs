//! The `retin` command.
fn main() {}
