//! Requests written by hand, for what a polite client cannot send.

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio::time::timeout;

use super::DEADLINE;

/// Sends bytes and reads until the server closes; ask for `Connection: close`.
pub(crate) async fn exchange(host: &str, request: &str) -> String {
    let mut stream = TcpStream::connect(host).await.unwrap();
    stream.write_all(request.as_bytes()).await.unwrap();
    let mut answer = Vec::new();
    timeout(DEADLINE, stream.read_to_end(&mut answer))
        .await
        .expect("answered in time")
        .unwrap();
    String::from_utf8_lossy(&answer).into_owned()
}

/// Sends bytes and reads the first that come back; nothing when the server only closes.
pub(crate) async fn first_bytes(host: &str, request: &[u8]) -> String {
    let mut stream = TcpStream::connect(host).await.unwrap();
    stream.write_all(request).await.unwrap();
    let mut answer = vec![0; 1024];
    let count = timeout(DEADLINE, stream.read(&mut answer))
        .await
        .expect("answered in time")
        .unwrap_or(0);
    String::from_utf8_lossy(&answer[..count]).into_owned()
}
