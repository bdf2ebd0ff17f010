//! The door: who gets in, who does not, and what strangers learn (nothing).

use reqwest::Method;
use serde_json::{Value, json};

use crate::harness::{Answer, Device, LEAD_WORDS, TestBoard, exchange, first_bytes};

/// Every GET address of the URL table, with what a stranger may get there.
fn addresses(casualty: &str) -> Vec<(String, bool)> {
    [
        ("/", true),
        ("/join", true),
        ("/session", false),
        ("/board", false),
        ("/poster", false),
        ("/next", false),
        ("/summary", false),
        ("/log", false),
        ("/log?what=tourniquet&before=9", false),
        ("/journal", false),
        ("/journal?after=0", false),
        ("/live/board", false),
        ("/live/summary?since=0", false),
        ("/openapi.json", true),
        ("/problems/not-understood", true),
        ("/problems/not-json", true),
    ]
    .into_iter()
    .map(|(path, open)| (path.to_owned(), open))
    .chain([
        (format!("/casualties/{casualty}"), false),
        (format!("/live/casualty:{casualty}"), false),
    ])
    .collect()
}

/// A board with somebody on it whom a stranger must not learn of.
async fn board_with_a_secret() -> (TestBoard, Device, String) {
    let board = TestBoard::start().await;
    let teo = board.device("Theodora").await;
    let casualty = teo.registers("woman in a green coat").await;
    (board, teo, casualty)
}

fn tells_nothing(answer: &Answer) {
    for secret in ["green coat", "Theodora", LEAD_WORDS] {
        assert!(!answer.body.contains(secret), "{secret}: {}", answer.body);
    }
}

/// Nothing of the program's inside is in what people get.
fn shows_no_inside(answer: &Answer) {
    let inside = [
        "sqlx",
        "SQLITE",
        "sqlite",
        "panicked",
        "server/",
        ".rs:",
        "axum",
        "serde",
        "hyper",
        "tokio",
        "/tmp",
        "Failed to deserialize",
        "Rejection",
        "holdfast::",
    ];
    for word in inside {
        assert!(!answer.body.contains(word), "{word}: {}", answer.body);
    }
}

/// A refusal in the shape every refusal has.
fn is_problem(answer: &Answer, status: u16) {
    assert_eq!(answer.status, status, "{}", answer.body);
    assert_eq!(
        answer.header("content-type"),
        "application/problem+json",
        "{status} {}",
        answer.body
    );
    let problem = answer.json();
    assert_eq!(problem["status"], status);
    let code = problem["code"].as_str().unwrap();
    assert_eq!(problem["type"], format!("/problems/{code}"));
    assert!(problem["detail"].as_str().unwrap().len() > 10);
    shows_no_inside(answer);
    carries_the_headers(answer);
}

fn carries_the_headers(answer: &Answer) {
    let policy = answer.header("content-security-policy");
    for part in [
        "default-src 'none'",
        "script-src 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "require-trusted-types-for 'script'",
    ] {
        assert!(policy.contains(part), "{part}: {policy}");
    }
    assert!(
        !policy.contains("unsafe") && !policy.contains("http:"),
        "{policy}"
    );
    assert_eq!(answer.header("x-content-type-options"), "nosniff");
    assert_eq!(answer.header("referrer-policy"), "same-origin");
    assert_eq!(answer.header("cross-origin-resource-policy"), "same-origin");
    assert_eq!(answer.header("cross-origin-opener-policy"), "same-origin");
    assert!(!answer.header("permissions-policy").is_empty());
    assert!(!answer.header("cache-control").is_empty());
    assert_eq!(
        answer.header("access-control-allow-origin"),
        "",
        "no other site may read"
    );
}

#[tokio::test]
async fn before_joining_there_is_the_join_page_and_nothing_else() {
    let (board, _, casualty) = board_with_a_secret().await;
    let stranger = board.stranger();
    for (path, open) in addresses(&casualty) {
        let answer = stranger.gets(&path).await;
        if open {
            assert!(
                [200, 303].contains(&answer.status),
                "{path} {}",
                answer.status
            );
        } else {
            is_problem(&answer, 401);
            assert_eq!(answer.json()["code"], "join-first");
        }
        tells_nothing(&answer);
    }
    let mut forged = board.stranger();
    let name = board.device("Jo").await.cookie.unwrap();
    let name = name.split('=').next().unwrap();
    for token in ["", "0", &"0".repeat(64)] {
        forged.cookie = Some(format!("{name}={token}"));
        is_problem(&forged.gets("/board").await, 401);
    }
}

#[tokio::test]
async fn no_address_is_missing_from_this_walk() {
    // Read from the one table of addresses, so that a new page cannot stay untried.
    let table =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/server/web/routes.rs"))
            .unwrap();
    let (board, _, casualty) = board_with_a_secret().await;
    let stranger = board.stranger();
    let walked = addresses(&casualty);
    for path in table
        .split(".route(")
        .skip(1)
        .map(|rest| rest.split('"').nth(1).unwrap())
    {
        let stem = path.split('{').next().unwrap();
        let known = walked
            .iter()
            .any(|(one, _)| one == path || (stem != path && one.starts_with(stem)));
        if known || stem == "/static/" {
            continue;
        }
        // Unknown to this test: a stranger must be turned away, or be asked for another method.
        let tried = path.replace("{id}", &casualty).replace("{views}", "board");
        let answer = stranger.gets(&tried).await;
        assert!(
            [401, 403, 404, 405].contains(&answer.status),
            "{path} is open: {}",
            answer.status
        );
        tells_nothing(&answer);
    }
}

#[tokio::test]
async fn scripts_and_styles_are_served_to_anybody_and_kept() {
    let board = TestBoard::start().await;
    let stranger = board.stranger();
    let page = stranger.opens("/join").await;
    let start = page.html.find("/static/").unwrap();
    let prefix: String = page.html[start..]
        .split('/')
        .take(3)
        .collect::<Vec<_>>()
        .join("/");
    let script = stranger.gets(&format!("{prefix}/js/app.js")).await;
    assert_eq!(script.status, 200);
    assert!(script.header("content-type").starts_with("text/javascript"));
    assert!(script.header("cache-control").contains("immutable"));
    carries_the_headers(&script);
    let older = stranger.gets("/static/0123456789ab/js/app.js").await;
    assert_eq!(
        older.status, 200,
        "a page kept from an older program still finds its scripts"
    );
    assert_eq!(older.header("cache-control"), "no-store");
    for path in [
        "js/none.js",
        "../Cargo.toml",
        "..%2fCargo.toml",
        "js/../../Cargo.toml",
        "",
    ] {
        let answer = stranger.gets(&format!("{prefix}/{path}")).await;
        is_problem(&answer, 404);
    }
}

#[tokio::test]
async fn every_answer_carries_the_protective_headers() {
    let (board, teo, casualty) = board_with_a_secret().await;
    for (path, _) in addresses(&casualty) {
        if path.starts_with("/live") {
            continue;
        }
        let answer = teo.gets(&path).await;
        carries_the_headers(&answer);
        shows_no_inside(&answer);
        assert!(
            answer
                .body
                .find("http://")
                .is_none_or(|at| answer.body[at..].starts_with("http://127.0.0.1")
                    || answer.body[at..].starts_with("http://www.w3.org")),
            "{path} names another host"
        );
        assert!(
            !answer.body.contains("https://"),
            "{path} names another host"
        );
        assert!(
            !answer.body.contains(" style=\""),
            "{path} has inline style"
        );
        assert!(
            !answer.body.contains(" onclick="),
            "{path} has inline script"
        );
    }
    carries_the_headers(&teo.posts("/journal", &json!({ "facts": [] })).await);
    carries_the_headers(&board.stranger().tries_code("nonsense", "Eve").await);
    carries_the_headers(&teo.gets("/nowhere").await);
}

#[tokio::test]
async fn a_session_is_a_cookie_that_scripts_and_other_sites_cannot_use() {
    let board = TestBoard::start().await;
    let answer = board.stranger().tries_code(&board.join_code, "Teo").await;
    let cookie = answer.header("set-cookie").to_owned();
    for part in ["; HttpOnly", "; SameSite=Strict", "; Path=/", "; Max-Age="] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Domain"), "{cookie}");
    assert!(
        !cookie.contains("Secure"),
        "plain HTTP would lose it: {cookie}"
    );
    let (name, rest) = cookie.split_once('=').unwrap();
    let token = rest.split(';').next().unwrap();
    assert!(token.len() >= 64, "{token}");
    assert!(
        !answer.body.contains(token),
        "the token is in the cookie only"
    );
    let other = TestBoard::start().await;
    let answer = other.stranger().tries_code(&other.join_code, "Teo").await;
    let other_name = answer
        .header("set-cookie")
        .split('=')
        .next()
        .unwrap()
        .to_owned();
    assert_ne!(
        name, other_name,
        "two boards on one machine do not share a cookie"
    );
}

#[tokio::test]
async fn a_foreign_name_for_this_machine_is_turned_away() {
    let (board, teo, _) = board_with_a_secret().await;
    let port = board.host().split(':').next_back().unwrap();
    let cookie = teo.cookie.clone().unwrap();
    for host in [
        "evil.example".to_owned(),
        format!("evil.example:{port}"),
        "127.0.0.1:1".to_owned(),
        format!("203.0.113.9:{port}"),
        "127.0.0.1.evil.example".to_owned(),
        format!("localhost.:{port}x"),
        String::new(),
    ] {
        for path in ["/board", "/join", "/static/x/js/app.js", "/nowhere"] {
            let request = format!(
                "GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
            );
            let answer = exchange(board.host(), &request).await;
            assert!(
                answer.starts_with("HTTP/1.1 421"),
                "{host} {path}: {answer}"
            );
            assert!(!answer.contains("green coat"));
            assert!(
                answer
                    .to_ascii_lowercase()
                    .contains("content-security-policy"),
                "{answer}"
            );
        }
    }
    let old = format!("GET /board HTTP/1.0\r\nCookie: {cookie}\r\n\r\n");
    assert!(
        exchange(board.host(), &old).await.contains(" 421"),
        "no Host at all"
    );
    for host in [
        format!("localhost:{port}"),
        format!("127.0.0.1:{port}"),
        "localhost".to_owned(),
    ] {
        let request = format!(
            "GET /board HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
        );
        assert!(
            exchange(board.host(), &request)
                .await
                .starts_with("HTTP/1.1 200"),
            "{host}"
        );
    }
}

#[tokio::test]
async fn a_write_that_does_not_come_from_our_own_pages_writes_nothing() {
    let (board, teo, casualty) = board_with_a_secret().await;
    let ina = board.lead("Ina").await;
    let note = teo.fact(
        json!({ "casualty": casualty }),
        json!({ "kind": "note.added/1", "text": "forged" }),
    );
    let own = board.origin.clone();
    let json_kind = Some("application/json");
    let wrong = [
        (None, Some("1"), json_kind, 403),
        (Some("null".to_owned()), Some("1"), json_kind, 403),
        (
            Some("http://evil.example".to_owned()),
            Some("1"),
            json_kind,
            403,
        ),
        (
            Some(format!("{own}.evil.example")),
            Some("1"),
            json_kind,
            403,
        ),
        (
            Some("http://127.0.0.1:1".to_owned()),
            Some("1"),
            json_kind,
            403,
        ),
        (Some(own.clone()), None, json_kind, 403),
        (Some(own.clone()), Some("0"), json_kind, 403),
        (Some(own.clone()), Some("1"), None, 400),
        (Some(own.clone()), Some("1"), Some("text/plain"), 400),
        (
            Some(own.clone()),
            Some("1"),
            Some("application/x-www-form-urlencoded"),
            400,
        ),
    ];
    let head = board.head();
    let posts = [
        ("/journal".to_owned(), json!({ "facts": [note.clone()] })),
        (
            "/join".to_owned(),
            json!({ "code": board.join_code, "name": "Eve", "skill": "none" }),
        ),
        (format!("/devices/{}/revocation", teo.id), json!({})),
        ("/nowhere".to_owned(), json!({})),
    ];
    for (origin, header, kind, status) in &wrong {
        for (path, body) in &posts {
            let mut request = ina.request(Method::POST, path).body(body.to_string());
            if let Some(origin) = origin {
                request = request.header("origin", origin);
            }
            if let Some(header) = header {
                request = request.header("x-holdfast", *header);
            }
            if let Some(kind) = kind {
                request = request.header("content-type", *kind);
            }
            let answer = Answer::of(request.send().await.unwrap()).await;
            is_problem(&answer, *status);
            assert_eq!(answer.header("set-cookie"), "");
        }
    }
    assert_eq!(board.head(), head, "nothing was written");
    assert_eq!(teo.gets("/session").await.status, 200, "nobody was removed");
    let kind = "application/json; charset=utf-8";
    let request = teo
        .request(Method::POST, "/journal")
        .header("origin", own)
        .header("x-holdfast", "1")
        .header("content-type", kind)
        .body(json!({ "facts": [note] }).to_string());
    assert_eq!(
        request.send().await.unwrap().status().as_u16(),
        200,
        "{kind} is JSON"
    );
    assert_eq!(board.head(), head + 1);
}

#[tokio::test]
async fn what_is_not_there_or_not_so_is_told_in_the_form_the_asker_reads() {
    let (board, teo, _) = board_with_a_secret().await;
    is_problem(&teo.gets("/nowhere").await, 404);
    is_problem(&board.stranger().gets("/problems/nonsense").await, 404);
    is_problem(&teo.gets("/casualties/7").await, 404);
    is_problem(&teo.gets(&format!("/casualties/{}", board.id)).await, 404);
    for path in [
        "/journal?after=x",
        "/journal?after=-1",
        "/log?before=x",
        "/live/board?since=x",
        "/live/%ff",
        "/problems/%ff",
    ] {
        let answer = board.lead("Ina").await.gets(path).await;
        assert!(
            (400..500).contains(&answer.status),
            "{path} {}",
            answer.status
        );
        is_problem(&answer, answer.status);
    }
    for (method, path) in [
        (Method::POST, "/board"),
        (Method::DELETE, "/journal"),
        (Method::PUT, "/join"),
    ] {
        let request = teo
            .request(method, path)
            .header("origin", &board.origin)
            .header("x-holdfast", "1")
            .header("content-type", "application/json")
            .body("{}");
        is_problem(&Answer::of(request.send().await.unwrap()).await, 405);
    }
    let page = teo
        .request(Method::GET, "/nowhere")
        .header("accept", "text/html,application/xhtml+xml,*/*;q=0.8");
    let page = Answer::of(page.send().await.unwrap()).await;
    assert_eq!(page.status, 404);
    assert!(
        page.header("content-type").starts_with("text/html"),
        "{}",
        page.header("content-type")
    );
    assert!(page.body.contains("There is no such page"));
    shows_no_inside(&page);
    carries_the_headers(&page);
    let asked = teo.request(Method::HEAD, "/board").send().await.unwrap();
    assert_eq!(asked.status().as_u16(), 200);
}

#[tokio::test]
async fn a_body_that_is_not_the_json_expected_is_told() {
    let (board, teo, _) = board_with_a_secret().await;
    let head = board.head();
    let deep = format!("{{\"facts\":[{}{}]}}", "[".repeat(5000), "]".repeat(5000));
    let bodies = [
        String::new(),
        "{".to_owned(),
        "[]".to_owned(),
        "{\"facts\":{}}".to_owned(),
        "{\"facts\":[],\"more\":1}".to_owned(),
        "{\"facts\":[],\"sent_at\":\"yesterday\"}".to_owned(),
        "\u{0}\u{1}".to_owned(),
        deep,
        "nul".to_owned(),
    ];
    for body in bodies {
        let request = teo
            .request(Method::POST, "/journal")
            .header("origin", &board.origin)
            .header("x-holdfast", "1")
            .header("content-type", "application/json")
            .body(body.clone());
        let answer = Answer::of(request.send().await.unwrap()).await;
        is_problem(&answer, 400);
    }
    assert_eq!(board.head(), head);
    let broken: &[u8] = b"\xff\xfe\x00garbage\r\n\r\n";
    let answer = first_bytes(board.host(), broken).await;
    assert!(
        answer.is_empty() || answer.starts_with("HTTP/1.1 400"),
        "{answer}"
    );
    assert_eq!(teo.gets("/session").await.status, 200, "and it goes on");
}

#[tokio::test]
async fn guessing_is_slowed_after_ten_and_says_when_to_try_again() {
    let board = TestBoard::start().await;
    let stranger = board.stranger();
    for guess in 0..10 {
        let answer = stranger
            .tries_code(&format!("AAAA-{guess:04}"), "Eve")
            .await;
        is_problem(&answer, 403);
        assert_eq!(answer.json()["code"], "wrong-code");
        assert_eq!(answer.header("set-cookie"), "");
    }
    for code in ["AAAA-AAAA", board.join_code.as_str(), LEAD_WORDS] {
        let answer = stranger.tries_code(code, "Eve").await;
        is_problem(&answer, 429);
        assert!(answer.header("retry-after").parse::<u32>().unwrap() > 0);
    }
}

#[tokio::test]
async fn a_name_is_needed_and_kept_as_text() {
    let board = TestBoard::start().await;
    let stranger = board.stranger();
    for name in ["", "   ", &"x".repeat(81)] {
        is_problem(&stranger.tries_code(&board.join_code, name).await, 422);
    }
    let eve = board.device("<script>alert(1)</script>").await;
    let casualty = eve.registers("\"><img src=x onerror=alert(1)>").await;
    eve.takes(&casualty).await;
    for path in [
        "/board",
        "/next",
        "/log",
        "/summary",
        &format!("/casualties/{casualty}"),
    ] {
        let page = eve.opens(path).await;
        assert!(
            !page.says("<script>alert") && !page.says("<img src=x"),
            "{path}"
        );
    }
    let parts: Value = eve
        .watches("board,log", 0)
        .await
        .hears_of("parts")
        .await
        .data;
    for part in parts["parts"].as_array().unwrap() {
        let html = part["html"].as_str().unwrap();
        assert!(
            !html.contains("<script>") && !html.contains("<img src=x"),
            "{html}"
        );
    }
    let unknown_skill = stranger
        .posts(
            "/join",
            &json!({ "code": board.join_code, "name": "Jo", "skill": "wizard" }),
        )
        .await;
    is_problem(&unknown_skill, 400);
}

#[tokio::test]
async fn a_client_that_dawdles_over_its_request_is_let_go() {
    let board = TestBoard::start().await;
    let begun = std::time::Instant::now();
    let answer = first_bytes(board.host(), b"GET /join HTTP/1.1\r\nHost: ").await;
    assert!(
        answer.is_empty() || answer.starts_with("HTTP/1.1 4"),
        "{answer}"
    );
    assert!(begun.elapsed().as_secs() < 8);
}
