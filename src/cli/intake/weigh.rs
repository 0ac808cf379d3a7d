use std::io::IsTerminal;
use std::path::PathBuf;

use indicatif::{ProgressBar, ProgressStyle};

use super::wire::OnWire;
use crate::acts::{
    BookTaken, Bucket, Dock, ImportAsked, OwnColumns, PickedText, TableFile, import, import_book,
    weigh_in,
};
use crate::cli::ask::{confirmed, needed_read, read_if_any};
use crate::cli::*;
use crate::sheet::ticket_document;
use crate::stream::{Class, Meant, StreamTable, Verdict};
use crate::table::same_name;
use crate::words::say;

#[derive(clap::Args)]
pub(crate) struct Args {
    /// What it is: a stream or an everyday word for one (see `trayful streams WORD`)
    #[arg(long)]
    stream: Option<String>,
    /// Who brought it
    #[arg(long)]
    supplier: Option<String>,
    /// Weight with the container: 32.2lb, 14.6kg, 12lb3oz
    #[arg(long, allow_hyphen_values = true)]
    gross: Option<String>,
    /// Take the weight from a scale on a wire: /dev/ttyUSB0, or dock=COM3@4800-7E1
    #[arg(long, value_name = "PORT", conflicts_with_all = ["gross", "estimated", "file"])]
    scale: Option<String>,
    /// Weight of the empty container
    #[arg(long, allow_hyphen_values = true)]
    tare: Option<String>,
    /// A named tare instead (see `trayful farm`)
    #[arg(long, conflicts_with = "tare")]
    container: Option<String>,
    /// Volume such as 40L or 5gal: checks the weight, or stands for it with --estimated
    #[arg(long, allow_hyphen_values = true)]
    volume: Option<String>,
    /// Take the weight from the volume; every report will say so
    #[arg(long, requires = "volume", conflicts_with = "gross")]
    estimated: bool,
    /// The caller's own id of this ticket; made here if left out
    #[arg(long, value_name = "ID")]
    ticket: Option<String>,
    /// Moisture tested at the dock, per cent
    #[arg(long, value_name = "PCT", allow_hyphen_values = true)]
    moisture: Option<String>,
    /// What was picked out: 0.6kg=bone (more than once is fine)
    #[arg(long, value_name = "WEIGHT=KIND", allow_hyphen_values = true)]
    picked_out: Vec<String>,
    /// Turn it away, with the reason: glass, chemicals, sanitary, medicated, putrid, mouldy, or your own words
    #[arg(long, value_name = "REASON")]
    refuse: Option<String>,
    /// A stricter verdict of your own: compost or refuse
    #[arg(long, value_parser = word(Verdict::read, || "feed, pick-out, ask-first, compost, refuse".to_owned()))]
    verdict: Option<Verdict>,
    /// A class it touched besides its own, such as meat-fish or kitchen
    #[arg(long, value_parser = word(Class::parse, Class::accepted))]
    touched: Vec<Class>,
    /// It was bought: stock, but no weight kept from disposal
    #[arg(long)]
    bought: bool,
    /// Price of one of the farm's unit of weight
    #[arg(long, value_name = "PRICE", allow_hyphen_values = true)]
    price: Option<String>,
    /// A note
    #[arg(long)]
    note: Option<String>,
    /// Unlikely figures are meant
    #[arg(long)]
    sure: bool,
    /// Take in a whole CSV file or workbook (.xlsx), all of it or nothing; - reads standard input
    #[arg(long, value_name = "FILE", conflicts_with_all = ["stream", "supplier", "gross", "tare", "container", "ticket", "refuse"])]
    file: Option<PathBuf>,
    /// Which heading of a workbook is what: supplier=Who,stream=What (`farm --columns` keeps it)
    #[arg(long, value_name = "COLUMN=HEADING", requires = "file")]
    columns: Option<String>,
}

pub(crate) fn run(setting: &Setting, args: &Args) -> Done {
    let (mut book, farm, tables) = setting.open_all()?;
    let mut dock = Dock::open(&book, &farm, &tables)?;
    if let Some(file) = &args.file {
        return import_file(setting, &mut book, &dock, file, args);
    }
    let mut asked = setting.asked(&farm.zone)?;
    if let Some(ticket) = &args.ticket {
        if setting.id.as_deref().is_some_and(|id| id != ticket) {
            return Err(CliError::usage(say!("two-ids")));
        }
        asked.id.clone_from(ticket);
    }
    // Who names no bucket by flags brings several, mostly.
    let by_hand = args.ticket.is_none() && setting.id.is_none() && args.is_bare();
    let unit = farm.units.unit();
    let mut scale = (args.scale.as_deref())
        .map(|port| OnWire::of(port, unit))
        .transpose()?;
    loop {
        let mut bucket = bucket(setting, &dock, args, scale.as_mut())?;
        let card = unless_doubted(setting, asked, args.sure, |asked| {
            bucket.sure = asked.sure;
            weigh_in(&mut book, &dock, &bucket, asked)
        })?;
        let done = setting.answer(to_json::Ticket::from(&card), &ticket_document(&card))?;
        if !(by_hand && setting.may_ask() && confirmed(&say!("weigh-another"))?) {
            return Ok(done);
        }
        dock = Dock::open(&book, &farm, &tables)?;
        asked = setting.asked(&farm.zone)?;
    }
}

impl Args {
    /// Whether nothing is said of the bucket, so that all of it is asked for.
    fn is_bare(&self) -> bool {
        let said = [&self.stream, &self.supplier, &self.gross, &self.tare];
        said.into_iter().all(Option::is_none)
    }
}

fn bucket(
    setting: &Setting,
    dock: &Dock<'_>,
    args: &Args,
    on_wire: Option<&mut OnWire>,
) -> Result<Bucket, CliError> {
    let recent = dock.suppliers();
    let recent = recent[..recent.len().min(5)].join(", ");
    let supplier_form = match recent.as_str() {
        "" => say!("accepted-a-name"),
        _ => say!("accepted-name-such-as", recent),
    };
    let picked_out = args.picked_out.iter().map(|text| picked(text));
    let picked_out = picked_out.collect::<Result<Vec<_>, _>>()?;
    let weighed = !args.estimated;
    let supplier = needed_of(setting, "--supplier", &args.supplier, supplier_form)?;
    let stream = chosen_stream(setting, &dock.tables.streams, &args.stream)?;
    let reader = dock.farm.units.reader();
    let weight = |flag, text: &str| match reader.scale(text) {
        Ok(_) => Ok(text.to_owned()),
        Err(error) => Err(Rejection::new(flag, text, error.accepted()).into()),
    };
    let unit = dock.farm.units.unit();
    let scale = on_wire.as_ref().map(|scale| scale.name.clone());
    let gross = match (&args.gross, on_wire) {
        (None, Some(scale)) => Some(scale.weight(setting, reader.form)?),
        (None, None) if weighed => {
            let question = (say!("ask-gross"), say!("ask-gross-form", unit));
            let read = |text: &str| weight("--gross", text);
            Some(needed_read(setting, "--gross", None, question, read)?)
        }
        (given, _) => given.clone(),
    };
    let (mut tare, mut container) = (args.tare.clone(), args.container.clone());
    if weighed && tare.is_none() && container.is_none() {
        let known = dock.containers().collect::<Vec<_>>().join(", ");
        let form = if known.is_empty() {
            say!("ask-tare-form")
        } else {
            say!("ask-tare-or-container", known)
        };
        let is_container = |text: &str| dock.containers().any(|known| same_name(known, text));
        let read = |text: &str| match is_container(text) {
            true => Ok(text.to_owned()),
            false => weight("--tare", text),
        };
        let answer = needed_read(
            setting,
            "--tare",
            None,
            (say!("ask-tare-empty"), form),
            read,
        )?;
        match is_container(&answer) {
            true => container = Some(answer),
            false => tare = Some(answer),
        }
    }
    Ok(Bucket {
        supplier,
        stream,
        gross,
        tare,
        unit: None,
        form: None,
        container,
        volume: args.volume.clone(),
        moisture_pct: args.moisture.clone(),
        picked_out,
        refuse: args.refuse.clone(),
        verdict: args.verdict,
        touched: args.touched.clone(),
        bought: args.bought,
        price_per_kg: None,
        price: args.price.clone(),
        note: args.note.clone(),
        sure: args.sure,
        scale,
    })
}

/// The stream named; a person whose word may mean several is asked which.
fn chosen_stream(
    setting: &Setting,
    streams: &StreamTable,
    given: &Option<String>,
) -> Result<String, CliError> {
    let mut word = needed(setting, "--stream", given)?;
    while setting.may_ask() {
        let (Meant::Several(near) | Meant::Near(near)) = streams.meant(&word) else {
            break;
        };
        output::note(match near.first() {
            Some(_) => say!("weigh-may-be", word = &word),
            None => say!("weigh-no-such", word = &word),
        });
        let near = &near[..near.len().min(3)];
        for (stream, number) in near.iter().zip(1..) {
            let (id, class, name) = (&stream.id, stream.class, &stream.name);
            output::note(say!("weigh-may-be-one", number, id, class, name));
        }
        word = needed(setting, "--stream", &None)?;
        let number = word.parse::<usize>().ok();
        if let Some(stream) = number.and_then(|number| near.get(number.checked_sub(1)?)) {
            word = stream.id.as_str().to_owned();
        }
    }
    Ok(word)
}

fn picked(text: &str) -> Result<PickedText, CliError> {
    let (weight, kind) = text
        .split_once('=')
        .ok_or_else(|| Rejection::new("--picked-out", text, say!("accepted-weight-kind")))?;
    Ok(PickedText {
        weight: weight.to_owned(),
        kind: kind.to_owned(),
    })
}

fn import_file(
    setting: &Setting,
    book: &mut crate::daybook::Daybook,
    dock: &Dock<'_>,
    file: &std::path::Path,
    args: &Args,
) -> Done {
    const SHOWN_FROM: u64 = 20_000;
    let file = read_file(file)?;
    let name = file.name.clone();
    let bar = ProgressBar::hidden();
    let asked = ImportAsked {
        by: setting.by(),
        sure: args.sure,
        now: setting.now,
    };
    let step = |done: u64, total: u64| {
        if done == 1 && total >= SHOWN_FROM && std::io::stderr().is_terminal() {
            bar.set_draw_target(indicatif::ProgressDrawTarget::stderr());
            bar.set_length(total);
            if let Ok(style) =
                ProgressStyle::with_template("{bar:40} {percent:>3} %  {pos} of {len} steps")
            {
                bar.set_style(style);
            }
        }
        if done.is_multiple_of(500) {
            bar.set_position(done);
        }
    };
    let told = if file.bytes.starts_with(b"PK") {
        let taken = columns_settled(setting, &file, &args.columns)?;
        import_book(book, dock, &taken, &asked, step)?
    } else {
        import(book, dock, file, &asked, step)?
    };
    bar.finish_and_clear();
    let mut document = Document::titled(say!("import-title", file = name));
    document.line(say!(
        "import-told",
        new = told.new,
        already = told.already_there,
        refused = told.refused,
        weight = dock.farm.units.told(told.net)
    ));
    for (word, stream) in &told.taken_as {
        document.caution(say!("import-taken-as", word, stream));
    }
    if let Some((first, last)) = told.first_number.zip(told.last_number) {
        document.next(say!("import-kept", first, last));
    }
    setting.answer(told, &document)
}

/// The columns of a workbook as they are taken: shown, and where any of it is
/// our guess, corrected and kept by a person, or refused where nobody is there.
fn columns_settled(
    setting: &Setting,
    file: &TableFile,
    given: &Option<String>,
) -> Result<BookTaken, CliError> {
    let mut own = columns::kept(setting)?;
    if let Some(text) = given {
        own = OwnColumns::read(text)?.over(&own);
    }
    let mut taken = BookTaken::read(file, &own)?;
    show_columns(&taken);
    if taken.is_said() {
        return Ok(taken);
    }
    if !setting.may_ask() {
        let columns = taken.as_own().text();
        let error = CliError::refused(
            say!("columns-guessed", file = &file.name).in_language(output::language()),
        );
        return Err(error.with_hint(say!("columns-hint", columns).in_language(output::language())));
    }
    let (asks, form) = (say!("ask-columns"), say!("ask-columns-form"));
    while let Some(more) = read_if_any(&asks, &form, |text| Ok(OwnColumns::read(text)?))? {
        own = more.over(&own);
        taken = BookTaken::read(file, &own)?;
        show_columns(&taken);
    }
    columns::keep(setting, &taken.as_own())?;
    Ok(taken)
}

fn show_columns(taken: &BookTaken) {
    for sheet in &taken.sheets {
        output::note(say!("columns-of-sheet", sheet = &sheet.sheet));
        for one in &sheet.columns {
            let (column, cell, heading) = (one.column, &one.cell, &one.heading);
            output::note(say!("columns-one", column, cell, heading));
        }
    }
    if !taken.left_out.is_empty() {
        output::note(say!("columns-left-out", sheets = taken.left_out.join(", ")));
    }
}
