use jiff::civil::{Date, DateTime};

use crate::words::{Said, say};

/// A day as year, month, day.
///
/// # Errors
/// What is accepted: one written another way, as it was meant.
pub fn read_day(text: &str) -> Result<Date, Said> {
    let read = text.trim().parse();
    read.map_err(|_| match meant(text)[..] {
        [day] => say!("accepted-day-meant", meant = day),
        [one, other] => say!("accepted-day-either", one, other),
        _ => say!("accepted-day", day = "2026-11-20"),
    })
}

/// What a local time was meant as, whose day is written another way.
pub fn time_meant(text: &str) -> Option<Said> {
    let (day, time) = text.trim().split_once([' ', 'T', ','])?;
    let time = time.trim();
    let whole = |day: &Date| format!("{day}T{time}").parse::<DateTime>().ok();
    let times: Vec<DateTime> = meant(day).iter().filter_map(whole).collect();
    let told = |time: &DateTime| time.strftime("%Y-%m-%dT%H:%M").to_string();
    match &times[..] {
        [time] => Some(say!("accepted-day-meant", meant = told(time))),
        [one, other] => {
            let (one, other) = (told(one), told(other));
            Some(say!("accepted-day-either", one, other))
        }
        _ => None,
    }
}

/// The month meant by one that is not written as year, month.
pub fn month_meant(text: &str) -> Option<Said> {
    let (year, month) = match numbers(text)[..] {
        [month, year] if year >= 1000 => (year, month),
        [year, month] if year >= 1000 => (year, month),
        _ => return None,
    };
    let first = Date::new(year, i8::try_from(month).ok()?, 1).ok()?;
    let meant = first.strftime("%Y-%m").to_string();
    Some(say!("accepted-month-meant", meant))
}

/// The days that people write so, in some place or other.
fn meant(text: &str) -> Vec<Date> {
    let read = |month: i16, day: i16, year: i16| {
        let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
        Date::new(year, month, day).ok()
    };
    let mut days: Vec<Date> = match numbers(text)[..] {
        [one, other, year] if year >= 1000 => [read(one, other, year), read(other, one, year)]
            .into_iter()
            .flatten()
            .collect(),
        [year, month, day] if year >= 1000 => read(month, day, year).into_iter().collect(),
        _ => Vec::new(),
    };
    days.dedup();
    days
}

fn numbers(text: &str) -> Vec<i16> {
    let parts = text.trim().split(['/', '.', '-']);
    parts.map_while(|part| part.trim().parse().ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused<T>(read: Result<T, Said>) -> String {
        read.err().expect("refused").in_english()
    }

    #[test]
    fn a_day_written_another_way_is_told_as_meant() {
        for (text, told) in [
            ("11/20/2026", "year, month, day: 2026-11-20"),
            ("20.11.2026", "year, month, day: 2026-11-20"),
            ("2026/11/20", "year, month, day: 2026-11-20"),
            ("2026-3-4", "year, month, day: 2026-03-04"),
            ("3/4/2026", "year, month, day: 2026-03-04 or 2026-04-03"),
            ("5/5/2026", "year, month, day: 2026-05-05"),
            ("tomorrow", "a day such as 2026-11-20"),
            ("99/99/2026", "a day such as 2026-11-20"),
        ] {
            assert_eq!(refused(read_day(text)), told, "{text}");
        }
        assert_eq!(read_day(" 2026-11-20 ").ok(), Date::new(2026, 11, 20).ok());
    }

    #[test]
    fn times_and_months_are_told_as_meant() {
        let told = |said: Option<Said>| said.map(|said| said.in_english());
        for (text, meant) in [
            (
                "11/20/2026 18:30",
                Some("year, month, day: 2026-11-20T18:30"),
            ),
            (
                "20.11.2026T07:05",
                Some("year, month, day: 2026-11-20T07:05"),
            ),
            ("11/20/2026 late", None),
            ("soon", None),
        ] {
            assert_eq!(told(time_meant(text)).as_deref(), meant, "{text}");
        }
        for (text, meant) in [
            ("10/2026", Some("year and month: 2026-10")),
            ("2026/10", Some("year and month: 2026-10")),
            ("2026-1", Some("year and month: 2026-01")),
            ("13/2026", None),
            ("October", None),
        ] {
            assert_eq!(told(month_meant(text)).as_deref(), meant, "{text}");
        }
    }
}
