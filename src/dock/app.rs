use std::collections::BTreeMap;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::routing::MethodRouter;
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use tokio::sync::watch::{Receiver, Sender};

use crate::acts::{ActError, FarmSettings, MixAsked, Night, Result, Tables, night_of, settings};
use crate::daybook::{Daybook, DaybookError, Place, Seal};
use crate::sheet::{Document, MixSheet};
use crate::stream::Stream;
use crate::words::{Language, Said};

use super::clock::{Clock, patience};
use super::keeper::{Keeper, Unkept};
use super::scales::{Scales, Shown};
use super::session::Sessions;
use super::ticks::Ticks;
use super::tls::Tls;

/// What every handler shares.
#[derive(Debug, Clone)]
pub(super) struct App {
    pub(super) keeper: Keeper,
    pub(super) shared: Arc<Shared>,
}

/// The part that does not keep the writing thread alive.
#[derive(Debug)]
pub(super) struct Shared {
    pub(super) book: PathBuf,
    /// Where it lay when the writing thread took it up.
    pub(super) place: Arc<Place>,
    pub(super) tables: Arc<Tables>,
    pub(super) clock: Clock,
    pub(super) mix_seconds: u16,
    pub(super) by: String,
    pub(super) sessions: Sessions,
    pub(super) cookie: String,
    /// The number of the book's last record, told as it grows.
    pub(super) grown: Receiver<i64>,
    pub(super) scales: Scales,
    pub(super) last_read: Mutex<LastRead>,
    /// What they show, told as it changes.
    pub(super) weights: Receiver<Vec<Shown>>,
    pub(super) ticked: Sender<Ticks>,
    pub(super) hosts: Vec<String>,
    pub(super) tls: Option<Tls>,
    /// Sheets this run has kept, with their figures as they were then.
    pub(super) sheets: Mutex<BTreeMap<i64, MixSheet>>,
    pub(super) planned: Mutex<Option<Planned>>,
}

/// What every page says, of the book as it was last read: so that it costs no
/// request a reading of its own.
#[derive(Debug, Default)]
pub(super) struct LastRead {
    pub(super) language: Option<Language>,
    /// What the farm calls the streams it has added.
    pub(super) own_streams: Vec<Stream>,
}

/// The nights ahead as they were last worked out, and of which book.
#[derive(Debug)]
pub(super) struct Planned {
    seal: Seal,
    day: Date,
    at: Timestamp,
    document: Document,
}

/// A plan is shown again for so long if nothing was recorded since: in ten minutes no
/// lot grows old enough for another one (our default).
const PLAN_HOLDS: SignedDuration = SignedDuration::from_mins(10);

impl Shared {
    /// The nights ahead: as they are known, or worked out; whoever asks meanwhile waits.
    pub(super) fn ahead(
        &self,
        at: &At,
        work_out: impl FnOnce() -> Result<Document>,
    ) -> Result<Document> {
        let (seal, day) = (at.book.seal()?, at.night().day);
        let mut planned = self.planned.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = &*planned
            && (&known.seal, known.day) == (&seal, day)
            && (SignedDuration::ZERO..PLAN_HOLDS).contains(&at.now.duration_since(known.at))
        {
            return Ok(known.document.clone());
        }
        let document = work_out()?;
        *planned = Some(Planned {
            seal,
            day,
            at: at.now,
            document: document.clone(),
        });
        Ok(document)
    }

    fn last_read(&self) -> MutexGuard<'_, LastRead> {
        let last = self.last_read.lock();
        last.unwrap_or_else(PoisonError::into_inner)
    }

    /// The farm's language, as the book was last read.
    pub(super) fn language(&self) -> Option<Language> {
        self.last_read().language
    }

    pub(super) fn speak(&self, language: Option<Language>) {
        self.last_read().language = language;
    }

    /// The words of what is said, each stream by what people call it.
    pub(super) fn words(&self, said: &Said, lang: Language) -> String {
        said.with_names(&|id| self.called(id)).in_language(lang)
    }

    /// What people call the stream of an id, where a table has it.
    fn called(&self, id: &str) -> Option<Said> {
        let last = self.last_read();
        let own = last.own_streams.iter().find(|own| own.id.as_str() == id);
        own.map(Stream::said)
            .or_else(|| self.tables.streams.said_of(id))
    }

    fn remember(&self, farm: &FarmSettings, tables: &Tables) {
        let own = tables.streams.iter();
        *self.last_read() = LastRead {
            language: farm.chosen.language,
            own_streams: own.filter(|own| own.like.is_some()).cloned().collect(),
        };
    }

    /// The book to be read: the one that is written to and no other.
    fn open(&self) -> Result<Daybook, DaybookError> {
        self.place.held(&self.book)?;
        Daybook::open(&self.book)
    }
}

/// The address a request came in by, and the one it came from.
#[derive(Debug, Clone, Copy)]
pub(super) struct CameBy {
    pub(super) by: SocketAddr,
    pub(super) from: SocketAddr,
    /// Without the TLS this page is served under.
    pub(super) bare: bool,
}

/// The book at an instant, to be read.
pub(super) struct At<'a> {
    pub(super) book: &'a Daybook,
    pub(super) farm: &'a FarmSettings,
    pub(super) tables: &'a Tables,
    pub(super) now: Timestamp,
    /// How long whoever asked waits for a mix.
    pub(super) mix: MixAsked,
}

impl At<'_> {
    pub(super) fn night(&self) -> Night {
        night_of(self.now, None, self.farm)
    }

    /// An instant as the farm's clock says it.
    pub(super) fn local(&self, at: Timestamp, form: &str) -> String {
        at.to_zoned_datetime(self.farm.zone.clone())
            .strftime(form)
            .to_string()
    }
}

impl App {
    /// Reads the book on a thread that may wait, over a handle of its own.
    pub(super) async fn read<T: Send + 'static>(
        &self,
        f: impl FnOnce(&At) -> Result<T> + Send + 'static,
    ) -> Result<T, Unkept> {
        let shared = Arc::clone(&self.shared);
        let told = tokio::task::spawn_blocking(move || {
            let book = &shared.open().map_err(ActError::from)?;
            let farm = &settings(book)?;
            let tables = &*shared.tables.with_streams_of(book)?;
            shared.remember(farm, tables);
            f(&At {
                book,
                farm,
                tables,
                now: shared.clock.now(),
                mix: MixAsked::within(patience(shared.mix_seconds)),
            })
        });
        match told.await {
            Ok(told) => Ok(told?),
            Err(error) => Err(match error.try_into_panic() {
                Ok(fault) => Unkept::broke(&*fault),
                Err(_) => Unkept::Stopping,
            }),
        }
    }

    /// Remembers a sheet with its figures; the last few nights are enough.
    pub(super) fn remember(&self, record: i64, sheet: MixSheet) {
        const REMEMBERED: usize = 8;
        let mut sheets = self.sheets();
        sheets.insert(record, sheet);
        while sheets.len() > REMEMBERED {
            sheets.pop_first();
        }
    }

    pub(super) fn remembered(&self, record: i64) -> Option<MixSheet> {
        self.sheets().get(&record).cloned()
    }

    fn sheets(&self) -> std::sync::MutexGuard<'_, BTreeMap<i64, MixSheet>> {
        self.shared
            .sheets
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
    }
}

/// Method, path and handler.
pub(super) type Route = (&'static str, &'static str, MethodRouter<App>);
