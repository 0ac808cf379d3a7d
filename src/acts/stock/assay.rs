use serde::Serialize;

use super::lot::find_lot;
use crate::acts::error::Rejection;
use crate::acts::{Asked, Result};
use crate::daybook::{Assay, Daybook, Entry, Reweigh};
use crate::quantity::{Grams, Reading};
use crate::stream::{Stream, StreamTable};
use crate::words::{Said, say};

/// A moisture test as done.
#[derive(Debug, Clone, PartialEq)]
pub enum AssayReading {
    /// A sample weighed wet and after each drying, grams.
    Dried {
        /// The dish it was weighed in each time; zero where the scale took it off.
        dish_g: f64,
        /// Before.
        wet_g: f64,
        /// After each drying; the last one counts.
        dried_g: Vec<f64>,
        /// `oven` or `microwave`.
        method: String,
    },
    Squeezed {
        grade: String,
    },
}

/// A grade of the hand squeeze scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SqueezeGrade {
    pub word: &'static str,
    /// Moisture to reckon with, per cent: the middle of the published range; at the open ends our default.
    pub moisture_pct: f64,
    /// One standard deviation, points (our default: wide).
    pub sd: f64,
}

macro_rules! grades {
    ($($word:literal, $moisture_pct:literal, $sd:literal;)+) => {
        [$(SqueezeGrade { word: $word, moisture_pct: $moisture_pct, sd: $sd }),+]
    };
}

/// The hand squeeze scale for forage (Government of Saskatchewan, determining
/// moisture content of forage): 80+ %, 75-80, 70-75, 60-70, 60 and below. Made
/// for chopped forage; whole fruit holds water that does not show until ground.
pub const SQUEEZE_GRADES: [SqueezeGrade; 5] = grades! {
    "runs", 83.0, 4.0;
    "just", 77.5, 3.0;
    "holds", 72.5, 3.0;
    "slow", 65.0, 4.0;
    "fast", 55.0, 7.0;
};

/// Spread of a dried sample, points: an oven to constant weight, and a
/// microwave (±1-3 is said of straw); both our defaults.
const OVEN_SD: f64 = 1.0;
const MICROWAVE_SD: f64 = 2.0;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tested {
    pub record: i64,
    pub lot: String,
    pub stream: Said,
    pub moisture_pct: f64,
    pub moisture_sd: f64,
    pub method: String,
}

impl AssayReading {
    /// The sample alone before and after drying, grams.
    fn sample(&self) -> Option<(f64, f64)> {
        let Self::Dried {
            dish_g,
            wet_g,
            dried_g,
            ..
        } = self
        else {
            return None;
        };
        // No weight after drying is no weight of zero.
        let dry_g = dried_g.last().copied().unwrap_or(f64::NAN);
        Some((wet_g - dish_g, dry_g - dish_g))
    }

    /// By how much the last two weights after drying differ, grams.
    fn still_loses_g(&self) -> Option<f64> {
        match self {
            Self::Dried { dried_g, .. } => match dried_g[..] {
                [.., before, last] => Some((before - last).abs()),
                _ => None,
            },
            Self::Squeezed { .. } => None,
        }
    }

    /// Moisture [% wet basis] = (wet − dry) / wet × 100, with its spread.
    fn moisture(&self) -> Result<(f64, f64, &str), Rejection> {
        match self {
            Self::Dried {
                dish_g,
                dried_g,
                method,
                ..
            } => {
                let (wet_g, dry_g) = self.sample().unwrap_or((f64::NAN, f64::NAN));
                let is_sample = *dish_g >= 0.0 && wet_g > 0.0 && wet_g <= 100_000.0;
                let fits = |dried: &f64| (0.0..=wet_g).contains(&(dried - dish_g));
                if !is_sample || dried_g.is_empty() || !dried_g.iter().all(fits) {
                    let seen = format!("{dry_g} g / {wet_g} g");
                    return Err(Rejection::new("dry", seen, say!("accepted-dry")));
                }
                let sd = match method.as_str() {
                    "oven" => OVEN_SD,
                    "microwave" => MICROWAVE_SD,
                    other => {
                        return Err(Rejection::new("method", other, say!("accepted-dried-by")));
                    }
                };
                Ok(((wet_g - dry_g) / wet_g * 100.0, sd, method))
            }
            Self::Squeezed { grade } => {
                let words = || SQUEEZE_GRADES.map(|known| known.word).join(", ");
                let known = SQUEEZE_GRADES.iter().find(|known| known.word == grade);
                known
                    .map(|known| (known.moisture_pct, known.sd, "squeeze"))
                    .ok_or_else(|| Rejection::new("squeeze", grade, words()))
            }
        }
    }
}

/// Records a moisture test of a lot; the newest holds.
pub fn assay(
    book: &mut Daybook,
    lot: &str,
    reading: &AssayReading,
    streams: &StreamTable,
    asked: &Asked,
) -> Result<Tested> {
    let (moisture_pct, moisture_sd, method) = reading.moisture()?;
    let (wet_g, dry_g) = reading.sample().unzip();
    book.write(asked.now, |writing| {
        let (found, lot) = find_lot(writing, lot)?;
        let stream = found.ticket().map(|ticket| ticket.stream.clone());
        asked.doubt(writing, |doubts| {
            let known = stream.as_ref().and_then(|id| streams.get(id));
            let book = known.and_then(table_moisture);
            doubts.moisture("moisture", moisture_pct, moisture_sd, book);
            if let (Some(loses_g), Some(wet_g)) = (reading.still_loses_g(), wet_g) {
                doubts.drying("dry", loses_g, wet_g);
            }
            Ok(())
        })?;
        let entry = Entry::Assay(Assay {
            lot_seq: found.record.seq,
            method: method.to_owned(),
            wet_g,
            dry_g,
            moisture_pct,
            moisture_sd,
        });
        let appended = writing.append(&asked.record(entry))?;
        Ok(Tested {
            record: appended.seq,
            lot,
            stream: stream.map(Said::from).unwrap_or_default(),
            moisture_pct,
            moisture_sd,
            method: method.to_owned(),
        })
    })
}

/// Moisture of a stream in the table, per cent, with its spread.
pub(crate) fn table_moisture(stream: &Stream) -> Option<(f64, Option<f64>)> {
    let moisture = stream.moisture?;
    Some((moisture.value.pct(), moisture.sd.map(|sd| sd * 100.0)))
}

/// Records what the scale says of a lot now; the difference to the book is shrink.
pub fn reweigh(
    book: &mut Daybook,
    lot: &str,
    found: &Reading,
    asked: &Asked,
) -> Result<(i64, String, Grams)> {
    book.write(asked.now, |writing| {
        let (ticket, lot) = find_lot(writing, lot)?;
        let seq = ticket.record.seq;
        let book_g = writing.remaining_of(seq)?.unwrap_or(Grams::ZERO);
        let entry = Entry::Reweigh(Reweigh {
            lot_seq: seq,
            found_g: found.grams(),
            book_g,
            text: found.text().to_owned(),
        });
        let appended = writing.append(&asked.record(entry))?;
        Ok((appended.seq, lot, book_g - found.grams()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moisture(wet_g: f64, dry_g: f64) -> f64 {
        let reading = AssayReading::Dried {
            dish_g: 0.0,
            wet_g,
            dried_g: vec![dry_g],
            method: "microwave".into(),
        };
        reading.moisture().expect("moisture").0
    }

    /// Published examples: microwave sheets, 100 g to 35 g is 35 % dry matter
    /// (farm microwave sheet); 101 g to 85 g is 16 % water as printed (hay
    /// microwave method); Cornell composting example, 10 g wet, 2.3 g dry, 77 %.
    #[test]
    fn published_moisture_examples() {
        assert!((moisture(100.0, 35.0) - 65.0).abs() < 1e-9);
        assert!((moisture(101.0, 85.0) - 15.84).abs() < 0.005);
        assert!((moisture(10.0, 2.3) - 77.0).abs() < 1e-9);
    }

    /// The dish comes off every weight, and the last weight counts.
    #[test]
    fn a_drying_log_goes_by_its_last_weight() {
        let reading = AssayReading::Dried {
            dish_g: 45.0,
            wet_g: 145.0,
            dried_g: vec![90.0, 80.6, 80.0],
            method: "microwave".into(),
        };
        assert!((reading.moisture().expect("moisture").0 - 65.0).abs() < 1e-9);
        assert!((reading.still_loses_g().expect("two weights") - 0.6).abs() < 1e-9);
    }

    #[test]
    fn impossible_samples_are_refused() {
        for (wet_g, dry_g) in [
            (0.0, 0.0),
            (10.0, 11.0),
            (f64::NAN, 1.0),
            (10.0, -1.0),
            (f64::INFINITY, 1.0),
        ] {
            for (dish_g, dried_g) in [(0.0, vec![dry_g]), (0.0, vec![]), (20.0, vec![9.0])] {
                let method = "oven".into();
                let reading = AssayReading::Dried {
                    dish_g,
                    wet_g,
                    dried_g,
                    method,
                };
                assert!(reading.moisture().is_err(), "{reading:?}");
            }
        }
        assert!(
            AssayReading::Squeezed {
                grade: "soggy".into()
            }
            .moisture()
            .is_err()
        );
    }
}
