//! A limit on guessing codes that locks nobody else out.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Wrong codes an address may try within the window.
const MOST: u32 = 10;
const WINDOW: Duration = Duration::from_mins(1);
/// Addresses remembered; past this the oldest windows are forgotten first.
const ADDRESSES: usize = 4096;

/// Wrong codes, by address.
#[derive(Debug, Default)]
pub struct Guesses(Mutex<HashMap<IpAddr, (Instant, u32)>>);

impl Guesses {
    /// Whether this address may try now.
    pub fn may_try(&self, address: IpAddr, now: Instant) -> bool {
        let guesses = self.lock();
        guesses
            .get(&address)
            .is_none_or(|(since, wrong)| now.duration_since(*since) >= WINDOW || *wrong < MOST)
    }

    /// Remembers a wrong code.
    pub fn wrong(&self, address: IpAddr, now: Instant) {
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

    fn lock(&self) -> std::sync::MutexGuard<'_, HashMap<IpAddr, (Instant, u32)>> {
        self.0
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}

/// Makes room for one more where every window is still open: whoever has many addresses must not fill the memory.
fn forget_oldest(guesses: &mut HashMap<IpAddr, (Instant, u32)>) {
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
