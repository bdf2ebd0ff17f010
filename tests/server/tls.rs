//! TLS as a choice: a device that trusts the board's authority, what that authority may vouch for, and the lead by no
//! other way.

use std::sync::Arc;

use holdfast::clock::wall_now;
use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, RootCertStore, ServerConfig};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio_rustls::{TlsAcceptor, TlsConnector};

use crate::harness::{Device, LEAD_WORDS, TestBoard};
use crate::program::{Program, standby_words};

/// A client that trusts this authority and no other.
fn trusting(authority: &[u8]) -> TlsConnector {
    let mut roots = RootCertStore::empty();
    roots.add(CertificateDer::from(authority.to_vec())).unwrap();
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    TlsConnector::from(Arc::new(config))
}

/// One request over TLS; the whole answer, or why there was none.
async fn asks(
    connector: &TlsConnector,
    at: std::net::SocketAddr,
    name: &str,
    request: &str,
) -> Result<String, String> {
    let stream = TcpStream::connect(at).await.unwrap();
    let name = ServerName::try_from(name.to_owned()).unwrap();
    let mut tls = connector
        .connect(name, stream)
        .await
        .map_err(|error| error.to_string())?;
    tls.write_all(request.as_bytes()).await.unwrap();
    let mut answer = Vec::new();
    // The board may end without a word of farewell; what came is looked at.
    drop(tls.read_to_end(&mut answer).await);
    Ok(String::from_utf8_lossy(&answer).into_owned())
}

fn get(path: &str, host: &str) -> String {
    format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n")
}

fn join(host: &str, code: &str) -> String {
    let body = serde_json::json!({ "code": code, "name": "Ina" }).to_string();
    format!(
        "POST /join HTTP/1.1\r\nHost: {host}\r\nOrigin: https://{host}\r\nX-Holdfast: 1\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    )
}

#[tokio::test]
async fn a_device_that_trusts_the_boards_authority_works_over_tls() {
    let board = TestBoard::start_tls(false).await;
    let (at, authority) = board.tls.clone().unwrap();
    // As the device gets it: over the plain door, before anybody joined.
    holdfast::tls::provide();
    let client = reqwest::Client::new();
    let fetched = client
        .get(format!("{}/authority.crt", board.origin))
        .send()
        .await
        .unwrap();
    assert_eq!(
        fetched.headers()["content-type"],
        "application/x-x509-ca-cert"
    );
    let fetched = fetched.bytes().await.unwrap();
    assert_eq!(&fetched[..], authority.certificate());
    let connector = trusting(&fetched);
    let port = at.port();
    for name in ["127.0.0.1", "localhost", "board.field"] {
        let host = format!("{name}:{port}");
        let answer = asks(&connector, at, name, &get("/join", &host))
            .await
            .unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{name}: {answer}");
        assert!(!answer.to_lowercase().contains("strict-transport-security"));
    }
    let host = format!("127.0.0.1:{port}");
    let answer = asks(&connector, at, "127.0.0.1", &join(&host, LEAD_WORDS))
        .await
        .unwrap();
    let cookie = answer
        .lines()
        .find_map(|line| line.strip_prefix("set-cookie: "))
        .unwrap_or_else(|| panic!("{answer}"));
    assert!(
        cookie.starts_with("__Host-") && cookie.contains("; Secure"),
        "{cookie}"
    );
    let pair = cookie.split(';').next().unwrap();
    let request =
        get("/session", &host).replace("Connection", &format!("Cookie: {pair}\r\nConnection"));
    let answer = asks(&connector, at, "127.0.0.1", &request).await.unwrap();
    assert!(answer.contains("\"role\":\"lead\""), "{answer}");
    // Who trusts nothing gets nothing, and both doors are one board.
    let other =
        holdfast::tls::Authority::of(tempfile::tempdir().unwrap().path(), &[], wall_now()).unwrap();
    let refused = asks(&trusting(other.certificate()), at, "127.0.0.1", "")
        .await
        .unwrap_err();
    assert!(
        refused.contains("UnknownIssuer") || refused.contains("BadSignature"),
        "{refused}"
    );
    assert_eq!(board.lead("Eva").await.gets("/session").await.status, 200);
}

/// Serves one handshake after another with this configuration.
async fn impostor(config: ServerConfig) -> std::net::SocketAddr {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let at = listener.local_addr().unwrap();
    let acceptor = TlsAcceptor::from(Arc::new(config));
    tokio::spawn(async move {
        for _ in 0..8 {
            let (stream, _) = listener.accept().await.unwrap();
            if let Ok(mut tls) = acceptor.accept(stream).await {
                drop(tls.write_all(b"HTTP/1.1 200 OK\r\n\r\n").await);
                drop(tls.shutdown().await);
            }
        }
    });
    at
}

#[tokio::test]
async fn what_the_authority_may_vouch_for_ends_at_the_boards_names_and_private_addresses() {
    let folder = tempfile::tempdir().unwrap();
    let authority =
        holdfast::tls::Authority::of(folder.path(), &["board.field".to_owned()], wall_now())
            .unwrap();
    let connector = trusting(authority.certificate());
    // Somebody got hold of its key, and signs what they like.
    let names = ["board.field", "bank.example", "localhost.example"];
    let addresses = ["127.0.0.1".parse().unwrap(), "10.42.0.1".parse().unwrap()];
    let good = authority
        .issue(
            ["board.field", "localhost"].into_iter(),
            &addresses,
            wall_now(),
        )
        .unwrap();
    let at = impostor(good).await;
    for name in ["board.field", "localhost", "127.0.0.1", "10.42.0.1"] {
        let answer = asks(&connector, at, name, "").await;
        assert!(answer.is_ok(), "{name}: {answer:?}");
    }
    let bad = authority
        .issue(names.into_iter(), &addresses, wall_now())
        .unwrap();
    let at = impostor(bad).await;
    for name in ["bank.example", "board.field"] {
        let refused = asks(&connector, at, name, "").await.unwrap_err();
        assert!(refused.contains("NameConstraint"), "{name}: {refused}");
    }
    let public = ["203.0.113.7".parse().unwrap()];
    let bad = authority
        .issue(std::iter::empty(), &public, wall_now())
        .unwrap();
    let at = impostor(bad).await;
    let refused = asks(&connector, at, "203.0.113.7", "").await.unwrap_err();
    assert!(refused.contains("NameConstraint"), "{refused}");
    // Nor does the board itself serve such an address.
    assert!(authority.serves(public[0], wall_now()).is_err());
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(folder.path().join("authority.key"))
            .unwrap()
            .permissions()
            .mode();
        assert_eq!(mode & 0o077, 0, "for its owner alone");
    }
    // The same authority at the next start: what devices trust does not change.
    let again =
        holdfast::tls::Authority::of(folder.path(), &["board.field".to_owned()], wall_now())
            .unwrap();
    assert_eq!(again.fingerprint(), authority.fingerprint());
    let signed = again
        .issue(["localhost"].into_iter(), &[], wall_now())
        .unwrap();
    let at = impostor(signed).await;
    assert!(asks(&connector, at, "localhost", "").await.is_ok());
}

#[tokio::test]
async fn an_authority_made_with_a_wrong_clock_or_other_names_still_serves_what_it_can_and_says_the_rest()
 {
    let folder = tempfile::tempdir().unwrap();
    let names = |names: &[&str]| {
        names
            .iter()
            .map(|name| (*name).to_owned())
            .collect::<Vec<_>>()
    };
    let of = |wanted: &[&str], now| {
        holdfast::tls::Authority::of(folder.path(), &names(wanted), now).unwrap()
    };
    let made = of(&["board.field"], wall_now());
    assert_eq!(made.warnings(wall_now()), []);
    // The next start: another name, and a machine without a battery whose clock fell back to its first day.
    let back = "1970-01-01T00:00:20Z".parse().unwrap();
    let again = of(&["board.field", "tent.field"], back);
    assert_eq!(again.fingerprint(), made.fingerprint());
    let said: Vec<String> = again
        .warnings(back)
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(said.len(), 2, "{said:?}");
    assert!(said[0].contains("Set the clock"), "{said:?}");
    assert!(
        said[1].contains("tent.field") && said[1].contains("authority.key"),
        "{said:?}"
    );
    // A device whose own clock is right works by address and by the name that was there.
    let connector = trusting(made.certificate());
    let served = again.serves("127.0.0.1".parse().unwrap(), back).unwrap();
    let at = impostor(ServerConfig::clone(&served)).await;
    for name in ["127.0.0.1", "board.field"] {
        let answer = asks(&connector, at, name, "").await;
        assert!(answer.is_ok(), "{name}: {answer:?}");
    }
    // Half of it lost, or another's: refused with what to do, and nothing is made over it.
    let other = tempfile::tempdir().unwrap();
    holdfast::tls::Authority::of(other.path(), &[], wall_now()).unwrap();
    let key = folder.path().join("authority.key");
    std::fs::copy(other.path().join("authority.key"), &key).unwrap();
    let refused = holdfast::tls::Authority::of(folder.path(), &[], wall_now()).unwrap_err();
    assert!(refused.to_string().contains("another key"), "{refused}");
    // One half lost: nothing is made over the other, which tablets trust.
    std::fs::remove_file(&key).unwrap();
    let refused = holdfast::tls::Authority::of(folder.path(), &[], wall_now()).unwrap_err();
    let said = refused.to_string();
    assert!(
        said.contains("authority.key is missing") && said.contains("Without --tls"),
        "{said}"
    );
    let left = std::fs::read(folder.path().join("authority.crt")).unwrap();
    assert_eq!(left, made.certificate());
    std::fs::copy(other.path().join("authority.key"), &key).unwrap();
    std::fs::write(folder.path().join("authority.crt"), b"torn").unwrap();
    let refused = holdfast::tls::Authority::of(folder.path(), &[], wall_now()).unwrap_err();
    assert!(
        refused.to_string().contains("remove authority.crt"),
        "{refused}"
    );
}

#[tokio::test]
async fn the_lead_is_taken_only_over_tls_or_on_the_machine_where_that_was_chosen() {
    let board = TestBoard::start_tls(true).await;
    let (at, authority) = board.tls.clone().unwrap();
    // This test's own address is the machine's: the lead may.
    assert_eq!(board.lead("Ina").await.gets("/poster").await.status, 200);
    // Over TLS too. (That the clear way from outside is refused is checked where the way is told, in `secure.rs`: this
    // test's own addresses are the machine's.)
    let host = format!("127.0.0.1:{}", at.port());
    let connector = trusting(authority.certificate());
    let answer = asks(&connector, at, "127.0.0.1", &join(&host, LEAD_WORDS))
        .await
        .unwrap();
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    let helper = Device::stranger(&board.origin, holdfast::clock::Clock::wall());
    helper.joins(&board.join_code, "Teo").await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_standby_on_another_machine_follows_over_tls_where_the_lead_must() {
    let board = TestBoard::start_tls(true).await;
    let (at, authority) = board.tls.clone().unwrap();
    let teo = board.device("Teo").await;
    let who = teo.registers("woman, red coat").await;
    let folder = tempfile::tempdir().unwrap();
    let (right, wrong) = (
        folder.path().join("right.crt"),
        folder.path().join("wrong.crt"),
    );
    std::fs::write(&right, authority.certificate()).unwrap();
    let other =
        holdfast::tls::Authority::of(tempfile::tempdir().unwrap().path(), &[], wall_now()).unwrap();
    std::fs::write(&wrong, other.certificate()).unwrap();
    let address = format!("https://{at}");
    let standby = |extra: &[&str]| {
        let mut words = standby_words(&address, LEAD_WORDS).to_vec();
        words.extend(extra);
        words.into_iter().map(str::to_owned).collect::<Vec<_>>()
    };
    let (right, wrong) = (right.to_str().unwrap(), wrong.to_str().unwrap());
    // Nobody vouches for the board, or somebody else does: it follows nothing, and says what to do.
    for (extra, said) in [
        (vec![], "--authority"),
        (vec!["--authority", wrong], "does not answer"),
        (vec!["--authority", "/nowhere.crt"], "cannot be read"),
    ] {
        let ended = tokio::process::Command::new(env!("CARGO_BIN_EXE_holdfast"))
            .args(standby(&extra))
            .arg("--data")
            .arg(folder.path().join("refused"))
            .output()
            .await
            .unwrap();
        let words = String::from_utf8_lossy(&ended.stderr).into_owned();
        assert!(
            !ended.status.success() && words.contains(said),
            "{extra:?}: {words}"
        );
    }
    // An authority for an address in the clear would vouch for nothing.
    let ended = tokio::process::Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .args(standby_words(&board.origin, LEAD_WORDS))
        .args(["--authority", right, "--data"])
        .arg(folder.path().join("refused"))
        .output()
        .await
        .unwrap();
    assert!(!ended.status.success());
    assert!(String::from_utf8_lossy(&ended.stderr).contains("in the clear"));
    let words = standby(&["--authority", right]);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let follower = Program::run(&[], &words, &folder.path().join("copy")).await;
    let vic = follower.device(LEAD_WORDS, "Ina").await;
    assert!(vic.opens("/board").await.says("red coat"));
    let note = teo.notes(&who, "calm").await;
    let deadline = std::time::Instant::now() + std::time::Duration::from_secs(10);
    while !vic
        .reads_journal(0)
        .await
        .iter()
        .any(|line| line["entry"]["id"] == note["id"])
    {
        assert!(
            std::time::Instant::now() < deadline,
            "the standby never has it"
        );
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    // What the board asks of its lead is not taken over unasked, so it is said.
    assert!(
        follower.said.contains("--lead-only-secure"),
        "{}",
        follower.said
    );
    follower.kill_hard().await;
    let words = standby(&[
        "--authority",
        right,
        "--tls",
        "127.0.0.1:0",
        "--lead-only-secure",
    ]);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let follower = Program::run(&[], &words, &folder.path().join("copy")).await;
    assert!(!follower.said.contains("ATTENTION"), "{}", follower.said);
    assert!(
        folder.path().join("copy/authority.key").exists(),
        "an authority of its own"
    );
    follower.kill_hard().await;
}
