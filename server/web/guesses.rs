//! Limits on guessing codes that lock nobody else out: one for each address, one for all together.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Wrong codes an address may try within the window.
const MOST: u32 = 10;
const WINDOW: Duration = Duration::from_mins(1);
/// Wrong codes from everywhere within the window, after which newcomers are slowed.
const MOST_OVERALL: u32 = 60;
/// Addresses remembered; past this the oldest windows are forgotten first.
const ADDRESSES: usize = 4096;

type ByAddress = HashMap<IpAddr, (Instant, u32)>;

/// Wrong codes, by address and in all.
#[derive(Debug, Default)]
pub struct Guesses {
    by_address: Mutex<ByAddress>,
    overall: Mutex<Option<(Instant, u32)>>,
    joins: Mutex<ByAddress>,
}

impl Guesses {
    /// Whether this address may try now.
    pub fn may_try(&self, address: IpAddr, now: Instant) -> bool {
        let guesses = self.lock();
        guesses
            .get(&address)
            .is_none_or(|(since, wrong)| now.duration_since(*since) >= WINDOW || *wrong < MOST)
    }

    /// Whether so many wrong codes came from everywhere that each newcomer is to wait a little. Never a refusal:
    /// whoever floods the door must not keep others out of it.
    pub fn is_rushed(&self, now: Instant) -> bool {
        self.lock_overall().is_some_and(|(since, wrong)| {
            now.duration_since(since) < WINDOW && wrong >= MOST_OVERALL
        })
    }

    /// Whether one more device may join from this address; remembers it. With the code from a poster one phone could else
    /// fill the record with people who are not there.
    pub fn may_join(&self, address: IpAddr, now: Instant, most: u32) -> bool {
        let mut joins = self
            .joins
            .lock()
            .expect("OK because nothing panics while holding it");
        if joins.len() >= ADDRESSES {
            joins.retain(|_, (since, _)| now.duration_since(*since) < WINDOW);
            forget_oldest(&mut joins);
        }
        let slot = joins.entry(address).or_insert((now, 0));
        if now.duration_since(slot.0) >= WINDOW {
            *slot = (now, 0);
        }
        slot.1 += 1;
        slot.1 <= most
    }

    /// Remembers a wrong code.
    pub fn wrong(&self, address: IpAddr, now: Instant) {
        let mut overall = self.lock_overall();
        let fresh = overall.is_none_or(|(since, _)| now.duration_since(since) >= WINDOW);
        let (since, wrong) = overall.filter(|_| !fresh).unwrap_or((now, 0));
        *overall = Some((since, wrong + 1));
        drop(overall);
        let mut guesses = self.lock();
        if guesses.len() >= ADDRESSES {
            guesses.retain(|_, (since, _)| now.duration_since(*since) < WINDOW);
            forget_oldest(&mut guesses);
        }
        let slot = guesses.entry(address).or_insert((now, 0));
        if now.duration_since(slot.0) >= WINDOW {
            *slot = (now, 0);
        }
        slot.1 += 1;
    }

    fn lock_overall(&self) -> std::sync::MutexGuard<'_, Option<(Instant, u32)>> {
        self.overall
            .lock()
            .expect("OK because nothing panics while holding it")
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, ByAddress> {
        self.by_address
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}

/// Makes room for one more where every window is still open: whoever has many addresses must not fill the memory.
fn forget_oldest(guesses: &mut ByAddress) {
    if guesses.len() < ADDRESSES {
        return;
    }
    let oldest = guesses
        .iter()
        .min_by_key(|(_, (since, _))| *since)
        .map(|(address, _)| *address);
    if let Some(oldest) = oldest {
        guesses.remove(&oldest);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_addresses_do_not_fill_the_memory() {
        let guesses = Guesses::default();
        let now = Instant::now();
        for number in 0..u32::try_from(ADDRESSES).unwrap() + 10 {
            let address = IpAddr::from(number.to_be_bytes());
            guesses.wrong(address, now + Duration::from_micros(number.into()));
        }
        assert_eq!(guesses.lock().len(), ADDRESSES);
        assert!(!guesses.lock().contains_key(&IpAddr::from([0, 0, 0, 0])));
    }

    #[test]
    fn very_many_wrong_codes_slow_newcomers_for_a_minute_and_refuse_nobody() {
        let guesses = Guesses::default();
        let now = Instant::now();
        for number in 0..MOST_OVERALL {
            assert!(!guesses.is_rushed(now));
            guesses.wrong(IpAddr::from(number.to_be_bytes()), now);
        }
        assert!(guesses.is_rushed(now));
        assert!(
            guesses.may_try(IpAddr::from([10, 0, 0, 9]), now),
            "slowed, not refused"
        );
        assert!(!guesses.is_rushed(now + WINDOW));
        guesses.wrong(IpAddr::from([10, 0, 0, 9]), now + WINDOW);
        assert!(!guesses.is_rushed(now + WINDOW), "a new minute begins");
    }

    #[test]
    fn one_address_is_slowed_and_others_are_not() {
        let guesses = Guesses::default();
        let (here, there) = (IpAddr::from([10, 0, 0, 1]), IpAddr::from([10, 0, 0, 2]));
        let now = Instant::now();
        for _ in 0..MOST {
            assert!(guesses.may_try(here, now));
            guesses.wrong(here, now);
        }
        assert!(!guesses.may_try(here, now));
        assert!(guesses.may_try(there, now));
        assert!(guesses.may_try(here, now + WINDOW));
    }
}
