//! The dock page over the wire: who is let in, what is refused, what pages say.

mod dock_support;

use std::io::{Read, Write};
use std::time::{Duration, Instant};

use dock_support::{Farm, bucket, cookie_of};
use serde_json::{Value, json};

#[test]
fn every_answer_carries_the_headers() {
    let farm = Farm::new();
    let dock = farm.dock();
    for path in [
        "/",
        "/weigh",
        "/stock",
        "/harvest",
        "/money",
        "/wait.js",
        "/dock.js",
        "/style.css",
        "/api/stock",
        "/nothing",
        "/../Cargo.toml",
    ] {
        let answer = dock.get(path, &[]);
        let policy = answer.header("content-security-policy").expect(path);
        assert!(policy.starts_with("default-src 'none'"), "{policy}");
        for word in ["unsafe-inline", "unsafe-eval", "*", "http:"] {
            assert!(!policy.contains(word), "{policy}");
        }
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(answer.header("cache-control"), Some("no-store"));
        let known = !path.contains("nothing") && !path.contains("..");
        assert_eq!(answer.status, if known { 200 } else { 404 }, "{path}");
        if answer.body.starts_with("<!doctype") {
            for inline in ["<style", " style=", " onclick=", "<script>"] {
                assert!(!answer.body.contains(inline), "{path}: {inline}");
            }
            // Nothing is fetched from elsewhere.
            assert!(!answer.body.contains("//"), "{path}");
        }
    }
    let cookie = dock.get("/", &[]);
    let cookie = cookie.header("set-cookie").expect("a cookie");
    assert!(
        cookie.contains("; HttpOnly; SameSite=Strict; Path=/"),
        "{cookie}"
    );
}

#[test]
fn only_its_own_host_names_are_answered() {
    let farm = Farm::new();
    let dock = farm.dock_with(&["--host", "dock.farm.example:8470", "--host", "farm.example"]);
    let port = dock.port;
    for (host, status) in [
        ("farm.example".to_owned(), 200),
        (format!("127.0.0.1:{port}"), 200),
        (format!("localhost:{port}"), 200),
        (format!("LOCALHOST:{port}"), 200),
        ("dock.farm.example:8470".to_owned(), 200),
        (format!("127.0.0.1.evil.example:{port}"), 421),
        (format!("localhost.evil.example:{port}"), 421),
        (format!("evil.example:{port}"), 421),
        ("localhost:1".to_owned(), 421),
        ("localhost".to_owned(), 421),
        (format!("10.0.0.1:{port}"), 421),
        (String::new(), 421),
    ] {
        assert_eq!(dock.get("/", &[("Host", &host)]).status, status, "{host}");
    }
    let none = dock
        .raw("GET / HTTP/1.1\r\nConnection: close\r\n\r\n")
        .expect("an answer");
    assert!(matches!(none.status, 400 | 421), "{none:?}");
    let two = format!(
        "GET / HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nHost: evil.example\r\nConnection: close\r\n\r\n"
    );
    assert!(matches!(
        dock.raw(&two).expect("an answer").status,
        400 | 421
    ));
}

#[test]
fn a_change_needs_our_own_page_and_its_token() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let other = dock.tablet();
    let body = bucket("auto-000000000001", "20.0 lb").to_string();
    let origin = format!("http://{}", dock.host());
    let json = ("Content-Type", "application/json");
    let cookie = ("Cookie", tablet.cookie.as_str());
    let token = ("X-Trayful-Token", tablet.token.as_str());
    let refused: [&[(&str, &str)]; 6] = [
        &[json],
        &[json, cookie],
        &[json, token],
        &[json, cookie, ("X-Trayful-Token", &other.token)],
        &[json, cookie, token, ("Sec-Fetch-Site", "cross-site")],
        &[json, cookie, token, ("Origin", "http://evil.example")],
    ];
    for headers in refused {
        let answer = dock
            .try_request("POST", "/api/weigh", headers, &body)
            .expect("an answer");
        assert_eq!(answer.status, 403, "{headers:?}");
    }
    assert_eq!(
        dock.try_request("POST", "/weigh", &[cookie], "supplier=x")
            .expect("an answer")
            .status,
        403
    );
    assert!(farm.lots().is_empty());
    let own = [
        json,
        cookie,
        token,
        ("Sec-Fetch-Site", "same-origin"),
        ("Origin", &origin),
    ];
    let kept = dock
        .try_request("POST", "/api/weigh", &own, &body)
        .expect("an answer");
    assert_eq!(kept.status, 200, "{kept:?}");
    assert_eq!(farm.lots().len(), 1);
    for path in ["/api/weigh", "/strike", "/fed", "/api/harvest"] {
        assert_eq!(tablet.get(&dock, path).status, 405, "{path}");
    }
}

#[test]
fn large_and_slow_requests_are_ended() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let large = bucket("auto-000000000001", &"9".repeat(70_000));
    assert_eq!(tablet.post(&dock, "/api/weigh", &large).status, 413);
    let began = Instant::now();
    std::thread::scope(|scope| {
        // Headers that never end, and a connection that says nothing.
        for start in ["GET / HTTP/1.1\r\nHost: x", ""] {
            let dock = &dock;
            scope.spawn(move || {
                let mut stream = dock.connect();
                stream.write_all(start.as_bytes()).expect("written");
                let mut rest = Vec::new();
                let _ended = stream.read_to_end(&mut rest);
                let lasted = began.elapsed();
                assert!(lasted < Duration::from_secs(9), "{start:?}: {lasted:?}");
            });
        }
        scope.spawn(|| {
            let mut stream = dock.connect();
            let head = format!(
                "POST /api/weigh HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nCookie: {}\r\nX-Trayful-Token: {}\r\nContent-Length: 100\r\n\r\n{{",
                dock.host(), tablet.cookie, tablet.token
            );
            stream.write_all(head.as_bytes()).expect("written");
            let answer = dock_support::read_answer(&mut stream).expect("an answer");
            assert_eq!(answer.status, 408);
            assert!(began.elapsed() < Duration::from_secs(15));
        });
    });
    assert_eq!(tablet.get(&dock, "/").status, 200);
}

#[test]
fn the_network_needs_the_pin() {
    use std::os::unix::fs::PermissionsExt;
    let farm = Farm::new();
    let file = farm.path("pin");
    std::fs::write(&file, "314159\n").expect("written");
    let name = file.to_str().expect("a name");
    let open = farm
        .command()
        .args(["dock", "--lan", "--port", "0", "--pin-file", name])
        .output()
        .expect("runs");
    assert_eq!(open.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&open.stderr).contains("can be read by others"));
    let none = farm
        .command()
        .args(["dock", "--lan", "--port", "0", "--no-input"])
        .output()
        .expect("runs");
    assert_eq!(none.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&none.stderr).contains("`--pin-file` is missing"));
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o600)).expect("set");
    let dock = farm.dock_with(&["--lan", "--pin-file", name]);
    let outside = dock.get("/", &[]);
    assert_eq!(
        (outside.status, outside.header("location")),
        (303, Some("/pin"))
    );
    assert_eq!(dock.get("/api/stock", &[]).status, 401);
    let page = dock.get("/pin", &[]);
    assert_eq!(page.status, 200);
    let cookie = cookie_of(&page);
    let token = page
        .body
        .split("name=\"token\" value=\"")
        .nth(1)
        .expect("a token")
        .split('"')
        .next()
        .expect("its value")
        .to_owned();
    let enter = |pin: &str| {
        let headers = [
            ("Cookie", cookie.as_str()),
            ("Content-Type", "application/x-www-form-urlencoded"),
        ];
        dock.try_request(
            "POST",
            "/pin",
            &headers,
            &format!("token={token}&pin={pin}"),
        )
        .expect("an answer")
    };
    for _ in 0..5 {
        assert_eq!(enter("271828").status, 403);
    }
    let slowed = enter("314159");
    assert_eq!(slowed.status, 429);
    assert!(slowed.header("retry-after").is_some());
    std::thread::sleep(Duration::from_millis(1300));
    let inside = enter("314159");
    assert_eq!((inside.status, inside.header("location")), (303, Some("/")));
    let own = cookie_of(&inside);
    assert_ne!(own, cookie, "the session was not renewed");
    assert_eq!(dock.get("/api/stock", &[("Cookie", &own)]).status, 200);
    assert_eq!(dock.get("/api/stock", &[("Cookie", &cookie)]).status, 401);
    let (_, said) = dock.stop();
    assert!(
        !said.contains("314159") && !said.contains("271828"),
        "{said}"
    );
}

#[test]
fn names_are_text_never_markup() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let mut sent = bucket("auto-000000000001", "20 lb");
    sent["supplier"] = json!("<img src=x onerror=alert(1)>\"'&");
    assert_eq!(tablet.post(&dock, "/api/weigh", &sent).status, 200);
    for path in ["/weigh", "/stock", "/labels", "/month", "/statement"] {
        let body = tablet.get(&dock, path).body;
        assert!(!body.contains("<img"), "{path}");
        assert!(body.contains("&#60;img src=x"), "{path}");
    }
}

#[test]
fn every_described_path_is_served_and_speaks_both_languages() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let described = tablet.get(&dock, "/api/openapi.json").json();
    for (path, methods) in described["paths"].as_object().expect("paths") {
        for (method, operation) in methods.as_object().expect("methods") {
            let answer = match method.as_str() {
                "get" => tablet.get(&dock, path),
                _ => tablet.post(&dock, path, &json!({})),
            };
            let status = answer.status.to_string();
            let responses = operation["responses"].as_object().expect("responses");
            assert!(
                responses.contains_key(&status),
                "{method} {path}: {status} is not described"
            );
            assert_ne!(answer.status, 404, "{path}");
        }
    }
    let spanish = dock.get("/weigh?lang=es", &[]);
    assert!(spanish.body.contains("Proveedor") && spanish.body.contains("lang=\"es\""));
    assert!(
        dock.get("/weigh", &[("Accept-Language", "es-MX,es;q=0.9")])
            .body
            .contains("Guardar")
    );
}

#[test]
fn a_page_without_script_weighs_in_asks_and_repeats_harmlessly() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let send = |fields: &str| {
        let fields = format!(
            "supplier=other&supplier_other=Quay+brewery&stream=other&stream_other=plum-culls&container=pail&{fields}"
        );
        tablet.form(&dock, "/weigh", &fields)
    };
    let first = send("id=auto-000000000001&gross=25.4&picked_weight=1.1&picked_kind=pit");
    assert_eq!(first.status, 200);
    assert!(first.body.contains("22.8 lb"), "{}", first.body);
    assert!(first.body.contains("pit picked out at the dock"));
    let again = send("id=auto-000000000001&gross=25.4&picked_weight=1.1&picked_kind=pit");
    assert!(
        again
            .body
            .contains("data-show=\"already\">Already in the book")
    );
    // Nothing in the pail: asked about, and kept once someone is sure.
    let asked = send("id=auto-000000000002&gross=1.5");
    assert_eq!(asked.status, 422);
    assert!(asked.body.contains("the net weight is zero"));
    assert!(!asked.body.contains("id=\"sure\" hidden"));
    assert!(asked.body.contains("value=\"auto-000000000002\""));
    assert_eq!(send("id=auto-000000000002&gross=1.5&sure=yes").status, 200);
    // Turned away: kept as refused, with its caution, and no stock.
    let away = send("id=auto-000000000003&gross=20&refuse=putrid");
    assert!(away.body.contains("refuse") && away.body.contains("do not sniff"));
    assert_eq!(send("id=r12345678901234&gross=20").status, 422);
    let on_hand: Vec<Value> = farm
        .lots()
        .into_iter()
        .filter(|lot| lot["on_hand_g"] != 0)
        .collect();
    assert_eq!(on_hand.len(), 1);
}

#[test]
fn slow_connections_hold_up_no_one() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let timed = || {
        let began = Instant::now();
        assert_eq!(tablet.get(&dock, "/stock").status, 200);
        began.elapsed()
    };
    let alone = timed();
    let slow: Vec<_> = (0..300)
        .map(|_| {
            let mut stream = dock.connect();
            // One that was ended for the others already is no matter.
            let _ended = stream.write_all(b"GET / HTTP/1.1\r\nHost: x");
            stream
        })
        .collect();
    let among = timed();
    drop(slow);
    assert!(
        among < alone + Duration::from_secs(1),
        "{among:?}, alone {alone:?}"
    );
}

/// Another program holds the book for longer than anyone waits.
#[test]
fn a_book_that_is_held_long_is_said_to_programs_and_people() {
    let farm = Farm::new();
    let dock = farm.dock();
    let tablet = dock.tablet();
    let other = rusqlite::Connection::open(farm.path("farm.daybook")).expect("the book");
    other.execute_batch("BEGIN IMMEDIATE").expect("held");
    std::thread::scope(|scope| {
        for nth in 0..3 {
            let (dock, tablet) = (&dock, &tablet);
            scope.spawn(move || {
                let one = bucket(&format!("auto-00000000000{nth}"), "20 lb");
                let answer = tablet.post(dock, "/api/weigh", &one);
                assert!([408, 503].contains(&answer.status), "{answer:?}");
                assert_eq!(answer.json()["error"], "unavailable", "{answer:?}");
            });
        }
        let (dock, tablet) = (&dock, &tablet);
        scope.spawn(move || {
            let fields = "id=auto-000000000009&supplier=Quay+brewery&stream=spent-grain&gross=20+lb&container=pail";
            let page = tablet.form(dock, "/weigh", fields);
            assert!(page.status >= 400 && page.body.contains("</html>"), "{page:?}");
        });
    });
    other.execute_batch("ROLLBACK").expect("let go");
}
