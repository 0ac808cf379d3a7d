//! A supplier's statement as it is read.

use trayful::acts::{ActError, statement};
use trayful::daybook::Outlet;
use trayful::sheet::{data_csv, html, statement_document, statement_table};
use trayful::words::Language;

use crate::support::{FarmBook, october, page};

fn farm() -> FarmBook {
    let mut farm = FarmBook::in_zone("Europe/Madrid", "2026-11-02T09:00:00Z");
    farm.loads(&[
        "2026-09-30T08:00:00Z,Grocer,carrot-trim,9.0",
        "2026-10-02T08:00:00Z,Grocer,carrot-trim,20.0",
        "2026-10-03T08:00:00Z,Baker,bread,12.0",
        "2026-10-05T09:00:00Z,Grocer,plum-culls,18.3,0.5,pit",
        "2026-10-05T09:10:00Z,Grocer,carrot-trim,11.1",
        "2026-10-06T09:00:00Z,Grocer,plum-culls,10.0,,,refuse",
        "2026-09-29T09:00:00Z,Grocer,plum-culls,3.0",
        "2026-10-19T09:00:00Z,Grocer,plum-culls,7.7",
        "2026-10-20T09:00:00Z,Grocer,lettuce-trim,,,,,20L",
    ]);
    farm.strike("#5", "typed twice").expect("strikes");
    farm.send("#2", Outlet::Landfilled, "4.0", "2026-10-08T08:00:00Z");
    farm
}

#[test]
fn a_statement_reads_so() {
    let sheet = farm().statement("Grocer");
    let [page, spanish] = Language::ALL.map(|language| {
        let page = page(&statement_document(&sheet), language);
        // The head changes with every field of a record and is told elsewhere.
        page.replace(&sheet.around.seal, "SEAL")
    });
    insta::assert_snapshot!("a_statement_in_spanish", spanish);
    insta::assert_snapshot!(page, @"
    Received 49.980 kg (110.19 lb) in 4 loads, diverted 45.480 kg (100.27 lb)
    Statement for Grocer, 2026-10
    From Invented farm · 2026-10-01 to 2026-10-31, local days, Europe/Madrid
    DRAFT: the month is not closed; figures may still change.
    Not weighed on a verified scale.
    Diverted = accepted net weight, less parts picked out, less what later went to landfill, combustion, refuse/discards, back to the supplier or down the drain. Fed and composted weight counts as diverted; bought stock and added water do not (our default rule).
    Not fed yet, still in stock: 57.48 kg (126.7 lb). What came in counts as kept from disposal until a record sends it elsewhere.
    Received by week and stream, kg
      1–4    ######################################## 20
      5–11   ##################################### 18.3
      19–25  ####################### 11.7

    Where it went in the month
     stock and destination (FLW Standard)       kg
    -------------------------------------- --------
     opening stock                          12.000
     received                               49.980
     landfill                                4.000
     refuse/discards (parts picked out)      0.500
     closing stock                          57.480
     shrink (drying, drip, scale)            0.000

    By stream
     stream         loads   refused   received kg   received lb   picked out kg   diverted kg   diverted lb
    -------------- ------- --------- ------------- ------------- --------------- ------------- -------------
     carrot-trim        1         0        20.000         44.09           0.000        16.000         35.27
     lettuce-trim       1         0       3.980 *          8.78           0.000         3.980          8.78
     plum-culls         2         1        26.000         57.32           0.500        25.500         56.22
     all                4         1        49.980        110.19           0.500        45.480        100.27

    Tickets
     no.   day           stream         gross kg   tare kg   net kg   net lb
    ----- ------------- -------------- ---------- --------- -------- --------
       2   10-02 10:00   carrot-trim        20.0       0.0     20.0    44.09
       4   10-05 11:00   plum-culls         18.3       0.0     18.3    40.34
       6   10-06 11:00   plum-culls         10.0       0.0   10.0 r    22.05
       8   10-19 11:00   plum-culls          7.7       0.0      7.7    16.98
       9   10-20 11:00   lettuce-trim          –         –    4.0 *     8.77
    Gross weights: 0 sent by the scale itself, 4 typed in.
    * estimated by volume and bulk density, not weighed.
    r #6 refused, not received: decided at the dock.
    Ticket numbers run without gaps over the whole farm. #2 to #9 are 8: 5 listed here, 1 struck (#5: typed twice), 1 of yours weighed in another month (#7), 1 of other suppliers or bought stock.
    Timeframe: 2026-10-01 00:00 up to the end of 2026-10-31, Europe/Madrid, by the time of weighing.
    Material: food and inedible parts together, wet weight as received.
    Picked out by hand: 0.50 kg (1.1 lb) inedible parts.
    Packaging is left out as tare; bought stock and added water are not in these figures.
    Boundary: organic material brought to the farm by Grocer, after the supplier's dock; losses before harvest are not in it.
    Method: each load weighed, gross less tare, not on a verified scale, division 0.1 kg.
    3.98 kg (8.8 lb) of it was estimated by volume and bulk density, not weighed.
    Uncertainty: the scale's division alone gives the sum of 3 nets a standard uncertainty of 0.071 kg (0.16 lb) (rectangular distribution, d/√6 a net). An error of calibration comes on top and does not average out.
    Book seal SEAL: whoever has this page can see whether the farm's book was changed since, with `trayful check --seal SEAL`.
    ");
}

/// What suppliers are told sums to what the month tells, and a statement's
/// tickets to its figures.
#[test]
fn statements_sum_to_the_month_and_tickets_to_the_statement() {
    let farm = farm();
    let report = farm.month(october()).report;
    let mut received = 0;
    for supplier in &report.suppliers {
        let sheet = farm.statement(&supplier.supplier);
        assert_eq!(sheet.statement.flow, supplier.flow);
        let tickets = &sheet.statement.tickets;
        let accepted = tickets.iter().filter(|ticket| ticket.refused.is_none());
        let net: i64 = accepted.map(|ticket| ticket.net_g.get()).sum();
        assert_eq!(net, supplier.flow.received.get());
        let weeks = sheet.statement.weeks.iter().flat_map(|week| &week.grams);
        assert_eq!(weeks.map(|grams| grams.get()).sum::<i64>(), net);
        let numbers = sheet.statement.numbers.expect("numbers");
        let told = numbers.listed
            + numbers.other
            + i64::try_from(numbers.struck.len() + numbers.other_month.len()).expect("few");
        assert_eq!(
            (told, numbers.missing),
            (numbers.last - numbers.first + 1, vec![])
        );
        received += net;
    }
    assert_eq!(received, report.total.received.get());
}

#[test]
fn a_name_with_markup_or_a_formula_stays_text() {
    let mut farm = FarmBook::in_zone("UTC", "2026-11-02T09:00:00Z");
    let name = "=1+1 <script>alert(1)</script>";
    farm.loads(&[&format!("2026-10-02T08:00:00Z,{name},bread,20.0")]);
    let sheet = farm.statement(name);
    let page = html(&statement_document(&sheet).in_language(Language::En)).expect("a page");
    assert!(page.contains("&#60;script&#62;") && !page.contains("<script"));
    let csv = data_csv(&statement_table(&sheet)).expect("a table");
    assert!(csv.contains(",'=1+1 <script>") && !csv.contains(",=1"));
}

#[test]
fn a_supplier_who_brought_nothing_is_named() {
    let error = statement(&farm().book, "Nobody", october(), None).expect_err("nobody");
    assert!(matches!(error, ActError::NotFound { .. }));
    insta::assert_snapshot!(error, @"there is no supplier in the month `Nobody`; nearest: Baker, Grocer");
}
