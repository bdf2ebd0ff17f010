//! Names for things: one type per kind of thing, so that two of them cannot be swapped.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(transparent)]
        pub struct $name(Uuid);

        impl $name {
            /// Wraps an id made elsewhere.
            pub const fn new(id: Uuid) -> Self {
                Self(id)
            }

            /// The bare id.
            pub const fn uuid(self) -> Uuid {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}({})", stringify!($name), self.0)
            }
        }

        impl FromStr for $name {
            type Err = uuid::Error;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                text.parse().map(Self)
            }
        }
    };
}

id!(
    /// One board, that is one incident on one machine. Phones that meet another id know that the board changed.
    BoardId
);
id!(
    /// A fact's own id, a `UUIDv7` made on the phone, so that a resend is recognised.
    EntryId
);
id!(
    /// A casualty, made on the phone that first met them.
    CasualtyId
);
id!(
    /// A wound, made on the phone that first saw it.
    WoundId
);
id!(
    /// One assessment of a casualty, made on the phone that asks.
    AssessmentId
);
id!(
    /// A bag, box or person that carries supplies.
    KitId
);
id!(
    /// What carries people, made on the phone that first heard of it.
    TransportId
);
id!(
    /// A place that takes people in, made on the phone that first heard of it.
    DestinationId
);
id!(
    /// A device that joined.
    DeviceId
);
id!(
    /// A stretch of a board's journal kept by one machine.
    EpochId
);

/// A position in the journal: 1, 2, 3 … without gaps; 0 is "before the first".
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(transparent)]
#[schema(value_type = u64)]
pub struct Seq(pub u64);

impl Seq {
    /// Before the first entry.
    pub const START: Self = Self(0);

    /// The position after this one.
    #[must_use]
    pub const fn next(self) -> Self {
        Self(self.0 + 1)
    }
}

impl fmt::Display for Seq {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}
