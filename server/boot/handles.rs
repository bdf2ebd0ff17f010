//! How many connections the system lets this program hold.
//!
//! Each is a file handle, and the usual limit for a program is 1,024 of them. Promises: as many as the system gives on
//! asking; connections stop before it does, so that files, copies and the machine's own screen always find a handle.

use crate::web::Limits;

/// Handles kept back for files, copies and the machine's own screen. Our choice.
const KEPT_BACK: u64 = 128;

/// The limits, within what the system gives.
pub(super) fn within(limits: Limits) -> Limits {
    fit(limits, handles(limits.connections))
}

fn fit(limits: Limits, handles: Option<u64>) -> Limits {
    let Some(handles) = handles else {
        return limits;
    };
    let room = usize::try_from(handles.saturating_sub(KEPT_BACK)).unwrap_or(usize::MAX);
    if room >= limits.connections {
        return limits;
    }
    tracing::warn!(
        room,
        "the system gives this program few file handles; fewer phones fit"
    );
    Limits {
        connections: room,
        // A phone with a stream must still be able to report.
        streams: limits.streams.min(room / 2),
        ..limits
    }
}

/// Asks for as many as these connections need, so far as there may be; none where there is no limit, or where it cannot be
/// told. Not for all there may be: some systems refuse "no limit".
#[cfg(unix)]
fn handles(connections: usize) -> Option<u64> {
    use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};
    let now = getrlimit(Resource::Nofile);
    let needed = u64::try_from(connections).map_or(u64::MAX, |all| all.saturating_add(KEPT_BACK));
    if now.current.is_none_or(|current| current >= needed) {
        return now.current;
    }
    let most = Rlimit {
        current: Some(now.maximum.map_or(needed, |maximum| maximum.min(needed))),
        ..now
    };
    let given = setrlimit(Resource::Nofile, most).map(|()| most.current);
    given.unwrap_or(now.current)
}

#[cfg(not(unix))]
const fn handles(_: usize) -> Option<u64> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn connections_end_before_the_handles_do_and_streams_leave_room_to_report() {
        let usual = Limits::default();
        assert_eq!(fit(usual, None), usual);
        assert_eq!(fit(usual, Some(20_000)), usual);
        let few = fit(usual, Some(1_024));
        assert_eq!((few.connections, few.streams), (896, 448));
        assert_eq!(few.connections_per_address, usual.connections_per_address);
    }
}
