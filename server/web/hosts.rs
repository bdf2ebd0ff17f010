//! Which names and addresses this server answers to.
//!
//! A page on the internet can point its own name at a private address and so reach into a local network (DNS
//! rebinding). A request is therefore answered only when its `Host` is one of this machine's addresses, a
//! loopback address, or a name the operator gave. Recommended by NCC Group ("Preventing DNS rebinding
//! attacks"). The machine's addresses are read again when an unknown one asks: a hotspot may come up later.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::RwLock;
use std::time::{Duration, Instant};

/// How long the list of addresses is believed.
const FRESH: Duration = Duration::from_secs(2);

/// The names and addresses.
#[derive(Debug)]
pub struct Hosts {
    names: Vec<String>,
    bound: SocketAddr,
    /// The port of the TLS door, where there is one.
    tls_port: Option<u16>,
    addresses: RwLock<(Instant, Vec<IpAddr>)>,
}

impl Hosts {
    /// For a server bound to this address, answering to these names besides its addresses.
    pub fn new(bound: SocketAddr, names: Vec<String>) -> Self {
        let names = names
            .into_iter()
            .map(|name| name.to_ascii_lowercase())
            .collect();
        Self {
            names,
            bound,
            tls_port: None,
            addresses: RwLock::new((Instant::now(), own_addresses())),
        }
    }

    /// The same, answering on the port of a TLS door too.
    #[must_use]
    pub fn and_tls(self, tls_port: Option<u16>) -> Self {
        Self { tls_port, ..self }
    }

    /// The port of the TLS door.
    pub const fn tls_port(&self) -> Option<u16> {
        self.tls_port
    }

    /// Where the server is bound.
    pub const fn bound(&self) -> SocketAddr {
        self.bound
    }

    /// Addresses that phones can use, most likely first.
    pub fn reachable(&self) -> Vec<IpAddr> {
        if !self.bound.ip().is_unspecified() {
            return vec![self.bound.ip()];
        }
        let mut addresses: Vec<IpAddr> = own_addresses()
            .into_iter()
            .filter(|address| address.is_ipv4() && !address.is_loopback())
            .collect();
        addresses.sort_by_key(|address| (!is_private(*address), *address));
        addresses
    }

    /// Whether a `Host` header names this server.
    pub fn allows(&self, host: &str) -> bool {
        let Some((name, port)) = split(host) else {
            return false;
        };
        if port.is_some_and(|port| port != self.bound.port() && Some(port) != self.tls_port) {
            return false;
        }
        match name.parse::<IpAddr>() {
            Ok(address) => {
                address.is_loopback() || address == self.bound.ip() || self.is_mine(address)
            }
            Err(_) => {
                name.eq_ignore_ascii_case("localhost")
                    || self.names.contains(&name.to_ascii_lowercase())
            }
        }
    }

    fn is_mine(&self, address: IpAddr) -> bool {
        {
            let known = self
                .addresses
                .read()
                .expect("OK because nothing panics while holding it");
            if known.1.contains(&address) {
                return true;
            }
            if known.0.elapsed() < FRESH {
                return false;
            }
        }
        let fresh = own_addresses();
        let mine = fresh.contains(&address);
        *self
            .addresses
            .write()
            .expect("OK because nothing panics while holding it") = (Instant::now(), fresh);
        mine
    }
}

fn own_addresses() -> Vec<IpAddr> {
    if_addrs::get_if_addrs()
        .map(|list| list.into_iter().map(|one| one.ip()).collect())
        .unwrap_or_default()
}

fn is_private(address: IpAddr) -> bool {
    matches!(address, IpAddr::V4(v4) if v4.is_private() && v4 != Ipv4Addr::UNSPECIFIED)
}

/// Splits `name:port`, `name`, `[v6]:port`.
fn split(host: &str) -> Option<(&str, Option<u16>)> {
    if let Some(rest) = host.strip_prefix('[') {
        let (name, after) = rest.split_once(']')?;
        return match after.strip_prefix(':') {
            Some(port) => Some((name, Some(port.parse().ok()?))),
            None => after.is_empty().then_some((name, None)),
        };
    }
    match host.split_once(':') {
        Some((name, port)) => Some((name, Some(port.parse().ok()?))),
        None => Some((host, None)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_own_names_and_addresses_are_answered() {
        let hosts = Hosts::new("0.0.0.0:8080".parse().unwrap(), vec!["Field".to_owned()]);
        for good in [
            "localhost:8080",
            "127.0.0.1:8080",
            "127.9.9.9:8080",
            "[::1]:8080",
            "field:8080",
            "FIELD:8080",
        ] {
            assert!(hosts.allows(good), "{good}");
        }
        for bad in [
            "evil.example:8080",
            "localhost:81",
            "203.0.113.7:8080",
            "",
            "localhost:x",
            "[::1",
            "a:b:c",
        ] {
            assert!(!hosts.allows(bad), "{bad}");
        }
    }
}
