//! The `trayful` program.

fn main() {}
