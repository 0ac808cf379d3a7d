//! A month runs from its first local midnight up to the next month's: over
//! clock changes, in zones with half hours, for loads a second apart.

use crate::support::{FarmBook, instant, named};

/// Zone, month, its first minute and the first after it in UTC, worked out by
/// hand from the zone's offset on those two days.
const BOUNDS: [&str; 9] = [
    // Clocks go forward on 8 March: -5 h, then -4 h; 743 hours.
    "America/New_York 2026-03 2026-03-01T05:00 2026-04-01T04:00",
    // And back on 1 November at 02:00, two hours into the month; 721 hours.
    "America/New_York 2026-11 2026-11-01T04:00 2026-12-01T05:00",
    "Europe/Madrid 2026-03 2026-02-28T23:00 2026-03-31T22:00",
    "Europe/Madrid 2026-10 2026-09-30T22:00 2026-10-31T23:00",
    // Half an hour off, no clock change.
    "Asia/Kolkata 2026-10 2026-09-30T18:30 2026-10-31T18:30",
    // Half an hour off, and the clock changes: +9:30 and +10:30.
    "Australia/Adelaide 2026-10 2026-09-30T14:30 2026-10-31T13:30",
    "Australia/Adelaide 2026-04 2026-03-31T13:30 2026-04-30T14:30",
    // The clock changes by half an hour: +10:30 and +11.
    "Australia/Lord_Howe 2026-10 2026-09-30T13:30 2026-10-31T13:00",
    // The month's first midnight did not exist: clocks went from 00:00 to 01:00.
    "America/Asuncion 2017-10 2017-10-01T04:00 2017-11-01T03:00",
];

#[test]
fn loads_a_second_apart_fall_into_their_months() {
    for row in BOUNDS {
        let [zone, name, from, to] = row.split(' ').collect::<Vec<_>>()[..] else {
            panic!("{row}")
        };
        let [from, to] = [from, to].map(|minute| instant(&format!("{minute}:00Z")));
        let mut farm = FarmBook::in_zone(zone, "2026-12-31T12:00:00Z");
        let second = jiff::SignedDuration::from_secs(1);
        let (before, last) = (from - second, to - second);
        farm.loads(&[
            &format!("{before},Baker,bread,1.0"),
            &format!("{from},Baker,bread,2.0"),
            &format!("{last},Baker,bread,4.0"),
            &format!("{to},Baker,bread,8.0"),
        ]);
        let this = named(name);
        assert_eq!(farm.received(this), 6_000, "{row}");
        assert_eq!(farm.month(this).report.total.opening.get(), 1_000, "{row}");
        assert_eq!(farm.received(this.before()), 1_000, "before {row}");
    }
}

/// In every zone and month of two years one month ends where the next begins,
/// so no load falls into two months or none.
#[test]
fn months_join_without_gap_or_overlap() {
    for zone in [
        "America/New_York",
        "Australia/Adelaide",
        "America/Asuncion",
        "Africa/Cairo",
    ] {
        let mut farm = FarmBook::in_zone(zone, "2028-01-01T12:00:00Z");
        let rows: Vec<String> = (0..24 * 61)
            .map(|step| {
                let at = instant("2025-12-31T00:00:00Z")
                    + jiff::SignedDuration::from_mins(step * 720 + 29);
                format!("{at},Baker,bread,0.1")
            })
            .collect();
        farm.loads(&rows.iter().map(String::as_str).collect::<Vec<_>>());
        let months = std::iter::successors(Some(named("2028-01")), |month| Some(month.before()));
        let received = months.take(27).map(|month| farm.received(month));
        assert_eq!(received.sum::<i64>(), 100 * 24 * 61, "{zone}");
    }
}

#[test]
fn a_load_weighed_after_midnight_belongs_to_the_later_month() {
    let mut farm = FarmBook::in_zone("America/New_York", "2026-12-31T12:00:00Z");
    farm.loads(&[
        "2026-10-31T23:59:59,Baker,bread,1.0",
        "2026-11-01T00:00:00,Baker,bread,2.0",
    ]);
    let of = |name| farm.received(named(name));
    assert_eq!((of("2026-10"), of("2026-11")), (1_000, 2_000));
}
