//! A Python with what a comparison needs from the registry.

use std::path::Path;
use std::process::Command;

/// The interpreter named by `TRAYFUL_TEST_PYTHON`, what `tests/run` made, or
/// `python3`; `None` when the last has not these modules. One that was named or
/// made for the tests must have them: else they would pass with nothing compared.
pub(crate) fn with(modules: &str) -> Option<String> {
    let made = concat!(env!("CARGO_MANIFEST_DIR"), "/target/python/bin/python");
    let named = std::env::var("TRAYFUL_TEST_PYTHON").ok();
    let meant = named.or_else(|| Path::new(made).exists().then(|| made.to_owned()));
    if let Some(python) = meant {
        assert!(has(&python, modules), "`{python}` can't import {modules}");
        return Some(python);
    }
    Some("python3".to_owned()).filter(|python| has(python, modules))
}

fn has(python: &str, modules: &str) -> bool {
    let mut asked = Command::new(python);
    let asked = asked.args(["-c", &format!("import {modules}")]).output();
    asked.is_ok_and(|out| out.status.success())
}
