//! How fast one address may report, whatever devices it says it is.
//!
//! Owns a meter for each address. Promises: one phone that joins again and again cannot keep the writer to itself; this
//! machine's own addresses are not metered; many addresses do not fill the memory.

use std::collections::HashMap;
use std::net::IpAddr;
use std::sync::Mutex;
use std::time::Instant;

use super::limits::{Limits, Meter};

/// How many devices' worth one address may report: phones may share one behind a second access point. Our choice.
const DEVICES: f64 = 10.0;
/// Addresses in mind at most; past this all begin anew.
const ADDRESSES: usize = 4096;

/// What each address may still report.
#[derive(Debug, Default)]
pub struct Paces(Mutex<HashMap<IpAddr, Meter>>);

impl Paces {
    /// Takes so many reports from an address.
    ///
    /// # Errors
    /// With the whole seconds after which there is room for them.
    pub(super) fn take(
        &self,
        address: IpAddr,
        reports: usize,
        limits: &Limits,
        now: Instant,
    ) -> Result<(), u32> {
        let address = address.to_canonical();
        if address.is_loopback() {
            return Ok(());
        }
        let limits = Limits {
            reports_per_second: limits.reports_per_second * DEVICES,
            burst: limits.burst * DEVICES,
            ..*limits
        };
        let mut meters = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        if meters.len() >= ADDRESSES && !meters.contains_key(&address) {
            meters.clear();
        }
        let fresh = || Meter::new(&limits, now);
        let meter = meters.entry(address).or_insert_with(fresh);
        meter.take(reports, &limits, now)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_address_is_slowed_others_and_this_machine_are_not() {
        let (paces, limits, now) = (Paces::default(), Limits::default(), Instant::now());
        let there = IpAddr::from([10, 42, 0, 7]);
        let burst = |address| {
            let taken = |_: &u32| paces.take(address, 50, &limits, now).is_ok();
            (0..13).filter(taken).count()
        };
        assert_eq!(burst(there), 12, "ten devices' bursts of sixty");
        assert_eq!(paces.take(there, 50, &limits, now), Err(1));
        assert_eq!(burst(IpAddr::from([10, 42, 0, 8])), 12);
        assert_eq!(burst(IpAddr::from([127, 0, 0, 1])), 13);
    }

    #[test]
    fn many_addresses_do_not_fill_the_memory() {
        let (paces, limits, now) = (Paces::default(), Limits::default(), Instant::now());
        for number in 0..u32::try_from(ADDRESSES).unwrap() + 10 {
            let address = IpAddr::from(number.to_be_bytes());
            assert_eq!(paces.take(address, 1, &limits, now), Ok(()));
        }
        assert!(paces.0.lock().unwrap().len() <= ADDRESSES);
    }
}
