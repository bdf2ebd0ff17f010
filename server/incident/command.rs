//! Who is in command, and since when.
//!
//! Owns the answer. Follows from who joined as lead and from the last handing over of command: a new lead takes the old
//! one's place, who goes on as a helper.

use jiff::Timestamp;

use super::entry::Entry;
use super::fact::Fact;
use super::ids::DeviceId;
use super::role::Role;
use super::state::{Incident, Person};

/// The last handing over of command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Handover {
    /// Who led.
    pub from: DeviceId,
    /// Who leads now.
    pub to: DeviceId,
    /// Since when.
    pub at: Timestamp,
}

impl Incident {
    /// Who is in command: who took it over last, else the first who joined as lead; as long as they are a lead.
    pub fn in_command(&self) -> Option<&Person> {
        let leads = |device| {
            let person = self.people.get(&device);
            person.filter(|person| person.role == Role::Lead)
        };
        let took_over = self.command.and_then(|over| leads(over.to));
        took_over.or_else(|| {
            let all = self.people.values();
            all.filter(|person| person.role == Role::Lead)
                .min_by_key(|person| (person.joined_at, person.device))
        })
    }

    /// The last handing over of command.
    pub const fn handed_over(&self) -> Option<Handover> {
        self.command
    }

    /// Takes note of a handing over.
    pub(super) fn hand_over(&mut self, entry: &Entry) {
        let Fact::CommandHandedOver(over) = &entry.fact else {
            return;
        };
        self.command = Some(Handover {
            from: over.from,
            to: over.to,
            at: entry.happened_at,
        });
    }
}
