//! Sessions: who is asking, as a type in a handler's signature.
//!
//! A session is a 256-bit random token in a cookie, kept as its hash, tied to one device, revocable at once
//! (its streams end too), and taken up again after a restart.

use std::collections::{HashMap, VecDeque};
use std::sync::{Arc, Mutex};
use std::time::Instant;

use axum::http::HeaderMap;
use jiff::Timestamp;
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;

use super::limits::{Limits, Meter};
use super::presence::Presence;
use super::problem::Problem;
use super::token::{Token, Tokens};
use crate::clock::random_bytes;
use crate::incident::fact::Skill;
use crate::incident::{Author, BoardId, Deed, DeviceId, Role, Words};
use crate::journal::StoredSession;

/// One device's session.
#[derive(Clone, Debug)]
pub struct Session {
    /// The device.
    pub device: DeviceId,
    /// What the person calls themselves.
    pub name: Words,
    /// What they have learnt.
    pub skill: Skill,
    /// What they may do.
    pub role: Role,
    /// Cancelled when the session is revoked: its streams end.
    pub ended: CancellationToken,
    /// Cancelled when it goes on in another role: its streams end, and its pages are loaded again.
    pub changed: CancellationToken,
    /// Its open streams, oldest first.
    streams: Arc<Mutex<VecDeque<CancellationToken>>>,
    /// What it may report at once.
    meter: Arc<Meter>,
}

/// Every session.
#[derive(Debug)]
pub struct Sessions {
    tokens: Tokens,
    limits: Limits,
    /// Who was last heard of.
    pub(super) presence: Presence,
    by_hash: Mutex<HashMap<[u8; 32], Kept>>,
    /// Another number whenever who is in, or what lets people in, is other than before.
    admits: watch::Sender<u64>,
}

#[derive(Debug)]
struct Kept {
    session: Session,
    stored: StoredSession,
    /// Came from the board that is followed, and goes when it goes there.
    is_followed: bool,
    /// The session it takes over from, until it is first used: the answer that carried the new token may get lost.
    replaces: Option<[u8; 32]>,
}

impl Sessions {
    /// Takes stored sessions up again. On a machine that follows, what was stored came from the board and goes when it goes there.
    pub fn new(
        board: BoardId,
        stored: Vec<StoredSession>,
        limits: Limits,
        is_followed: bool,
    ) -> Self {
        let by_hash = stored
            .into_iter()
            .filter_map(|one| Kept::take_up(one, &limits, is_followed))
            .collect();
        Self {
            tokens: Tokens::new(board),
            limits,
            presence: Presence::default(),
            by_hash: Mutex::new(by_hash),
            // Somewhere else at each start: whoever kept what was true before must not take it for what is now.
            admits: watch::channel(u64::from(u32::from_le_bytes(random_bytes()))).0,
        }
    }

    /// Makes a session's token; returns its `Set-Cookie` value and what to store. It opens nothing until `begin`.
    pub fn make(&self, session: &Session, at: Timestamp, tls: bool) -> (String, StoredSession) {
        let token = Token::fresh();
        (self.tokens.cookie(&token, tls), session.stored(&token, at))
    }

    /// The same for the token that takes over from a request's: the same one however often it is asked for.
    pub fn make_next(
        &self,
        old: &HeaderMap,
        session: &Session,
        at: Timestamp,
        tls: bool,
    ) -> (String, StoredSession) {
        let token = self.tokens.next(old);
        (self.tokens.cookie(&token, tls), session.stored(&token, at))
    }

    /// Lets a session in that is stored, in place of those the device had before.
    pub fn begin(&self, stored: StoredSession, session: Session) {
        self.end(session.device);
        let kept = Kept::begun(stored, session, None);
        self.lock().insert(kept.stored.token_hash, kept);
        self.admits_others();
    }

    /// Lets a session in beside the one it takes over from, which ends when the new one is first used.
    /// Whether it did: not where that one was ended meanwhile.
    pub fn begin_beside(&self, stored: StoredSession, session: Session, old: &HeaderMap) -> bool {
        let Some(old) = self.tokens.hash_in(old) else {
            return false;
        };
        let mut known = self.lock();
        let here = known.get(&stored.token_hash);
        if here.is_some_and(|here| here.replaces.is_none()) {
            // Used already, while this was being stored.
            return true;
        }
        if !known.contains_key(&old) {
            return false;
        }
        known.insert(stored.token_hash, Kept::begun(stored, session, Some(old)));
        drop(known);
        self.admits_others();
        true
    }

    /// Takes on who is in on the board that is followed; who joined here stays.
    pub fn follow(&self, sessions: Vec<StoredSession>) {
        let mut known = self.lock();
        let there: Vec<[u8; 32]> = sessions.iter().map(|one| one.token_hash).collect();
        known.retain(|hash, kept| {
            let goes = kept.is_followed && !there.contains(hash);
            if goes {
                kept.session.ended.cancel();
            }
            !goes
        });
        for one in sessions {
            let here = known.get(&one.token_hash);
            // One that went on in another role there does so here.
            if here.is_none_or(|here| here.is_followed && here.stored != one) {
                if let Some(here) = here {
                    here.session.changed.cancel();
                }
                known.extend(Kept::take_up(one, &self.limits, true));
            }
        }
        drop(known);
        self.admits_others();
    }

    /// Everybody who is in, as stored, in a fixed order.
    pub fn stored(&self) -> Vec<StoredSession> {
        let mut all: Vec<StoredSession> = self
            .lock()
            .values()
            .map(|kept| kept.stored.clone())
            .collect();
        all.sort();
        all
    }

    /// Those that began on this machine and not on the board it follows.
    pub fn begun_here(&self) -> Vec<(Session, StoredSession)> {
        self.lock()
            .values()
            .filter(|kept| !kept.is_followed)
            .map(|kept| (kept.session.clone(), kept.stored.clone()))
            .collect()
    }

    /// Which state of who is in, and of what lets people in, this is.
    pub fn admits(&self) -> watch::Receiver<u64> {
        self.admits.subscribe()
    }

    /// Its number now.
    pub fn admits_now(&self) -> u64 {
        *self.admits.borrow()
    }

    /// Who is in, or what lets people in, is other than before.
    pub fn admits_others(&self) {
        self.admits.send_modify(|number| *number += 1);
    }

    /// Whether a device has a session.
    pub fn has(&self, device: DeviceId) -> bool {
        self.lock()
            .values()
            .any(|kept| kept.session.device == device)
    }

    /// A session for this person, not begun yet. A device that is in goes on with what it may still report: a fresh token
    /// is no fresh allowance.
    pub fn of(&self, device: DeviceId, name: Words, skill: Skill, role: Role) -> Session {
        let fresh = Session::new(device, name, skill, role, &self.limits);
        let known = self.lock();
        let before = known.values().find(|kept| kept.session.device == device);
        match before {
            Some(before) => fresh.going_on(&before.session),
            None => fresh,
        }
    }

    /// Lets a device go on in another role, with every token it has; what is to be stored of that.
    pub fn give_role(&self, device: DeviceId, role: Role) -> Vec<StoredSession> {
        let mut known = self.lock();
        let its = known
            .values_mut()
            .filter(|kept| kept.session.device == device);
        its.map(|kept| {
            role.code().clone_into(&mut kept.stored.role);
            let before = &kept.session;
            let name = before.name.clone();
            let after = Session::new(device, name, before.skill, role, &self.limits);
            let after = after.going_on(before);
            let before = std::mem::replace(&mut kept.session, after);
            before.changed.cancel();
            self.admits_others();
            kept.stored.clone()
        })
        .collect()
    }

    /// The session of a request, if it has one.
    ///
    /// With it comes the hash of the token it took over from, where this is its first use: that one ends now.
    pub fn find(&self, headers: &HeaderMap) -> Option<(Session, Option<[u8; 32]>)> {
        let token = self.tokens.hash_in(headers)?;
        let mut known = self.lock();
        let kept = known.get_mut(&token)?;
        let (session, replaced) = (kept.session.clone(), kept.replaces.take());
        if let Some(old) = replaced.and_then(|old| known.remove(&old)) {
            // Its screens ask again and come back as what they are now.
            old.session.replace_streams();
            self.admits_others();
        }
        Some((session, replaced))
    }

    /// Ends every session of a device, and its streams.
    pub fn end(&self, device: DeviceId) {
        self.lock().retain(|_, kept| {
            let ends = kept.session.device == device;
            if ends {
                kept.session.ended.cancel();
            }
            !ends
        });
        self.admits_others();
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, HashMap<[u8; 32], Kept>> {
        self.by_hash
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}

impl Session {
    fn new(device: DeviceId, name: Words, skill: Skill, role: Role, limits: &Limits) -> Self {
        Self {
            device,
            name,
            skill,
            role,
            ended: CancellationToken::new(),
            changed: CancellationToken::new(),
            streams: Arc::default(),
            meter: Arc::new(Meter::new(limits, Instant::now())),
        }
    }

    fn going_on(self, before: &Self) -> Self {
        Self {
            meter: Arc::clone(&before.meter),
            ..self
        }
    }

    /// Opens one more stream: its token ends when the session does, or when newer streams take its place.
    pub fn opens_stream(&self, limits: &Limits) -> CancellationToken {
        let mut streams = self
            .streams
            .lock()
            .expect("OK because nothing panics while holding it");
        streams.retain(|stream| !stream.is_cancelled());
        while streams.len() >= limits.streams_per_session.max(1) {
            if let Some(oldest) = streams.pop_front() {
                oldest.cancel();
            }
        }
        let fresh = self.ended.child_token();
        streams.push_back(fresh.clone());
        fresh
    }

    /// Ends its streams and not the session: each asks again.
    fn replace_streams(&self) {
        let mut streams = self
            .streams
            .lock()
            .expect("OK because nothing panics while holding it");
        for stream in streams.drain(..) {
            stream.cancel();
        }
    }

    /// Goes on only where this device has not reported faster than people can.
    ///
    /// # Errors
    /// When it has; nothing is lost, it is to send again.
    pub fn meter(&self, reports: usize, limits: &Limits) -> Result<(), Problem> {
        self.meter
            .take(reports, limits, Instant::now())
            .map_err(Problem::too_fast)
    }

    /// Takes back that so many were reported: they were refused for another reason.
    pub fn give_back(&self, reports: usize, limits: &Limits) {
        self.meter.give_back(reports, limits);
    }

    /// What is stored of it under a token.
    fn stored(&self, token: &Token, at: Timestamp) -> StoredSession {
        StoredSession {
            token_hash: token.hash(),
            device: self.device.to_string(),
            name: self.name.as_str().to_owned(),
            skill: self.skill.code().to_owned(),
            role: self.role.code().to_owned(),
            created_at: at.to_string(),
        }
    }

    /// This session as the author of facts.
    pub fn author(&self) -> Author {
        Author {
            device: self.device,
            name: self.name.clone(),
            role: Some(self.role),
            skill: Some(self.skill),
        }
    }

    /// Goes on only where the role allows it.
    ///
    /// # Errors
    /// When the table says no.
    pub fn permit(&self, deed: Deed) -> Result<(), Problem> {
        if self.role.may(deed) {
            Ok(())
        } else {
            Err(Problem::not_allowed())
        }
    }
}

impl Kept {
    fn begun(stored: StoredSession, session: Session, replaces: Option<[u8; 32]>) -> Self {
        Self {
            session,
            stored,
            is_followed: false,
            replaces,
        }
    }

    fn take_up(
        stored: StoredSession,
        limits: &Limits,
        is_followed: bool,
    ) -> Option<([u8; 32], Self)> {
        let session = Session::new(
            stored.device.parse().ok()?,
            Words::new(&stored.name).ok()?,
            Skill::from_code(&stored.skill)?,
            Role::from_code(&stored.role)?,
            limits,
        );
        let kept = Self {
            session,
            stored,
            is_followed,
            replaces: None,
        };
        Some((kept.stored.token_hash, kept))
    }
}
