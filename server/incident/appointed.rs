//! Who may do what now: the role somebody joined in, and what the lead has made of it since.
//!
//! Owns the way from the record to a role. Promises: pure; what the lead takes back holds from the next question on.

use jiff::{SignedDuration, Timestamp};

use super::ids::DeviceId;
use super::role::{Deed, Role};
use super::state::Incident;

impl Incident {
    /// The role the record gives a device: the one it joined in, or deputy where the lead named it. A watcher is never
    /// a deputy.
    pub fn role_of(&self, device: DeviceId) -> Option<Role> {
        let joined = self.person(device)?.role;
        let named = self.settings().now().deputies.contains(&device);
        Some(match joined {
            Role::Helper | Role::Evac if named => Role::Deputy,
            other => other,
        })
    }

    /// What a session in this role may be used as now. A deputy's ends with the naming; nobody's grows by itself: a
    /// device that was named takes up a fresh session first. Who leads is as the record has it since command was handed
    /// over: whatever became of the session then.
    pub fn role_now(&self, device: DeviceId, held: Role) -> Role {
        match held {
            Role::Deputy => self.role_of(device).unwrap_or(Role::Helper),
            Role::Lead | Role::Helper if self.handed_over().is_some() => self
                .person(device)
                .map(|person| person.role)
                .filter(|role| matches!(role, Role::Lead | Role::Helper))
                .unwrap_or(held),
            other => other,
        }
    }

    /// Whether a device keeps the whole record: as the lead chose for it; where they chose nothing, devices of roles
    /// that may read it do. A watcher's never does.
    pub fn keeps_record(&self, device: DeviceId, role: Role) -> bool {
        let chosen = self.settings().now().witnesses.get(&device).copied();
        match role {
            Role::Viewer => false,
            role => chosen.unwrap_or_else(|| role.may(Deed::ReadJournal)),
        }
    }

    /// When the record may be removed: so many days after that was said.
    pub fn kept_until(&self) -> Option<Timestamp> {
        let (at, days) = self.description().kept?;
        at.saturating_add(SignedDuration::from_hours(24 * i64::from(days)))
            .ok()
    }
}
