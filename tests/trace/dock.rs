//! The page on the dock, and the same for other programs.

use crate::dock_support::Farm;

#[test]
fn a_lot_is_traced_from_the_stock_list() {
    let farm = Farm::new();
    let load = [
        "weigh",
        "--ticket",
        "A1",
        "--stream",
        "bread",
        "--supplier",
        "<b>Hearth</b>",
    ];
    let weight = ["--gross", "16.4lb", "--tare", "0.4lb"];
    farm.run(&[&load[..], &weight[..]].concat());
    let dock = farm.dock();
    let tablet = dock.tablet();
    let stock = tablet.get(&dock, "/stock").body;
    assert!(stock.contains("action=\"/trace\"") && stock.contains("<option value=\"A1\">"));
    let page = tablet.get(&dock, "/trace?of=A1");
    assert_eq!(page.status, 200);
    assert!(page.body.contains("<h1>Trace of ticket A1</h1>"));
    assert!(page.body.contains("&#60;b&#62;Hearth") && !page.body.contains("<b>Hearth"));
    let sheet = tablet.get(&dock, "/trace?of=A1&sheet=recall").body;
    assert!(sheet.contains("<h1>Recall sheet: ticket A1</h1>"));
    let form = tablet.get(&dock, "/trace?lang=es").body;
    assert!(form.contains("<h1>Trazabilidad</h1>"), "{form}");
    let json = tablet.get(&dock, "/api/trace?of=A1").json();
    assert_eq!(json["lots"][0]["on_hand_g"], 7_258);
    assert_eq!(tablet.get(&dock, "/api/trace?of=A2").status, 404);
    assert_eq!(tablet.get(&dock, "/trace?cohort=H1").status, 404);
    assert_eq!(tablet.get(&dock, "/api/trace?of=A1&buyer=x").status, 422);
}
