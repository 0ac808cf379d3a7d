use super::month::{month_or_this, months};
use super::*;
use crate::acts::{Month, Paid, PaymentAsked, money_month, record_payment};
use crate::daybook::MoneyItem;
use crate::quantity::Reader;
use crate::sheet::{MoneySheet, Tone, money_document, sale_caution};

/// Money as a form or JSON brings it. A blank field is an absent one.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default)]
#[schemars(extend("required" = ["id", "item"]))]
pub(crate) struct PaymentSent {
    #[serde(flatten)]
    pub(super) way: Way,
    /// In: gate-fee, sold-live, sold-dried, sold-frass; out: feed, labour, energy, packaging, disposal, other
    item: String,
    /// How much, not below zero; may be left out where minutes or kilowatt hours say it
    amount: String,
    /// The task of labour, or what else it was for
    what: String,
    /// Minutes of labour
    minutes: String,
    /// Kilowatt hours of energy
    kwh: String,
    /// What an hour or a kilowatt hour costs; as the last time when left out
    rate: String,
    /// The weight it is for; needed for what was sold
    weight: String,
    /// Who paid or was paid
    party: String,
    /// A cohort it belongs to, by name or record; the whole farm when left out
    cohort: String,
    note: String,
}

impl PaymentSent {
    /// The money to write down, or every field that is not understood.
    fn asked(&self, reader: Reader) -> Result<PaymentAsked> {
        let mut fields = Fields::of(reader);
        let words = MoneyItem::accepted();
        let item = fields.choice("item", &self.item, MoneyItem::parse, words);
        let amount = fields.read("amount", &self.amount, Reader::money);
        let minutes = fields.read("minutes", &self.minutes, Reader::count);
        let kwh = fields.read("kwh", &self.kwh, Reader::number);
        let rate = fields.read("rate", &self.rate, Reader::money);
        let weight = fields.weight("weight", &self.weight);
        Ok(PaymentAsked {
            item: fields.done(item)?,
            amount,
            what: given(&self.what),
            minutes,
            kwh,
            rate,
            weight,
            party: given(&self.party),
            cohorts: given(&self.cohort).into_iter().collect(),
            note: given(&self.note),
        })
    }
}

#[derive(Serialize, JsonSchema)]
pub(crate) struct PaidFor {
    #[serde(flatten)]
    paid: Paid,
    item: &'static str,
    currency: String,
}

fn told(frame: &Frame, PaidFor { paid, currency, .. }: &PaidFor, item: MoneyItem) -> Kept {
    let way = match item.is_income() {
        true => frame.t("money-in"),
        false => frame.t("money-out"),
    };
    let reckoned = paid.reckoned.as_ref();
    let caution = item.is_sale().then(|| frame.say(&sale_caution()));
    let what = frame.with("dock-money-kind", item.as_str());
    let reckoned = reckoned.map(|sum| frame.with("dock-money-reckoned", sum));
    let title = format!("{what}: {} {currency} ({way})", paid.amount);
    Kept {
        lines: reckoned.into_iter().collect(),
        cautions: caution.into_iter().collect(),
        ..Kept::of(title, paid.record, paid.already_there)
    }
}

impl Act for PaymentSent {
    type Done = Shown<PaidFor>;

    fn act(self, to: Writing) -> Result<Self::Done> {
        let wanted = self.asked(to.farm.units.reader())?;
        let done = PaidFor {
            paid: record_payment(to.book, &wanted, to.asked)?,
            item: wanted.item.as_str(),
            currency: to.farm.currency.clone(),
        };
        let shown = told(to.frame, &done, wanted.item);
        Ok(Shown { done, shown })
    }
}

#[derive(Template)]
#[template(path = "money.html", config = "src/askama.toml")]
pub(crate) struct MoneyPage {
    frame: Frame,
    entry: Entry<PaymentSent>,
    title: String,
    month: Month,
    months: Vec<(String, String)>,
    sheet: MoneySheet,
    items: [Vec<&'static str>; 2],
    cohorts: Vec<(String, String)>,
    recent: Vec<Recent>,
    /// The answer, and the rest of the month's page.
    answer: Vec<(Tone, String)>,
    blocks: Vec<Block<String>>,
}

impl Form for PaymentSent {
    type Page = MoneyPage;

    /// A month's money: this month, or the one named in the address.
    fn page(at: &At, frame: Frame, entry: Entry<Self>, wanted: Wanted) -> Result<MoneyPage> {
        let month = month_or_this(at, &wanted.month)?;
        let sheet = money_month((at.book, at.farm, at.tables), month, Default::default())?;
        let items = [true, false].map(|income| {
            let items = MoneyItem::ALL.into_iter();
            let of_way = items.filter(|item| item.is_income() == income);
            of_way.map(MoneyItem::as_str).collect()
        });
        // Those on their trays or ended in the month or after, the youngest first.
        let (from, _) = month.bounds(at.farm)?;
        let cohorts = (at.book.cohort_lives(at.now)?.into_iter().rev())
            .filter(|life| life.ended.as_ref().is_none_or(|(at, _)| *at >= from))
            .map(|life| (format!("r{}", life.cohort.seq), life.cohort.entry.name));
        let title = frame.t("dock-nav-money");
        let (answer, blocks) = frame.answered(&money_document(&sheet));
        Ok(MoneyPage {
            title: format!("{title}, {} ({})", frame.say(&month.said()), sheet.currency),
            months: months(at, &frame, month)?,
            month,
            items,
            cohorts: cohorts.collect(),
            recent: recent(at, &frame, &sheet)?,
            answer,
            blocks,
            sheet,
            frame,
            entry,
        })
    }
}

fn recent(at: &At, frame: &Frame, sheet: &MoneySheet) -> Result<Vec<Recent>> {
    let newest = sheet.lines.iter().rev().take(RECENT_SHOWN);
    let recent = newest.map(|line| {
        let (day, amount) = (line.day.to_string(), line.amount.to_string());
        let more = [line.what.as_deref(), line.party.as_deref()];
        let told: Vec<&str> = [&*day, &*amount]
            .into_iter()
            .chain(more.into_iter().flatten())
            .collect();
        let name = frame.with("dock-money-kind", line.item);
        Recent::of(at, name, &told, line.record)
    });
    recent.collect()
}
