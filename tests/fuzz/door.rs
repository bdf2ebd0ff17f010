//! Whatever stands in an address or a body: an answer that is no fault of ours. The whole router, without a network.
//!
//! The first byte chooses the role and the method; then the address up to a line break, then the body.
#![no_main]

use std::net::SocketAddr;
use std::sync::LazyLock;

use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{Request, header};
use holdfast::boot::{self, Config};
use holdfast::clock::Clock;
use holdfast::web::{Limits, router};
use libfuzzer_sys::{Corpus, fuzz_target};
use tokio::runtime::Runtime;
use tower::ServiceExt;

const CODE: &str = "K7QF-M2TX";
const WORDS: &str = "river stone lamp";
const HOST: &str = "127.0.0.1";

struct Board {
    runtime: Runtime,
    router: Router,
    lead: String,
    helper: String,
}

static BOARD: LazyLock<Board> = LazyLock::new(|| {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime");
    let folder = tempfile::tempdir().expect("a folder").keep();
    let config = Config {
        data: folder,
        listen: "127.0.0.1:0".parse().expect("an address"),
        file: None,
        incident: Some("Larch Pass bus".to_owned()),
        begin_new: false,
        tls: None,
        lead_only_secure: false,
        practice: true,
        join_code: Some(CODE.to_owned()),
        lead_words: Some(WORDS.to_owned()),
        names: Vec::new(),
        wifi: None,
        limits: Limits {
            reports_per_second: 1e6,
            burst: 1e6,
            ..Limits::default()
        },
        clock: Clock::wall(),
    };
    let board = runtime
        .block_on(boot::prepare(config))
        .expect("the board opens");
    let router = router(board.app.clone());
    // Its writer lives as long as this process.
    std::mem::forget(board);
    let join = |code: &str| {
        let body = format!(r#"{{"code":"{code}","name":"Ina","skill":"medic"}}"#);
        let request = request("POST", "/join", "", body.into_bytes()).expect("a request");
        let answer = runtime
            .block_on(router.clone().oneshot(request))
            .expect("it answers");
        let cookie = answer.headers().get(header::SET_COOKIE).expect("a session");
        let cookie = cookie.to_str().expect("in letters").split(';').next();
        cookie.expect("a cookie").to_owned()
    };
    let (lead, helper) = (join(WORDS), join(CODE));
    Board {
        runtime,
        router,
        lead,
        helper,
    }
});

fn request(method: &str, address: &str, cookie: &str, body: Vec<u8>) -> Option<Request<Body>> {
    let peer: SocketAddr = ([127, 0, 0, 1], 4000).into();
    Request::builder()
        .method(method)
        .uri(address)
        .header(header::HOST, HOST)
        .header(header::ORIGIN, format!("http://{HOST}"))
        .header("x-holdfast", "1")
        .header(header::CONTENT_TYPE, "application/json")
        .header(header::COOKIE, cookie)
        .extension(ConnectInfo(peer))
        .body(Body::from(body))
        .ok()
}

fuzz_target!(|bytes: &[u8]| -> Corpus {
    let Some((first, rest)) = bytes.split_first() else {
        return Corpus::Reject;
    };
    let (address, body) = match rest.iter().position(|byte| *byte == b'\n') {
        Some(at) => (&rest[..at], &rest[at + 1..]),
        None => (rest, &rest[..0]),
    };
    let Ok(address) = std::str::from_utf8(address) else {
        return Corpus::Reject;
    };
    let board = &*BOARD;
    let cookie = match first % 3 {
        0 => &board.lead,
        1 => &board.helper,
        _ => "",
    };
    let method = if first / 3 % 2 == 0 { "GET" } else { "POST" };
    let Some(request) = request(method, &format!("/{address}"), cookie, body.to_vec()) else {
        return Corpus::Reject;
    };
    // A stream that opens is dropped at its first byte: only its head is asked for.
    let answer = board
        .runtime
        .block_on(board.router.clone().oneshot(request))
        .expect("it answers");
    let status = answer.status().as_u16();
    assert!(status < 500 || matches!(status, 503 | 507), "{status}");
    Corpus::Keep
});
