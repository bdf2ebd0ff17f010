//! What is chosen of TLS, by a board and by its standby alike.

use std::net::SocketAddr;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct TlsArgs {
    /// Serve TLS too, with this folder's own authority: for tablets the organisation owns, that trust its
    /// `/authority.crt`. Nobody should install it on a private phone.
    #[arg(long, num_args = 0..=1, default_missing_value = "0.0.0.0:8443")]
    pub(crate) tls: Option<SocketAddr>,
    /// Take the lead and deputies only over TLS or on this machine itself.
    #[arg(long, requires = "tls")]
    pub(crate) lead_only_secure: bool,
}
