//! Who holds how many connections open.
//!
//! Owns the count by address and in all. Promises: one address cannot use the server up for the others; whoever is
//! turned away is told so in a whole HTTP answer.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex};
use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

use super::limits::Limits;
use super::problem::Problem;

/// How many are told at once; beyond that a connection is only closed.
const TOLD: usize = 64;
/// How long a refused client may take to hear it.
const HEARING: Duration = Duration::from_secs(1);

/// The connections open now.
#[derive(Clone, Debug)]
pub(super) struct Connections {
    limits: Limits,
    open: Arc<Mutex<Count>>,
    telling: Arc<tokio::sync::Semaphore>,
}

#[derive(Debug, Default)]
struct Count {
    all: usize,
    by_address: HashMap<IpAddr, usize>,
}

/// One open connection; given back on drop.
#[derive(Debug)]
pub(super) struct Held {
    connections: Connections,
    address: IpAddr,
}

impl Connections {
    /// None open.
    pub(super) fn new(limits: Limits) -> Self {
        Self {
            limits,
            open: Arc::default(),
            telling: Arc::new(tokio::sync::Semaphore::new(TOLD)),
        }
    }

    /// Counts one in, if it may come in.
    pub(super) fn take(&self, address: IpAddr) -> Option<Held> {
        let address = address.to_canonical();
        let own = [
            IpAddr::from([127, 0, 0, 1]),
            IpAddr::V6(std::net::Ipv6Addr::LOCALHOST),
        ];
        let mut open = self
            .open
            .lock()
            .expect("OK because nothing panics while holding it");
        let from_here = open.by_address.get(&address).copied().unwrap_or(0);
        // Whoever fills the door from outside must not lock out the machine's own screen.
        let is_over =
            from_here >= self.limits.connections_per_address || open.all >= self.limits.connections;
        if is_over && !own.contains(&address) {
            return None;
        }
        open.all += 1;
        open.by_address.insert(address, from_here + 1);
        Some(Held {
            connections: self.clone(),
            address,
        })
    }

    /// Tells a client that it was turned away, without reading what it wants.
    pub(super) fn turn_away(&self, mut stream: TcpStream) {
        let Ok(permit) = Arc::clone(&self.telling).try_acquire_owned() else {
            return;
        };
        tokio::spawn(async move {
            let telling = async {
                stream.write_all(refusal().as_bytes()).await?;
                stream.shutdown().await?;
                // Closing on unread bytes would take the answer back.
                let mut rest = [0; 4096];
                while stream.read(&mut rest).await? > 0 {}
                std::io::Result::Ok(())
            };
            if tokio::time::timeout(HEARING, telling).await.is_err() {
                tracing::debug!("a refused client did not listen");
            }
            drop(permit);
        });
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        let mut open = self
            .connections
            .open
            .lock()
            .expect("OK because nothing panics while holding it");
        open.all -= 1;
        if let Some(count) = open.by_address.get_mut(&self.address) {
            *count -= 1;
            if *count == 0 {
                open.by_address.remove(&self.address);
            }
        }
    }
}

fn refusal() -> String {
    let problem = Problem::slow_down(
        "too-many-connections",
        "Too many connections from here. Close other tabs; this one tries again by itself.",
        5,
    );
    let body = serde_json::to_string(&problem).unwrap_or_default();
    format!(
        "HTTP/1.1 429 Too Many Requests\r\nContent-Type: application/problem+json\r\nContent-Length: {}\r\nRetry-After: 5\r\nCache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n{body}",
        body.len()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_address_is_capped_and_others_and_this_machine_are_not() {
        let connections = Connections::new(Limits {
            connections_per_address: 2,
            connections: 5,
            ..Limits::default()
        });
        let (here, there) = (IpAddr::from([10, 0, 0, 1]), IpAddr::from([10, 0, 0, 2]));
        let first = connections.take(here).unwrap();
        let _second = connections.take(here).unwrap();
        assert!(connections.take(here).is_none());
        let _other = connections.take(there).unwrap();
        drop(first);
        let _again = connections.take(here).unwrap();
        let own = IpAddr::from([127, 0, 0, 1]);
        let _one = connections.take(own).unwrap();
        let _two = connections.take(own).unwrap();
        let elsewhere = IpAddr::from([10, 0, 0, 3]);
        assert!(connections.take(elsewhere).is_none(), "five in all");
        let _three = connections.take(own).unwrap();
    }
}
