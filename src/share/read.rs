use std::collections::BTreeMap;

use postgres::{IsolationLevel, Transaction};
use serde_json::Value;

use super::connect::told;
use super::{Network, Result, ShareError};
use crate::acts::{Month, SiteMonth, site_bounds};
use crate::daybook::{Filed, MonthClosed, MonthRow, Seal, unsealed_farm, unsealed_month};
use crate::quantity::{Flow, Grams};
use crate::report::NightFlow;
use crate::stream::StreamId;

const SITES: &str = "SELECT site::text, settings::text, records, digest FROM trayful.site
    WHERE $1::text IS NULL OR site = $1 ORDER BY site";

const CLOSED: &str = "SELECT site::text, seq, body FROM trayful.live_record
    WHERE kind = 'month-closed'
      AND body::jsonb -> 'content' -> 'entry' ->> 'month' = $1 ORDER BY site, seq";

/// What moved before the span and in it: the same rows whoever adds them up.
const SUMS: &str = "SELECT m.site::text, m.supplier, m.stream, m.bought, m.way, m.estimated,
        coalesce(sum(m.grams) FILTER (WHERE m.at < s.from_at), 0)::bigint,
        coalesce(sum(m.grams) FILTER (WHERE m.at >= s.from_at), 0)::bigint,
        count(*) FILTER (WHERE m.at >= s.from_at)
    FROM trayful.moved m
    JOIN unnest($1::text[], $2::text[]::timestamptz[], $3::text[]::timestamptz[])
        AS s (site, from_at, to_at) ON s.site = m.site
    WHERE m.at < s.to_at
    GROUP BY m.site, m.supplier, m.stream, m.bought, m.way, m.estimated";

impl Network {
    /// A month of one site, or of all, at one moment.
    pub fn month(&mut self, wanted: Option<&str>, month: Month) -> Result<Vec<SiteMonth>> {
        let named = &self.named;
        let fault = |error| told(named, &error);
        let moment = self.client.build_transaction().read_only(true);
        let moment = moment.isolation_level(IsolationLevel::RepeatableRead);
        let mut moment = moment.start().map_err(fault)?;
        let mut sites = sites(&mut moment, wanted, named)?;
        let mut closed = closed(&mut moment, &month.to_string(), named)?;
        let (mut ids, mut from, mut to) = (Vec::new(), Vec::new(), Vec::new());
        for site in &mut sites {
            site.closed = closed.remove(&site.id).unwrap_or_default();
            let span = site_bounds(&site.farm, &site.closed, month);
            let span = span.map_err(|error| unreadable(&site.id, &error))?;
            ids.push(site.id.clone());
            from.push(span.0.to_string());
            to.push(span.1.to_string());
        }
        let mut sums: BTreeMap<String, Sums> = BTreeMap::new();
        for row in moment.query(SUMS, &[&ids, &from, &to]).map_err(fault)? {
            let site: String = row.get(0);
            let source = (row.get(1), row.get(2), row.get(3));
            let (way, estimated): (String, bool) = (row.get(4), row.get(5));
            let figures = (Grams::new(row.get(6)), Grams::new(row.get(7)), row.get(8));
            let of = sums.entry(site.clone()).or_default();
            if of.add(source, (&way, estimated), figures).is_none() {
                return Err(ShareError::Unreadable { site, what: way });
            }
        }
        for site in &mut sites {
            let sums = sums.remove(&site.id).unwrap_or_default();
            site.rows = sums.rows();
            site.nights = sums.nights;
        }
        Ok(sites)
    }
}

fn sites(
    moment: &mut Transaction<'_>,
    wanted: Option<&str>,
    named: &str,
) -> Result<Vec<SiteMonth>> {
    let mut query = |wanted: Option<&str>| {
        let rows = moment.query(SITES, &[&wanted]);
        rows.map_err(|error| told(named, &error))
    };
    let rows = query(wanted)?;
    if rows.is_empty() {
        let known: Vec<String> = query(None)?.iter().map(|row| row.get(0)).collect();
        return Err(match (wanted, known.is_empty()) {
            (Some(site), false) => ShareError::NoSuchSite {
                site: site.to_owned(),
                known,
            },
            _ => ShareError::NoSites,
        });
    }
    let site = |row: &postgres::Row| {
        let id: String = row.get(0);
        let settings: &str = row.get(1);
        let farm = serde_json::from_str(settings).and_then(|entry| unsealed_farm(&entry));
        Ok(SiteMonth {
            farm: farm.map_err(|error| unreadable(&id, &error))?,
            seal: Seal {
                seq: row.get(2),
                digest: row.get(3),
            },
            closed: Vec::new(),
            rows: Vec::new(),
            nights: NightFlow::default(),
            id,
        })
    };
    rows.iter().map(site).collect()
}

fn closed(
    moment: &mut Transaction<'_>,
    month: &str,
    named: &str,
) -> Result<BTreeMap<String, Vec<Filed<MonthClosed>>>> {
    let mut closed: BTreeMap<String, Vec<Filed<MonthClosed>>> = BTreeMap::new();
    let rows = moment.query(CLOSED, &[&month]);
    for row in rows.map_err(|error| told(named, &error))? {
        let (site, seq, body): (String, i64, &str) = (row.get(0), row.get(1), row.get(2));
        let read = || -> serde_json::Result<_> {
            let said: Value = serde_json::from_str(body)?;
            let content = &said["content"];
            Ok(Filed {
                seq,
                id: serde::Deserialize::deserialize(&content["id"])?,
                at: serde::Deserialize::deserialize(&content["at"])?,
                by: serde::Deserialize::deserialize(&content["by"])?,
                entry: unsealed_month(&content["entry"])?,
            })
        };
        let filed = read().map_err(|error| unreadable(&site, &error))?;
        closed.entry(site).or_default().push(filed);
    }
    Ok(closed)
}

fn unreadable(site: &str, error: &impl ToString) -> ShareError {
    ShareError::Unreadable {
        site: site.to_owned(),
        what: error.to_string(),
    }
}

type Source = (String, StreamId, bool);

/// A site's weights by source, as they are added up.
#[derive(Default)]
struct Sums {
    flows: BTreeMap<Source, Flow>,
    nights: NightFlow,
}

impl Sums {
    /// Adds what moved one way: before the span, in it, and how often; nothing
    /// where there is no such way or source.
    fn add(
        &mut self,
        (supplier, stream, bought): (Option<String>, Option<String>, Option<bool>),
        (way, estimated): (&str, bool),
        (before, grams, times): (Grams, Grams, i64),
    ) -> Option<()> {
        match way {
            "night" => self.nights.bought += grams,
            "water" => self.nights.water += grams,
            _ => {
                let source = (supplier?, StreamId::parse(&stream?)?, bought?);
                let flow = self.flows.entry(source).or_default();
                let at = Flow::NAMES.iter().position(|name| *name == way)?;
                *flow.figures_mut()[at] += grams;
                match way {
                    "received" => {
                        flow.opening += before;
                        flow.loads += times;
                        if estimated {
                            flow.estimated += grams;
                        }
                    }
                    "refused" => flow.refused_loads += times,
                    _ => flow.opening -= before,
                }
            }
        }
        Some(())
    }

    fn rows(&self) -> Vec<MonthRow> {
        let row = |((supplier, stream, bought), flow): (&Source, &Flow)| MonthRow {
            supplier: supplier.clone(),
            stream: stream.clone(),
            bought: *bought,
            flow: Flow {
                closing: flow.opening + flow.received - flow.left(),
                ..flow.clone()
            },
        };
        let rows = self.flows.iter().map(row);
        rows.filter(|row| !row.flow.is_empty()).collect()
    }
}
