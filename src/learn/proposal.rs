use crate::stream::StreamId;
use crate::words::{Said, say};

use super::{Age, ENOUGH_TESTS, Keeping, Own, SPOILED_SHARE};

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// How long a stream keeps, days.
    Keeping { stream: StreamId },
    /// The ration of a stage, mg dry matter a larva and day.
    Ration { stage: String },
}

impl Subject {
    pub fn unit(&self) -> Said {
        match self {
            Self::Keeping { .. } => say!("days"),
            Self::Ration { .. } => say!("ration-unit"),
        }
    }

    pub fn said(&self) -> Said {
        match self {
            Self::Keeping { stream } => say!("keeping-subject", stream),
            Self::Ration { stage } => say!("ration-subject", stage),
        }
    }
}

/// A change of a default with its evidence. It changes nothing by itself: only
/// the owner's word takes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    pub subject: Subject,
    /// From; `None` where there was no default.
    pub from: Option<f64>,
    pub to: f64,
    /// Tests, lots or cohorts it rests on.
    pub count: usize,
    /// Spread of single ones around it, one standard deviation; for a keeping
    /// time and a ration half of the range told in `origin`.
    pub spread: f64,
    /// How far the value itself may be off, one standard deviation; `None` where
    /// that can't be told.
    pub error: Option<f64>,
    pub origin: Said,
}

/// Proposes the age by which [`SPOILED_SHARE`] of a stream's lots were spoiled.
///
/// `None` when the default lies in the interval of `chance`.
pub fn keeping_proposal(
    stream: &StreamId,
    book_days: Option<f64>,
    keeping: &Keeping,
    chance: f64,
) -> Result<Option<Proposal>, Said> {
    let Age { days, low, high } = keeping.spoiled_by(SPOILED_SHARE, chance)?;
    let is_inside = |book: f64| low <= book && high.is_none_or(|high| book <= high);
    if book_days.is_some_and(is_inside) {
        return Ok(None);
    }
    let whole = |share: f64| format!("{:.0}", 100.0 * share);
    let (share, chance) = (whole(SPOILED_SHARE), whole(chance));
    let (spoiled, lots, from) = (keeping.spoiled, keeping.lots, format!("{low:.1}"));
    let origin = match high.map(|high| format!("{high:.1}")) {
        Some(high) => say!(
            "keeping-origin",
            share,
            chance,
            low = from,
            high,
            spoiled,
            lots
        ),
        None => say!(
            "keeping-origin-no-end",
            share,
            chance,
            low = from,
            spoiled,
            lots
        ),
    };
    Ok(Some(Proposal {
        subject: Subject::Keeping {
            stream: stream.clone(),
        },
        from: book_days,
        to: days,
        count: keeping.lots,
        spread: (high.unwrap_or(days) - low) / 2.0,
        error: None,
        origin,
    }))
}

/// Proposes the median ration of a stage's harvests, when there are at least as
/// many as tests would have to be and the default lies outside their quartiles.
pub fn ration_proposal(stage: &str, book_mg: Option<f64>, own: &Own) -> Option<Proposal> {
    let is_enough = u32::try_from(own.count).is_ok_and(|count| count >= ENOUGH_TESTS);
    let is_inside = |book: f64| (own.lower..=own.upper).contains(&book);
    let is_far = !book_mg.is_some_and(is_inside);
    (is_enough && is_far).then(|| Proposal {
        subject: Subject::Ration {
            stage: stage.to_owned(),
        },
        from: book_mg,
        to: own.median,
        count: own.count,
        spread: (own.upper - own.lower) / 2.0,
        error: None,
        origin: say!(
            "ration-origin",
            cohorts = own.count,
            low = format!("{:.1}", own.lower),
            high = format!("{:.1}", own.upper),
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Kept, keeping};
    use super::*;

    fn stream() -> StreamId {
        StreamId::parse("spent-grain").expect("an id")
    }

    /// By hand: 3 of 20 lots are spoiled at 2 days, 3 of 16 at 2.5: 0.85 × 13/16 = 0.69.
    #[test]
    fn a_keeping_time_is_proposed_when_the_default_is_outside() {
        let lots: Vec<Kept> = (1..=20)
            .map(|at| Kept {
                age_days: 2.0 + f64::from(at % 5) / 2.0,
                spoiled: at % 3 != 0,
            })
            .collect();
        let curve = keeping(&lots);
        let of = keeping_proposal(&stream(), Some(6.0), &curve, 0.9);
        let of = of.expect("enough").expect("far");
        assert_eq!(
            of.origin.in_english(),
            "25 % of the lots spoiled by then; 90 % interval 2.0 to 3.0 days; 14 of 20 lots \
             found spoiled"
        );
        assert_eq!((of.from, of.to), (Some(6.0), 2.5));
        assert_eq!(of.subject.unit().in_english(), "days");
        let inside = keeping_proposal(&stream(), Some(2.8), &curve, 0.9);
        assert_eq!(inside, Ok(None));
        assert!(keeping_proposal(&stream(), None, &keeping(&lots[..5]), 0.9).is_err());
    }

    #[test]
    fn a_ration_is_proposed_when_the_default_is_outside_the_quartiles() {
        let own = Own::of(&[30.0, 32.0, 33.0, 34.0, 36.0]).expect("figures");
        assert_eq!(ration_proposal("growing", Some(33.5), &own), None);
        let of = ration_proposal("growing", Some(40.0), &own).expect("far");
        assert_eq!((of.to, of.spread), (33.0, 1.0));
        assert_eq!(
            of.origin.in_english(),
            "median of 5 cohorts, half of them from 32.0 to 34.0"
        );
        let few = Own::of(&[30.0, 32.0]).expect("figures");
        assert_eq!(ration_proposal("growing", Some(40.0), &few), None);
    }
}
