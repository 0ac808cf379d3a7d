use serde_json::Value;

use crate::daybook::NewRecord;

pub(crate) struct Difference {
    /// Its name, from the outside in, such as `net_g`.
    pub(in crate::daybook) field: String,
    pub(in crate::daybook) kept: String,
    pub(in crate::daybook) asked: String,
}

/// Compares two records that differ field by field, in the order of the names.
pub(crate) fn first(kept: &NewRecord, asked: &NewRecord) -> Difference {
    let value = |record| serde_json::to_value(record).unwrap_or_default();
    let (kept, asked) = (value(kept), value(asked));
    between(String::new(), &kept, &asked).unwrap_or_else(|| Difference {
        field: "content".to_owned(),
        kept: words(&kept),
        asked: words(&asked),
    })
}

fn between(field: String, kept: &Value, asked: &Value) -> Option<Difference> {
    let inner = |name: &str| match field.as_str() {
        // What a record says is told without the wrapping people never see.
        "" | "entry" => name.to_owned(),
        outer => format!("{outer}.{name}"),
    };
    match (kept, asked) {
        _ if kept == asked => None,
        // Of two kinds of record no field can be compared but the kind.
        (Value::Object(a), Value::Object(b)) if a.get("kind") != b.get("kind") => {
            let of = |map: &serde_json::Map<String, Value>| map.get("kind").map(words);
            Some(Difference {
                field: inner("kind"),
                kept: of(a).unwrap_or_default(),
                asked: of(b).unwrap_or_default(),
            })
        }
        (Value::Object(a), Value::Object(b)) => a.keys().find_map(|name| {
            // A weight as somebody entered it says more than its grams.
            let entered = name.strip_suffix("_g").map(|name| format!("{name}_text"));
            let entered = entered.filter(|name| a.get(name) != b.get(name));
            let name = entered.as_ref().unwrap_or(name);
            let (kept, asked) = (a.get(name), b.get(name));
            between(
                inner(name.trim_end_matches("_text")),
                kept.unwrap_or(&Value::Null),
                asked.unwrap_or(&Value::Null),
            )
        }),
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => (a.iter().zip(b).enumerate())
            .find_map(|(at, (a, b))| between(inner(&(at + 1).to_string()), a, b)),
        _ => Some(Difference {
            kept: words(kept),
            asked: words(asked),
            field,
        }),
    }
}

fn words(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::String(text) => text.clone(),
        Value::Array(items) if items.is_empty() => "nothing".to_owned(),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::daybook::fixture::{farm_record, instant, ticket, ticket_record};
    use crate::daybook::{Entry, Ticket};
    use crate::quantity::Grams;

    #[test]
    fn names_the_first_field_that_differs() {
        let at = instant("2026-03-01T12:00:00Z");
        let with = |change: fn(&mut Ticket)| {
            let mut ticket = ticket();
            change(&mut ticket);
            let mut record = ticket_record("a", at);
            record.entry = Entry::Ticket(ticket);
            record
        };
        let told = |asked: &NewRecord| {
            let told = first(&with(|_| ()), asked);
            format!("{}: {} / {}", told.field, told.kept, told.asked)
        };
        let net = with(|ticket| ticket.net_g = Grams::new(5));
        assert_eq!(told(&net), "net_g: 13926 / 5");
        let note = with(|ticket| ticket.note = Some("wet".into()));
        assert_eq!(told(&note), "note: nothing / wet");
        let bone = with(|ticket| ticket.picked_out[0].grams = Grams::new(7));
        assert_eq!(told(&bone), "picked_out.1.grams: 600 / 7");
        let mut farm = farm_record();
        (farm.id, farm.at, farm.by) = ("a".into(), at, "AB".into());
        assert_eq!(told(&farm), "kind: ticket / farm");
    }
}
