//! The terminal: one file a command; a command parses, calls an act, renders.
//!
//! Owns: arguments, prompts, what goes to which stream, the wording of hints,
//! exit codes, and reading the clock and the environment once. Must not know:
//! rules of the farm; SQL; how a figure is reckoned.
//!
//! Invariants: prompts only when standard input is a terminal; data goes to
//! standard output, messages to standard error; every error is printed in one
//! place, as `error:`, `caused by:`, `hint:`.

mod ahead;
mod allow;
mod ask;
mod begin;
mod check;
mod cohort;
mod correct;
mod demo;
mod dock;
mod error;
mod farm;
mod fed;
mod harvest;
mod learn;
mod lot_acts;
mod mix;
mod mix_trust;
mod mixes;
mod money;
mod month;
mod output;
mod paper;
mod setting;
mod stages;
mod statement;
mod stock;
mod streams;
mod strike;
mod today;
mod trace;
mod weigh;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use error::CliError;
use setting::{Global, Setting};

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
    global: Global,
    #[command(subcommand)]
    command: Option<Command>,
}

const AFTER_HELP: &str = "\
Examples:
  trayful begin --zone America/Denver --unit lb --division 0.1 --currency USD --region us --larvae-for not-feed
  trayful weigh --stream spent-grain --supplier \"Quay brewery\" --gross 32.2lb --tare 1.5lb
  trayful mix && trayful fed

Without a command: today at a glance, and the command to run next.
Exit codes: 0 done; 1 refused or not possible; 2 wrong usage; 3 only the nearest mix.";

#[derive(Subcommand)]
enum Command {
    /// Make a demo daybook of an invented farm and show the main job on it
    Demo(demo::Args),
    /// Make a new daybook
    Begin(begin::Args),
    /// Show or change the farm's settings and named tares
    Farm(farm::Args),
    /// Weigh a bucket in, or a whole file of them
    Weigh(weigh::Args),
    /// Record that an authority gave leave to feed a stream that is ask first
    Allow(allow::Args),
    /// Say what a ticket should have said of supplier, stream, note or price; its weights stay
    Correct(correct::Args),
    /// Void a record, with a reason; it stays in the book
    Strike(strike::Args),
    /// Record a moisture test of a lot
    Assay(lot_acts::AssayArgs),
    /// Record that a lot past its time was looked at: fit or not, for one night
    Look(lot_acts::LookArgs),
    /// Record what the scale says of a lot now
    Reweigh(lot_acts::ReweighArgs),
    /// Show lots on hand, their age, keeping time and flags
    Stock(stock::Args),
    /// Show the stream table with the verdict for this farm
    Streams(streams::Args),
    /// Show the stages, their windows and what these are drawn from
    Stages,
    /// Put larvae on trays, list them, end them
    Cohort(cohort::Args),
    /// Propose tonight's mix and print the sheet
    Mix(mix::Args),
    /// Record what was fed: the sheet as printed, or with changes
    Fed(fed::Args),
    /// Record weight that leaves the stock another way
    Discard(lot_acts::DiscardArgs),
    /// Record a harvest, or show what cohorts made of their feed
    Harvest(harvest::Args),
    /// Write down money, or show what larvae cost and where profit is nil
    Money(money::Args),
    /// Show what the farm's own records say against the tables; take a proposal over
    Learn(learn::Args),
    /// Show which mixes went with the best and worst harvests
    Mixes(mixes::Args),
    /// Show a month: received, diverted, destinations, balance
    Month(month::Args),
    /// Plan the nights ahead: what to accept, buy, hold or turn away
    Ahead(ahead::Args),
    /// Serve the dock page for the tablet beside the scale
    Dock(dock::Args),
    /// Show a supplier's statement for a month: one page, CSV or a workbook
    Statement(statement::Args),
    /// Follow a ticket to larvae and buyers, or a cohort, harvest or sale back
    Trace(trace::Args),
    /// One sheet to act on when something was wrong with a load
    Recall(trace::Args),
    /// Write a verified copy of the daybook
    Keep(check::KeepArgs),
    /// Say whether the daybook and the tables are whole
    Check(check::Args),
}

/// Runs the program on these arguments and returns its exit code.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(error) => return output::usage(&error),
    };
    let outcome =
        Setting::from_global(&cli.global).and_then(|setting| dispatch(&setting, cli.command));
    match outcome {
        Ok(code) => ExitCode::from(code),
        Err(error) => error.failed(),
    }
}

fn dispatch(setting: &Setting, command: Option<Command>) -> Result<u8, CliError> {
    match command {
        None => today::run(setting),
        Some(Command::Demo(args)) => demo::run(setting, &args),
        Some(Command::Begin(args)) => begin::run(setting, args),
        Some(Command::Farm(args)) => farm::run(setting, &args),
        Some(Command::Weigh(args)) => weigh::run(setting, args),
        Some(Command::Allow(args)) => allow::run(setting, &args),
        Some(Command::Correct(args)) => correct::run(setting, args),
        Some(Command::Strike(args)) => strike::run(setting, &args),
        Some(Command::Assay(args)) => lot_acts::assay(setting, &args),
        Some(Command::Look(args)) => lot_acts::look(setting, &args),
        Some(Command::Reweigh(args)) => lot_acts::reweigh(setting, &args),
        Some(Command::Stock(args)) => stock::run(setting, &args),
        Some(Command::Streams(args)) => streams::run(setting, &args),
        Some(Command::Stages) => stages::run(setting),
        Some(Command::Cohort(args)) => cohort::run(setting, args),
        Some(Command::Mix(args)) => mix::run(setting, &args),
        Some(Command::Fed(args)) => fed::run(setting, &args),
        Some(Command::Discard(args)) => lot_acts::discard(setting, &args),
        Some(Command::Harvest(args)) => harvest::run(setting, &args),
        Some(Command::Money(args)) => money::run(setting, &args),
        Some(Command::Learn(args)) => learn::run(setting, &args),
        Some(Command::Mixes(args)) => mixes::run(setting, &args),
        Some(Command::Month(args)) => month::run(setting, &args),
        Some(Command::Ahead(args)) => ahead::run(setting, &args),
        Some(Command::Dock(args)) => dock::run(setting, &args),
        Some(Command::Statement(args)) => statement::run(setting, &args),
        Some(Command::Trace(args)) => trace::run(setting, args, false),
        Some(Command::Recall(args)) => trace::run(setting, args, true),
        Some(Command::Keep(args)) => check::keep(setting, &args),
        Some(Command::Check(args)) => check::run(setting, &args),
    }
}
