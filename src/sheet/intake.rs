use crate::quantity::wire::view;
use crate::quantity::{Grams, Units};
use crate::stream::{Flag, StreamId, Verdict};
use crate::words::{Said, say};

use super::document::{Align, Document, Grid, Tone};

#[derive(Debug, Clone, PartialEq)]
pub struct TicketCard {
    /// The ticket's own id, which is the lot's name.
    pub ticket: String,
    pub number: i64,
    pub record: i64,
    pub supplier: String,
    pub stream: StreamId,
    /// Gross as entered; `None` when estimated.
    pub gross: Option<Grams>,
    pub tare: Option<Grams>,
    /// The scale that sent the gross weight itself.
    pub scale: Option<String>,
    pub net: Grams,
    pub picked_out: Grams,
    pub estimated: bool,
    pub flag: Flag,
    pub put: Said,
    pub cautions: Vec<Said>,
    /// Whether it was in the book before this request.
    pub already_there: bool,
    /// Local time it was weighed, for people.
    pub weighed_at: String,
    /// The same instant, for programs.
    pub instant: jiff::Timestamp,
    pub by: String,
    pub units: Units,
}

pub fn ticket_document(card: &TicketCard) -> Document {
    let (number, ticket) = (card.number, &card.ticket);
    let mut document = Document::titled(say!("ticket-title", ticket, number));
    let mut grid = Grid::new(&[("", Align::Left), ("", Align::Left)]);
    let mut row = |head: Said, cell: Said| grid.row([head, cell]);
    row(say!("ticket-from"), Said::from(&card.supplier));
    row(say!("stream"), Said::from(&card.stream));
    let (when, who) = (&card.weighed_at, &card.by);
    row(say!("ticket-weighed"), say!("ticket-weighed-by", when, who));
    let weight = |grams| Said::from(card.units.told(grams));
    if let (Some(gross), Some(tare)) = (card.gross, card.tare) {
        let from = match &card.scale {
            Some(scale) => say!("ticket-sent-by-scale", scale),
            None => say!("ticket-typed-in"),
        };
        row(
            say!("ticket-gross"),
            Said::joined([weight(gross), from], ", "),
        );
        row(say!("ticket-tare"), weight(tare));
    }
    let net = match card.estimated {
        true => say!("ticket-net-estimated"),
        false => say!("net"),
    };
    row(net, weight(card.net));
    if card.picked_out > Grams::ZERO {
        row(say!("picked-out"), weight(card.picked_out));
        row(say!("ticket-on-hand"), weight(card.net - card.picked_out));
    }
    document.table(grid);
    let tone = if card.flag.verdict == Verdict::Feed {
        Tone::Good
    } else {
        Tone::Out
    };
    let verdict = card.flag.verdict.sign();
    document.answer(tone, say!("flag", verdict, card.flag.reason));
    document.line(say!("ticket-put", place = &card.put));
    if !card.flag.use_note.is_empty() && card.flag.verdict != Verdict::AskFirst {
        document.small(say!("ticket-use", note = &card.flag.use_note));
    }
    for caution in &card.cautions {
        document.caution(say!("caution", caution));
    }
    let state = match (card.already_there, card.flag.verdict) {
        (true, _) => say!("ticket-there-already"),
        (false, Verdict::Refuse) => say!("ticket-refused", number),
        (false, _) => say!("ticket-kept", number),
    };
    document.next(say!("ticket-strike", state, ticket));
    document
}

view! {
    /// A weighing as it was kept.
    pub Ticket(card: &TicketCard) {
        ticket: String = card.ticket.clone(),
        lot: String = card.ticket.clone(),
        number: i64 = card.number,
        record: i64 = card.record,
        supplier: String = card.supplier.clone(),
        stream: StreamId = card.stream.clone(),
        weighed_at: String = card.instant.to_string(),
        by: String = card.by.clone(),
        gross_g: Option<Grams> = card.gross,
        tare_g: Option<Grams> = card.tare,
        /// The scale that sent the gross weight itself; null: it was typed in.
        scale: Option<String> = card.scale.clone(),
        net_g: Grams = card.net,
        picked_out_g: Grams = card.picked_out,
        estimated: bool = card.estimated,
        #[serde(flatten)]
        flag: Flag = card.flag.clone(),
        put: Said = card.put.clone(),
        cautions: Vec<Said> = card.cautions.clone(),
        already_there: bool = card.already_there,
    }
}
