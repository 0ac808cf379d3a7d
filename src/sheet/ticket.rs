use crate::quantity::Grams;
use crate::stream::{Flag, StreamId, Verdict};

use super::document::{Align, Document, Grid, Tone};
use super::words::Units;

/// What intake staff see once a bucket is in the book.
#[derive(Debug, Clone, PartialEq)]
pub struct TicketCard {
    /// The ticket's own id, which is the lot's name.
    pub ticket: String,
    pub number: i64,
    /// Position in the book.
    pub record: i64,
    /// Who brought it.
    pub supplier: String,
    pub stream: StreamId,
    /// Gross as entered; `None` when estimated.
    pub gross: Option<Grams>,
    /// Tare as entered; `None` when estimated.
    pub tare: Option<Grams>,
    pub net: Grams,
    pub picked_out: Grams,
    /// Whether the weight is an estimate.
    pub estimated: bool,
    /// The verdict with its grounds.
    pub flag: Flag,
    pub put: String,
    pub cautions: Vec<String>,
    /// Whether it was in the book before this request.
    pub already_there: bool,
    /// Local time it was weighed, for people.
    pub weighed_at: String,
    /// The same instant, for programs.
    pub instant: jiff::Timestamp,
    /// Who weighed it.
    pub by: String,
    /// How weights are said.
    pub units: Units,
}

/// The ticket as a page.
#[must_use]
pub fn ticket_document(card: &TicketCard) -> Document {
    let mut document = Document::titled(format!("Ticket {} (no. {})", card.ticket, card.number));
    let mut grid = Grid::new(&[("", Align::Left), ("", Align::Left)]);
    grid.row(["from".into(), card.supplier.clone()]);
    grid.row(["stream".into(), card.stream.to_string()]);
    grid.row([
        "weighed".into(),
        format!("{} by {}", card.weighed_at, card.by),
    ]);
    if let (Some(gross), Some(tare)) = (card.gross, card.tare) {
        grid.row(["gross".into(), card.units.both(gross)]);
        grid.row(["tare".into(), card.units.both(tare)]);
    }
    let label = if card.estimated {
        "net, estimated by volume"
    } else {
        "net"
    };
    grid.row([label.into(), card.units.both(card.net)]);
    if card.picked_out > Grams::ZERO {
        grid.row(["picked out".into(), card.units.both(card.picked_out)]);
        grid.row([
            "on hand".into(),
            card.units.both(card.net - card.picked_out),
        ]);
    }
    document.table(grid);
    let tone = if card.flag.verdict == Verdict::Feed {
        Tone::Good
    } else {
        Tone::Out
    };
    document.toned(
        tone,
        format!(
            "{}: {}",
            card.flag.verdict.as_str().to_uppercase(),
            card.flag.reason
        ),
    );
    document.line(format!("Put it: {}", card.put));
    if !card.flag.use_note.is_empty() && card.flag.verdict != Verdict::AskFirst {
        document.toned(Tone::Small, format!("Use: {}", card.flag.use_note));
    }
    for caution in &card.cautions {
        document.toned(Tone::Caution, format!("Caution: {caution}"));
    }
    let state = match (card.already_there, card.flag.verdict) {
        (true, _) => "Already in the book; nothing was written.".to_owned(),
        (false, Verdict::Refuse) => format!(
            "Kept as refused, no. {}. Nothing went into stock.",
            card.number
        ),
        (false, _) => format!("Kept as no. {}.", card.number),
    };
    document.toned(
        Tone::Next,
        format!(
            "{state} To strike it: trayful strike {} --why REASON",
            card.ticket
        ),
    );
    document
}
