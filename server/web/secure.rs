//! Whether a request came by a way that nobody on the Wi-Fi can read.

use std::convert::Infallible;
use std::net::SocketAddr;

use axum::extract::{ConnectInfo, FromRequestParts, State};
use axum::http::{StatusCode, header, request};
use axum::response::{IntoResponse, Response};

use super::app::App;
use super::problem::Problem;
use crate::incident::{Deed, Role};

/// Put on every request that came over TLS.
#[derive(Clone, Copy, Debug)]
pub(super) struct OverTls;

/// How a request came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// Over TLS.
    Tls,
    /// From this machine itself.
    Own,
    /// In the clear.
    Clear,
}

impl Way {
    /// The way of a request.
    pub(super) fn of(parts: &request::Parts) -> Self {
        let own = parts
            .extensions
            .get::<ConnectInfo<SocketAddr>>()
            .is_some_and(|info| info.0.ip().to_canonical().is_loopback());
        match parts.extensions.get::<OverTls>() {
            Some(_) => Self::Tls,
            None if own => Self::Own,
            None => Self::Clear,
        }
    }

    fn is_refused(self, only_secure: bool, role: Role) -> bool {
        only_secure && self == Self::Clear && role.may(Deed::ManageDevices)
    }

    /// Goes on only where a session in this role may be used this way.
    ///
    /// # Errors
    /// When it is the lead's or a deputy's, came in the clear, and the board was told to refuse that.
    pub(super) fn permit(self, app: &App, role: Role) -> Result<(), Problem> {
        if !self.is_refused(app.lead_only_secure, role) {
            return Ok(());
        }
        Err(Problem::new(
            StatusCode::FORBIDDEN,
            "lead-needs-tls",
            "The lead works over TLS here",
            "This board takes the lead and deputies only over TLS or on its own machine. Open its https address on a device that trusts the board's authority.",
        ))
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Way {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut request::Parts, _: &S) -> Result<Self, Infallible> {
        Ok(Self::of(parts))
    }
}

/// `GET /authority.crt`: what a device is to trust. It opens nothing by itself.
pub(super) async fn authority(State(app): State<App>) -> Result<Response, Problem> {
    let certificate = app.authority.clone().ok_or_else(Problem::no_such_page)?;
    let kind = (header::CONTENT_TYPE, "application/x-x509-ca-cert");
    Ok(([kind], certificate).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::Request;

    fn parts(peer: &str, tls: bool) -> request::Parts {
        let mut request = Request::new(());
        let peer: SocketAddr = peer.parse().unwrap();
        request.extensions_mut().insert(ConnectInfo(peer));
        if tls {
            request.extensions_mut().insert(OverTls);
        }
        request.into_parts().0
    }

    #[test]
    fn the_way_of_a_request_is_told_by_its_connection_alone() {
        assert_eq!(Way::of(&parts("10.42.0.7:50000", false)), Way::Clear);
        assert_eq!(Way::of(&parts("10.42.0.7:50000", true)), Way::Tls);
        assert_eq!(Way::of(&parts("127.0.0.1:50000", false)), Way::Own);
        assert_eq!(Way::of(&parts("[::1]:50000", false)), Way::Own);
        assert_eq!(Way::of(&parts("[::ffff:127.0.0.1]:50000", false)), Way::Own);
        // What nobody vouches for came in the clear.
        assert_eq!(Way::of(&Request::new(()).into_parts().0), Way::Clear);
    }

    #[test]
    fn only_the_lead_and_deputies_only_in_the_clear_and_only_where_chosen() {
        for role in Role::ALL {
            let leads = matches!(role, Role::Lead | Role::Deputy);
            for way in [Way::Tls, Way::Own, Way::Clear] {
                assert!(!way.is_refused(false, role), "{role:?} {way:?}");
                assert_eq!(
                    way.is_refused(true, role),
                    leads && way == Way::Clear,
                    "{role:?} {way:?}"
                );
            }
        }
    }
}
