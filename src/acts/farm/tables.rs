use std::borrow::Cow;
use std::collections::BTreeSet;

use jiff::{SignedDuration, Timestamp};

use crate::acts::{FarmSettings, Result};
use crate::daybook::{Book, OwnFigure};
use crate::larvae::{SHIPPED_STAGES, StageTable};
use crate::learn::PublishedTable;
use crate::stream::{
    Flag, LarvaeFor, Leave, Region, SHIPPED_LABELS, SHIPPED_NAMES, SHIPPED_SOURCES,
    SHIPPED_STREAMS, SHIPPED_USE_RULES, SourceTable, Stream, StreamId, StreamTable, UseRules, flag,
    read_labels, read_names,
};
use crate::table::{Finding, Findings};
use crate::words::{Said, say};

/// A farm's own table: the file as named, and its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableFile {
    pub name: String,
    pub bytes: Vec<u8>,
}

/// A farm's own tables, where it has any.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TableFiles {
    /// Put over the shipped stream table, row by row.
    pub streams: Option<TableFile>,
    pub names: Option<TableFile>,
    /// Instead of the shipped stage table.
    pub stages: Option<TableFile>,
    /// Instead of the shipped rules on use.
    pub use_rules: Option<TableFile>,
}

#[derive(Debug, Clone)]
pub struct Tables {
    /// Streams, the farm's own rows over the shipped ones.
    pub streams: StreamTable,
    /// Sources of the shipped figures.
    pub sources: SourceTable,
    pub published: PublishedTable,
    pub stages: StageTable,
    /// What should be looked at in the farm's own tables.
    pub cautions: Vec<Said>,
    use_rules: TableFile,
    leaves: Vec<Leave>,
    /// Whether the farm's own figures stand in them.
    with_own: bool,
}

/// A price paid longer ago counts for nothing (our default).
const PRICE_HOLDS_DAYS: i64 = 180;

impl Tables {
    /// The tables with the figures the owner took over from the farm's own
    /// records, and what was last paid for streams without a price of their
    /// own, as they hold at `until`.
    pub fn of_farm(&self, book: &Book, until: Timestamp) -> Result<Cow<'_, Self>> {
        if self.with_own {
            return Ok(Cow::Borrowed(self));
        }
        let mut tables = self.clone();
        tables.with_own = true;
        tables.leaves = book.leaves(until)?;
        let from = until - SignedDuration::from_hours(24 * PRICE_HOLDS_DAYS);
        for (id, price) in book.prices_paid(from, until)? {
            if let Some(stream) = tables.streams.get_mut(&id) {
                stream.price_per_kg.get_or_insert(price);
            }
        }
        for ((figure, subject), own) in book.own_figures(until)? {
            let value = own.entry.value;
            match figure {
                OwnFigure::KeepsDays => {
                    let id = StreamId::parse(&subject);
                    if let Some(stream) = id.and_then(|id| tables.streams.get_mut(&id)) {
                        stream.keeps_days = Some(value);
                        stream.labels.keeping = None;
                    }
                }
                OwnFigure::Ration => {
                    let stages = tables.stages.stages.iter_mut();
                    for stage in stages.filter(|stage| stage.goes_by(&subject)) {
                        for ration in stage.ration_mg_dm.values_mut() {
                            ration.value *= value;
                            ration.source = format!("farm's own, record r{}", own.seq);
                        }
                    }
                }
            }
        }
        Ok(Cow::Owned(tables))
    }

    /// The tables with the streams of the farm's own that are in its book.
    pub fn with_streams_of(&self, book: &Book) -> Result<Cow<'_, Self>> {
        let own = book.own_streams()?;
        if own.is_empty() {
            return Ok(Cow::Borrowed(self));
        }
        let mut tables = self.clone();
        tables.streams.put_own(&own);
        Ok(Cow::Owned(tables))
    }

    /// The shipped tables with the farm's own over them.
    pub fn load(files: TableFiles) -> Result<Self, Findings> {
        let shipped = StreamTable::read("data/streams.csv", SHIPPED_STREAMS)?
            .labelled(read_labels("data/labels.csv", SHIPPED_LABELS)?)
            .with_names(read_names("data/stream-names.csv", SHIPPED_NAMES)?);
        let (streams, cautions) = match &files.streams {
            Some(file) => shipped.overlaid(StreamTable::read(&file.name, &file.bytes)?),
            None => (shipped, Vec::new()),
        };
        let streams = match &files.names {
            Some(file) => {
                let own = read_names(&file.name, &file.bytes)?;
                streams.unknown_names(&file.name, &own)?;
                streams.with_names(own)
            }
            None => streams,
        };
        let stages = match &files.stages {
            Some(file) => StageTable::read(&file.name, utf8(file)?)?,
            None => StageTable::read("data/stages.toml", SHIPPED_STAGES)?,
        };
        let shipped_rules = || TableFile {
            name: "data/use-rules.csv".to_owned(),
            bytes: SHIPPED_USE_RULES.to_vec(),
        };
        let use_rules = files.use_rules.unwrap_or_else(shipped_rules);
        UseRules::read(
            &use_rules.name,
            &use_rules.bytes,
            LarvaeFor::NotFeed,
            Region::Other,
        )?;
        let sources = SourceTable::read("data/sources.csv", SHIPPED_SOURCES)?;
        Ok(Self {
            streams,
            published: PublishedTable::shipped(&sources)?,
            sources,
            stages,
            cautions,
            use_rules,
            leaves: Vec::new(),
            with_own: false,
        })
    }

    /// The rules that hold for one farm.
    pub fn rules(&self, farm: &FarmSettings) -> Result<UseRules, Findings> {
        self.rules_for(farm.larvae_for, farm.region)
    }

    /// The rules that hold for one use of larvae in a region.
    pub fn rules_for(&self, larvae_for: LarvaeFor, region: Region) -> Result<UseRules, Findings> {
        let file = &self.use_rules;
        let rules = UseRules::read(&file.name, &file.bytes, larvae_for, region)?;
        Ok(rules.with_leaves(&self.leaves))
    }

    /// Streams that are neither food nor its inedible parts, which a food-waste
    /// report does not cover.
    pub fn not_food(&self) -> BTreeSet<StreamId> {
        let streams = self.streams.iter().filter(|stream| !stream.is_food());
        streams.map(|stream| stream.id.clone()).collect()
    }

    /// The verdict on a stream, for a farm where there is one; of a supplier,
    /// where it is known whose it is.
    pub fn judge(&self, stream: &Stream, rules: Option<&UseRules>, supplier: Option<&str>) -> Flag {
        flag(
            stream,
            &self.stages.flag_limits,
            rules.and_then(|rules| rules.strictest(stream, &[])),
            rules.and_then(|rules| rules.leave(&stream.id, supplier)),
        )
    }
}

/// The text of a table file.
pub(crate) fn utf8(file: &TableFile) -> Result<&str, Findings> {
    std::str::from_utf8(&file.bytes).map_err(|_| {
        let (seen, accepted) = (say!("seen-not-utf8"), say!("accepted-utf8"));
        Findings(vec![Finding::at(&file.name, None, "", seen, accepted)])
    })
}
