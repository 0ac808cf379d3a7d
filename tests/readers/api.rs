//! The page's API in this process, over one connection that stays open.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::sync::mpsc::channel;
use std::sync::{LazyLock, Mutex};

use serde_json::{Map, Value, json};
use trayful::dock::{Clock, DockAsked, Pins, serve};

use super::{Farm, now, tables};

struct Api {
    at: SocketAddr,
    stream: BufReader<TcpStream>,
    /// What a session's requests bear.
    headers: String,
    /// Method, path and a body or query with every field it may have.
    endpoints: Vec<(String, String, Vec<u8>)>,
}

static API: LazyLock<Mutex<Api>> = LazyLock::new(|| Mutex::new(Api::start()));

impl Api {
    fn start() -> Self {
        let Farm { _folder, book, .. } = Farm::new();
        let asked = DockAsked {
            listen: "127.0.0.1:0".parse().expect("an address"),
            hosts: Vec::new(),
            pins: Pins::default(),
            tls: None,
            book,
            tables: tables(),
            by: "ana".into(),
            clock: Clock::saying(now()),
            mix_seconds: 1,
            scales: Vec::new(),
        };
        let (tell, told) = channel();
        std::thread::spawn(move || {
            let _lies_there = _folder;
            serve(asked, |at| tell.send(at).expect("heard"))
        });
        let at = told.recv().expect("a page that started");
        let stream = BufReader::new(TcpStream::connect(at).expect("connects"));
        let mut api = Self {
            at,
            stream,
            headers: String::new(),
            endpoints: Vec::new(),
        };
        let (_, head, body) = api.ask("GET", "/api/session", b"");
        let cookie = head
            .lines()
            .find_map(|line| line.strip_prefix("set-cookie: "));
        let cookie = cookie
            .and_then(|set| set.split(';').next())
            .expect("a cookie");
        let session: Value = serde_json::from_slice(&body).expect("JSON");
        let token = session["token"].as_str().expect("a token");
        api.headers = format!("Cookie: {cookie}\r\nX-Trayful-Token: {token}\r\n");
        let (_, _, body) = api.ask("GET", "/api/openapi.json", b"");
        api.endpoints = described(&serde_json::from_slice(&body).expect("JSON"));
        api
    }

    /// Status, head and body of what is answered.
    fn ask(&mut self, method: &str, path: &str, body: &[u8]) -> (u16, String, Vec<u8>) {
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\n{}\
             Content-Length: {}\r\n\r\n",
            self.at,
            self.headers,
            body.len()
        );
        // A connection that the page has ended is begun anew, once.
        for _ in 0..2 {
            let sent = self.stream.get_mut().write_all(request.as_bytes());
            let sent = sent.and_then(|()| self.stream.get_mut().write_all(body));
            if let Some(answer) = sent.ok().and_then(|()| self.answer()) {
                return answer;
            }
            self.stream = BufReader::new(TcpStream::connect(self.at).expect("connects"));
        }
        panic!(
            "no answer to {method} {path} {}",
            String::from_utf8_lossy(body)
        );
    }

    fn answer(&mut self) -> Option<(u16, String, Vec<u8>)> {
        let mut head = String::new();
        while !head.ends_with("\r\n\r\n") {
            (self.stream.read_line(&mut head).ok()? > 0).then_some(())?;
        }
        let status = head.split(' ').nth(1)?.parse().ok()?;
        let length = (head.lines()).find_map(|line| line.strip_prefix("content-length: "));
        let mut body = vec![0; length?.parse().ok()?];
        self.stream.read_exact(&mut body).ok()?;
        Some((status, head, body))
    }
}

/// Every endpoint with all that its description names, so that nobody has to guess a
/// field's name.
fn described(api: &Value) -> Vec<(String, String, Vec<u8>)> {
    let mut found = Vec::new();
    let paths = api["paths"].as_object().expect("paths");
    for (path, methods) in paths {
        for (method, of) in methods.as_object().expect("methods") {
            let good = if method == "post" {
                let schema = &of["requestBody"]["content"]["application/json"]["schema"];
                sample(api, schema).to_string()
            } else {
                let fields = of["parameters"].as_array().into_iter().flatten();
                let fields = fields.filter_map(|field| field["name"].as_str());
                fields.map(|name| format!("{name}=1&")).collect()
            };
            found.push((method.to_uppercase(), path.clone(), good.into_bytes()));
        }
    }
    found
}

fn sample(api: &Value, schema: &Value) -> Value {
    if let Some(named) = schema["$ref"].as_str() {
        let there = api.pointer(named.trim_start_matches('#'));
        return sample(api, there.unwrap_or(&Value::Null));
    }
    if let Some(fields) = schema["properties"].as_object() {
        let fields = fields.iter().map(|(name, of)| match name.as_str() {
            "id" => (name.clone(), json!("auto-sent-once")),
            _ => (name.clone(), sample(api, of)),
        });
        return Value::Object(fields.collect::<Map<_, _>>());
    }
    let first = |list: &Value| list.as_array().and_then(|all| all.first()).cloned();
    if let Some(one) = first(&schema["anyOf"]).or_else(|| first(&schema["oneOf"])) {
        return sample(api, &one);
    }
    let kind = first(&schema["type"]).unwrap_or_else(|| schema["type"].clone());
    match kind.as_str() {
        Some("integer" | "number") => json!(1),
        Some("boolean") => json!(true),
        Some("array") => json!([sample(api, &schema["items"])]),
        Some("object") => json!({}),
        _ => json!("1"),
    }
}

/// The first byte says which endpoint, the rest is what it is sent.
pub(crate) fn good() -> Vec<Vec<u8>> {
    let api = API.lock().expect("no panic before");
    let of = |at: usize, sent: &[u8]| [&[u8::try_from(at).expect("few")], sent].concat();
    let weigh = api
        .endpoints
        .iter()
        .position(|(.., path, _)| path == "/api/weigh");
    let bucket = json!({
        "id": "auto-bucket-1", "supplier": "Quay brewery", "stream": "spent-grain",
        "gross": "20 lb", "tare": "1.5 lb", "sure": "yes"
    });
    let mut good = vec![of(
        weigh.expect("an endpoint"),
        bucket.to_string().as_bytes(),
    )];
    let all = api.endpoints.iter().enumerate();
    good.extend(all.map(|(at, (.., sent))| of(at, sent)));
    good
}

pub(crate) fn takes(bytes: &[u8]) -> bool {
    let Some((first, sent)) = bytes.split_first() else {
        return false;
    };
    let mut api = API.lock().expect("no panic before");
    let at = usize::from(*first) % api.endpoints.len();
    let (method, path, _) = api.endpoints[at].clone();
    let (status, _, body) = if method == "GET" {
        let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"=&-_".contains(byte);
        let query = sent.iter().map(|byte| match byte {
            byte if plain(byte) => char::from(*byte).to_string(),
            byte => format!("%{byte:02X}"),
        });
        let query: String = query.collect();
        api.ask(&method, &format!("{path}?{query}"), b"")
    } else {
        api.ask(&method, &path, sent)
    };
    let told = String::from_utf8_lossy(&body);
    assert!(status < 500, "{method} {path} {status}: {told}");
    assert!(
        status == 200 || told.trim().len() > 10,
        "{method} {path} {status}: {told}"
    );
    status == 200
}
