use crate::table::month_meant;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::acts::error::Rejection;
use crate::acts::farm::usable;
use crate::acts::night::local_day;
use crate::acts::{ActError, FarmSettings, Result};
use crate::daybook::{AsOf, Book, Filed, LateRecord, MonthClosed, MonthRow, Seal, Span};
use crate::report::{
    Change, Closing, DivertedRule, Figures, FlowRow, MonthReport, NightFlow, changes, month_report,
};
use crate::words::{Said, say};

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Month {
    first: Date,
}

impl Month {
    pub fn parse(text: &str) -> Result<Self, Rejection> {
        let read = || {
            let (year, month) = text.trim().split_once('-')?;
            let first = Date::new(year.parse().ok()?, month.parse().ok()?, 1).ok()?;
            let has_digits = year.len() == 4 && month.len() == 2;
            (has_digits && (1970..=9000).contains(&first.year())).then_some(Self { first })
        };
        let accepted = || month_meant(text).unwrap_or_else(|| say!("accepted-month"));
        read().ok_or_else(|| Rejection::new("month", text, accepted()))
    }

    #[must_use]
    pub fn of(day: Date) -> Self {
        Self {
            first: day.first_of_month(),
        }
    }

    /// The month an instant lies in.
    #[must_use]
    pub fn at(instant: Timestamp, zone: &TimeZone) -> Self {
        Self::of(local_day(instant, zone))
    }

    #[must_use]
    pub fn before(self) -> Self {
        Self::of(self.first.yesterday().unwrap_or(self.first))
    }

    /// `November 2026`.
    #[must_use]
    pub fn said(self) -> Said {
        say!(
            "month-named",
            month = self.first.month(),
            year = i64::from(self.first.year())
        )
    }

    pub(in crate::acts) fn after(self) -> Self {
        Self {
            first: (self.first.last_of_month().tomorrow()).unwrap_or(self.first),
        }
    }

    /// `[first 00:00, next first 00:00)` in the farm's zone.
    pub fn bounds(self, farm: &FarmSettings) -> Result<(Timestamp, Timestamp)> {
        Ok((
            midnight(self.first, farm)?,
            midnight(self.after().first, farm)?,
        ))
    }
}

pub(crate) fn midnight(day: Date, farm: &FarmSettings) -> Result<Timestamp> {
    day.to_zoned_datetime(farm.zone.clone())
        .map(|zoned| zoned.timestamp())
        .map_err(|error| ActError::Time(error.into()))
}

impl std::fmt::Display for Month {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.first.strftime("%Y-%m"))
    }
}

/// What a page of a month stands on: a closing's frozen rows, or the book now.
pub(crate) struct Basis {
    pub(crate) farm: FarmSettings,
    pub(crate) span: Span,
    figures: Figures,
    pub(crate) closing: Option<Closing>,
    seq: Option<i64>,
    newest: bool,
}

impl Basis {
    pub(crate) fn of(book: &Book, month: Month, version: Option<i64>) -> Result<Self> {
        let versions = book.closed_versions(&month.to_string())?;
        let known = || versions.iter().map(|closed| closed.entry.version);
        let at =
            match version {
                None => versions.len().checked_sub(1),
                Some(version) => Some(known().position(|one| one == version).ok_or_else(|| {
                    ActError::NotFound {
                        what: "version",
                        seen: format!("{version} of {month}"),
                        nearest: known().map(|one| one.to_string()).collect(),
                    }
                })?),
            };
        let Some(at) = at else {
            let farm = usable(book.farm()?)?;
            let bounds = month.bounds(&farm)?;
            return Ok(Self::open(farm, bounds, figures_now(book, bounds)?));
        };
        Self::frozen(book, &versions, at)
    }

    pub(crate) fn open(
        farm: FarmSettings,
        (from, to): (Timestamp, Timestamp),
        figures: Figures,
    ) -> Self {
        let as_of = AsOf::NOW;
        Self {
            farm,
            span: Span { from, to, as_of },
            figures,
            closing: None,
            seq: None,
            newest: true,
        }
    }

    fn frozen(book: &Book, versions: &[Filed<MonthClosed>], at: usize) -> Result<Self> {
        let closed = &versions[at];
        let as_of = AsOf::record(closed.seq);
        let mut farm = usable(book.farm_at(as_of)?)?;
        farm.zone =
            TimeZone::get(&closed.entry.zone).map_err(|error| ActError::Time(error.into()))?;
        farm.zone_name.clone_from(&closed.entry.zone);
        let figures = figures_of(&closed.entry);
        let mut closing = Closing {
            version: closed.entry.version,
            by: closed.by.clone(),
            at: local(closed.at, &farm),
            why: closed.entry.why.clone(),
            changes: Vec::new(),
            corrections: Vec::new(),
        };
        if let Some(before) = at.checked_sub(1).map(|before| &versions[before]) {
            closing.changes = changes(&figures_of(&before.entry), &figures);
            let late = book.corrections(before.seq, as_of, closed.entry.to)?;
            closing.corrections = late.iter().map(|one| told(one, &farm)).collect();
        }
        let (from, to) = (closed.entry.from, closed.entry.to);
        Ok(Self {
            farm,
            span: Span { from, to, as_of },
            figures,
            closing: Some(closing),
            seq: Some(closed.seq),
            newest: at + 1 == versions.len(),
        })
    }

    pub(crate) fn version(&self) -> Option<i64> {
        self.closing.as_ref().map(|closing| closing.version)
    }

    /// The figures under a name, such as `2026-10`.
    pub(crate) fn report(&self, name: &str) -> MonthReport {
        let (named, zone) = ((name, self.version()), &self.farm.zone_name);
        month_report(named, zone, &self.figures, self.rule())
    }

    pub(crate) fn rule(&self) -> DivertedRule {
        let said = self.farm.said.diverted_rule.as_deref();
        said.and_then(DivertedRule::parse).unwrap_or_default()
    }

    /// What has changed since the newest closing; an older one stays as it is.
    pub(crate) fn pending(&self, book: &Book) -> Result<Vec<Change>> {
        if self.closing.is_none() || !self.newest {
            return Ok(Vec::new());
        }
        let now = figures_now(book, (self.span.from, self.span.to))?;
        Ok(changes(&self.figures, &now))
    }

    pub(crate) fn seal(&self, book: &Book) -> Result<String> {
        let Some(seq) = self.seq else {
            return Ok(book.seal()?.short());
        };
        let digest = book.record(seq)?.map(|found| found.record.digest);
        Ok(Seal {
            seq,
            digest: digest.unwrap_or_default(),
        }
        .short())
    }
}

pub(crate) fn nights_of(closed: &MonthClosed) -> NightFlow {
    NightFlow {
        bought: closed.night_bought_g,
        water: closed.night_water_g,
    }
}

/// What a month was closed with.
pub(crate) fn figures_of(closed: &MonthClosed) -> Figures {
    (flow_rows(closed.rows.clone()), nights_of(closed))
}

/// What the book tells now.
fn figures_now(book: &Book, (from, to): (Timestamp, Timestamp)) -> Result<Figures> {
    let rows = flow_rows(book.month_rows(from, to)?);
    Ok((rows, nights(book, from, to)?))
}

/// What was bought on the nights of a span, and the water.
pub(crate) fn nights(book: &Book, from: Timestamp, to: Timestamp) -> Result<NightFlow> {
    let mut nights = NightFlow::default();
    for inflow in book.inflows_between(from, to)? {
        match inflow.stream {
            Some(_) => nights.bought += inflow.grams,
            None => nights.water += inflow.grams,
        }
    }
    Ok(nights)
}

/// The book's rows as the report names them, which tells what was bought apart.
pub(crate) fn flow_rows(rows: Vec<MonthRow>) -> Vec<FlowRow> {
    let named = |row: MonthRow| {
        let mut flow = row.flow;
        if row.bought {
            flow.bought = std::mem::take(&mut flow.received);
        }
        (row.supplier, row.stream, row.bought, flow)
    };
    rows.into_iter().map(named).collect()
}

pub(crate) fn local(at: Timestamp, farm: &FarmSettings) -> String {
    let local = at.to_zoned_datetime(farm.zone.clone());
    local.strftime("%Y-%m-%d %H:%M").to_string()
}

fn told(correction: &LateRecord, farm: &FarmSettings) -> Said {
    let when = local(correction.at, farm);
    let written = local(correction.recorded_at, farm);
    let who = &correction.by;
    let why = correction.why.as_ref().map(Said::from);
    let why = why.unwrap_or_else(|| say!("correction-no-reason"));
    let ticket = correction.ticket.unwrap_or_default();
    let what = match (correction.kind.as_str(), correction.target_seq) {
        ("correction", Some(record)) => say!("correction-of-ticket", record, ticket),
        ("ticket" | "correction", _) => say!("correction-ticket", ticket),
        (_, Some(record)) => say!("correction-record", record),
        (kind, None) => say!("correction-other-record", kind, record = correction.seq),
    };
    match (correction.target_seq, correction.kind.as_str()) {
        (Some(_), _) => say!("correction-struck", what, when, who, written, why),
        (None, "correction") => say!("correction-corrected", what, when, who, written, why),
        (None, _) => say!("correction-written", what, when, who, written),
    }
}
