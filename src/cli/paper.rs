//! Writing pages and workbooks to files, and the flags about methane.

use std::io::Write;
use std::path::Path;

use crate::acts::MethaneText;

use super::error::CliError;

/// Writes a file whole or not at all: beside it first, then renamed.
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), CliError> {
    let refused = |what: &str, error: &std::io::Error| {
        CliError::refused(format!("`{}` could not be {what}: {error}", path.display()))
    };
    let mut name = path.file_name().unwrap_or_default().to_owned();
    if name.is_empty() {
        return Err(CliError::usage(format!(
            "`{}` is not accepted; accepted: the name of a file",
            path.display()
        )));
    }
    name.push(format!(".part-{}", std::process::id()));
    let part = path.with_file_name(name);
    let written = std::fs::File::create(&part)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&part, path));
    written.map_err(|error| {
        let _gone = std::fs::remove_file(&part);
        refused("written", &error)
    })
}

/// Flags about avoided methane.
#[derive(clap::Args)]
pub(super) struct MethaneArgs {
    /// Add the landfill methane avoided, as a range; needs --outlet
    #[arg(long)]
    methane: bool,
    /// Where it would have gone: OUTLET, or SUPPLIER=OUTLET; may be repeated
    #[arg(long, requires = "methane", value_name = "OUTLET")]
    outlet: Vec<String>,
    /// Share of the gas captured there in per cent: 40, or 20-60
    #[arg(long, requires = "methane", value_name = "PERCENT")]
    captured: Option<String>,
    /// Climate there: temperate-wet, temperate-dry, tropical-wet, tropical-dry
    #[arg(long, requires = "methane", default_value = "temperate-wet")]
    climate: String,
    /// Edition of methane's warming potential: ar5 (28) or ar6 (27.0)
    #[arg(long, requires = "methane", default_value = "ar5")]
    gwp: String,
    /// The law asks for diversion here, so nothing may be claimed
    #[arg(long, requires = "methane")]
    required_by_law: bool,
}

impl MethaneArgs {
    /// What is asked, if anything is.
    pub(super) fn text(&self) -> Option<MethaneText> {
        self.methane.then(|| MethaneText {
            outlets: self.outlet.clone(),
            captured: self.captured.clone(),
            climate: self.climate.clone(),
            gwp: self.gwp.clone(),
            required_by_law: self.required_by_law,
        })
    }
}
