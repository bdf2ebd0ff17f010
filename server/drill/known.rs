//! How much of the board was known by when.
//!
//! Owns what a phone had seen at a moment of the story, so that one that was out of range bases its late
//! reports on what it saw last.

use super::scenario::Moment;
use crate::incident::Seq;

/// The journal's last position after each telling.
#[derive(Debug, Default)]
pub(super) struct Known(Vec<(Moment, Seq)>);

impl Known {
    /// The board stood at `head` at this moment of the story.
    pub(super) fn note(&mut self, at: Moment, head: Seq) {
        self.0.push((at, head));
    }

    /// The last position somebody can have seen who saw the board until then.
    pub(super) fn until(&self, seen: Moment) -> Seq {
        self.0
            .iter()
            .filter(|(at, _)| *at <= seen)
            .map(|(_, head)| *head)
            .max()
            .unwrap_or(Seq::START)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_was_out_of_range_knows_only_what_was_told_before() {
        let mut known = Known::default();
        assert_eq!(known.until(Moment::at(99, 0)), Seq::START);
        known.note(Moment::at(1, 0), Seq(4));
        known.note(Moment::at(2, 0), Seq(9));
        assert_eq!(known.until(Moment::at(0, 59)), Seq::START);
        assert_eq!(known.until(Moment::at(1, 0)), Seq(4));
        assert_eq!(known.until(Moment::at(1, 59)), Seq(4));
        assert_eq!(known.until(Moment::at(2, 0)), Seq(9));
    }
}
