//! Which entries are struck.
//!
//! An entry is struck when a strike that is not itself struck names it. Strikes name earlier entries only,
//! so going through them from the newest back settles every one of them once.

use std::collections::HashSet;

use super::ids::Seq;

/// Works out the struck positions from all strikes, given as (position of the strike, position it names).
pub(super) fn struck(strikes: impl IntoIterator<Item = (Seq, Seq)>) -> HashSet<Seq> {
    let mut newest_first: Vec<(Seq, Seq)> = strikes.into_iter().collect();
    newest_first.sort_unstable_by_key(|(strike, _)| std::cmp::Reverse(*strike));
    let mut struck = HashSet::new();
    for (strike, named) in newest_first {
        if !struck.contains(&strike) {
            struck.insert(named);
        }
    }
    struck
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn striking_a_strike_restores() {
        let set = struck([(Seq(5), Seq(2)), (Seq(6), Seq(5))]);
        assert!(!set.contains(&Seq(2)));
        assert!(set.contains(&Seq(5)));
    }

    #[test]
    fn striking_the_restoration_strikes_again() {
        let set = struck([(Seq(5), Seq(2)), (Seq(6), Seq(5)), (Seq(7), Seq(6))]);
        assert!(set.contains(&Seq(2)));
        assert!(set.contains(&Seq(6)));
        assert!(!set.contains(&Seq(5)));
    }

    #[test]
    fn two_strikes_on_one_entry_need_two_restorations() {
        let one_restored = struck([(Seq(5), Seq(2)), (Seq(6), Seq(2)), (Seq(7), Seq(5))]);
        assert!(one_restored.contains(&Seq(2)));
    }
}
