//! The terminal: one file a command, in folders by what people do; a command
//! parses, calls an act, renders.
//!
//! Owns: arguments, prompts, what goes to which stream, the wording of hints,
//! exit codes, and reading the clock and the environment once. Must not know:
//! rules of the farm; SQL; how a figure is reckoned.
//!
//! Invariants: prompts only when standard input is a terminal; data goes to
//! standard output, messages to standard error; every error is printed in one
//! place, as `error:`, `caused by:`, `hint:`.

mod ahead;
mod ask;
mod columns;
mod dock;
mod error;
mod farm;
mod harvest;
mod help;
mod intake;
mod money;
mod month;
mod night;
mod output;
mod paper;
mod setting;
mod share;
mod stock;
mod target;
mod trace;
mod usage;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{FromArgMatches, Parser, Subcommand};

// What nearly every command names.
use serde_json::json;

use crate::acts::{Rejection, night_of};
use crate::quantity::Reader;
use crate::sheet::{Document, Tone, json as to_json};
use crate::words::{Said, say};

use ask::{needed, needed_of, unless_doubted};
use error::CliError;
use paper::PaperArgs;
use setting::{Setting, day, day_of, figure, if_any, read_file, typed, whole, word};

/// Done.
pub const DONE: u8 = 0;
/// Refused or not possible; the message says why. Nothing was recorded.
pub const REFUSED: u8 = 1;
/// Wrong usage: a missing or malformed argument or file name.
pub const USAGE: u8 = 2;
/// There is an answer, but it is only the nearest mix: not everything fits.
pub const NEAREST: u8 = 3;

/// From the loading dock to the feeding tray of a small black soldier fly
/// larvae farm: weigh buckets in, see the stock, get tonight's mix, record what
/// was fed, get the month's figures.
#[derive(Parser)]
#[command(name = "trayful", version, disable_help_subcommand = true, after_help = AFTER_HELP)]
struct Cli {
    #[command(flatten)]
    setting: Setting,
    #[command(subcommand)]
    command: Option<Command>,
}

/// The exit code, or why nothing was done.
type Done = Result<u8, CliError>;

const AFTER_HELP: &str = "\
Without a command: today at a glance, and the command to run next. At a terminal, what is left out is asked for.
`trayful COMMAND --help` shows an example and all there is to say.
Exit codes: 0 done; 1 refused or not possible; 2 wrong usage; 3 only the nearest mix.";

/// Every command: what it does, its arguments, and what runs it.
macro_rules! commands {
    ($($(#[$doc:meta])* $name:ident($args:ty) = $run:expr;)+) => {
        #[derive(Subcommand)]
        enum Command {
            $($(#[$doc])* $name($args)),+
        }

        fn dispatch(setting: &Setting, command: Option<Command>) -> Done {
            match command {
                None => night::today::run(setting),
                $(Some(Command::$name(args)) => $run(setting, &args),)+
            }
        }
    };
}

commands! {
    /// Make a demo daybook of an invented farm and show the main job on it
    Demo(farm::demo::Args) = farm::demo::run;
    /// Make a new daybook
    Begin(farm::begin::Args) = farm::begin::run;
    /// Show or change the farm's settings and named tares
    Farm(farm::settings::Args) = farm::settings::run;
    /// Weigh a bucket in, or a whole file of them
    Weigh(intake::weigh::Args) = intake::weigh::run;
    /// Record that an authority gave leave to feed a stream that is ask first
    Allow(intake::allow::Args) = intake::allow::run;
    /// Say what a ticket should have said of supplier, stream, note or price; its weights stay
    Correct(intake::correct::Args) = intake::correct::run;
    /// Void a record, with a reason; it stays in the book
    Strike(intake::strike::Args) = intake::strike::run;
    /// Show a lot, or record what was done with it: test, look, weigh, discard
    Lot(stock::lot::Args) = stock::lot::run;
    #[command(hide = true)]
    Assay(stock::lot::Former<stock::lot::TestArgs>) = stock::lot::assay;
    #[command(hide = true)]
    Look(stock::lot::Former<stock::lot::LookArgs>) = stock::lot::look_once;
    #[command(hide = true)]
    Reweigh(stock::lot::Former<stock::lot::WeighArgs>) = stock::lot::reweigh;
    #[command(hide = true)]
    Discard(stock::lot::Former<stock::lot::DiscardArgs>) = stock::lot::discard_once;
    /// Show lots on hand, their age, keeping time and flags
    Stock(stock::Args) = stock::run;
    /// Show the stream table with the verdict for this farm
    Streams(farm::streams::Args) = farm::streams::run;
    /// Show the stages, their windows and what these are drawn from
    Stages(farm::stages::Args) = farm::stages::run;
    /// Put larvae on trays, list them, end them
    Cohort(farm::cohort::Args) = farm::cohort::run;
    /// Propose tonight's mix and print the sheet
    Mix(night::mix::Args) = night::mix::run;
    /// Record what was fed: the sheet as printed, or with changes
    Fed(night::fed::Args) = night::fed::run;
    /// Record a harvest, or show what cohorts made of their feed
    Harvest(harvest::Args) = harvest::run;
    /// Write down money, or show what larvae cost and where profit is nil
    Money(money::Args) = money::run;
    /// Show what the farm's own records say against the tables, or which mixes worked; take a proposal over
    Learn(harvest::learn::Args) = harvest::learn::run;
    #[command(hide = true)]
    Mixes(harvest::learn::FormerMixes) = harvest::learn::former_mixes;
    /// Show a month: received, diverted, destinations, balance
    Month(month::Args) = month::run;
    /// Plan the nights ahead: what to accept, buy, hold or turn away
    Ahead(ahead::Args) = ahead::run;
    /// Serve the dock page for the tablet beside the scale
    Dock(dock::Args) = dock::run;
    /// Show a supplier's statement for a month: one page, CSV or a workbook
    Statement(month::statement::Args) = month::statement::run;
    /// Follow a ticket to larvae and buyers, or a cohort, harvest or sale back
    Trace(trace::Args) = trace::trail;
    /// One sheet to act on when something was wrong with a load
    Recall(trace::Args) = trace::recall;
    /// Write a verified copy of the daybook
    Keep(farm::check::KeepArgs) = farm::check::keep;
    /// Send new records to a PostgreSQL database that many sites share
    Share(share::Args) = share::run;
    /// Write manual pages, shell completions and the JSON schemas of answers to a folder
    Papers(farm::papers::Args) = farm::papers::run;
    /// Say whether the daybook and the tables are whole
    Check(farm::check::Args) = farm::check::run;
}

/// Runs the program on these arguments and returns its exit code.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let args: Vec<OsString> = args.into_iter().collect();
    let parsed = help::command()
        .try_get_matches_from(&args)
        .and_then(|matches| Cli::from_arg_matches(&matches));
    let done = match parsed {
        Ok(cli) => (cli.setting.settled()).and_then(|setting| dispatch(&setting, cli.command)),
        Err(error) => usage::told(&error, &args),
    };
    let done = done.and_then(|code| match output::unprinted() {
        Some(why) => Err(CliError::refused(say!("unprinted", why))),
        None => Ok(code),
    });
    done.map_or_else(|error| error.failed(), ExitCode::from)
}
