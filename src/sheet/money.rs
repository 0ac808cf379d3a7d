use jiff::civil::Date;

use crate::harvest::money::{Bar, Breakeven, Cost, FixedShares, Ledger, Move, Product, Reckoned};
use crate::quantity::{Grams, Money, ShareAsFed};
use crate::stream::StreamId;

use super::chart::Chart;
use super::document::{Align, Document, Grid, Tone};
use super::words::Units;

/// A month's money.
#[derive(Debug, Clone, PartialEq)]
pub struct MoneySheet {
    /// Such as `2026-10`.
    pub month: String,
    /// ISO 4217 code.
    pub currency: String,
    pub ledger: Ledger,
    /// Cost of larvae, and where profit is nil.
    pub breakeven: Breakeven,
    /// How far each lever has to move by itself.
    pub levers: Vec<Move>,
    /// What a rise of a tenth of each input does to profit.
    pub bars: Vec<Bar>,
    /// Which share of each cost is taken as fixed.
    pub fixed: FixedShares,
    /// What was written down.
    pub lines: Vec<PaymentLine>,
    pub cohorts: Vec<CohortCost>,
    /// Bought feed that has no price.
    pub unpriced: Unpriced,
    /// What drying leaves of fresh larvae.
    pub drying: Drying,
    /// How weights are said.
    pub units: Units,
}

/// Money written down.
#[derive(Debug, Clone, PartialEq)]
pub struct PaymentLine {
    /// Position in the book.
    pub record: i64,
    /// The local day.
    pub day: Date,
    /// Who wrote it down.
    pub by: String,
    pub item: &'static str,
    /// Whether it came in.
    pub income: bool,
    pub amount: Money,
    /// The task, or what else it was for.
    pub what: Option<String>,
    pub minutes: Option<i64>,
    /// Energy, kilowatt hours.
    pub kwh: Option<f64>,
    pub weight: Option<Grams>,
    /// Who paid or was paid.
    pub party: Option<String>,
    pub cohorts: Vec<String>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct CohortCost {
    /// Position in the book.
    pub record: i64,
    pub name: String,
    /// Its own money and its share of the rest.
    pub ledger: Ledger,
    /// Whether some bought feed it ate has no price.
    pub without_price: bool,
}

/// What drying leaves, by the balance of moisture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drying {
    /// Moisture of fresh larvae, by the month's tests.
    pub fresh: Option<ShareAsFed>,
    /// Moisture of dried ones, per cent.
    pub dried_pct: f64,
    /// Kilograms dried of a kilogram fresh; `None` where moisture was not
    /// tested or the dried would be wetter.
    pub dried_per_fresh: Option<f64>,
}

/// Bought feed that has no price, by stream.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Unpriced(pub Vec<(StreamId, Grams)>);

impl Unpriced {
    /// Adds a weight of a stream.
    pub fn add(&mut self, stream: &StreamId, grams: Grams) {
        match self.0.iter_mut().find(|(known, _)| known == stream) {
            Some((_, sum)) => *sum += grams,
            None => self.0.push((stream.clone(), grams)),
        }
    }
}

/// Caution at a sale. It defers to local rules.
pub const SALE_CAUTION: &str = "selling larvae or frass may need registration, heat treatment, drying and labels; your local authority says which. Write down who bought it: a recall goes by it.";

/// The month's money as a page.
#[must_use]
pub fn money_document(sheet: &MoneySheet) -> Document {
    let mut document = Document::titled(format!("Money, {} ({})", sheet.month, sheet.currency));
    let ledger = &sheet.ledger;
    let profit = ledger.profit();
    let word = if profit < Money::ZERO {
        "loss"
    } else {
        "left over"
    };
    document.toned(
        if profit < Money::ZERO {
            Tone::Out
        } else {
            Tone::Good
        },
        format!(
            "In {}, out {}: {} {word}.",
            ledger.income(),
            ledger.total_cost(),
            if profit < Money::ZERO {
                -profit
            } else {
                profit
            }
        ),
    );
    document.line(format!(
        "Larvae harvested: {}; taken in: {}.",
        sheet.units.both(ledger.larvae),
        sheet.units.both(ledger.taken_in)
    ));
    document.table(ledger_grid(ledger, sheet.units));
    drying(&mut document, sheet);
    for (stream, grams) in &sheet.unpriced.0 {
        document.toned(Tone::Out, format!(
            "{} of bought {stream} has no price, on its tickets or in the stream table: cost is too low by it.",
            sheet.units.both(*grams)
        ));
    }
    figures(&mut document, sheet);
    turning(&mut document, sheet);
    document.table(cohort_grid(sheet));
    if !sheet.cohorts.is_empty() {
        document.toned(Tone::Small, "A cohort's cost: what names it, the bought feed in its meals, and of what names no cohort its share by fresh weight harvested in the month (our rule; shares add up to the hundredth).");
        for cohort in sheet.cohorts.iter().filter(|cohort| cohort.without_price) {
            document.toned(
                Tone::Out,
                format!(
                    "{}: some bought feed it ate has no price; its cost is too low by it.",
                    cohort.name
                ),
            );
        }
    }
    if sheet.lines.is_empty() {
        document.toned(Tone::Next, "No money is written down yet. Next: trayful money add labour --minutes 90 --rate 18.00 --what feeding");
    }
    document
}

/// What the dried larvae sold took of fresh ones.
fn drying(document: &mut Document, sheet: &MoneySheet) {
    let sold = sheet.ledger.sold_weight(Product::Dried);
    if sold <= Grams::ZERO {
        return;
    }
    let of = &sheet.drying;
    let Some((fresh, share)) = of.fresh.zip(of.dried_per_fresh) else {
        document.line("What the dried larvae sold took of fresh ones is not told: no harvest of the month has a moisture test of its larvae.");
        return;
    };
    let took = Grams::from_kg(sold.kg() / share).unwrap_or_default();
    document.line(format!(
        "Drying: (100 - {:.1}) / (100 - {:.1}) = {share:.3} dried of one fresh, so the {} sold dried took {} fresh (dried to {:.1} %: our default unless --dried-moisture says it).",
        fresh.pct(),
        of.dried_pct,
        sheet.units.both(sold),
        sheet.units.both(took),
        of.dried_pct,
    ));
    document.toned(Tone::Caution, "Caution: what dried larvae may be sold as, how they are heated and how dry they must be is for local rules; dried larvae for feed may hold at most 10 % moisture in the US (AAFCO T60.117(C), read in a translated copy). Dryers start fires: stay with them.");
}

fn ledger_grid(ledger: &Ledger, units: Units) -> Grid {
    let mut grid = Grid::new(&[
        ("", Align::Left),
        ("in", Align::Right),
        ("out", Align::Right),
        ("of it", Align::Left),
    ]);
    let nothing = String::new;
    if ledger.gate_fees != Money::ZERO {
        grid.row([
            "gate fees".into(),
            ledger.gate_fees.to_string(),
            nothing(),
            nothing(),
        ]);
    }
    for product in Product::ALL {
        let sold = ledger.sold(product);
        if sold != Money::ZERO {
            let weight = ledger.sold_weight(product);
            let row = format!("sold, {}", product.as_str());
            grid.row([row, sold.to_string(), nothing(), units.both(weight)]);
        }
    }
    for cost in Cost::ALL {
        let paid = ledger.cost(cost);
        if paid != Money::ZERO {
            let of_it = if cost == Cost::Labour {
                tasks(ledger)
            } else {
                nothing()
            };
            let row = cost.as_str().replace('-', " ");
            grid.row([row, nothing(), paid.to_string(), of_it]);
        }
    }
    grid
}

/// Minutes and money by task, the dearest first.
fn tasks(ledger: &Ledger) -> String {
    let mut by_task: Vec<(&str, i64, Money)> = Vec::new();
    for labour in &ledger.labour {
        match by_task.iter_mut().find(|(task, ..)| *task == labour.task) {
            Some((_, minutes, cost)) => {
                *minutes += labour.minutes;
                *cost += labour.cost;
            }
            None => by_task.push((&labour.task, labour.minutes, labour.cost)),
        }
    }
    by_task.sort_by(|a, b| b.2.cmp(&a.2).then(a.0.cmp(b.0)));
    let told = by_task.iter().map(|(task, minutes, cost)| {
        format!("{task} {}:{:02} h {cost}", minutes / 60, minutes % 60)
    });
    told.collect::<Vec<_>>().join(", ")
}

fn figures(document: &mut Document, sheet: &MoneySheet) {
    let of = &sheet.breakeven;
    document.heading("Cost of larvae, and where profit is nil");
    let mut line = |name: &str, figure: &Reckoned| {
        let told = match figure {
            Ok(figure) => figure.sum.clone(),
            Err(none) => format!("not told: {}", none.words()),
        };
        document.line(format!("{name}: {told}"));
    };
    line("Cost, all of it", &of.gross_cost);
    line("Cost less gate fees and frass", &of.net_cost);
    for (product, price) in &of.price {
        if sheet.ledger.sold_weight(*product) > Grams::ZERO {
            line(&format!("Break-even price, {}", product.as_str()), price);
        }
    }
    line("Break-even gate fee", &of.gate_fee_per_tonne);
    line("Break-even throughput", &of.throughput_per_month);
    document.toned(Tone::Small, format!("Weights fresh, as harvested or as received. An assumption, to be set with --fixed: {} (our default unless set).", sheet.fixed.words()));
}

fn turning(document: &mut Document, sheet: &MoneySheet) {
    let profit = sheet.ledger.profit();
    if profit < Money::ZERO {
        document.heading("What would turn it, each by itself");
        for lever in sheet.levers.iter().filter(|lever| lever.change.is_some()) {
            document.line(lever.words());
        }
        let cannot: Vec<String> = (sheet.levers.iter())
            .filter(|lever| lever.change.is_none())
            .map(|lever| lever.lever.to_string())
            .collect();
        if !cannot.is_empty() {
            document.toned(
                Tone::Small,
                format!("Can't by itself: {}.", cannot.join(", ")),
            );
        }
    }
    if sheet.bars.is_empty() {
        return;
    }
    let labels = sheet.bars.iter().map(|bar| bar.lever.to_string()).collect();
    let changes = sheet.bars.iter().map(|bar| bar.change).collect();
    let title = format!(
        "What a rise of 10 % of each does to profit ({})",
        sheet.currency
    );
    let desc = "One bar for each input: how much profit rises or falls when that input alone rises by a tenth; a fall by a tenth does the same with the sign turned.";
    document.chart(Chart::rows(
        &title,
        desc,
        labels,
        "change of profit",
        changes,
    ));
}

fn cohort_grid(sheet: &MoneySheet) -> Grid {
    let unit = sheet.units.unit();
    let each = format!("cost a {unit}");
    let mut grid = Grid::new(&[
        ("cohort", Align::Left),
        ("larvae, fresh", Align::Right),
        ("bought feed", Align::Right),
        ("labour", Align::Right),
        ("energy", Align::Right),
        ("rest", Align::Right),
        ("all", Align::Right),
        (&each, Align::Right),
    ]);
    for cohort in &sheet.cohorts {
        let ledger = &cohort.ledger;
        let told = [Cost::BoughtFeed, Cost::Labour, Cost::Energy].map(|cost| ledger.cost(cost));
        let rest = ledger.total_cost() - told.iter().copied().sum();
        let [feed, labour, energy] = told.map(|money| money.to_string());
        grid.row([
            cohort.name.clone(),
            sheet.units.weight(ledger.larvae),
            feed,
            labour,
            energy,
            rest.to_string(),
            ledger.total_cost().to_string(),
            cost_each(ledger, sheet.units)
                .map_or_else(|| "-".to_owned(), |cost| format!("{cost:.2}")),
        ]);
    }
    grid
}

/// Cost of a unit of fresh larvae.
pub(super) fn cost_each(ledger: &Ledger, units: Units) -> Option<f64> {
    let (numerator, denominator) = units.unit().grams_ratio();
    #[expect(clippy::cast_precision_loss, reason = "unit factors are below 2^53")]
    let unit_g = numerator as f64 / denominator as f64;
    (ledger.larvae > Grams::ZERO)
        .then(|| ledger.total_cost().units() / (ledger.larvae.kg() * 1000.0 / unit_g))
}
