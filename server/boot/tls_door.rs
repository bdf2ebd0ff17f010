//! The TLS door: a port and the data folder's authority behind it.

use std::net::SocketAddr;
use std::sync::Arc;

use tokio::net::TcpListener;
use tokio_rustls::TlsAcceptor;

use super::{BootError, Config};
use crate::clock::Clock;
use crate::journal::DataFolder;
use crate::tls::{Authority, Warning};
use crate::web::{self, Tls};

/// A port for TLS, bound.
#[derive(Debug)]
pub struct TlsDoor {
    /// Where it listens.
    pub address: SocketAddr,
    /// The authority that devices trust.
    pub authority: Arc<Authority>,
    listener: TcpListener,
    clock: Clock,
}

impl TlsDoor {
    /// Opens it where that was chosen.
    pub(super) fn open(folder: &DataFolder, config: &Config) -> Result<Option<Self>, BootError> {
        let Some(wanted) = config.tls else {
            return Ok(None);
        };
        let authority = Authority::of(folder.path(), &config.names, config.clock.now())?;
        let cannot = |error| BootError::Listen(wanted, error);
        let listener = web::bind(wanted).map_err(cannot)?;
        Ok(Some(Self {
            address: listener.local_addr().map_err(cannot)?,
            authority: Arc::new(authority),
            listener,
            clock: config.clock.clone(),
        }))
    }

    /// What a person at this machine should know of the authority.
    pub fn warnings(&self) -> Vec<Warning> {
        self.authority.warnings(self.clock.now())
    }

    /// Its port.
    pub(super) fn port(&self) -> u16 {
        self.address.port()
    }

    /// What devices are to trust (DER).
    pub(super) fn certificate(&self) -> Vec<u8> {
        self.authority.certificate().to_vec()
    }

    /// The listener, and what its connections are served with.
    pub(super) fn into_parts(self) -> (TcpListener, Tls) {
        let Self {
            authority,
            listener,
            clock,
            ..
        } = self;
        let tls: Tls = Arc::new(
            move |address| match authority.serves(address, clock.now()) {
                Ok(config) => Some(TlsAcceptor::from(config)),
                Err(error) => {
                    tracing::warn!(error = %error, "a TLS connection was turned away");
                    None
                }
            },
        );
        (listener, tls)
    }
}
