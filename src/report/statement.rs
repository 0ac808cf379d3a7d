use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;

use super::{Change, Flow, StreamMonth};
use crate::quantity::Grams;
use crate::stream::StreamId;
use crate::words::Said;

#[derive(Debug, Clone, PartialEq)]
pub struct Statement {
    pub supplier: String,
    pub flow: Flow,
    pub streams: Vec<StreamMonth>,
    pub tickets: Vec<StatementTicket>,
    /// What the numbers between the first and the last ticket are.
    pub numbers: Option<Numbers>,
    /// Accepted weight by week and stream.
    pub weeks: Vec<Week>,
    /// Figures that differ from the version before.
    pub changes: Vec<Change>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StatementTicket {
    #[serde(rename = "ticket")]
    pub number: i64,
    /// Local.
    #[schemars(with = "String")]
    pub weighed_at: jiff::civil::DateTime,
    pub stream: StreamId,
    /// `None` when estimated.
    pub gross_g: Option<Grams>,
    /// `None` when estimated.
    pub tare_g: Option<Grams>,
    pub net_g: Grams,
    pub picked_out_g: Grams,
    pub estimated: bool,
    /// The scale that sent the gross weight itself; `None`: it was typed in.
    pub scale: Option<String>,
    /// Why, if it was.
    pub refused: Option<String>,
    /// What was first written, where supplier or stream was corrected.
    pub first_written_as: Option<Said>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Week {
    pub first: Date,
    pub last: Date,
    /// Accepted weight by stream, in the order of the statement's streams.
    pub grams: Vec<Grams>,
}

/// What a ticket number of the span is to this supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NumberIs {
    Listed,
    /// The supplier's own, weighed in another month.
    OtherMonth,
    /// The supplier's own, struck, and why.
    Struck(String),
    /// Another supplier's, or bought stock.
    Other,
}

/// Every number from the first to the last ticket listed, accounted for.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Numbers {
    pub first: i64,
    pub last: i64,
    pub listed: i64,
    /// The supplier's own.
    pub struck: Vec<Struck>,
    /// The supplier's own of other months.
    pub other_month: Vec<i64>,
    pub other: i64,
    /// Numbers nobody accounts for: the book is not whole.
    pub missing: Vec<i64>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Struck {
    pub ticket: i64,
    pub why: String,
}

pub fn accounted(first: i64, last: i64, told: &[(i64, NumberIs)]) -> Numbers {
    let mut numbers = Numbers {
        first,
        last,
        ..Numbers::default()
    };
    let mut next = first;
    for (number, is) in told {
        numbers.missing.extend(next..*number);
        next = number.saturating_add(1);
        match is {
            NumberIs::Listed => numbers.listed += 1,
            NumberIs::OtherMonth => numbers.other_month.push(*number),
            NumberIs::Struck(why) => numbers.struck.push(Struck {
                ticket: *number,
                why: why.clone(),
            }),
            NumberIs::Other => numbers.other += 1,
        }
    }
    numbers.missing.extend(next..=last);
    numbers
}

/// What a part picked out is to the FLW Standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Material {
    /// Bones, shells, pits: inedible parts.
    Inedible,
    /// Packaging and other things that are neither food nor inedible parts;
    /// the standard excludes their weight.
    Packaging,
    /// The word does not say.
    Unsaid,
}

/// Sorts what was picked out by the words staff gave it (our list of words).
/// Whole words count, one or many of a thing: a cabbage is no bag and a pecan
/// no can. What names both kinds does not say.
pub fn material(kind: &str) -> Material {
    const PACKAGING: &str = "plastic glass metal film package packaging packing sticker label \
        paper card cardboard foil bag wrap wrapper wrapping can tin tray string rubber";
    const INEDIBLE: &str = "bone shell eggshell nutshell pit stone rind peel skin husk stalk stem \
        core crown seed cob leaf leave wood hull tail seal fin";
    let kind = kind.to_lowercase();
    let any = |words: &str| {
        kind.split(|c: char| !c.is_alphabetic()).any(|word| {
            let one = word.strip_suffix('s').unwrap_or(word);
            words.split(' ').any(|known| known == word || known == one)
        })
    };
    match (any(PACKAGING), any(INEDIBLE)) {
        (true, false) => Material::Packaging,
        (false, true) => Material::Inedible,
        _ => Material::Unsaid,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_is_accounted_for() {
        let told = [
            (4, NumberIs::Listed),
            (5, NumberIs::Other),
            (6, NumberIs::Struck("typed twice".into())),
            (9, NumberIs::OtherMonth),
            (10, NumberIs::Listed),
        ];
        let numbers = accounted(4, 11, &told);
        assert_eq!((numbers.listed, numbers.other), (2, 1));
        assert_eq!(numbers.struck[0].ticket, 6);
        assert_eq!(numbers.struck[0].why, "typed twice");
        assert_eq!(numbers.other_month, [9]);
        assert_eq!(numbers.missing, [7, 8, 11]);
    }

    #[test]
    fn words_for_parts() {
        assert_eq!(material("Plastic film"), Material::Packaging);
        assert_eq!(material("chicken bone"), Material::Inedible);
        assert_eq!(material("odds"), Material::Unsaid);
        for food in [
            "cabbage stems",
            "cantaloupe rind",
            "pecan shells",
            "husk and cob",
        ] {
            assert_eq!(material(food), Material::Inedible, "{food}");
        }
        for thing in ["bags", "a can", "cardboard", "Packaging", "glass"] {
            assert_eq!(material(thing), Material::Packaging, "{thing}");
        }
        assert_eq!(material("cabbage"), Material::Unsaid);
        assert_eq!(material("bones in a bag"), Material::Unsaid);
    }
}
