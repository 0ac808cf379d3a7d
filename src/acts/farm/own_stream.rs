use crate::acts::doubts::Doubts;
use crate::acts::error::{is_text, must, shown};
use crate::acts::{ActError, Asked, FarmSettings, Result, Tables};
use crate::daybook::{Daybook, Entry};
use crate::stream::{Flag, Meant, OwnStream, Stream, StreamId, Verdict, unaccented};
use crate::words::say;

/// A stream of the farm's own, as typed: like one of the table, but.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OwnStreamText {
    pub name: String,
    pub like: String,
    pub moisture_pct: Option<String>,
    pub keeps_days: Option<String>,
    pub verdict: Option<String>,
}

/// A stream of the farm's own as it now stands in the table.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnStreamKept {
    pub record: i64,
    pub stream: Stream,
    /// What staff are told of it.
    pub flag: Flag,
    pub already_there: bool,
}

/// Verdicts a farm may give a stream of its own: it can be stricter than the
/// table, never milder.
pub const OWN_VERDICTS: [Verdict; 4] = [
    Verdict::PickOut,
    Verdict::AskFirst,
    Verdict::Compost,
    Verdict::Refuse,
];

/// Records a stream that is like one of the table but for what is said.
pub fn add_own_stream(
    book: &mut Daybook,
    (farm, tables): (&FarmSettings, &Tables),
    text: &OwnStreamText,
    asked: &Asked,
) -> Result<OwnStreamKept> {
    let own = read(farm, tables, text)?;
    let appended = book.write(asked.now, |writing| {
        asked.doubt(writing, |doubts: &mut Doubts| {
            if let Some(pct) = own.moisture_pct {
                doubts.moisture("moisture_pct", pct, 0.0, None);
            }
            Ok(())
        })?;
        Ok::<_, ActError>(writing.append(&asked.record(Entry::OwnStream(own.clone())))?)
    })?;
    let tables = tables.with_streams_of(book)?;
    let stream = (tables.streams.get(&own.stream))
        .ok_or_else(|| ActError::not_found("stream", &text.name, []))?;
    let rules = tables.rules(farm)?.with_leaves(&book.leaves(asked.now)?);
    Ok(OwnStreamKept {
        record: appended.seq,
        flag: tables.judge(stream, Some(&rules), None),
        stream: stream.clone(),
        already_there: appended.already_there,
    })
}

/// The id a name makes: its letters and digits, hyphens between.
fn id_of(name: &str) -> Option<StreamId> {
    let lower: String = name.to_lowercase().chars().map(unaccented).collect();
    let words = lower.split(|letter: char| !letter.is_ascii_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    StreamId::parse(&words.join("-"))
}

fn read(farm: &FarmSettings, tables: &Tables, text: &OwnStreamText) -> Result<OwnStream> {
    let (name, like) = (text.name.trim(), text.like.trim());
    let id = id_of(name).filter(|_| is_text(name, 60));
    // An own one of this name may be said anew; no other may be meant by it.
    let taken = match tables.streams.meant(name) {
        Meant::Id(known) | Meant::Name(known) => {
            (known.like.is_none() || Some(&known.id) != id.as_ref()).then_some(&known.id)
        }
        Meant::Several(_) | Meant::Near(_) => None,
    };
    let template = tables.streams.called(like);
    let template = template.ok().filter(|known| !known.is_not_listed());
    let itself = template.is_some_and(|template| Some(&template.id) == id.as_ref());
    let number = |text: &Option<String>, low: f64, high: f64| match text.as_deref() {
        None => Some(None),
        Some(text) => {
            let number = farm.units.reader().number(text).ok();
            number
                .filter(|number| (low..=high).contains(number))
                .map(Some)
        }
    };
    let moisture_pct = number(&text.moisture_pct, 0.0, 99.0);
    let keeps_days = number(&text.keeps_days, 0.01, 3650.0);
    let verdict = text.verdict.as_deref().map(|word| {
        let verdict = Verdict::read(word);
        verdict.filter(|verdict| OWN_VERDICTS.contains(verdict))
    });
    let rejections = must! {
        id.is_some() => "stream", name, say!("accepted-stream-name", most = 60);
        taken.is_none() => "stream", name,
            say!("accepted-stream-new", id = taken.map_or("", StreamId::as_str));
        template.is_some() && !itself => "like", like, tables.streams.accepted(like);
        moisture_pct.is_some() => "moisture_pct", shown(&text.moisture_pct),
            say!("accepted-number", low = 0, high = 99);
        keeps_days.is_some() => "keeps", shown(&text.keeps_days),
            say!("accepted-number", low = 0.01, high = 3650);
        verdict != Some(None) => "verdict", shown(&text.verdict),
            OWN_VERDICTS.map(Verdict::as_str).join(", ");
    };
    match (id, template) {
        (Some(stream), Some(template)) if rejections.is_empty() => Ok(OwnStream {
            stream,
            name: name.to_owned(),
            template: template.id.clone(),
            moisture_pct: moisture_pct.flatten(),
            keeps_days: keeps_days.flatten(),
            verdict: verdict.flatten(),
        }),
        _ => Err(rejections.into()),
    }
}
