//! A Python with `highspy`, for comparisons with HiGHS itself.

use std::path::Path;
use std::process::Command;

/// The interpreter named by `TRAYFUL_TEST_PYTHON`, what `tests/run` made, or
/// `python3`; `None` when the last has no highspy. One that was named or made for
/// the tests must have it: else they would pass with nothing compared.
pub(crate) fn python() -> Option<String> {
    let made = concat!(env!("CARGO_MANIFEST_DIR"), "/target/python/bin/python");
    let named = std::env::var("TRAYFUL_TEST_PYTHON").ok();
    let meant = named.or_else(|| Path::new(made).exists().then(|| made.to_owned()));
    if let Some(python) = meant {
        assert!(has_highs(&python), "`{python}` can't import highspy");
        return Some(python);
    }
    Some("python3".to_owned()).filter(|python| has_highs(python))
}

fn has_highs(python: &str) -> bool {
    let mut asked = Command::new(python);
    let asked = asked.args(["-c", "import highspy, numpy"]).output();
    asked.is_ok_and(|out| out.status.success())
}
