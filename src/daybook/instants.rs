use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;

/// The first instant a record may bear; before it the fixed form would not sort.
pub(super) const EARLIEST: Timestamp = Timestamp::UNIX_EPOCH;

/// The whole second an instant lies in: the book keeps no fractions.
pub(super) fn whole_second(at: Timestamp) -> Timestamp {
    Timestamp::from_second(at.as_second()).unwrap_or(at)
}

/// The fixed form, for "no later than" and for keeping.
pub(super) fn text(at: Timestamp) -> String {
    whole_second(at).to_string()
}

/// Reads the fixed form and no other: two texts never mean the same instant,
/// so that a changed cell shows.
pub(super) fn read(text: &str) -> Option<Timestamp> {
    let marks = [
        (4, b'-'),
        (7, b'-'),
        (10, b'T'),
        (13, b':'),
        (16, b':'),
        (19, b'Z'),
    ];
    let bytes = text.as_bytes();
    if bytes.len() != 20 || marks.iter().any(|(at, mark)| bytes[*at] != *mark) {
        return None;
    }
    let two = |at: usize| -> Option<i8> {
        let digit = |byte: u8| {
            byte.is_ascii_digit()
                .then(|| i8::try_from(byte - b'0').ok())
        };
        Some(digit(bytes[at])?? * 10 + digit(bytes[at + 1])??)
    };
    let year = i16::from(two(0)?) * 100 + i16::from(two(2)?);
    let civil = DateTime::new(year, two(5)?, two(8)?, two(11)?, two(14)?, two(17)?, 0);
    Offset::UTC.to_timestamp(civil.ok()?).ok()
}

/// The fixed form of the first whole second not before `at`, for half-open spans.
pub(super) fn text_not_before(at: Timestamp) -> String {
    let up = i64::from(at.subsec_nanosecond() > 0);
    Timestamp::from_second(at.as_second() + up).map_or_else(|_| text(at), |at| at.to_string())
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
        assert_eq!(read("2026-03-04T05:06:07Z"), Some(whole_second(at)));
        for other in [
            "2026-03-04T05:06:07z",
            "2026-03-04 05:06:07Z",
            "2026-03-04T05:06:60Z",
            "2026-02-30T05:06:07Z",
            "2026-03-04T05:06:7Z",
            "2026-03-04T05:06:+7Z",
            "",
        ] {
            assert_eq!(read(other), None, "{other}");
        }
        assert!(text(Timestamp::MIN) < text(at) && text(at) < text(Timestamp::MAX));
    }
}
