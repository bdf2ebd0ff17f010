//! Who may do what: the one table.
//!
//! Owns the roles and the deeds. Promises that every door (journal, pages, live parts, lists) asks this
//! table and nothing else. A role is attribution, not proof of who holds the phone.

use serde::{Deserialize, Serialize};

/// What a session may do.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Runs the incident.
    Lead,
    /// Named by the lead to run it beside them, or in their place.
    Deputy,
    /// Reports what they see and do.
    Helper,
    /// Runs the evacuation, by the radio.
    Evac,
    /// Sees the summary and nothing else.
    Viewer,
}

/// Something a session may be asked to be allowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Deed {
    /// See the evacuation summary.
    SeeSummary,
    /// See the board, casualties and the log.
    SeeCasualties,
    /// Report about casualties and wounds.
    ReportCare,
    /// Request or cancel evacuation; say who is on a transport and that it left or came.
    ReportEvac,
    /// Add transports and destinations, pin and hold, read messages out.
    RunEvac,
    /// Count supplies.
    CountStock,
    /// Describe the incident.
    DescribeIncident,
    /// Change the numbers and choices the board works with, and name who is trained.
    ChangeSettings,
    /// Hand a casualty to another helper.
    AssignOthers,
    /// Assign the category expectant.
    AssignExpectant,
    /// Strike what this device reported.
    StrikeOwn,
    /// Strike what anybody reported.
    StrikeAny,
    /// Settle which records are of one person, and what is to be seen of reports that came late.
    JoinRecords,
    /// See the codes, print the poster, revoke devices.
    ManageDevices,
    /// Read the whole journal, private entries sealed.
    ReadJournal,
    /// Hand command over to somebody.
    HandOverCommand,
    /// Read what is told to the lead alone.
    ReadPrivate,
    /// Name a deputy; choose which devices keep the record.
    Appoint,
    /// Say how long the record is kept.
    KeepRecord,
}

impl Deed {
    /// All deeds, for tests of the table.
    pub const ALL: [Self; 19] = [
        Self::SeeSummary,
        Self::SeeCasualties,
        Self::ReportCare,
        Self::ReportEvac,
        Self::RunEvac,
        Self::CountStock,
        Self::DescribeIncident,
        Self::ChangeSettings,
        Self::AssignOthers,
        Self::AssignExpectant,
        Self::StrikeOwn,
        Self::StrikeAny,
        Self::JoinRecords,
        Self::ManageDevices,
        Self::ReadJournal,
        Self::HandOverCommand,
        Self::ReadPrivate,
        Self::Appoint,
        Self::KeepRecord,
    ];
}

impl Role {
    /// All roles.
    pub const ALL: [Self; 5] = [
        Self::Lead,
        Self::Deputy,
        Self::Helper,
        Self::Evac,
        Self::Viewer,
    ];

    /// The table.
    pub const fn may(self, deed: Deed) -> bool {
        match self {
            Self::Lead => true,
            // A deputy makes no deputies: who runs the incident stays in one hand (*common practice*).
            Self::Deputy => !matches!(
                deed,
                Deed::Appoint | Deed::KeepRecord | Deed::HandOverCommand
            ),
            Self::Helper => matches!(
                deed,
                Deed::SeeSummary
                    | Deed::SeeCasualties
                    | Deed::ReportCare
                    | Deed::ReportEvac
                    | Deed::CountStock
                    | Deed::StrikeOwn
            ),
            Self::Evac => matches!(
                deed,
                Deed::SeeSummary
                    | Deed::SeeCasualties
                    | Deed::ReportEvac
                    | Deed::RunEvac
                    | Deed::StrikeOwn
                    | Deed::ReadJournal
            ),
            Self::Viewer => matches!(deed, Deed::SeeSummary),
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Lead => "lead",
            Self::Deputy => "deputy",
            Self::Helper => "helper",
            Self::Evac => "evac",
            Self::Viewer => "viewer",
        }
    }

    /// The role with this stored code.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.code() == code)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_cell_by_cell() {
        // Deeds in the order of Deed::ALL; l d h e v = lead, deputy, helper, evac, viewer.
        let expected = [
            "ldhev", "ldhe", "ldh", "ldhe", "lde", "ldh", "ld", "ld", "ld", "ld", "ldhe", "ld",
            "ld", "ld", "lde", "l", "ld", "l", "l",
        ];
        assert_eq!(expected.len(), Deed::ALL.len());
        for (deed, who) in Deed::ALL.into_iter().zip(expected) {
            for role in Role::ALL {
                let letter = role.code().chars().next().unwrap();
                assert_eq!(role.may(deed), who.contains(letter), "{role:?} {deed:?}");
            }
        }
    }
}
