use jiff::Timestamp;

/// The first instant a record may bear; before it the fixed form would not sort.
pub(crate) const EARLIEST: Timestamp = Timestamp::UNIX_EPOCH;

/// The whole second an instant lies in: the book keeps no fractions.
pub(crate) fn whole_second(at: Timestamp) -> Timestamp {
    Timestamp::from_second(at.as_second()).unwrap_or(at)
}

/// The fixed form, for "no later than" and for keeping.
pub(crate) fn text(at: Timestamp) -> String {
    whole_second(at).to_string()
}

/// The fixed form of the first whole second not before `at`, for half-open spans.
pub(crate) fn text_not_before(at: Timestamp) -> String {
    let up = i64::from(at.subsec_nanosecond() > 0);
    Timestamp::from_second(at.as_second() + up).map_or_else(|_| text(at), |at| at.to_string())
}

pub(crate) fn span(from: Timestamp, to: Timestamp) -> [String; 2] {
    [from, to].map(text_not_before)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fixed_form_sorts() {
        let at: Timestamp = "2026-03-04T05:06:07.9Z".parse().expect("an instant");
        assert_eq!(text(at), "2026-03-04T05:06:07Z");
        assert_eq!(text_not_before(at), "2026-03-04T05:06:08Z");
        assert_eq!(text_not_before(whole_second(at)), text(at));
        assert!(text(Timestamp::MIN) < text(at) && text(at) < text(Timestamp::MAX));
    }
}
