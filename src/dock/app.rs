use std::collections::BTreeMap;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use axum::routing::MethodRouter;
use jiff::Timestamp;
use tokio::sync::watch::{Receiver, Sender};

use crate::acts::{ActError, FarmSettings, MixAsked, Night, Result, Tables, night_of, settings};
use crate::daybook::{Daybook, DaybookError, Place};
use crate::sheet::MixSheet;
use crate::words::Language;

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
    pub(super) language: Mutex<Option<Language>>,
    /// What they show, told as it changes.
    pub(super) weights: Receiver<Vec<Shown>>,
    pub(super) ticked: Sender<Ticks>,
    pub(super) hosts: Vec<String>,
    pub(super) tls: Option<Tls>,
    /// Sheets this run has kept, with their figures as they were then.
    pub(super) sheets: Mutex<BTreeMap<i64, MixSheet>>,
}

impl Shared {
    /// The farm's language, as the book was last read.
    pub(super) fn language(&self) -> Option<Language> {
        *self.language.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn speak(&self, language: Option<Language>) {
        *self.language.lock().unwrap_or_else(PoisonError::into_inner) = language;
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
            shared.speak(farm.chosen.language);
            f(&At {
                book,
                farm,
                tables: &*shared.tables.with_streams_of(book)?,
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
