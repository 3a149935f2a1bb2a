//! Every automation as a named function.
fn main() {}
