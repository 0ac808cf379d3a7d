use std::cell::Cell;
use std::io::IsTerminal;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::paper::write_page;
use super::target::Over;
use super::*;
use crate::acts::{AheadAsked, Pace, ahead};
use crate::sheet::{ahead_document, ahead_page, ahead_table, data_csv};

#[derive(clap::Args)]
pub(super) struct Args {
    /// How many nights, tonight among them: 1 to 60
    #[arg(long, default_value_t = 14, value_name = "N", value_parser = whole(1_usize..=60))]
    nights: usize,
    /// Arrivals to expect instead of what was learned: day,supplier,stream,kg
    #[arg(long, value_name = "FILE")]
    arrivals: Option<PathBuf>,
    /// Stores, purchases, hatches and holidays (TOML)
    #[arg(long, value_name = "FILE")]
    plan: Option<PathBuf>,
    /// Weeks to play for the chance of running short; 0 plays none
    #[arg(long, default_value_t = 100, value_name = "N", value_parser = whole(0_u16..=10_000))]
    weeks: u16,
    /// Begin nothing more after so many seconds (our default); the first 14 nights are planned anyway
    #[arg(long, default_value_t = 20, value_name = "N", value_parser = whole(0_u16..=36_000))]
    seconds: u16,
    /// Write the nights as CSV as well; - for standard output
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write a page with pictures as well
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    #[command(flatten)]
    over: Over,
}

/// Where nobody watches a moving line, what is being worked on is told in a
/// line of its own this often.
const EVERY: Duration = Duration::from_secs(5);

pub(super) fn run(setting: &Setting, args: &Args) -> Done {
    let to_stdout = args
        .csv
        .as_deref()
        .is_some_and(|path| path.as_os_str() == "-");
    let csv_file = args.csv.as_deref().filter(|_| !to_stdout);
    let named = args.html.as_deref().into_iter().chain(csv_file);
    let targets = args.over.targets(setting, named)?;
    let (book, farm, tables) = setting.open_all()?;
    let asked = setting.asked(&farm.zone)?;
    let ahead_asked = AheadAsked {
        nights: args.nights,
        arrivals: args.arrivals.as_deref().map(read_file).transpose()?,
        plan: args.plan.as_deref().map(read_file).transpose()?,
        weeks: usize::from(args.weeks),
    };
    let night = night_of(asked.at, None, &farm);
    let progress = Progress::new();
    let pace = Pace {
        say: &|what| progress.say(what),
        spent: &|| progress.began.elapsed(),
        limit: Duration::from_secs(u64::from(args.seconds)),
    };
    let sheet = ahead((&book, &farm, &tables), night, &ahead_asked, &pace);
    progress.finish();
    let sheet = sheet?;
    let csv = || {
        let written = data_csv(&ahead_table(&sheet));
        written.map_err(|error| CliError::refused(say!("not-made", error = error)))
    };
    let mut next = targets.iter();
    if let Some(target) = args.html.as_ref().and_then(|_| next.next()) {
        write_page(target, &ahead_page(&sheet))?;
    }
    if let Some(target) = next.next() {
        target.write(csv()?.as_bytes())?;
    }
    if to_stdout {
        output::text(&csv()?);
    } else {
        setting.answer(to_json::Ahead::from(&sheet), &ahead_document(&sheet))?;
    }
    for target in &targets {
        output::note(say!("written", file = target.named().display()));
    }
    Ok(if sheet.plan().is_inside() {
        DONE
    } else {
        NEAREST
    })
}

/// What is being worked on, on standard error.
struct Progress {
    began: Instant,
    told: Cell<Duration>,
    bar: ProgressBar,
}

impl Progress {
    fn new() -> Self {
        let bar = ProgressBar::new_spinner();
        if std::io::stderr().is_terminal() {
            bar.enable_steady_tick(Duration::from_millis(200));
        } else {
            bar.set_draw_target(ProgressDrawTarget::hidden());
        }
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} ({elapsed})") {
            bar.set_style(style);
        }
        Self {
            began: Instant::now(),
            told: Cell::default(),
            bar,
        }
    }

    fn say(&self, what: &Said) {
        self.bar.set_message(what.in_language(output::language()));
        let spent = self.began.elapsed();
        if self.bar.is_hidden() && spent.saturating_sub(self.told.get()) >= EVERY {
            self.told.set(spent);
            output::note(say!("ahead-progress", what, seconds = spent.as_secs()));
        }
    }

    fn finish(&self) {
        self.bar.finish_and_clear();
    }
}
