//! What a young farm can learn, and what it can't yet.

use crate::farm::Farm;

#[test]
fn five_tests_of_a_supplier_stand_in_for_the_book() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&["learn"]));
    for (ticket, moisture) in [("B1", "79"), ("B2", "81"), ("B3", "80.5"), ("B4", "78.5")] {
        let more = ["--moisture", moisture, "--sure"];
        farm.weigh(ticket, "Quay brewery", "spent-grain", "30.0lb", &more);
    }
    let sheet = farm.run(&["stock"]);
    assert!(sheet.contains("learned"), "{sheet}");
    let stock = farm.json(&["stock"]);
    let from = |lot: &str| {
        let lots = stock.as_array().expect("lots").iter();
        let mut of = lots.filter(|line| line["lot"] == lot);
        of.next().expect("on hand")["moisture_from"].clone()
    };
    assert_eq!(["A1", "A2", "A3"].map(from), ["dock", "learned", "book"]);
    insta::assert_snapshot!(farm.run(&["learn"]));
    insta::assert_snapshot!(farm.run(&["learn", "--csv"]));
    let told = farm.json(&["learn"]);
    assert_eq!(told["moisture"][0]["tests"], 5);
    assert_eq!(told["moisture"][0]["in_use"], true);
    insta::assert_snapshot!(farm.run(&["learn", "--take", "keeps-days:spent-grain"]));
    // Taking over prints no page, so a page's file beside it is refused, not ignored.
    for form in ["--csv", "--html=x.html", "--xlsx=x.xlsx"] {
        let both = farm.run(&["learn", "--take", "keeps-days:bread", form]);
        assert!(both.ends_with("exit 2\n"), "{both}");
        let both = farm.run(&["harvest", "H1", "--larvae", "2lb", form]);
        assert!(both.ends_with("exit 2\n"), "{both}");
    }
    let json = farm.json(&["mix"]);
    assert_eq!(json["verdict"], "inside");
}

#[test]
fn few_cohorts_tell_nothing_of_mixes() {
    let farm = Farm::stocked();
    insta::assert_snapshot!(farm.run(&["learn", "--mixes"]));
    farm.json(&["mix"]);
    farm.json(&["fed"]);
    let told = farm.run(&[
        "harvest",
        "H1",
        "--larvae",
        "2lb",
        "--larvae-moisture",
        "67",
        "--sample",
        "100=15.2",
        "--residue",
        "6.5lb",
        "--residue-moisture",
        "45",
        "--last",
    ]);
    assert!(told.ends_with("exit 0\n"), "{told}");
    insta::assert_snapshot!(farm.run(&["learn", "--mixes"]));
    let told = farm.json(&["learn", "--mixes"]);
    assert_eq!(told["cohorts"], 1);
    assert!(told["regression"].is_null());
}
