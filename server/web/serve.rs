//! The accept loop.
//!
//! Our own, because `axum::serve` gives no access to the connection builder: without a timer hyper's header
//! time-out is silently off, and open event streams would block a graceful stop.

use std::future::Future;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::ConnectInfo;
use hyper::body::Incoming;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use socket2::{Domain, Protocol, Socket, Type};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinSet;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::server::TlsStream;
use tower::ServiceExt;

use super::connections::Connections;
use super::limits::Limits;
use super::secure::OverTls;

/// How long a client may take over its request's head.
const HEADER_TIMEOUT: Duration = Duration::from_secs(5);
/// How long open requests may go on once the program stops.
const GRACE: Duration = Duration::from_millis(1500);
/// Kernel buffer per connection. Phones that stop reading would otherwise hold megabytes each (measured).
const SEND_BUFFER: usize = 64 * 1024;
/// How many ports after the wanted one are tried.
const PORTS: u16 = 20;

/// Binds the address, or the next free port after it.
///
/// # Errors
/// When none of the ports is free or the address is not this machine's.
pub fn bind(wanted: SocketAddr) -> io::Result<TcpListener> {
    let mut last = None;
    let tries = if wanted.port() == 0 { 1 } else { PORTS };
    for offset in 0..tries {
        let Some(port) = wanted.port().checked_add(offset) else {
            break;
        };
        match listen(SocketAddr::new(wanted.ip(), port)) {
            Ok(listener) => return Ok(listener),
            Err(error) if error.kind() == io::ErrorKind::AddrInUse => last = Some(error),
            Err(error) => return Err(error),
        }
    }
    Err(last.unwrap_or_else(|| io::Error::from(io::ErrorKind::AddrInUse)))
}

fn listen(address: SocketAddr) -> io::Result<TcpListener> {
    let domain = if address.is_ipv4() {
        Domain::IPV4
    } else {
        Domain::IPV6
    };
    let socket = Socket::new(domain, Type::STREAM, Some(Protocol::TCP))?;
    // A restart must not wait for old connections to be forgotten. Not on Windows, where it means something else.
    #[cfg(unix)]
    socket.set_reuse_address(true)?;
    if matches!(address.ip(), IpAddr::V6(v6) if v6.is_unspecified()) {
        socket.set_only_v6(false)?;
    }
    socket.set_send_buffer_size(SEND_BUFFER)?;
    socket.bind(&address.into())?;
    socket.listen(1024)?;
    socket.set_nonblocking(true)?;
    TcpListener::from_std(socket.into())
}

/// Makes what a connection that came in by an address is served with over TLS; nothing where it cannot be.
pub type Tls = Arc<dyn Fn(IpAddr) -> Option<TlsAcceptor> + Send + Sync>;

/// Where connections come in.
pub struct Doors {
    /// In the clear.
    pub plain: TcpListener,
    /// Over TLS, where that was chosen.
    pub tls: Option<(TcpListener, Tls)>,
}

impl Doors {
    /// The next connection, and what makes that which it is served with over TLS.
    async fn next(&self) -> io::Result<(TcpStream, SocketAddr, Option<Tls>)> {
        let Some((listener, tls)) = &self.tls else {
            let (stream, peer) = self.plain.accept().await?;
            return Ok((stream, peer, None));
        };
        tokio::select! {
            accepted = self.plain.accept() => accepted.map(|(stream, peer)| (stream, peer, None)),
            accepted = listener.accept() => accepted.map(|(stream, peer)| (stream, peer, Some(Arc::clone(tls)))),
        }
    }
}

/// Serves until `stop` resolves, then lets open requests end.
///
/// # Errors
/// Never in ordinary use: a failed accept is waited out.
pub async fn serve(
    doors: Doors,
    app: Router,
    limits: Limits,
    stop: impl Future<Output = ()>,
) -> io::Result<()> {
    let graceful = GracefulShutdown::new();
    let connections = Connections::new(limits);
    let builder = patient();
    let mut stop = std::pin::pin!(stop);
    let mut serving = JoinSet::new();
    loop {
        let (stream, peer, tls) = tokio::select! {
            () = &mut stop => break,
            accepted = doors.next() => match accepted {
                Ok(accepted) => accepted,
                Err(error) => {
                    // Out of file handles, most likely: others will be given back.
                    tracing::warn!(error = %error, "a connection could not be accepted");
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
        };
        let Some(held) = connections.take(peer.ip()) else {
            tracing::info!("a connection over the limit was turned away");
            connections.turn_away(stream);
            continue;
        };
        if let Err(error) = set_up(&stream) {
            tracing::debug!(error = %error, "a connection could not be set up in full");
        }
        let secure = tls.is_some();
        let app = app.clone();
        let service = hyper::service::service_fn(move |mut request: hyper::Request<Incoming>| {
            mark(&mut request, peer, secure);
            app.clone().oneshot(request)
        });
        let (watcher, builder) = (graceful.watcher(), builder.clone());
        // Those that are over are let go of.
        while serving.try_join_next().is_some() {}
        serving.spawn(async move {
            let done = match tls {
                None => {
                    let connection = builder.serve_connection(TokioIo::new(stream), service);
                    watcher.watch(connection).await
                }
                Some(tls) => {
                    let Some(stream) = shake_hands(&tls, stream).await else {
                        return;
                    };
                    let connection = builder.serve_connection(TokioIo::new(stream), service);
                    watcher.watch(connection).await
                }
            };
            if let Err(error) = done {
                tracing::debug!(error = %error, "a connection broke");
            }
            drop(held);
        });
    }
    drop(doors);
    end(graceful, serving).await;
    Ok(())
}

/// Lets open requests end, and cuts off what takes too long: nothing may be answered in the name of a board that is over.
async fn end(graceful: GracefulShutdown, mut serving: JoinSet<()>) {
    tokio::select! {
        () = graceful.shutdown() => {}
        () = tokio::time::sleep(GRACE) => {
            tracing::debug!("some connections are cut off");
            serving.shutdown().await;
        }
    }
}

/// What a handler may ask of the connection a request came by.
fn mark(request: &mut hyper::Request<Incoming>, peer: SocketAddr, secure: bool) {
    request.extensions_mut().insert(ConnectInfo(peer));
    if secure {
        request.extensions_mut().insert(OverTls);
    }
}

/// With a timer: without one hyper's header time-out is silently off.
fn patient() -> hyper::server::conn::http1::Builder {
    let mut builder = hyper::server::conn::http1::Builder::new();
    builder
        .timer(TokioTimer::new())
        .header_read_timeout(HEADER_TIMEOUT);
    builder
}

/// Agrees on TLS, in as long as a request's head may take. Nothing where there is no certificate for the address it came
/// in by: that is this connection's own trouble, and the door stays open.
async fn shake_hands(tls: &Tls, stream: TcpStream) -> Option<TlsStream<TcpStream>> {
    let acceptor = tls(stream.local_addr().ok()?.ip())?;
    let shaken = tokio::time::timeout(HEADER_TIMEOUT, acceptor.accept(stream)).await;
    if let Ok(Ok(stream)) = shaken {
        return Some(stream);
    }
    tracing::debug!("a TLS connection was not agreed on");
    None
}

/// No waiting for more to send, and a phone that went away without a word is noticed.
fn set_up(stream: &TcpStream) -> io::Result<()> {
    stream.set_nodelay(true)?;
    let socket = socket2::SockRef::from(stream);
    let alive = socket2::TcpKeepalive::new().with_time(Duration::from_secs(20));
    socket.set_tcp_keepalive(&alive)?;
    #[cfg(target_os = "linux")]
    socket.set_tcp_user_timeout(Some(Duration::from_secs(20)))?;
    Ok(())
}
