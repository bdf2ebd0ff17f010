//! From the story's names to facts: who is which device, which casualty has which id.
//!
//! Owns the ids of one telling, made here as a phone makes them. Promises: a line that refers to somebody
//! nobody has met, or to words that do not fit, is an error and not a guess.

use std::collections::HashMap;

use jiff::{SignedDuration, Timestamp};

use super::scenario::{Actor, Care, Kit, Line, Moment, Person, What};
use crate::clock::fresh_id;
use crate::incident::fact::{
    Assessment, CasualtyMoved, CasualtyRegistered, CasualtyTaken, CategoryAssigned,
    CategoryDecided, EntryStruck, EvacCancelled, EvacRequested, IncidentDescribed, NoteAdded,
    StepTaken, StockCounted, WoundFound, WoundLooked,
};
use crate::incident::{
    About, BoardId, CasualtyId, DeviceId, EntryId, Fact, KitId, Note, Report, Seq, TextError,
    Words, WoundId,
};
use crate::rules::triage::StartVariant;

/// Why a line cannot be told.
#[derive(Debug, thiserror::Error)]
pub enum StoryError {
    /// Nobody has met this casualty yet.
    #[error("nobody has met casualty {0} yet")]
    Unmet(u32),
    /// Nobody has found this wound yet.
    #[error("nobody has found wound {0} yet")]
    Unfound(&'static str),
    /// No earlier line has this name.
    #[error("no earlier line is called {0}")]
    Unnamed(&'static str),
    /// This actor has not joined.
    #[error("{0} has not joined")]
    NotJoined(&'static str),
    /// Words that do not fit.
    #[error(transparent)]
    Words(#[from] TextError),
}

/// One telling's ids.
#[derive(Debug)]
pub struct Cast {
    accident_at: Timestamp,
    bag: KitId,
    hut_box: KitId,
    devices: HashMap<&'static str, DeviceId>,
    casualties: HashMap<u32, CasualtyId>,
    wounds: HashMap<&'static str, WoundId>,
    named: HashMap<&'static str, (EntryId, About)>,
}

impl Cast {
    /// For a telling to this board of an accident at this moment of board time.
    pub fn new(board: BoardId, accident_at: Timestamp) -> Self {
        Self {
            accident_at,
            bag: KitId::new(board.uuid()),
            hut_box: KitId::new(fresh_id()),
            devices: HashMap::new(),
            casualties: HashMap::new(),
            wounds: HashMap::new(),
            named: HashMap::new(),
        }
    }

    /// An actor's phone joined.
    pub fn joined(&mut self, actor: Actor, device: DeviceId) {
        self.devices.insert(actor.name, device);
    }

    /// A moment of the story in board time.
    pub fn board_time(&self, moment: Moment) -> Timestamp {
        self.accident_at + SignedDuration::from_secs(i64::from(moment.seconds()))
    }

    /// The line as a phone sends it.
    ///
    /// # Errors
    /// When it refers to somebody or something that no earlier line brought in, or its words do not fit.
    pub fn report(&mut self, line: &Line, based_on: Seq) -> Result<Report, StoryError> {
        let (about, fact) = self.told(line)?;
        let id = EntryId::new(fresh_id());
        if let Some(name) = line.name {
            self.named.insert(name, (id, about));
        }
        Ok(Report {
            id,
            about,
            happened_at: self.board_time(line.at),
            based_on,
            time_unsure: false,
            epoch: None,
            fact,
        })
    }

    fn told(&mut self, line: &Line) -> Result<(About, Fact), StoryError> {
        Ok(match &line.what {
            What::Describe { place, note } => {
                let said = IncidentDescribed {
                    name: None,
                    place: Some(Words::new(place)?),
                    note: Some(Note::new(note)?),
                };
                (About::Incident, Fact::IncidentDescribed(said))
            }
            What::Note(text) => (About::Incident, remark(text)?),
            What::Count(kit, item, count) => {
                let kit = match kit {
                    Kit::Bag => self.bag,
                    Kit::Box => self.hut_box,
                };
                let counted = StockCounted {
                    item: *item,
                    count: *count,
                };
                (About::Kit(kit), Fact::StockCounted(counted))
            }
            What::Strike(name, reason) => {
                let (entry, about) = *self.named.get(name).ok_or(StoryError::Unnamed(name))?;
                let reason = optional(reason)?;
                (about, Fact::EntryStruck(EntryStruck { entry, reason }))
            }
            What::Casualty(number, told) => {
                if matches!(told, Person::Meet { .. }) {
                    self.casualties
                        .entry(*number)
                        .or_insert_with(|| CasualtyId::new(fresh_id()));
                }
                let fact = self.person(line.by, told)?;
                (About::Casualty(self.casualty(*number)?), fact)
            }
            What::Wound(name, told) => {
                if matches!(told, Care::Find { .. }) {
                    self.wounds
                        .entry(name)
                        .or_insert_with(|| WoundId::new(fresh_id()));
                }
                let fact = self.care(told)?;
                (About::Wound(self.wound(name)?), fact)
            }
        })
    }

    fn person(&self, by: Actor, told: &Person) -> Result<Fact, StoryError> {
        Ok(match told {
            Person::Meet { age, words, place } => Fact::CasualtyRegistered(CasualtyRegistered {
                age: *age,
                words: Some(Words::new(words)?),
                place: Some(Words::new(place)?),
                tag: None,
            }),
            Person::Take => self.taken(by)?,
            Person::Hand(to) => self.taken(*to)?,
            Person::Move(place) => {
                let place = Words::new(place)?;
                Fact::CasualtyMoved(CasualtyMoved { place })
            }
            Person::Sort {
                answers,
                category,
                step,
            } => Fact::CategoryAssigned(CategoryAssigned {
                category: *category,
                assessment: Some(Assessment::Start {
                    variant: StartVariant::default().table().variant.to_owned(),
                    answers: *answers,
                    suggested: Some(*category),
                    step: Some((*step).to_owned()),
                    complete: true,
                }),
                reason: None,
            }),
            Person::Judge { category, reason } => Fact::CategoryAssigned(CategoryAssigned {
                category: *category,
                assessment: None,
                reason: optional(reason)?,
            }),
            Person::AsBefore(category) => Fact::CategoryDecided(CategoryDecided {
                category: *category,
                sheet: None,
                assessment: None,
                reason: optional("looked again, as before")?,
                short_of: None,
            }),
            Person::Measure(vitals) => Fact::VitalsMeasured(vitals.clone()),
            Person::AskEvac {
                priority,
                posture,
                needs,
            } => Fact::EvacRequested(EvacRequested {
                priority: *priority,
                posture: *posture,
                needs: optional(needs)?,
            }),
            Person::CancelEvac(reason) => {
                let reason = optional(reason)?;
                Fact::EvacCancelled(EvacCancelled { reason })
            }
            Person::Note(text) => remark(text)?,
        })
    }

    fn care(&self, told: &Care) -> Result<Fact, StoryError> {
        Ok(match told {
            Care::Find {
                casualty,
                region,
                side,
                flow,
            } => Fact::WoundFound(WoundFound {
                casualty: self.casualty(*casualty)?,
                region: *region,
                side: *side,
                flow: *flow,
                amputation: false,
            }),
            Care::Do(measure, used) => Fact::StepTaken(StepTaken {
                step: *measure,
                used: used.to_vec(),
            }),
            Care::Look(found) => Fact::WoundLooked(WoundLooked { bleeding: *found }),
            Care::Feel(found) => Fact::DistalChecked(found.clone()),
            Care::Note(text) => remark(text)?,
        })
    }

    fn taken(&self, by: Actor) -> Result<Fact, StoryError> {
        let device = self.devices.get(by.name).copied();
        let helper = Some(device.ok_or(StoryError::NotJoined(by.name))?);
        Ok(Fact::CasualtyTaken(CasualtyTaken { helper }))
    }

    fn casualty(&self, number: u32) -> Result<CasualtyId, StoryError> {
        let known = self.casualties.get(&number).copied();
        known.ok_or(StoryError::Unmet(number))
    }

    fn wound(&self, name: &'static str) -> Result<WoundId, StoryError> {
        let known = self.wounds.get(name).copied();
        known.ok_or(StoryError::Unfound(name))
    }
}

fn remark(text: &str) -> Result<Fact, StoryError> {
    let text = Note::new(text)?;
    Ok(Fact::NoteAdded(NoteAdded { text }))
}

/// A story says "nothing more" with empty words.
fn optional(words: &str) -> Result<Option<Note>, StoryError> {
    if words.is_empty() {
        return Ok(None);
    }
    Ok(Some(Note::new(words)?))
}
