//! Epochs: which machine's board an entry was first kept by.
//!
//! Owns the list of them and what a device's memory of a head means for this board. A board that goes on from
//! anything but its own file begins a new epoch with an entry of its own. Phones remember the last head they saw
//! (epoch, position, check); so a missing end, another history and a second board that went on are found as soon as
//! one phone that saw more comes by.

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use super::about::About;
use super::draft::{Author, Draft};
use super::entry::{Entry, Report};
use super::fact::{BoardContinued, ContinuedFrom, Fact};
use super::ids::{BoardId, DeviceId, EntryId, EpochId, Seq};
use super::state::Incident;
use super::text::{TextError, Words};

/// A stretch of the journal kept by one machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Epoch {
    /// Its name.
    pub id: EpochId,
    /// Its first entry.
    pub begins: Seq,
    /// When that was taken in, by the time of the machine that began it.
    pub begun_at: Timestamp,
}

/// So long after another machine went on, whoever hears the one before has heard a board that lives: a clock of a phone and
/// an answer under way explain less. Our choice.
const STILL_HEARD: SignedDuration = SignedDuration::from_mins(2);

/// What a device remembers of a board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HeadSeen {
    /// The epoch it saw.
    pub epoch: EpochId,
    /// The last position it saw.
    pub seq: Seq,
    /// The check that stood with it, as printed: six symbols in two groups.
    #[schema(max_length = 20)]
    pub check: String,
}

/// What a device's memory means for this board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Memory {
    /// This position is here; its check must be compared.
    Compare(Seq),
    /// It saw entries of this board that are not here: the end is missing.
    EndMissing {
        /// The last position here.
        here: Seq,
    },
    /// It saw entries of the board before that did not come across.
    LeftBehind {
        /// The last position that came across.
        here: Seq,
    },
    /// It saw an epoch this board knows nothing of: another board went on.
    Elsewhere,
}

impl Draft<'_> {
    /// How far into this board's journal the giver of a report knew.
    pub(super) fn knew(&self, report: &Report) -> Seq {
        let epochs = self.base.epochs();
        known_here(epochs, self.head(), report.epoch, report.based_on)
    }

    /// Takes an entry in that another machine of this board has kept already, as it stands: no rule is asked again.
    pub fn take_kept(&mut self, entry: Entry) {
        self.take(entry);
    }
}

/// The entry by which another machine begins its epoch, in the board's own name.
pub fn goes_on(
    board: BoardId,
    (id, epoch): (EntryId, EpochId),
    at: Timestamp,
    from: ContinuedFrom,
    by: Option<Words>,
) -> Result<(Report, Author), TextError> {
    let report = Report {
        id,
        about: About::Incident,
        happened_at: at,
        based_on: Seq::START,
        epoch: None,
        time_unsure: false,
        fact: Fact::BoardContinued(BoardContinued { epoch, from, by }),
    };
    let author = Author {
        device: DeviceId::new(board.uuid()),
        name: Words::new("board")?,
        role: None,
        skill: None,
    };
    Ok((report, author))
}

/// Whether an entry begins an epoch.
pub(super) fn begun_by(entry: &Entry) -> Option<Epoch> {
    let id = match &entry.fact {
        Fact::IncidentOpened(opened) => EpochId::new(opened.board.uuid()),
        Fact::BoardContinued(continued) => continued.epoch,
        _ => return None,
    };
    Some(Epoch {
        id,
        begins: entry.seq,
        begun_at: entry.recorded_at,
    })
}

impl Incident {
    /// The present epoch as printed beside a position and its check: which machine this is, counted from the first, and
    /// the end of the epoch's own name, by which two machines that both went on are told apart.
    pub fn epoch_words(&self) -> String {
        let epochs = self.epochs();
        let name = epochs
            .last()
            .map_or_else(String::new, |epoch| epoch.id.to_string());
        let tail = name.get(name.len().saturating_sub(4)..).unwrap_or_default();
        format!("{}-{}", epochs.len(), tail.to_uppercase())
    }
}

/// Reads what a device remembers, and when it heard that last (by this board's time, where the device knows), against the
/// epochs and the last position of this board.
pub fn remembered(
    epochs: &[Epoch],
    head: Seq,
    seen: &HeadSeen,
    heard_at: Option<Timestamp>,
) -> Memory {
    let Some(at) = epochs.iter().position(|epoch| epoch.id == seen.epoch) else {
        return Memory::Elsewhere;
    };
    let next = epochs.get(at + 1);
    let end = next.map_or(head, |next| Seq(next.begins.0 - 1));
    let goes_on = |next: &Epoch| {
        heard_at.is_some_and(|heard| heard.duration_since(next.begun_at) > STILL_HEARD)
    };
    match next {
        // Also where it has nothing yet that is not here: it will. Only of the machine just before this one: that of others
        // would be read by two machines' clocks.
        Some(next) if at + 2 == epochs.len() && goes_on(next) => Memory::Elsewhere,
        _ if seen.seq <= end => Memory::Compare(seen.seq),
        Some(_) => Memory::LeftBehind { here: end },
        None => Memory::EndMissing { here: end },
    }
}

/// How far into this board's journal somebody knew who had seen a position of an epoch. What the machine before did not
/// hand over nobody here can know, and the numbers after it were given to other entries.
fn known_here(epochs: &[Epoch], head: Seq, epoch: Option<EpochId>, seen: Seq) -> Seq {
    let Some(epoch) = epoch else {
        return seen.min(head);
    };
    let Some(at) = epochs.iter().position(|one| one.id == epoch) else {
        return Seq::START;
    };
    let next = epochs.get(at + 1);
    seen.min(next.map_or(head, |next| Seq(next.begins.0 - 1)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use uuid::Uuid;

    fn epoch(number: u128, begins: u64) -> Epoch {
        Epoch {
            id: EpochId::new(Uuid::from_u128(number)),
            begins: Seq(begins),
            begun_at: Timestamp::from_second(i64::try_from(begins).unwrap()).unwrap(),
        }
    }

    fn seen(number: u128, seq: u64) -> HeadSeen {
        HeadSeen {
            epoch: EpochId::new(Uuid::from_u128(number)),
            seq: Seq(seq),
            check: String::new(),
        }
    }

    #[test]
    fn a_memory_is_read_against_the_epoch_it_is_of() {
        // The second machine went on from entry 40 with entry 41.
        let epochs = [epoch(1, 1), epoch(2, 41)];
        let read = |number, seq| remembered(&epochs, Seq(50), &seen(number, seq), None);
        assert_eq!(read(1, 40), Memory::Compare(Seq(40)));
        assert_eq!(read(1, 43), Memory::LeftBehind { here: Seq(40) });
        assert_eq!(read(2, 50), Memory::Compare(Seq(50)));
        assert_eq!(read(2, 51), Memory::EndMissing { here: Seq(50) });
        assert_eq!(read(3, 2), Memory::Elsewhere);
    }

    #[test]
    fn a_machine_heard_long_after_another_went_on_still_keeps_a_board() {
        let epochs = [epoch(1, 1), epoch(2, 41)];
        let read = |seq, second| {
            let heard = Timestamp::from_second(second).unwrap();
            remembered(&epochs, Seq(50), &seen(1, seq), Some(heard))
        };
        assert_eq!(read(43, 30), Memory::LeftBehind { here: Seq(40) });
        assert_eq!(read(43, 41 + 120), Memory::LeftBehind { here: Seq(40) });
        assert_eq!(read(43, 41 + 121), Memory::Elsewhere);
        assert_eq!(read(40, 41 + 121), Memory::Elsewhere);
        assert_eq!(read(40, 30), Memory::Compare(Seq(40)));
    }

    #[test]
    fn nobody_knew_what_the_machine_before_did_not_hand_over() {
        // The second machine had 60 entries and went on with entry 61.
        let epochs = [epoch(1, 1), epoch(2, 61)];
        let known = |number: Option<u128>, seen| {
            let id = number.map(|number| EpochId::new(Uuid::from_u128(number)));
            known_here(&epochs, Seq(80), id, Seq(seen))
        };
        assert_eq!(known(Some(1), 40), Seq(40));
        assert_eq!(known(Some(1), 68), Seq(60), "entry 68 is another one here");
        assert_eq!(known(Some(2), 68), Seq(68));
        assert_eq!(known(Some(2), 99), Seq(80));
        assert_eq!(known(Some(3), 12), Seq::START);
        assert_eq!(known(None, 99), Seq(80));
    }
}
