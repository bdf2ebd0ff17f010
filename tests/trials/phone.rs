//! A phone as bytes on a connection: joins, posts, keeps one live stream. Cheap enough that hundreds fit in one process.

use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::time::{Duration, Instant};

use holdfast::clock::{fresh_id, wall_now};
use serde_json::{Value, json};
use tokio::io::AsyncBufReadExt;
use tokio::io::{AsyncReadExt, AsyncWriteExt, BufReader, BufWriter};
use tokio::net::tcp::{OwnedReadHalf, OwnedWriteHalf};
use tokio::net::{TcpSocket, TcpStream};
use tokio::time::timeout;

/// How long one answer may take before it counts as none.
pub(crate) const PATIENCE: Duration = Duration::from_secs(30);

/// An address of this machine for the phone of this number: the limit by address is not what is tried here. Four phones
/// share one, so that each may open a connection anew before its last one is closed (16 an address).
pub(crate) fn own_address(number: usize) -> Ipv4Addr {
    let number = u32::try_from(number).unwrap_or(0) / 4;
    let [.., high, low] = number.to_be_bytes();
    Ipv4Addr::new(127, 1 + high, low, 9)
}

/// Connects from an address of this machine.
pub(crate) async fn connect(from: Ipv4Addr, to: SocketAddr) -> io::Result<TcpStream> {
    let socket = TcpSocket::new_v4()?;
    socket.set_reuseaddr(true)?;
    socket.bind((from, 0).into())?;
    let stream = socket.connect(to).await?;
    stream.set_nodelay(true)?;
    Ok(stream)
}

/// A joined device with a connection of its own for posts.
pub(crate) struct Phone {
    pub(crate) board: SocketAddr,
    pub(crate) from: Ipv4Addr,
    pub(crate) cookie: String,
    pub(crate) id: String,
    read: BufReader<OwnedReadHalf>,
    write: BufWriter<OwnedWriteHalf>,
    used: Instant,
    /// The board said that it closes the connection.
    is_over: bool,
}

/// The board closes a connection that was idle for five seconds: a phone opens another before that.
const IDLE: Duration = Duration::from_secs(3);

/// An answer read whole: status and body.
pub(crate) type Answer = (u16, Vec<u8>, String);

impl Phone {
    /// Joins with a code.
    pub(crate) async fn join(board: SocketAddr, number: usize, code: &str) -> io::Result<Self> {
        let from = own_address(number);
        let (read, write) = connect(from, board).await?.into_split();
        let mut phone = Self {
            board,
            from,
            cookie: String::new(),
            id: String::new(),
            read: BufReader::new(read),
            write: BufWriter::new(write),
            used: Instant::now(),
            is_over: false,
        };
        let body =
            json!({ "code": code, "name": format!("Phone {number}"), "skill": "first_aider" });
        let (status, body, head) = phone.post("/join", &body.to_string()).await?;
        if status != 200 {
            return Err(io::Error::other(format!(
                "joining: {status} {}",
                String::from_utf8_lossy(&body)
            )));
        }
        let cookie = head
            .lines()
            .find_map(|line| line.strip_prefix("set-cookie: "))
            .and_then(|cookie| cookie.split(';').next());
        cookie.unwrap_or_default().clone_into(&mut phone.cookie);
        let said: Value = serde_json::from_slice(&body)?;
        said["device"]
            .as_str()
            .unwrap_or_default()
            .clone_into(&mut phone.id);
        Ok(phone)
    }

    /// A remark about somebody, ready to send.
    pub(crate) fn note(casualty: &str) -> Value {
        json!({ "id": fresh_id(), "about": { "casualty": casualty }, "happened_at": wall_now(), "based_on": 0,
            "fact": { "kind": "note.added/1", "text": "under way" } })
    }

    /// Meets somebody; gives their id.
    pub(crate) async fn registers(&mut self) -> io::Result<String> {
        let casualty = fresh_id().to_string();
        let fact = json!({ "id": fresh_id(), "about": { "casualty": casualty }, "happened_at": wall_now(), "based_on": 0,
            "fact": { "kind": "casualty.registered/1", "age": "adult", "words": "somebody" } });
        self.reports(&[fact]).await?;
        Ok(casualty)
    }

    /// Reports facts; gives (id, position) of each that was acknowledged. Anything but a whole answer is an error.
    pub(crate) async fn reports(&mut self, facts: &[Value]) -> io::Result<Vec<(String, u64)>> {
        let body = json!({ "facts": facts }).to_string();
        let (status, body, _) = self.post("/journal", &body).await?;
        if status != 200 {
            return Err(io::Error::other(format!("{status}")));
        }
        let answer: Value = serde_json::from_slice(&body)?;
        let receipts = answer["receipts"].as_array().cloned().unwrap_or_default();
        receipts
            .iter()
            .map(|one| {
                let id = one["id"].as_str().map(str::to_owned);
                id.zip(one["seq"].as_u64())
                    .ok_or_else(|| io::Error::other(one.to_string()))
            })
            .collect()
    }

    /// A post as our pages send it.
    pub(crate) async fn post(&mut self, path: &str, body: &str) -> io::Result<Answer> {
        let request = format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nX-Holdfast: 1\r\nContent-Type: application/json\r\nCookie: {}\r\nContent-Length: {}\r\n\r\n{body}",
            self.cookie,
            body.len(),
            host = self.board,
        );
        self.exchange(request.as_bytes()).await
    }

    /// Asks for a page; with `packed`, compressed.
    pub(crate) async fn get(&mut self, path: &str, packed: bool) -> io::Result<Answer> {
        let packed = if packed {
            "Accept-Encoding: gzip\r\n"
        } else {
            ""
        };
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nAccept: text/html\r\n{packed}\r\n",
            self.board, self.cookie
        );
        self.exchange(request.as_bytes()).await
    }

    /// Loads the board's page as a browser does; gives the position from which its stream goes on.
    pub(crate) async fn loads_board(&mut self) -> io::Result<u64> {
        // Asked just before: the page itself comes compressed.
        let (status, body, _) = self.get("/changes?after=9999999999", false).await?;
        let news: Value = serde_json::from_slice(&body)?;
        let (page, ..) = self.get("/board", true).await?;
        match (status, page, news["head"].as_u64()) {
            (200, 200, Some(head)) => Ok(head),
            _ => Err(io::Error::other(format!("{status} {page}"))),
        }
    }

    /// Sends bytes as they are and reads one answer.
    pub(crate) async fn exchange(&mut self, bytes: &[u8]) -> io::Result<Answer> {
        if self.is_over || self.used.elapsed() > IDLE {
            self.reconnects().await?;
        }
        self.used = Instant::now();
        self.write.write_all(bytes).await?;
        self.write.flush().await?;
        let answer = timeout(PATIENCE, read_answer(&mut self.read))
            .await
            .map_err(|_| io::Error::from(io::ErrorKind::TimedOut))??;
        self.is_over = answer.2.contains("connection: close");
        Ok(answer)
    }

    /// Opens another connection; who it is stays.
    pub(crate) async fn reconnects(&mut self) -> io::Result<()> {
        let (read, write) = connect(self.from, self.board).await?.into_split();
        (self.read, self.write) = (BufReader::new(read), BufWriter::new(write));
        self.is_over = false;
        Ok(())
    }

    /// The request that opens a live stream of these views.
    pub(crate) fn stream_request(&self, views: &str, since: u64) -> String {
        format!(
            "GET /live/{views}?since={since} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nAccept: text/event-stream\r\n\r\n",
            self.board, self.cookie
        )
    }

    /// Opens a live stream from this phone's own address.
    pub(crate) async fn watches(&self, views: &str, since: u64) -> io::Result<Watching> {
        let mut stream = connect(self.from, self.board).await?;
        stream
            .write_all(self.stream_request(views, since).as_bytes())
            .await?;
        let mut read = BufReader::new(stream);
        let head = read_head(&mut read).await?;
        if !head.starts_with("HTTP/1.1 200") {
            return Err(io::Error::other(
                head.lines().next().unwrap_or_default().to_owned(),
            ));
        }
        Ok(Watching { read })
    }
}

/// An open live stream.
pub(crate) struct Watching {
    read: BufReader<TcpStream>,
}

impl Watching {
    /// The next event: its name and, where it has one, its position. None when the stream ends.
    pub(crate) async fn next(&mut self) -> Option<(String, Option<u64>)> {
        let (mut name, mut id) = (String::new(), None);
        let mut line = Vec::new();
        loop {
            line.clear();
            // Chunk sizes and blank lines between chunks are passed over: no event line looks like them.
            if self.read.read_until(b'\n', &mut line).await.ok()? == 0 {
                return None;
            }
            let text = line.strip_suffix(b"\n").unwrap_or(&line);
            if let Some(said) = text.strip_prefix(b"event: ") {
                name = String::from_utf8_lossy(said).trim().to_owned();
            } else if let Some(said) = text.strip_prefix(b"id: ") {
                id = String::from_utf8_lossy(said).trim().parse().ok();
            } else if text.is_empty() && !name.is_empty() {
                return Some((name, id));
            }
        }
    }

    /// Goes on until an event of this name.
    pub(crate) async fn until(&mut self, wanted: &str) -> Option<Instant> {
        loop {
            let (name, _) = self.next().await?;
            if name == wanted {
                return Some(Instant::now());
            }
        }
    }
}

async fn read_head<R: AsyncBufReadExt + Unpin>(read: &mut R) -> io::Result<String> {
    let mut head = String::new();
    loop {
        let before = head.len();
        if read.read_line(&mut head).await? == 0 {
            return Err(io::Error::from(io::ErrorKind::UnexpectedEof));
        }
        if head[before..].trim().is_empty() && before > 0 {
            return Ok(head);
        }
    }
}

async fn read_answer<R: AsyncBufReadExt + Unpin>(read: &mut R) -> io::Result<Answer> {
    let head = read_head(read).await?.to_ascii_lowercase();
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|status| status.parse().ok())
        .unwrap_or(0);
    let named = |name: &str| {
        head.lines()
            .find_map(|line| line.strip_prefix(name))
            .map(|value| value.trim().to_owned())
    };
    let mut body = Vec::new();
    if let Some(length) = named("content-length:").and_then(|length| length.parse().ok()) {
        body.resize(length, 0);
        read.read_exact(&mut body).await?;
    } else if named("transfer-encoding:").is_some() {
        loop {
            let mut size = String::new();
            read.read_line(&mut size).await?;
            let size = usize::from_str_radix(size.trim(), 16).map_err(io::Error::other)?;
            let from = body.len();
            body.resize(from + size, 0);
            read.read_exact(&mut body[from..]).await?;
            read.read_line(&mut String::new()).await?;
            if size == 0 {
                break;
            }
        }
    }
    Ok((status, body, head))
}
