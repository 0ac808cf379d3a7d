//! Sharing: the records of many books in one PostgreSQL database, and what is
//! summed up from there.
//!
//! Owns: the connection, the numbered migrations in `data/share/`, every line
//! of SQL that PostgreSQL is asked. Must not know: pages, the clock; no room
//! but `cli` knows of this one, so no farm's day waits for a network.
//!
//! Invariants:
//! - What is sent is the exact text a record's digest covers. The database
//!   reckons the digest itself, from its own digest of the record before, and
//!   reads every typed row out of that text: what can't be verified is not kept.
//! - A record's number and digest make sending it again harmless, so a sending
//!   goes on where the database's own last record is, after whatever broke.
//! - A site's role may add its own records and read them, nothing else: the
//!   role is the site's id, and row security holds it. Nobody updates or deletes.
//! - Another host is spoken to by TLS alone, its certificate checked, unless
//!   somebody said otherwise. No message holds a password.
//!
//! The whole text is kept, so typed rows hold no more than the sums need:
//! every weight with its instant, source and way (`move`), and of the record
//! itself kind, instants, person and the record it bears on.
//!
//! # How it would grow
//!
//! Sizes and rates are printed by the ignored test in `tests/share.rs`: 12,000,000
//! records of 20 sites (10,000,000 tickets) took 10.9 GB with indexes, 0.9 kB each,
//! were sent at 10,300 a second by four senders, and a month of all took 3.5 s in
//! February and 7.0 s in December (November 2026, optimised, two busy cores).
//! A site of 30 tickets a day writes some 15,000 records a year; 10,000 sites
//! 150 million, about 135 GB by that. What would change then, on
//! paper only: `record` and `move` partitioned by range of months (`at` becomes
//! part of their keys; partitions are detached to archive, and a month reads
//! one), what was on hand at each month's end kept as rows beside the records,
//! as the book's own marks are, so that an opening needs no scan of what came
//! before; `COPY` instead of arrays for a first load; a pool of connections in
//! front (PgBouncer), since each site needs one for seconds a day; physical
//! replicas for whoever reads, `pg_basebackup` with archived logs for backup.
//! The chain is by site, so sites can also be spread over several databases.

mod connect;
mod read;
mod send;

pub use connect::{Address, Network};
pub use send::Sent;

use crate::daybook::DaybookError;
use crate::words::{Said, say};

pub type Result<T, E = ShareError> = std::result::Result<T, E>;

/// Why nothing, or no more, was shared. What was kept before stays.
#[derive(Debug)]
pub enum ShareError {
    Book(DaybookError),
    /// Not an address, or a certificate that can't be read.
    Address(Said),
    /// The database does not answer, or no longer does.
    Broke {
        with: String,
        why: String,
    },
    /// Its tables are older than this program's, or not there.
    NotPrepared {
        with: String,
        found: i32,
    },
    /// A migration there is not the one of that number here.
    OtherMigration {
        number: i32,
    },
    /// The database holds another record of this number: a fork.
    Fork {
        site: String,
        seq: i64,
    },
    /// The database holds more than the book: the book is an old copy.
    Behind {
        site: String,
        there: i64,
        here: i64,
    },
    /// The database would not take a record: its own words.
    Refused {
        why: String,
    },
    /// No site has sent anything yet.
    NoSites,
    NoSuchSite {
        site: String,
        known: Vec<String>,
    },
    /// What is kept there is not what this program reads.
    Unreadable {
        site: String,
        what: String,
    },
}

impl ShareError {
    pub fn said(&self) -> Said {
        match self {
            Self::Book(error) => error.said(),
            Self::Address(said) => said.clone(),
            Self::Broke { with, why } => say!("share-broke", with, why),
            Self::NotPrepared { with, found } => {
                say!("share-not-prepared", with, found, known = connect::KNOWN)
            }
            Self::OtherMigration { number } => say!("share-other-migration", number),
            Self::Fork { site, seq } => say!("share-fork", site, seq),
            Self::Behind { site, there, here } => say!("share-behind", site, there, here),
            Self::Refused { why } => say!("share-refused", why),
            Self::NoSites => say!("share-no-sites"),
            Self::NoSuchSite { site, known } => {
                say!("share-no-such-site", site, known = known.join(", "))
            }
            Self::Unreadable { site, what } => say!("share-unreadable", site, what),
        }
    }
}

impl From<DaybookError> for ShareError {
    fn from(error: DaybookError) -> Self {
        Self::Book(error)
    }
}
