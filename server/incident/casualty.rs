//! A casualty: the fold over their own unstruck entries, in the order things happened.
//!
//! Owns what one person's reports add up to. Promises: pure and total; it accepts whatever the journal
//! holds; a struck entry leaves no trace here.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::alarms::{self, Silenced};
use super::answers::Answers;
use super::care::Care;
use super::entry::Entry;
use super::evac::History;
use super::fact::{ApparentAge, EvacAsked, Fact, SignsMeasured};
use super::identity::{Standing, age_told, met_at, registered, tag_told, words_told};
use super::ids::{CasualtyId, DeviceId, Seq, WoundId};
use super::late::{self, Late};
use super::risks::Risks;
use super::sames::Joins;
use super::settings::Settings;
use super::sorting::Sorting;
use super::spent::{Spent, gloves};
use super::text::Words;
use super::watch::{self, Watch};
use super::worsening::{self, Flag};
use super::wound::Wound;
use crate::rules::bleeding::{ClockKind, Severity, State};
use crate::rules::supplies::Item;
use crate::rules::triage::Category;

/// What is known about one casualty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Casualty {
    /// Their id.
    pub id: CasualtyId,
    /// The short number people shout.
    pub number: u32,
    /// When they were first met.
    pub met_at: Timestamp,
    /// The devices whose people first met them, one for each record.
    pub first_told_by: Vec<DeviceId>,
    /// Apparent age.
    pub age: Answers<ApparentAge>,
    /// Words to know them by.
    pub words: Answers<Words>,
    /// Where they are.
    pub place: Answers<Words>,
    /// Paper tag.
    pub tag: Answers<Words>,
    /// Assigned triage category.
    pub category: Answers<Category>,
    /// Who has them.
    pub helper: Answers<Option<DeviceId>>,
    /// Their wounds, as found.
    pub wounds: Vec<Wound>,
    /// Timed duties of bleeding care, in no order.
    pub clocks: Vec<CareClock>,
    /// Shock suspected since.
    pub shock_since: Option<Timestamp>,
    /// How they were sorted.
    pub sorting: Sorting,
    /// When they are to be looked at again; none while there is no category.
    pub watch: Option<Watch>,
    /// Tourniquets, also those let go, in the order in which they went on.
    pub tourniquets: Vec<super::tied::Tied>,
    /// What else is known of the person that changes the care of their bleeding.
    pub risks: Risks,
    /// Vital signs, oldest first.
    pub vitals: Vec<(Timestamp, SignsMeasured)>,
    /// What got worse, oldest first.
    pub worsened: Vec<Flag>,
    /// The evacuation request that stands, with its time; of several, the more urgent one.
    pub evac: Option<(Timestamp, EvacAsked)>,
    /// Every answer that stands to whether and how they are to leave; none is a request taken back.
    pub asked: Answers<Option<EvacAsked>>,
    /// What they told.
    pub history: History,
    /// Overdue duties somebody saw.
    pub silenced: Vec<Silenced>,
    /// What was used on them, in order.
    pub uses: Vec<Spent>,
    /// What came late, changed what the board shows, and was not seen by the lead.
    pub late: Vec<Late>,
    /// The last position that touched them, struck entries and strikes included.
    pub last_seq: Seq,
}

/// Which record a fold is of.
#[derive(Clone, Debug)]
pub struct Record {
    pub(super) id: CasualtyId,
    pub(super) number: u32,
    /// Covers struck entries too.
    pub(super) last_seq: Seq,
    /// How several records of the person came together.
    pub(super) joins: Joins,
}

/// A timed duty of bleeding care.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CareClock {
    /// Which duty.
    pub kind: ClockKind,
    /// About which wound; of a limb's duty, its first wound.
    pub wound: Option<WoundId>,
    /// From when it counts.
    pub started_at: Timestamp,
    /// When it is due.
    pub due_at: Timestamp,
    /// When to warn ahead, if at all.
    pub warn_at: Option<Timestamp>,
    /// How bad when late.
    pub severity: Severity,
    /// When it becomes worse, and how bad then.
    pub worse: Option<(Timestamp, Severity)>,
}

/// How urgently a casualty's bleeding needs somebody, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bleeding {
    /// Bleeds, the next measure is due.
    Now,
    /// A hand must press.
    Held,
    /// A dressing cuts the circulation off.
    TooTight,
    /// Dressed or tied, nobody has looked yet.
    NotLooked,
    /// A tourniquet holds it.
    Tourniquet,
    /// A dressing holds it.
    Dressed,
    /// Wounds, none bleeding.
    Stopped,
    /// No wound known.
    NoWound,
}

impl Casualty {
    /// Folds a casualty's unstruck entries (about them or their wounds), in any order of presentation. Nobody is there
    /// when all that stands is being taken on. `settings` are the incident's, over its whole time.
    pub fn fold(record: &Record, entries: &[&Entry], settings: &Settings) -> Option<Self> {
        let mut ordered: Vec<&Entry> = entries.to_vec();
        ordered.sort_by_key(|entry| entry.order());
        let without = |left_out: &dyn Fn(&Entry) -> bool| {
            let rest: Vec<&Entry> = ordered
                .iter()
                .copied()
                .filter(|entry| !left_out(entry))
                .collect();
            Self::of(record, &rest, settings)
        };
        let mut casualty = without(&|_| false)?;
        casualty.late = late::unseen(&ordered, &casualty, &without);
        Some(casualty)
    }

    fn of(record: &Record, ordered: &[&Entry], settings: &Settings) -> Option<Self> {
        let ordered: Vec<&Entry> = ordered
            .iter()
            .copied()
            .filter(|entry| !matches!(entry.fact, Fact::EntryStruck(_)))
            .collect();
        let answers = Standing {
            ordered: &ordered,
            joins: &record.joins,
        };
        let met_at = met_at(&ordered)?;
        let category = answers.of(Fact::category);
        let age = answers.of(age_told);
        let evac = answers.evac();
        let care = Care::of(&answers, met_at, most_urgent(&category), settings);
        let watched = Watched::of(
            &ordered,
            age.value().copied(),
            most_urgent(&category),
            settings,
        );
        Some(Self {
            id: record.id,
            number: record.number,
            met_at,
            first_told_by: registered(&ordered).map(|entry| entry.device).collect(),
            age,
            words: answers.of(words_told),
            place: answers.of(|fact| match fact {
                Fact::CasualtyRegistered(said) => said.place.clone(),
                Fact::CasualtyMoved(moved) => Some(moved.place.clone()),
                Fact::CasualtyPlaced(placed) => Some(placed.place.clone()),
                _ => None,
            }),
            tag: answers.of(tag_told),
            category,
            helper: answers.of(|fact| match fact {
                Fact::CasualtyTaken(taken) => Some(taken.helper),
                _ => None,
            }),
            wounds: care.wounds,
            clocks: care.clocks,
            shock_since: care.shock_since,
            sorting: watched.sorting,
            watch: watched.watch,
            vitals: watched.vitals,
            worsened: watched.worsened,
            tourniquets: care.tourniquets,
            risks: care.risks,
            evac: evac.1,
            asked: evac.0,
            history: History::of(&answers),
            silenced: alarms::silenced(&ordered),
            uses: uses(&ordered),
            late: Vec::new(),
            last_seq: record.last_seq,
        })
    }

    /// The category to sort and count by: of several that stand, the most urgent.
    pub fn urgent_category(&self) -> Option<Category> {
        most_urgent(&self.category)
    }

    /// How urgently their bleeding needs somebody: that of the worst wound.
    pub fn bleeding(&self) -> Bleeding {
        self.wounds
            .iter()
            .map(Bleeding::of)
            .min()
            .unwrap_or(Bleeding::NoWound)
    }

    /// When the longest-running tourniquet went on.
    pub fn tourniquet_since(&self) -> Option<Timestamp> {
        self.wounds
            .iter()
            .filter_map(|wound| wound.tourniquet_since)
            .min()
    }

    /// Dressings used on them.
    pub fn dressings(&self) -> BTreeMap<Item, u32> {
        let mut sum = BTreeMap::new();
        for spent in self.uses.iter().filter(|spent| spent.item.is_dressing()) {
            *sum.entry(spent.item).or_default() += spent.count;
        }
        sum
    }

    /// Devices of the helpers who have them.
    pub fn helpers(&self) -> impl Iterator<Item = DeviceId> {
        self.helper.all().iter().filter_map(|given| given.value)
    }

    /// What got worse since somebody last assigned a category.
    pub fn worse_since_sorted(&self) -> impl Iterator<Item = &Flag> {
        let since = self.sorting.decisions.last().map(|decision| decision.at);
        self.worsened
            .iter()
            .filter(move |(at, _)| since.is_none_or(|since| *at > since))
    }

    /// The latest vital signs.
    pub fn latest_vitals(&self) -> Option<&(Timestamp, SignsMeasured)> {
        self.vitals.last()
    }
}

impl Bleeding {
    fn of(wound: &Wound) -> Self {
        match wound.standing.state {
            State::Bleeding | State::TourniquetFails => Self::Now,
            State::Pressing | State::PackPressing | State::HandsStay => Self::Held,
            State::DressingTight => Self::TooTight,
            State::Unseen
            | State::DressingUnchecked
            | State::TourniquetUnchecked
            | State::Converting => Self::NotLooked,
            State::TourniquetHolds => Self::Tourniquet,
            State::DressingHolds | State::Covered => Self::Dressed,
            State::Stopped | State::Cleaned | State::HandedOver | State::Void => Self::Stopped,
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Now => "bleeding",
            Self::Held => "held_by_hand",
            Self::TooTight => "dressing_too_tight",
            Self::NotLooked => "not_looked_yet",
            Self::Tourniquet => "tourniquet",
            Self::Dressed => "dressed",
            Self::Stopped => "stopped",
            Self::NoWound => "no_wound",
        }
    }
}

fn most_urgent(category: &Answers<Category>) -> Option<Category> {
    category
        .all()
        .iter()
        .map(|given| given.value)
        .min_by_key(|category| category.rank())
}

/// What is known of how they were sorted, how they are, and when to look again.
struct Watched {
    sorting: Sorting,
    vitals: Vec<(Timestamp, SignsMeasured)>,
    worsened: Vec<Flag>,
    watch: Option<Watch>,
}

impl Watched {
    fn of(
        ordered: &[&Entry],
        age: Option<ApparentAge>,
        category: Option<Category>,
        settings: &Settings,
    ) -> Self {
        let sorting = Sorting::of(ordered);
        let vitals: Vec<_> = ordered
            .iter()
            .filter_map(|entry| Some((entry.happened_at, entry.fact.signs()?)))
            .collect();
        let worsened = worsening::flags(age.unwrap_or_default(), sorting.told, &vitals);
        let watch = watch::watch(&watch::Given {
            ordered,
            sorting: &sorting,
            category,
            vitals: &vitals,
            flags: &worsened,
            settings,
        });
        Self {
            sorting,
            vitals,
            worsened,
            watch,
        }
    }
}

fn uses(ordered: &[&Entry]) -> Vec<Spent> {
    let told = ordered.iter().flat_map(|entry| {
        entry.fact.used().iter().map(|used| Spent {
            at: entry.happened_at,
            item: used.item,
            count: used.count,
            by: entry.device,
        })
    });
    let mut all: Vec<Spent> = told.chain(gloves(ordered)).collect();
    all.sort_by_key(|spent| spent.at);
    all
}
