//! Networks that fail: a board of its own process, reached over links that can be cut.
//!
//! As root on Linux each link is a pair of virtual interfaces into a namespace of the board's own, on a private address
//! (no browser treats it as it treats localhost); the far side is taken down, and a blackhole route for the range in the
//! root namespace keeps every packet on this machine meanwhile. Elsewhere each link is a small proxy on an address in
//! 127/8. Everything is taken away again on drop.

use std::fmt::Write as _;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, AtomicU32, Ordering};
use std::time::{Duration, Instant};

use tempfile::TempDir;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};

use crate::board::{CODE, WORDS};

const PORT: u16 = 8080;
/// What one link's proxy does.
const OPEN: u8 = 0;
const CUT: u8 = 1;

fn ip(words: &str) -> bool {
    let out = Command::new("ip").args(words.split(' ')).output();
    out.is_ok_and(|out| out.status.success())
}

/// The board as a process, and the ways to it.
pub(crate) struct Far {
    folder: TempDir,
    namespace: Option<String>,
    range: String,
    links: Vec<Link>,
    listen: SocketAddr,
    process: Option<Child>,
}

/// One way to the board.
pub(crate) struct Link {
    pub(crate) address: SocketAddr,
    /// The far side's interface, or what the proxy does.
    far: Result<String, Arc<AtomicU8>>,
    namespace: Option<String>,
}

impl Far {
    /// A new board with this many links to it.
    pub(crate) async fn start(links: usize) -> Self {
        // Two of one process must not have what the other still takes down.
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let id = (std::process::id() * 16 + NEXT.fetch_add(1, Ordering::Relaxed)) % 250;
        let namespace = format!("holdfast-{id}");
        let range = format!("10.231.{id}.0/24");
        let mut far = Self {
            folder: tempfile::tempdir().unwrap(),
            namespace: None,
            range,
            links: Vec::new(),
            listen: SocketAddr::from((Ipv4Addr::UNSPECIFIED, PORT)),
            process: None,
        };
        if ip(&format!("netns add {namespace}")) {
            far.namespace = Some(namespace);
            far.lay(id, links);
            println!("links: virtual interfaces into a namespace, {}", far.range);
        } else {
            far.build(links).await;
            println!("links: proxies on 127/8 (no namespaces on this machine)");
        }
        far.open().await;
        far
    }

    fn lay(&mut self, id: u32, links: usize) {
        let ns = self.namespace.clone().unwrap();
        assert!(
            ip(&format!("route add blackhole {}", self.range)),
            "no blackhole route"
        );
        assert!(ip(&format!("-n {ns} link set lo up")));
        for at in 0..links {
            let (near, far) = (format!("hf{id}n{at}"), format!("hf{id}f{at}"));
            let (us, them) = (4 * at + 1, 4 * at + 2);
            for words in [
                format!("link add {near} type veth peer name {far} netns {ns}"),
                format!("addr add 10.231.{id}.{us}/30 dev {near}"),
                format!("link set {near} up"),
                format!("-n {ns} addr add 10.231.{id}.{them}/30 dev {far}"),
                format!("-n {ns} link set {far} up"),
            ] {
                assert!(ip(&words), "ip {words}");
            }
            let host: Ipv4Addr = format!("10.231.{id}.{them}").parse().unwrap();
            self.links.push(Link {
                address: SocketAddr::from((host, PORT)),
                far: Ok(far),
                namespace: Some(ns.clone()),
            });
        }
    }

    async fn build(&mut self, links: usize) {
        let listener = TcpListener::bind("127.77.0.1:0").await.unwrap();
        self.listen = listener.local_addr().unwrap();
        drop(listener);
        for at in 0..links {
            let link = Link::proxy(
                Ipv4Addr::new(127, 77, 1, u8::try_from(at + 1).unwrap()),
                self.listen,
            )
            .await;
            self.links.push(link);
        }
    }

    pub(crate) fn link(&self, at: usize) -> &Link {
        &self.links[at]
    }

    /// Starts the board, or starts it again, and waits until it answers.
    pub(crate) async fn open(&mut self) {
        let program = env!("CARGO_BIN_EXE_holdfast");
        let listen = self.listen.to_string();
        let words = [
            "--listen",
            &listen,
            "--join-code",
            CODE,
            "--lead-words",
            WORDS,
            "--incident",
            "Larch Pass bus",
        ];
        let mut command = match &self.namespace {
            Some(ns) => {
                let mut command = Command::new("ip");
                command.args(["netns", "exec", ns, program]);
                command
            }
            None => Command::new(program),
        };
        command.arg("--data").arg(self.folder.path()).args(words);
        let child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn();
        self.process = Some(child.unwrap());
        let deadline = Instant::now() + Duration::from_secs(20);
        while !self.answers() {
            assert!(Instant::now() < deadline, "the board does not start");
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    fn answers(&self) -> bool {
        let Some(ns) = &self.namespace else {
            return std::net::TcpStream::connect(self.listen).is_ok();
        };
        // Asked from inside, for every link may be cut just now.
        let out = Command::new("ip")
            .args(["netns", "exec", ns, "cat", "/proc/net/tcp"])
            .output()
            .unwrap();
        String::from_utf8_lossy(&out.stdout).contains(&format!(":{PORT:04X} 00000000:0000 0A"))
    }

    /// Ends the board as a power cut would.
    pub(crate) fn kill(&mut self) {
        if let Some(mut process) = self.process.take() {
            process.kill().ok();
            process.wait().ok();
        }
    }

    /// Lets packets be lost at random, this many of a hundred, each way; 0 ends it. False where this machine cannot.
    pub(crate) fn lose(&self, percent: u8) -> bool {
        self.rules(&match percent {
            0 => vec![],
            _ => vec![
                format!("input tcp dport {PORT} numgen random mod 100 < {percent} drop"),
                format!("output tcp sport {PORT} numgen random mod 100 < {percent} drop"),
            ],
        })
    }

    /// Lets questions through and no answer back; false where this machine cannot.
    pub(crate) fn mute(&self, muted: bool) -> bool {
        let rule = || {
            format!("output tcp sport {PORT} tcp flags & (syn|fin|rst) == 0 meta length > 100 drop")
        };
        self.rules(&muted.then(rule).into_iter().collect::<Vec<_>>())
    }

    /// Sets the namespace's packet filter to these rules ("input …", "output …") and no others.
    fn rules(&self, rules: &[String]) -> bool {
        let Some(ns) = &self.namespace else {
            return false;
        };
        let mut script = String::from(
            "table inet rough {}\ndelete table inet rough\ntable inet rough {\n\
            chain input { type filter hook input priority 0; }\n\
            chain output { type filter hook output priority 0; }\n}\n",
        );
        for rule in rules {
            let (chain, what) = rule.split_once(' ').unwrap();
            writeln!(script, "add rule inet rough {chain} {what}").unwrap();
        }
        let file = self.folder.path().join("rules.nft");
        std::fs::write(&file, script).unwrap();
        let out = Command::new("ip")
            .args(["netns", "exec", ns, "nft", "-f"])
            .arg(&file)
            .output();
        out.is_ok_and(|out| out.status.success())
    }

    /// The incident's file.
    pub(crate) fn file(&self) -> PathBuf {
        let files = std::fs::read_dir(self.folder.path()).unwrap();
        let of = |path: &Path| path.to_string_lossy().ends_with(".holdfast.db");
        let mut found = files.map(|one| one.unwrap().path()).filter(|path| of(path));
        found.next().expect("the board has a file")
    }
}

impl Drop for Far {
    fn drop(&mut self) {
        self.kill();
        if let Some(ns) = &self.namespace {
            ip(&format!("netns del {ns}"));
            ip(&format!("route del blackhole {}", self.range));
        }
    }
}

impl Link {
    pub(crate) fn url(&self, path: &str) -> String {
        format!("http://{}{path}", self.address)
    }

    /// Out of range: nothing comes through and nobody is told.
    pub(crate) fn cut(&self) {
        self.set("down", CUT);
    }

    /// Back in range.
    pub(crate) fn mend(&self) {
        self.set("up", OPEN);
    }

    fn set(&self, word: &str, mode: u8) {
        match &self.far {
            Ok(far) => assert!(ip(&format!(
                "-n {} link set {far} {word}",
                self.namespace.as_ref().unwrap()
            ))),
            Err(proxy) => proxy.store(mode, Ordering::Relaxed),
        }
    }

    /// A proxy of its own on a loopback address, at the board's port.
    pub(crate) async fn proxy(host: Ipv4Addr, board: SocketAddr) -> Self {
        let address = SocketAddr::from((host, board.port()));
        let listener = TcpListener::bind(address).await.unwrap();
        let mode = Arc::new(AtomicU8::new(OPEN));
        let told = Arc::clone(&mode);
        tokio::spawn(async move {
            while let Ok((client, _)) = listener.accept().await {
                tokio::spawn(carry(client, board, Arc::clone(&told)));
            }
        });
        Self {
            address,
            far: Err(mode),
            namespace: None,
        }
    }
}

/// Carries one connection, piece by piece, so that what the proxy does may change under way.
async fn carry(mut client: TcpStream, board: SocketAddr, mode: Arc<AtomicU8>) {
    while mode.load(Ordering::Relaxed) == CUT {
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    let Ok(mut server) = TcpStream::connect(board).await else {
        return;
    };
    let (mut up, mut down) = ([0; 16_384], [0; 16_384]);
    loop {
        tokio::select! {
            read = client.read(&mut up) => {
                let Ok(length @ 1..) = read else { return };
                while mode.load(Ordering::Relaxed) == CUT {
                    tokio::time::sleep(Duration::from_millis(50)).await;
                }
                if server.write_all(&up[..length]).await.is_err() { return }
            }
            read = server.read(&mut down) => {
                let Ok(length @ 1..) = read else { return };
                while mode.load(Ordering::Relaxed) == CUT {
                    tokio::time::sleep(Duration::from_millis(50)).await;
                }
                if client.write_all(&down[..length]).await.is_err() { return }
            }
        }
    }
}
