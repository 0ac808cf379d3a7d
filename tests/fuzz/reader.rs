//! The reader that `TRAYFUL_READER` names, on whatever inputs libFuzzer comes to by
//! watching which code they reach. `run` runs all of them.

#![no_main]

use std::path::PathBuf;
use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use readers::{Reader, readers};

#[path = "../readers/mod.rs"]
mod readers;

static READER: LazyLock<Reader> = LazyLock::new(|| {
    let name = std::env::var("TRAYFUL_READER").expect("TRAYFUL_READER names a reader");
    let mut all = readers().into_iter();
    all.find(|reader| reader.name == name).expect("a reader")
});

/// What the reader takes is what its inputs begin with.
fn begin() {
    assert!((READER.reads)(&READER.good[0]), "{}", READER.name);
    if let Some(folder) = std::env::var_os("TRAYFUL_SEEDS").map(PathBuf::from) {
        for (number, good) in READER.good.iter().enumerate() {
            std::fs::write(folder.join(format!("good-{number}")), good).expect("written");
        }
    }
}

fuzz_target!(init: begin(), |bytes: &[u8]| {
    (READER.reads)(bytes);
});
