use crate::acts::OwnColumns;
use crate::daybook::Unfinished;

use super::*;

/// The farm's word on its workbook's columns, beside the daybook.
pub(super) const FILE: &str = "columns.csv";

/// What the farm keeps on its workbook's columns.
pub(super) fn kept(setting: &Setting) -> Result<OwnColumns, CliError> {
    match setting.beside(FILE) {
        Some(path) => Ok(OwnColumns::of_file(&read_file(&path)?)?),
        None => Ok(OwnColumns::default()),
    }
}

/// Keeps it, and says where.
pub(super) fn keep(setting: &Setting, own: &OwnColumns) -> Result<(), CliError> {
    let refused = || {
        let seen = setting.daybook.display().to_string();
        Rejection::new("--daybook", seen, "a file name of text")
    };
    let path = setting.own_file(FILE).ok_or_else(refused)?;
    let written = Unfinished::claimed(&path).and_then(|whole| {
        whole.fill(own.file().as_bytes())?;
        whole.replace()
    });
    written.map_err(|error| {
        let name = path.display();
        CliError::refused(say!("not-written", name = name, error = error))
    })?;
    output::note(say!("columns-kept", file = path.display()));
    Ok(())
}
