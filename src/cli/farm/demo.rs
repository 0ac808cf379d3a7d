use std::path::PathBuf;

use crate::acts::{
    MixAsked, Month, month, play_demo, propose_mix, record_sheet, settings, stock_now,
};
use crate::cli::*;
use crate::daybook::Daybook;
use crate::sheet::{mix_document, month_document, stock_document};

#[derive(clap::Args)]
pub(crate) struct Args {
    /// Where to make the demo daybook; by default demo-DAY.daybook here
    file: Option<PathBuf>,
    /// How many days to play, 7 to 4000; 365 takes a minute or so
    #[arg(long, default_value_t = 62, value_parser = clap::value_parser!(u16).range(7..=4000))]
    days: u16,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let tables = setting.load_tables()?;
    let now = setting.now;
    let path = args.file.clone().unwrap_or_else(|| free_name(&now));
    let file = path.display();
    output::note(say!("demo-plays", days = args.days, file = &file));
    let bar = indicatif::ProgressBar::new(0);
    let mut book: Daybook = play_demo(&path, &tables, now, Some(args.days), |done, total| {
        bar.set_length(total);
        bar.set_position(done);
    })?;
    bar.finish_and_clear();
    let farm = settings(&book)?;
    let stock = stock_now((&book, &farm, &tables), now)?;
    output::document(&stock_document(&stock, usize::MAX));
    output::text("\n");
    let night = night_of(now, None, &farm);
    let mut sheet = propose_mix((&book, &farm, &tables), night, &MixAsked::default())?;
    if let Some(record) = record_sheet(&mut book, &sheet, night, &setting.asked(&farm.zone)?)? {
        sheet.sheet = Some(format!("r{record}"));
    }
    sheet.seal = Some(book.seal()?.short());
    output::document(&mix_document(&sheet));
    output::text("\n");
    let last = Month::at(now, &farm.zone).before();
    let mut told = month(&book, last, None)?;
    told.around.not_food = tables.not_food();
    output::document(&month_document(&told));
    output::note("");
    output::note(say!("demo-next", file = &file));
    Ok(DONE)
}

/// The first of `demo-DAY.daybook`, `demo-DAY-2.daybook` ... that is not there yet.
fn free_name(now: &jiff::Timestamp) -> PathBuf {
    let day = now.to_zoned_datetime(jiff::tz::TimeZone::UTC).date();
    let named = |count: u32| match count {
        1 => PathBuf::from(format!("demo-{day}.daybook")),
        _ => PathBuf::from(format!("demo-{day}-{count}.daybook")),
    };
    (1..1000)
        .map(named)
        .find(|path| !path.exists())
        .unwrap_or_else(|| named(1000))
}
