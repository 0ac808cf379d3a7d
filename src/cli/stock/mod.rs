pub(super) mod lot;

use crate::acts::stock_now;
use crate::cli::*;
use crate::sheet::stock_document;

#[derive(clap::Args)]
pub(super) struct Args {
    /// List every lot, however many
    #[arg(long)]
    all: bool,
}

/// A page of this many lots is still read; JSON always lists all.
const LISTED_MOST: usize = 200;

pub(super) fn run(setting: &Setting, args: &Args) -> Done {
    let (book, farm, tables) = setting.open_all()?;
    let at = setting.asked(&farm.zone)?.at;
    let view = stock_now((&book, &farm, &tables), at)?;
    if setting.json {
        output::written(|writer| to_json::write_stock(&view.lots, writer));
    } else {
        output::document(&stock_document(
            &view,
            if args.all { usize::MAX } else { LISTED_MOST },
        ));
    }
    // The process ends here, and freeing a hundred thousand lots one by one
    // takes longer than listing them.
    std::mem::forget(view);
    Ok(DONE)
}
