use std::fmt::Display;
use std::io::{IsTerminal, Read};
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Serialize;

use crate::acts::{
    Asked, FarmSettings, MADE_HERE, Rejection, TableFile, TableFiles, Tables, read_instant,
    settings,
};
use crate::daybook::{Book, Daybook};
use crate::quantity::wire::Versioned;
use crate::quantity::{Decimal, NumberForm, QuantityError, Reader};
use crate::scale::Port;
use crate::sheet::Document;
use crate::table::read_day;

use crate::words::{Language, is_unseen, say};

use super::error::CliError;
use super::{DONE, Done, output};

/// Arguments every command takes, and the surroundings of this run: read once, here.
#[derive(clap::Args)]
#[command(next_help_heading = "For every command")]
pub(super) struct Setting {
    /// The daybook
    #[arg(
        long,
        global = true,
        env = "TRAYFUL_DAYBOOK",
        default_value = "farm.daybook",
        value_name = "FILE"
    )]
    pub(super) daybook: PathBuf,
    /// Print JSON for other programs
    #[arg(long, global = true)]
    pub(super) json: bool,
    /// Who does it: initials or a name
    #[arg(long, global = true, env = "TRAYFUL_BY", value_name = "WHO")]
    by: Option<String>,
    /// When it happened, if not now: local time, or with an offset
    #[arg(long, global = true, value_name = "TIME")]
    at: Option<String>,
    /// Unique id of this request, so that repeating it is harmless
    #[arg(long, global = true, value_name = "ID")]
    pub(super) id: Option<String>,
    /// Never ask; a missing value is an error
    #[arg(long, global = true)]
    no_input: bool,
    /// The language to answer in
    #[arg(long, global = true, env = "TRAYFUL_LANG", value_name = "en|es", value_parser = word(Language::parse, || "en, es".to_owned()))]
    lang: Option<Language>,
    /// The farm's own streams, put over the shipped table
    #[arg(long, global = true, env = "TRAYFUL_STREAMS", value_name = "FILE")]
    streams: Option<PathBuf>,
    /// What the farm calls streams, put over the shipped names
    #[arg(long, global = true, env = "TRAYFUL_NAMES", value_name = "FILE")]
    names: Option<PathBuf>,
    /// The farm's own stages, instead of the shipped table
    #[arg(long, global = true, env = "TRAYFUL_STAGES", value_name = "FILE")]
    stages: Option<PathBuf>,
    /// The farm's own rules on use, instead of the shipped table
    #[arg(long, global = true, env = "TRAYFUL_USE_RULES", value_name = "FILE")]
    use_rules: Option<PathBuf>,
    /// The instant to take for now, for rehearsals and tests
    #[arg(
        long = "now",
        global = true,
        env = "TRAYFUL_NOW",
        value_name = "TIME",
        hide = true
    )]
    rehearsed: Option<String>,
    #[arg(skip)]
    pub(super) now: Timestamp,
}

/// A scale on a wire, as `--scale` names it.
pub(super) fn scale_port(text: &str) -> Result<Port, CliError> {
    text.parse()
        .map_err(|_| Rejection::new("--scale", text, Port::accepted()).into())
}

impl Setting {
    /// Reads the clock and who is at it, and checks what was given of them.
    pub(super) fn settled(mut self) -> Result<Self, CliError> {
        if let Some(lang) = self.lang {
            output::speak(lang);
        }
        self.now = match &self.rehearsed {
            Some(text) => text
                .parse()
                .map_err(|_| Rejection::new("--now", text, say!("accepted-instant")))?,
            None => Timestamp::now(),
        };
        let by = self.by();
        if by.chars().count() > 60 || by.chars().any(is_unseen) {
            let accepted = say!("accepted-who", most = 60);
            return Err(Rejection::new("--by", by.escape_debug().to_string(), accepted).into());
        }
        Ok(self)
    }

    /// Who does it, by the machine's own word where nobody is named.
    pub(super) fn by(&self) -> String {
        let users = ["USER", "LOGNAME", "USERNAME"].iter();
        let user = || users.clone().find_map(|key| std::env::var(key).ok());
        let by = self.by.clone().or_else(user).unwrap_or_default();
        match by.trim() {
            "" => "not said".to_owned(),
            by => by.to_owned(),
        }
    }

    /// Whether nobody named a daybook.
    pub(super) fn is_usual_book(&self) -> bool {
        self.daybook.as_os_str() == "farm.daybook"
    }

    /// Whether a person can be asked.
    pub(super) fn may_ask(&self) -> bool {
        !self.no_input && std::io::stdin().is_terminal()
    }

    /// Whether now is another instant than this machine's clock says.
    pub(super) fn is_rehearsal(&self) -> bool {
        self.rehearsed.is_some()
    }

    /// Who asks, when it happened and under which id.
    pub(super) fn asked(&self, zone: &TimeZone) -> Result<Asked, CliError> {
        let at = match &self.at {
            Some(text) => read_instant(text, zone)
                .map_err(|accepted| Rejection::new("--at", text, accepted))?,
            None => self.now,
        };
        let id = match &self.id {
            Some(id) => id.clone(),
            None => made_id()?,
        };
        Ok(Asked {
            id,
            at,
            by: self.by(),
            now: self.now,
            sure: false,
        })
    }

    /// The open book with its settings.
    pub(super) fn open(&self) -> Result<(Daybook, FarmSettings), CliError> {
        let mut book = Daybook::open(&self.daybook)?;
        book.when_brought_up(|it| {
            let (from, to, copy) = (it.from, it.to, it.copy.display());
            output::note(say!("brought-up", from, to, copy = copy));
        });
        let farm = settings(&book)?;
        // What this command asked for holds before what the farm chose.
        if let Some(language) = farm.chosen.language {
            output::speak(language);
        }
        Ok((book, farm))
    }

    /// The open book with its settings and the tables in use.
    pub(super) fn open_all(&self) -> Result<(Daybook, FarmSettings, Tables), CliError> {
        let (book, farm) = self.open()?;
        let tables = self.tables_of(&book)?;
        Ok((book, farm, tables))
    }

    /// The tables in use, with the streams of the farm's own in its book.
    pub(super) fn tables_of(&self, book: &Book) -> Result<Tables, CliError> {
        let tables = self.load_tables()?.with_streams_of(book)?.into_owned();
        output::call(&tables.streams);
        Ok(tables)
    }

    /// Tables in use: a file named by flag or environment, else one beside the
    /// daybook with the daybook's name in front, else the shipped one.
    pub(super) fn table_paths(&self) -> [(&'static str, Option<PathBuf>); 4] {
        let beside = |name| self.beside(name).filter(|path| path.is_file());
        (self.own_tables()).map(|(name, given)| (name, given.clone().or_else(|| beside(name))))
    }

    /// Where the farm's own files are read, there or not.
    pub(super) fn table_names(&self) -> Vec<PathBuf> {
        let own = self.own_tables().into_iter();
        own.flat_map(|(name, given)| [given.clone(), self.own_file(name)])
            .chain([self.own_file(super::columns::FILE)])
            .flatten()
            .collect()
    }

    fn own_tables(&self) -> [(&'static str, &Option<PathBuf>); 4] {
        [
            ("streams.csv", &self.streams),
            ("stream-names.csv", &self.names),
            ("stages.toml", &self.stages),
            ("use-rules.csv", &self.use_rules),
        ]
    }

    pub(super) fn beside(&self, name: &str) -> Option<PathBuf> {
        self.own_file(name).filter(|path| path.is_file())
    }

    /// A file of the farm's own beside the daybook, with its name in front.
    pub(super) fn own_file(&self, name: &str) -> Option<PathBuf> {
        let stem = self.daybook.file_stem()?.to_str()?;
        Some(self.daybook.with_file_name(format!("{stem}.{name}")))
    }

    pub(super) fn load_tables(&self) -> Result<Tables, CliError> {
        let [streams, names, stages, use_rules] = self
            .table_paths()
            .map(|(_, path)| path.as_deref().map(read_file).transpose());
        let files = TableFiles {
            streams: streams?,
            names: names?,
            stages: stages?,
            use_rules: use_rules?,
        };
        Ok(Tables::load(files)?)
    }

    /// Prints what was done, as a page or for other programs.
    pub(super) fn answer(&self, done: impl Serialize, page: &Document) -> Done {
        self.list(Versioned::first(done), page)
    }

    /// Prints what is listed; a list for other programs is a bare array.
    pub(super) fn list(&self, of: impl Serialize, page: &Document) -> Done {
        if self.json {
            output::json(of);
        } else {
            output::document(page);
        }
        Ok(DONE)
    }
}

/// An id for a request that brought none.
fn made_id() -> Result<String, CliError> {
    let mut bytes = [0_u8; 10];
    getrandom::fill(&mut bytes)
        .map_err(|error| CliError::refused(say!("no-random-numbers", error = error)))?;
    Ok(bytes
        .iter()
        .fold(MADE_HERE.to_owned(), |id, byte| format!("{id}{byte:02x}")))
}

/// Reads a file, or standard input for `-`.
pub(super) fn read_file(path: &Path) -> Result<TableFile, CliError> {
    /// A ticket takes a hundred bytes; so many would be a million of them.
    const LARGEST: u64 = 128 << 20;
    let name = path.display().to_string();
    let mut bytes = Vec::new();
    let read = if name == "-" {
        if std::io::stdin().is_terminal() {
            return Err(CliError::usage(say!("input-is-terminal")));
        }
        std::io::stdin().take(LARGEST + 1).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
    };
    let length =
        read.map_err(|error| CliError::usage(say!("not-read", name = &name, error = error)))?;
    if u64::try_from(length).is_ok_and(|length| length > LARGEST) {
        let said = say!("file-too-large", file = name, most = LARGEST >> 20);
        return Err(CliError::usage(said));
    }
    Ok(TableFile {
        name: if name == "-" {
            "standard input".to_owned()
        } else {
            name
        },
        bytes,
    })
}

/// What an argument says by the farm's numbers, or an error that names its flag.
pub(super) fn typed<T>(
    flag: &'static str,
    text: &str,
    reader: Reader,
    read: fn(Reader, &str) -> Result<T, QuantityError>,
) -> Result<T, CliError> {
    read(reader, text).map_err(|error| Rejection::new(flag, text, error.accepted()).into())
}

/// As [`typed`], of an argument that may be left out.
pub(super) fn if_any<T>(
    flag: &'static str,
    text: &Option<String>,
    reader: Reader,
    read: fn(Reader, &str) -> Result<T, QuantityError>,
) -> Result<Option<T>, CliError> {
    let read = |text: &String| typed(flag, text, reader, read);
    text.as_ref().map(read).transpose()
}

/// Reads a word of a table, for `value_parser`.
pub(super) fn word<T: Clone + Send + Sync + 'static>(
    parse: fn(&str) -> Option<T>,
    accepted: fn() -> String,
) -> impl Fn(&str) -> Result<T, String> + Clone + Send + Sync {
    move |text| parse(text).ok_or_else(|| format!("accepted: {}", accepted()))
}

/// A number given before the farm is known: what both kinds of people read alike.
pub(super) fn figure(text: &str) -> Option<f64> {
    let number = NumberForm::Unsaid.number(text);
    number.ok().map(Decimal::to_f64)
}

/// Reads a whole number of a range, for `value_parser`.
pub(super) fn whole<T>(
    range: RangeInclusive<T>,
) -> impl Fn(&str) -> Result<T, String> + Clone + Send + Sync
where
    T: TryFrom<i64> + PartialOrd + Display + Clone + Send + Sync + 'static,
{
    move |text| {
        let number = text.trim().parse::<i64>().ok();
        let read = number.and_then(|number| T::try_from(number).ok());
        read.filter(|number| range.contains(number)).ok_or_else(|| {
            let (least, most) = (range.start(), range.end());
            format!("accepted: a whole number from {least} to {most}, digits alone")
        })
    }
}

/// A day given as an argument.
pub(super) fn day(text: &str) -> Result<Date, String> {
    read_day(text).map_err(|accepted| format!("accepted: {}", accepted.in_english()))
}

/// As [`day`], where the flag is not known to the parser.
pub(super) fn day_of(flag: &'static str, text: &str) -> Result<Date, CliError> {
    read_day(text).map_err(|accepted| Rejection::new(flag, text, accepted).into())
}
