//! The dock page over the wire: nothing is lost and nothing kept twice, whatever
//! happens to server, network and clocks.

mod dock_support;

use std::time::Duration;

use dock_support::{Farm, bucket};
use serde_json::{Value, json};

#[test]
fn a_bucket_sent_twice_is_kept_once() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let sent = bucket("auto-000000000001", "  +27.2 lb G");
    let first = tablet.post(&dock, "/api/weigh", &sent);
    assert_eq!(first.status, 200, "{first:?}");
    let first = first.json();
    assert_eq!(first["net_g"], 11_658); // 12338 g less 680 g, each rounded
    assert_eq!(first["already_there"], false);
    std::thread::sleep(Duration::from_millis(1100));
    let again = tablet.post(&dock, "/api/weigh", &sent).json();
    assert_eq!(again["already_there"], true);
    assert_eq!(again["number"], first["number"]);
    let other = tablet.post(&dock, "/api/weigh", &bucket("auto-000000000001", "28 lb"));
    assert_eq!(
        (other.status, other.json()["error"].clone()),
        (409, json!("conflict"))
    );
    assert_eq!(farm.lots().len(), 1);
    assert_eq!(farm.json(&["check"])["whole"], true);
}

/// The same load again and again, said to be meant.
fn meant(id: &str, gross: &str) -> Value {
    let mut sent = bucket(id, gross);
    sent["sure"] = json!("yes");
    sent
}

#[test]
fn the_same_load_from_two_tablets_is_asked_about() {
    let farm = Farm::new();
    let dock = farm.dock();
    let (one, other) = (dock.tablet(), dock.tablet());
    let first = one.post(&dock, "/api/weigh", &bucket("auto-000000000001", "20 lb"));
    let second = other.post(&dock, "/api/weigh", &bucket("auto-000000000002", "20 lb"));
    assert_eq!((first.status, second.status), (200, 422));
    let told = second.json();
    assert_eq!(told["error"], "doubtful");
    assert_eq!(told["doubts"][0]["id"], "load-twice");
    let meant = meant("auto-000000000002", "20 lb");
    assert_eq!(other.post(&dock, "/api/weigh", &meant).status, 200);
}

#[test]
fn two_tablets_at_once_get_a_ticket_each_and_one_id_gets_one() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablets: Vec<_> = (0..8).map(|_| dock.tablet()).collect();
    std::thread::scope(|scope| {
        for (at, tablet) in tablets.iter().enumerate() {
            let dock = &dock;
            scope.spawn(move || {
                for bucket_no in 0..5 {
                    let own = meant(&format!("auto-tablet{at}-no{bucket_no}"), "20 lb");
                    assert_eq!(tablet.post(dock, "/api/weigh", &own).status, 200);
                    let shared = meant(&format!("auto-shared-no{bucket_no}"), "30 lb");
                    assert_eq!(tablet.post(dock, "/api/weigh", &shared).status, 200);
                }
            });
        }
    });
    assert_eq!(farm.lots().len(), 8 * 5 + 5);
}

#[test]
fn a_tablet_s_clock_that_is_a_day_wrong_is_told_and_not_believed() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let now = jiff::Timestamp::now();
    let mut sent = bucket("auto-000000000001", "20 lb");
    let yesterday = now - jiff::SignedDuration::from_hours(24);
    sent["entered_at"] = json!((yesterday - jiff::SignedDuration::from_mins(5)).to_string());
    sent["sent_at"] = json!(yesterday.to_string());
    let told = tablet.post(&dock, "/api/weigh", &sent).json();
    let off = told["clock_off"]["ahead_s"].as_i64().expect("seconds");
    assert!((off + 86_400).abs() < 60, "{told}");
    assert!(
        told["shown"]["clock"]
            .as_str()
            .expect("words")
            .contains("24 h 0 min behind"),
        "{told}"
    );
    let weighed: jiff::Timestamp = told["weighed_at"]
        .as_str()
        .expect("text")
        .parse()
        .expect("an instant");
    let waited = now.duration_since(weighed).as_secs();
    assert!((295..=310).contains(&waited), "weighed {waited} s ago");
    // Sent again later, when the clock was set right meanwhile: still the same ticket.
    sent["sent_at"] = json!(now.to_string());
    sent["entered_at"] = json!((now - jiff::SignedDuration::from_mins(5)).to_string());
    let again = tablet.post(&dock, "/api/weigh", &sent);
    assert_eq!(again.status, 200, "{again:?}");
    assert_eq!(again.json()["already_there"], true);
}

#[test]
fn what_was_acknowledged_survives_a_kill_at_any_moment() {
    let farm = Farm::new();
    let mut acknowledged = Vec::new();
    let mut sent = 0;
    for round in 0..8_u64 {
        let dock = farm.dock();
        let tablet = dock.tablet();
        let pid = dock.pid().to_string();
        let (kept, seen) = std::sync::mpsc::channel();
        let killer = std::thread::spawn(move || {
            // Counted, not timed, so that a slow machine keeps as many; then at any moment.
            for _ in 0..round {
                seen.recv().expect("one more is kept");
            }
            std::thread::sleep(Duration::from_millis(round * 7 % 20));
            std::process::Command::new("kill")
                .args(["-KILL", &pid])
                .status()
                .expect("kill");
        });
        // Sends until the server is gone; the last one may or may not be kept.
        loop {
            let one = meant(&format!("auto-bucket{sent:06}"), "20 lb");
            match tablet.try_post(&dock, "/api/weigh", &one) {
                Ok(answer) if answer.status == 200 => {
                    acknowledged.push(answer.json()["number"].clone());
                    sent += 1;
                    // The killer has stopped counting by the end.
                    let _ = kept.send(());
                }
                _ => break,
            }
        }
        killer.join().expect("killed");
        drop(dock);
        // After the restart the tablet sends it again until it is acknowledged.
        let dock = farm.dock();
        let tablet = dock.tablet();
        let one = meant(&format!("auto-bucket{sent:06}"), "20 lb");
        let answer = tablet.post(&dock, "/api/weigh", &one);
        assert_eq!(answer.status, 200, "{answer:?}");
        acknowledged.push(answer.json()["number"].clone());
        sent += 1;
    }
    let mut numbers: Vec<i64> = farm
        .lots()
        .iter()
        .filter_map(|lot| lot["number"].as_i64())
        .collect();
    numbers.sort_unstable();
    let mut told: Vec<i64> = acknowledged.iter().filter_map(Value::as_i64).collect();
    told.sort_unstable();
    assert_eq!(numbers, told);
    assert!(sent >= 28 + 8, "only {sent} were sent");
}

/// The file alone, without what lies beside it, has nearly all at any time and
/// all once nobody has written for a moment.
#[test]
fn the_file_alone_soon_holds_what_was_acknowledged() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    for no in 0..60 {
        let one = meant(&format!("auto-bucket{no:06}"), "20 lb");
        assert_eq!(tablet.post(&dock, "/api/weigh", &one).status, 200);
    }
    let alone = |name: &str| {
        std::fs::copy(farm.path("farm.daybook"), farm.path(name)).expect("copied");
        let book = farm.path(name).display().to_string();
        farm.json(&["check", "--daybook", &book])["tickets"]
            .as_i64()
            .expect("a count")
    };
    let at_once = alone("at-once");
    assert!((30..=60).contains(&at_once), "{at_once} of 60");
    std::thread::sleep(Duration::from_secs(4));
    assert_eq!(alone("later"), 60);
    let seal = farm.json(&["check"])["seal"]
        .as_str()
        .expect("a seal")
        .to_owned();
    dock.kill();
    std::fs::remove_file(farm.path("farm.daybook-wal")).expect("removed");
    assert_eq!(farm.json(&["check"])["tickets"], 60);
    // Of a shorter copy the last seal says what is gone.
    let short = farm.path("at-once").display().to_string();
    let told = farm
        .command()
        .args(["check", "--daybook", &short, "--seal", &seal])
        .output();
    let told = String::from_utf8(told.expect("runs").stdout).expect("text");
    let gone = format!("at least {} are gone", 60 - at_once);
    assert!(at_once == 60 || told.contains(&gone), "{gone}: {told}");
}

/// Whatever happens to the file under a running page, nothing is called kept
/// that the file at the book's path does not hold, and every page says so.
#[test]
fn a_book_that_was_taken_away_takes_nothing_more() {
    type Deed = fn(&Farm);
    let deeds: [(&str, Deed); 5] = [
        ("moved", |farm| {
            std::fs::rename(farm.path("farm.daybook"), farm.path("away")).expect("moved");
        }),
        ("removed", |farm| {
            std::fs::remove_file(farm.path("farm.daybook")).expect("removed");
        }),
        ("replaced", |farm| {
            farm.run(&["keep", &farm.path("copy").display().to_string()]);
            std::fs::rename(farm.path("copy"), farm.path("farm.daybook")).expect("replaced");
        }),
        ("cut", |farm| {
            let file = std::fs::File::options()
                .write(true)
                .open(farm.path("farm.daybook"));
            file.and_then(|file| file.set_len(4096)).expect("cut");
        }),
        ("without its pages", |farm| {
            std::fs::remove_file(farm.path("farm.daybook-wal")).expect("removed");
        }),
    ];
    for (deed, deal) in deeds {
        let farm = Farm::new();
        let dock = farm.dock();
        let tablet = dock.tablet();
        let send = |no: u32| {
            let one = meant(&format!("auto-bucket{no:06}"), "20 lb");
            tablet.post(&dock, "/api/weigh", &one)
        };
        assert_eq!(send(1).status, 200, "{deed}");
        deal(&farm);
        for no in 2..4 {
            let answer = send(no);
            assert_eq!(answer.status, 503, "{deed}: {answer:?}");
            assert_eq!(answer.json()["error"], "unavailable", "{deed}");
        }
        for page in ["/", "/stock", "/month", "/tonight"] {
            let seen = tablet.get(&dock, page);
            let told = seen
                .body
                .contains("was moved, removed, replaced or cut short");
            assert!(seen.status == 503 && told, "{deed} {page}: {seen:?}");
        }
        if deed == "moved" {
            std::fs::rename(farm.path("away"), farm.path("farm.daybook")).expect("back");
            assert_eq!(send(2).status, 200, "{deed}");
            assert_eq!(farm.lots().len(), 2);
        }
    }
}

#[test]
fn a_stop_finishes_what_is_under_way_and_closes_the_book() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablets: Vec<_> = (0..6).map(|_| dock.tablet()).collect();
    let pid = dock.pid().to_string();
    let acknowledged: usize = std::thread::scope(|scope| {
        let dock = &dock;
        let senders: Vec<_> = tablets
            .iter()
            .enumerate()
            .map(|(at, tablet)| {
                scope.spawn(move || {
                    (0..10_000)
                        .take_while(|no| {
                            let one = meant(&format!("auto-t{at}-n{no:06}"), "20 lb");
                            tablet
                                .try_post(dock, "/api/weigh", &one)
                                .is_ok_and(|answer| answer.status == 200)
                        })
                        .count()
                })
            })
            .collect();
        std::thread::sleep(Duration::from_millis(400));
        std::process::Command::new("kill")
            .args(["-TERM", &pid])
            .status()
            .expect("kill");
        senders
            .into_iter()
            .map(|sender| sender.join().expect("ends"))
            .sum()
    });
    let (code, _) = dock.stop();
    assert_eq!(code, Some(0));
    assert!(acknowledged > 0);
    let kept = farm.lots().len();
    // What was kept without an answer getting through: at most one a tablet.
    assert!(
        kept >= acknowledged && kept <= acknowledged + 6,
        "{kept} kept, {acknowledged} acknowledged"
    );
    assert!(
        !farm.path("farm.daybook-wal").exists(),
        "the book was not closed"
    );
}

#[test]
fn undo_strikes_and_the_api_says_what_the_terminal_says() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let first = tablet
        .post(&dock, "/api/weigh", &bucket("auto-000000000001", "20 lb"))
        .json();
    tablet.post(&dock, "/api/weigh", &bucket("auto-000000000002", "21 lb"));
    let undo = json!({"id": "auto-000000000003", "record": format!("r{}", first["record"]), "why": "undone at the dock"});
    let struck = tablet.post(&dock, "/api/strike", &undo);
    assert_eq!(struck.status, 200, "{struck:?}");
    assert_eq!(
        tablet.post(&dock, "/api/strike", &undo).json()["already_there"],
        true
    );
    assert_eq!(farm.lots().len(), 1);
    assert_eq!(
        tablet.get(&dock, "/api/month").json(),
        farm.json(&["month"])
    );
    let lots = tablet.get(&dock, "/api/stock").json();
    assert_eq!(lots[0]["on_hand_g"], farm.lots()[0]["on_hand_g"]);
    for (gross, error) in [
        ("US,NT, 3.1 kg", "rejected"),
        ("-1 lb", "rejected"),
        ("1.5 lb", "doubtful"),
    ] {
        let answer = tablet.post(&dock, "/api/weigh", &bucket("auto-000000000009", gross));
        assert_eq!(
            (answer.status, answer.json()["error"].clone()),
            (422, json!(error)),
            "{gross}"
        );
    }
    assert_eq!(tablet.post(&dock, "/api/weigh", &json!([1])).status, 422);
    assert_eq!(
        tablet
            .post(&dock, "/api/reading", &json!({"text": "ST,GS,+ 12.5kg"}))
            .json()["grams"],
        12_500
    );
}

#[test]
fn tonight_s_sheet_is_kept_and_ticked_off_with_a_changed_weight() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    for no in 0..6 {
        tablet.post(
            &dock,
            "/api/weigh",
            &meant(&format!("auto-00000000000{no}"), "30 lb"),
        );
    }
    farm.cohort("H1");
    let kept = tablet.post(&dock, "/api/sheet", &json!({"id": "auto-sheet-000001"}));
    assert_eq!(kept.status, 200, "{kept:?}");
    let sheet = kept.json()["sheet"].as_str().expect("a sheet").to_owned();
    let page = tablet.get(&dock, "/tonight");
    assert_eq!(page.status, 200);
    assert!(
        page.body.contains(&format!("value=\"{sheet}\"")),
        "{}",
        page.body
    );
    let night = tablet.get(&dock, "/api/tonight").json();
    let line = &night["kept"]["lines"][0];
    let fed = json!({"id": "auto-fed-00000001", "sheet": sheet, "changes": [{"group": line["group"], "lot": line["lot"], "weight": "0.5 lb"}]});
    let done = tablet.post(&dock, "/api/fed", &fed);
    assert_eq!(done.status, 200, "{done:?}");
    assert_eq!(
        tablet.post(&dock, "/api/fed", &fed).json()["already_there"],
        true
    );
    let anew = json!({"id": "auto-fed-00000002", "sheet": sheet});
    assert_eq!(tablet.post(&dock, "/api/fed", &anew).status, 409);
    assert!(
        tablet
            .get(&dock, "/tonight")
            .body
            .contains("Fed and written down")
    );
    let spanish = tablet.get(&dock, "/tonight?lang=es").body;
    for told in [
        "La mezcla de esta noche, noche del",
        "<th scope=\"col\" class=\"text\">del lote</th>",
        "<strong>humedad ",
    ] {
        assert!(spanish.contains(told), "{told}: {spanish}");
    }
}

/// A page is waited for as a command is, and says as much of what it left out.
#[test]
fn tonight_s_page_begins_nothing_more_once_the_time_is_up() {
    let farm = Farm::new();
    farm.cohort("H1");
    for stream in ["bread", "spent-grain", "carrot-trim", "apple-culls"] {
        let line = format!("weigh --supplier Quay --stream {stream} --gross 30 --tare 0 --sure");
        farm.run(&line.split(' ').collect::<Vec<_>>());
    }
    let told = |seconds: &str| {
        let dock = farm.dock_with(&["--seconds", seconds]);
        let tablet = dock.tablet();
        let page = tablet.get(&dock, "/tonight?anew=yes").body;
        assert!(page.contains("In all "), "{page}");
        let asked = tablet.get(&dock, "/api/tonight").json();
        let notes = asked["mix"]["notes"].to_string();
        [page, notes].map(|text| text.contains("The time was up before: "))
    };
    assert_eq!(told("0"), [true, true]);
    assert_eq!(told("600"), [false, false]);
}
