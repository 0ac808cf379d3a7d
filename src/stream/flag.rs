use crate::quantity::word_enum;
use crate::words::{Said, say};
use schemars::JsonSchema;
use serde::Serialize;

use super::{Class, Inedible, Leave, Rule, Ruling, Stream, Verdict};

/// Thresholds for woody carbon; each is this program's own unless a farm sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlagLimits {
    /// Lignin, per cent of dry matter, above which a stream is woody carbon.
    pub lignin_dm_pct: f64,
    /// C:N above which a stream is woody carbon.
    pub carbon_to_nitrogen: f64,
    /// Fibre, per cent of dry matter, below which a high C:N is sugar, not wood.
    pub woody_fibre_dm_pct: f64,
    /// How the thresholds are labelled where they are printed.
    pub label: &'static str,
}

word_enum!(
    /// What is wrong with a whole load, so that none of it may be tipped.
    Refusal {
        /// Glass or other sharps.
        Glass = "glass",
        /// Cleaning agents, oil, unknown liquids.
        Chemicals = "chemicals",
        /// Nappies, sewage, sanitary waste.
        Sanitary = "sanitary",
        /// Medicated or treated with pesticide.
        Medicated = "medicated",
        /// Rotten, foul.
        Putrid = "putrid",
        /// Mould seen.
        Mouldy = "mouldy",
    }
);

impl Refusal {
    /// The reason a word stands for; any other word is the staff's own reason.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::parse(&word.trim().to_lowercase())
    }

    /// The caution to show at the dock; common practice, no source.
    pub fn caution(self) -> Said {
        say!("refused-load", what = self.as_str())
    }
}

/// A verdict with its grounds, given before any blend is tried.
#[must_use]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Flag {
    /// What staff should do.
    pub verdict: Verdict,
    /// Why, with the figure.
    pub reason: Said,
    /// What the rules on use say, always with the advice to ask the authority.
    pub use_note: Said,
}

impl Flag {
    pub fn said(&self) -> Said {
        say!("flag", verdict = self.verdict.said(), reason = &self.reason)
    }
}

/// Judges a stream for one farm. `rule` is the strictest rule on use for it
/// and all it touched, `leave` what an authority gave; without a farm there is
/// neither.
///
/// Order: barred by a rule; nothing larvae eat; ask first; whole parts larvae
/// leave; feed. What goes to compost needs no leave to be fed.
pub fn flag(
    stream: &Stream,
    limits: &FlagLimits,
    rule: Option<&Rule>,
    leave: Option<&Leave>,
) -> Flag {
    let ruling = rule.map(|rule| rule.ruling);
    let of = rule.map_or("", |rule| rule.applies_to.as_str());
    let own = stream
        .at_least
        .filter(|own| *own != Verdict::AskFirst || leave.is_none());
    let leave = leave.filter(|_| ruling == Some(Ruling::Ask));
    let (verdict, reason) = match judged_by_composition(stream, limits) {
        _ if ruling == Some(Ruling::Barred) => (Verdict::Refuse, say!("flag-barred", of)),
        // No leave is for what nobody can name.
        _ if stream.is_not_listed() => (Verdict::AskFirst, say!("flag-not-listed")),
        (verdict, _) if verdict.may_be_fed() && ruling == Some(Ruling::Ask) && leave.is_none() => {
            (Verdict::AskFirst, say!("flag-ask-first", of))
        }
        judged => judged,
    };
    let (verdict, reason) = match own {
        Some(own) if own > verdict => (own, say!("flag-own")),
        _ => (verdict, reason),
    };
    Flag {
        verdict,
        reason,
        use_note: (rule.filter(|_| !stream.is_not_listed()))
            .map_or_else(Said::default, |rule| use_note(rule, leave)),
    }
}

/// What a rule says of a load, with the leave that lifts it.
pub fn use_note(rule: &Rule, leave: Option<&Leave>) -> Said {
    let lead = match (rule.ruling, leave) {
        (Ruling::Allowed, _) => say!("use-allowed"),
        (Ruling::Ask, None) => say!("use-ask-first"),
        (Ruling::Ask, Some(leave)) => say!(
            "use-leave",
            who = &leave.given_by,
            day = leave.given_on,
            what = &leave.what_for
        ),
        (Ruling::Barred, _) => say!("use-barred"),
    };
    let (origin, reason) = (rule.origin(), &rule.reason);
    if reason.contains("local authority") {
        say!("use-note", lead, origin, reason)
    } else {
        say!("use-note-and-check", lead, origin, reason)
    }
}

fn judged_by_composition(stream: &Stream, limits: &FlagLimits) -> (Verdict, Said) {
    let part = stream.inedible.as_ref();
    if let Some(part) = part.filter(|part| part.is_all()) {
        return (
            Verdict::Compost,
            say!("flag-all-inedible", kind = &part.kind),
        );
    }
    if let Some(reason) = woody_carbon(stream, limits) {
        return (Verdict::Compost, reason);
    }
    match part {
        Some(Inedible {
            share: Some(share),
            kind,
        }) => {
            let pct = format!("{:.0}", share.pct());
            (Verdict::PickOut, say!("flag-part-inedible", pct, kind))
        }
        Some(Inedible { share: None, kind }) => (Verdict::PickOut, say!("flag-may-hold", kind)),
        None => (Verdict::Feed, say!("flag-feed")),
    }
}

fn woody_carbon(stream: &Stream, limits: &FlagLimits) -> Option<Said> {
    if stream.class == Class::Woody {
        return Some(say!("flag-woody"));
    }
    if let Some(lignin) = stream
        .analyte("lignin")
        .filter(|lignin| lignin.pct() > limits.lignin_dm_pct)
    {
        let pct = format!("{:.1}", lignin.pct());
        let most = format!("{:.0}", limits.lignin_dm_pct);
        let label = say!("limit-of", limits.label);
        return Some(say!("flag-lignin", pct, most, label));
    }
    let fibrous = stream
        .analyte("fibre")
        .is_none_or(|fibre| fibre.pct() >= limits.woody_fibre_dm_pct);
    let ratio = stream
        .carbon_to_nitrogen()
        .filter(|ratio| *ratio > limits.carbon_to_nitrogen)?;
    fibrous.then(|| {
        let (ratio, label) = (format!("{ratio:.0}"), say!("limit-of", limits.label));
        let most = format!("{:.0}", limits.carbon_to_nitrogen);
        say!("flag-carbon-to-nitrogen", ratio, most, label)
    })
}
