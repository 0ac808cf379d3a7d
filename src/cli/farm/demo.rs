use std::path::{Path, PathBuf};

use jiff::{SignedDuration, Timestamp};

use crate::acts::{
    FarmSettings, MixAsked, Month, Tables, lot_name, month, play_demo, propose_mix, record_sheet,
    settings, today,
};
use crate::cli::target::refuse_new;
use crate::cli::*;
use crate::daybook::{Daybook, TicketFiled};
use crate::sheet::{Block, grid, mix_document, month_document};
use crate::stream::Verdict;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// Where to make the demo daybook; by default in a folder of its own, demo-farm
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// How many days to play, 7 to 4000; 365 takes a minute or so
    #[arg(long, default_value_t = 62, value_name = "N", value_parser = whole(7_u16..=4000))]
    days: u16,
    /// Make so many farms that differ, a book each, 2 to 5, as a network of sites has them
    #[arg(long, value_name = "N", conflicts_with = "file", value_parser = whole(2_usize..=5))]
    sites: Option<usize>,
}

/// Days whose buckets are shown.
const SHOWN_DAYS: i64 = 7;
/// Suppliers whose newest bucket is shown.
const SUPPLIERS_SHOWN: usize = 3;

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    if let Some(sites) = args.sites {
        return many(setting, args.days, sites);
    }
    let tables = setting.load_tables()?;
    let now = setting.now;
    let path = place(setting, args)?;
    refuse_new(setting, &path)?;
    let file = path.display();
    output::note(say!("demo-plays", days = args.days, file = &file));
    let mut book = played(&path, (&tables, now), args.days, 0)?;
    let farm = settings(&book)?;
    output::document(&came_in(&book, &farm, setting)?);
    output::text("\n");
    let night = night_of(now, None, &farm);
    let mut sheet = propose_mix((&book, &farm, &tables), night, &MixAsked::default())?;
    if let Some(record) = record_sheet(&mut book, &sheet, night, &setting.asked(&farm.zone)?)? {
        sheet.sheet = Some(format!("r{record}"));
    }
    output::document(&until_heading(mix_document(&sheet), sheet.mix.groups.len()));
    output::text("\n");
    let this = Month::at(now, &farm.zone);
    let last = this.before();
    let mut told = month(&book, this, None)?;
    told.around.not_food = tables.not_food();
    let mut page = until_heading(month_document(&told), 0);
    let day = today((&book, &farm, &tables), now, night)?;
    let (loads, weight) = (day.came_in.0, farm.units.told(day.came_in.1));
    page.line(say!("demo-month-today", loads, weight));
    output::document(&page);
    output::text("\n");
    let mut next = Document::titled(say!("demo-next"));
    next.line(say!("demo-next-today", file = &file));
    next.line(say!("demo-next-weigh", file = &file));
    next.line(say!(
        "demo-next-month",
        file = &file,
        month = last.to_string()
    ));
    output::document(&next);
    Ok(DONE)
}

fn played(
    path: &Path,
    (tables, now): (&Tables, Timestamp),
    days: u16,
    site: usize,
) -> Result<Daybook, CliError> {
    let bar = indicatif::ProgressBar::new(0);
    let book = play_demo(path, tables, now, (Some(days), site), |done, total| {
        bar.set_length(total);
        bar.set_position(done);
    })?;
    bar.finish_and_clear();
    Ok(book)
}

/// Farms that differ, each with a book of its own, and last month of each.
fn many(setting: &Setting, days: u16, sites: usize) -> Done {
    let tables = setting.load_tables()?;
    let folder = new_folder("demo-sites")?;
    let mut told = Vec::new();
    for site in 0..sites {
        let path = folder.join(format!("site-{}.daybook", site + 1));
        let file = path.display();
        output::note(say!("demo-plays", days, file = &file));
        let book = played(&path, (&tables, setting.now), days, site)?;
        let farm = settings(&book)?;
        let last = Month::at(setting.now, &farm.zone).before();
        let report = month(&book, last, None)?.report;
        told.push((farm.said.name.clone(), path, farm.units, report));
    }
    let mut page = Document::titled(say!("demo-sites", sites));
    page.table(grid!(for (name, path, units, report) in &told => {
        Left say!("site") => name.clone().unwrap_or_default(),
        Left say!("site-book") => path.display().to_string(),
        Left say!("site-month") => &report.month,
        Right say!("loads") => report.total.loads,
        Right say!("received") => units.weight(report.total.received),
        Right say!("diverted") => units.weight(report.diverted()),
    }));
    output::document(&page);
    Ok(DONE)
}

/// The newest bucket of each of a few suppliers, and the newest that was stopped.
fn came_in(book: &Daybook, farm: &FarmSettings, setting: &Setting) -> Result<Document, CliError> {
    let from = setting.now - SignedDuration::from_hours(24 * SHOWN_DAYS);
    let mut newest = book.tickets_between(from, setting.now, false)?;
    newest.reverse();
    let stopped = (newest.iter()).find(|one| one.filed.entry.verdict == Verdict::Refuse);
    let mut shown: Vec<&TicketFiled> = Vec::new();
    let fed = newest
        .iter()
        .filter(|one| one.filed.entry.verdict < Verdict::Compost);
    for ticket in fed {
        let supplier = &ticket.filed.entry.supplier;
        let is_new = !(shown.iter()).any(|known| known.filed.entry.supplier == *supplier);
        if is_new && shown.len() < SUPPLIERS_SHOWN {
            shown.push(ticket);
        }
    }
    shown.extend(stopped);
    let mut document = Document::titled(say!("demo-came-in"));
    document.table(grid!(for ticket in shown => {
        let load = &ticket.filed.entry;
        Left say!("demo-ticket") => lot_name(&ticket.filed.id, ticket.number),
        Left say!("ticket-from") => &load.supplier,
        Left say!("stream") => &load.stream,
        Right say!("net") => farm.units.weight(load.net_g),
        Left say!("stock-verdict") => load.verdict.sign(),
        Left say!("why") => &load.reason,
    }));
    if stopped.is_some() {
        document.line(say!("demo-stopped"));
    }
    Ok(document)
}

/// The part of a page before the heading that follows so many.
fn until_heading(mut page: Document, headings: usize) -> Document {
    let mut seen = 0;
    let end = page.blocks.iter().position(|block| {
        let is_heading = matches!(block, Block::Heading(_));
        seen += usize::from(is_heading);
        is_heading && seen > headings
    });
    page.blocks.truncate(end.unwrap_or(page.blocks.len()));
    page.is_answered = false;
    page
}

/// Where the demo is kept: as named, else a folder that is not there yet.
fn place(setting: &Setting, args: &Args) -> Result<PathBuf, CliError> {
    if let Some(file) = &args.file {
        return Ok(file.clone());
    }
    if !setting.is_usual_book() {
        return Ok(setting.daybook.clone());
    }
    Ok(new_folder("demo-farm")?.join("farm.daybook"))
}

/// Makes a folder of that name, or with a number where there is one.
fn new_folder(name: &str) -> Result<PathBuf, CliError> {
    let named = |count: u32| match count {
        1 => PathBuf::from(name),
        _ => PathBuf::from(format!("{name}-{count}")),
    };
    let folder = (1..1000).map(named).find(|folder| !folder.exists());
    let folder = folder.unwrap_or_else(|| named(1000));
    std::fs::create_dir_all(&folder).map_err(|error| {
        let folder = folder.display();
        CliError::usage(say!("folder-not-made", folder = folder, error = error))
    })?;
    Ok(folder)
}
