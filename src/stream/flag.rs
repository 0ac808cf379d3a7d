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

/// What is wrong with a whole load, so that none of it may be tipped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Glass or other sharps.
    Glass,
    /// Cleaning agents, oil, unknown liquids.
    Chemicals,
    /// Nappies, sewage, sanitary waste.
    Sanitary,
    /// Medicated or treated with pesticide.
    Medicated,
    /// Rotten, foul.
    Putrid,
    /// Mould seen.
    Mouldy,
}

impl Refusal {
    const ALL: [(&'static str, Self); 6] = [
        ("glass", Self::Glass),
        ("chemicals", Self::Chemicals),
        ("sanitary", Self::Sanitary),
        ("medicated", Self::Medicated),
        ("putrid", Self::Putrid),
        ("mouldy", Self::Mouldy),
    ];

    /// The reason a word stands for; any other word is the staff's own reason.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase();
        Self::ALL
            .iter()
            .find(|(name, _)| *name == word)
            .map(|(_, refusal)| *refusal)
    }

    /// The caution to show at the dock; common practice, no source.
    #[must_use]
    pub const fn caution(self) -> &'static str {
        match self {
            Self::Glass => {
                "Sharps: do not reach in; cut gloves and a tool, and leave the whole bucket closed."
            }
            Self::Chemicals => {
                "Chemicals: do not tip, smell or mix; keep it shut and follow your local rules for hazardous waste."
            }
            Self::Sanitary => {
                "Sanitary waste: gloves, keep it shut, wash hands; follow your local health rules."
            }
            Self::Medicated => {
                "Medicated or treated: larvae and what eats them may carry it on; keep it out and ask your authority."
            }
            Self::Putrid => {
                "Putrid: do not sniff into the bucket; gases gather in closed rooms and buckets, so open it outdoors."
            }
            Self::Mouldy => {
                "Mouldy: do not sniff at it or shake it; keep it shut and away from feed and food."
            }
        }
    }
}

/// A verdict with its grounds, given before any blend is tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flag {
    /// What staff should do.
    pub verdict: Verdict,
    /// Why, with the figure.
    pub reason: String,
    /// What the rules on use say, always with the advice to ask the authority.
    pub use_note: String,
}

/// Judges a stream for one farm. `rule` is the strictest rule on use for it
/// and all it touched, `leave` what an authority gave; without a farm there is
/// neither.
///
/// Order: barred by a rule; nothing larvae eat; ask first; whole parts larvae
/// leave; feed. What goes to compost needs no leave to be fed.
#[must_use]
pub fn flag(
    stream: &Stream,
    limits: &FlagLimits,
    rule: Option<&Rule>,
    leave: Option<&Leave>,
) -> Flag {
    let ruling = rule.map(|rule| rule.ruling);
    let by_rule = |what: &str| {
        let of = rule.map_or("", |rule| rule.applies_to.as_str());
        format!("{what} for this farm's larvae ({of})")
    };
    let leave = leave.filter(|_| ruling == Some(Ruling::Ask));
    let (verdict, reason) = match judged_by_composition(stream, limits) {
        _ if ruling == Some(Ruling::Barred) => (Verdict::Refuse, by_rule("barred")),
        (verdict, _) if verdict.may_be_fed() && ruling == Some(Ruling::Ask) && leave.is_none() => {
            (Verdict::AskFirst, by_rule("allowed only on conditions"))
        }
        judged => judged,
    };
    Flag {
        verdict,
        reason,
        use_note: rule.map_or_else(String::new, |rule| use_note(rule, leave)),
    }
}

/// What a rule says of a load, with the leave that lifts it.
#[must_use]
pub fn use_note(rule: &Rule, leave: Option<&Leave>) -> String {
    let asked = "local authority";
    let advice = if rule.reason.contains(asked) {
        ""
    } else {
        " Check with your local authority."
    };
    let lead = match (rule.ruling, leave) {
        (Ruling::Allowed, _) => "usually allowed with records".to_owned(),
        (Ruling::Ask, None) => "conditional, ask first".to_owned(),
        (Ruling::Ask, Some(leave)) => format!(
            "leave given by {} on {} for: {}",
            leave.given_by, leave.given_on, leave.what_for
        ),
        (Ruling::Barred, _) => "usually barred".to_owned(),
    };
    format!("{lead} ({}): {}{advice}", rule.origin(), rule.reason)
}

fn judged_by_composition(stream: &Stream, limits: &FlagLimits) -> (Verdict, String) {
    let part = stream.inedible.as_ref();
    if let Some(part) = part.filter(|part| part.is_all()) {
        let reason = format!("nothing but {}, which larvae leave", part.kind);
        return (Verdict::Compost, reason);
    }
    if let Some(reason) = woody_carbon(stream, limits) {
        return (Verdict::Compost, reason);
    }
    match part {
        Some(Inedible {
            share: Some(share),
            kind,
        }) => {
            let reason = format!(
                "about {:.0} % of the weight is {kind}, which larvae leave",
                share.pct()
            );
            (Verdict::PickOut, reason)
        }
        Some(Inedible { share: None, kind }) => (
            Verdict::PickOut,
            format!("may hold {kind}, nobody knows how much: look"),
        ),
        None => (Verdict::Feed, "nothing against it".to_owned()),
    }
}

fn woody_carbon(stream: &Stream, limits: &FlagLimits) -> Option<String> {
    if stream.class == Class::Woody {
        return Some("woody carbon by its class: larvae leave it".to_owned());
    }
    if let Some(lignin) = stream
        .analyte("lignin")
        .filter(|lignin| lignin.pct() > limits.lignin_dm_pct)
    {
        return Some(format!(
            "lignin {:.1} % of dry matter, above {:.0} % ({})",
            lignin.pct(),
            limits.lignin_dm_pct,
            limits.label
        ));
    }
    let fibrous = stream
        .analyte("fibre")
        .is_none_or(|fibre| fibre.pct() >= limits.woody_fibre_dm_pct);
    let ratio = stream
        .carbon_to_nitrogen()
        .filter(|ratio| *ratio > limits.carbon_to_nitrogen)?;
    fibrous.then(|| {
        format!(
            "C:N {ratio:.0}, above {:.0} ({})",
            limits.carbon_to_nitrogen, limits.label
        )
    })
}

/// Where staff put a lot of this verdict down.
#[must_use]
pub const fn putting_place(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Feed => "feed stock, oldest in front",
        Verdict::PickOut => "sorting bench: pick the parts out and weigh them, then feed stock",
        Verdict::AskFirst => "holding place, marked ASK FIRST, away from the feed stock",
        Verdict::Compost => "compost and bulking pile, not the feed stock",
        Verdict::Refuse => "stays closed with the supplier; do not tip it",
    }
}
