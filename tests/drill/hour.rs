//! A simulated hour: twelve casualties, five helpers who follow what the board suggests, with a person's delays.
//!
//! Owns the little world the board is tried on: what truly stops each bleed, how long each thing takes, who is where.
//! Everything is board time and drawn from a fixed seed, so that the table is the same on every machine. All data
//! here are invented. Durations are *common practice* guesses: they try the board, they are no measurement.

use std::collections::{BTreeMap, BTreeSet};

use holdfast::incident::fact::{
    ApparentAge, BreathingChecked, CasualtyRegistered, CasualtyTaken, CasualtyWarmed,
    CategoryAssigned, Circulation, Compared, Deed, DressingChecked, HelperJoined, IncidentOpened,
    ItemCount, KitCounted, Skill, StepDone, TourniquetChecked, Used, VitalsMeasured, WoundFound,
    WoundLooked,
};
use holdfast::incident::{
    About, Author, BoardId, CasualtyId, DeviceId, Duty, EntryId, Fact, Incident, KitId, Report,
    Role, Seq, Task, Words, WoundId,
};
use holdfast::rules::bleeding::observation::{Pulse, Stain};
use holdfast::rules::bleeding::{ClockKind, Flow, Look, Region, Severity, Side, State, Step};
use holdfast::rules::supplies::{Item, needed};
use holdfast::rules::triage::Category;
use jiff::{SignedDuration, Timestamp};
use uuid::Uuid;

/// One look at the world.
const STEP: i64 = 5;
const HOUR: i64 = 3600;
const HELPERS: usize = 5;

/// What it takes for a bleed to stop.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
enum Holds {
    Pressure,
    Packing,
    Tourniquet,
}

struct Injury {
    id: WoundId,
    region: Region,
    side: Side,
    flow: Flow,
    stops_with: Holds,
    /// The first dressing on it bleeds through a little.
    stains: bool,
}

struct Person {
    id: CasualtyId,
    category: Category,
    injury: Injury,
    met: bool,
}

struct Helper {
    author: Author,
    /// Until when their hands are taken, in seconds.
    busy_until: i64,
    doing: Option<(i64, Doing)>,
}

#[derive(Clone)]
enum Doing {
    Meet(usize),
    Answer(Duty),
}

/// Which duty: of whom, about what, due when.
type Key = (u32, Option<WoundId>, String, Timestamp);

#[derive(Default)]
struct Line {
    due: usize,
    done: usize,
    late: usize,
    open_late: usize,
    longest: i64,
}

struct World {
    incident: Incident,
    people: Vec<Person>,
    helpers: Vec<Helper>,
    began: Timestamp,
    facts: u128,
    seed: u64,
    running: BTreeMap<Key, (String, Severity)>,
    closed: Vec<(Key, String, i64)>,
}

fn words(text: &str) -> Words {
    Words::new(text).unwrap()
}

fn injuries() -> [(Category, Region, Side, Flow, Holds, bool); 12] {
    use Category::{Delayed, Immediate, Minor};
    use Holds::{Packing, Pressure, Tourniquet};
    [
        (
            Immediate,
            Region::Thigh,
            Side::Left,
            Flow::Spurting,
            Tourniquet,
            false,
        ),
        (
            Immediate,
            Region::Groin,
            Side::Right,
            Flow::High,
            Packing,
            true,
        ),
        (
            Immediate,
            Region::UpperArm,
            Side::Left,
            Flow::High,
            Packing,
            false,
        ),
        (
            Delayed,
            Region::Forearm,
            Side::Right,
            Flow::Steady,
            Pressure,
            false,
        ),
        (
            Delayed,
            Region::LowerLeg,
            Side::Left,
            Flow::Steady,
            Packing,
            true,
        ),
        (
            Delayed,
            Region::Scalp,
            Side::Middle,
            Flow::Steady,
            Pressure,
            false,
        ),
        (
            Delayed,
            Region::Hand,
            Side::Left,
            Flow::Steady,
            Pressure,
            false,
        ),
        (
            Minor,
            Region::Knee,
            Side::Right,
            Flow::Ooze,
            Pressure,
            false,
        ),
        (
            Minor,
            Region::Forearm,
            Side::Left,
            Flow::Ooze,
            Pressure,
            false,
        ),
        (
            Minor,
            Region::Foot,
            Side::Right,
            Flow::Ooze,
            Pressure,
            false,
        ),
        (
            Minor,
            Region::Face,
            Side::Middle,
            Flow::Ooze,
            Pressure,
            false,
        ),
        (
            Minor,
            Region::Digit,
            Side::Left,
            Flow::Ooze,
            Pressure,
            false,
        ),
    ]
}

/// What the bag holds at the start.
const BAG: [(Item, u32); 10] = [
    (Item::Gloves, 30),
    (Item::Tourniquet, 3),
    (Item::HaemostaticGauze, 2),
    (Item::PackingGauze, 6),
    (Item::PressureBandage, 8),
    (Item::LargePad, 16),
    (Item::SmallPad, 20),
    (Item::GauzeRoll, 20),
    (Item::Blanket, 10),
    (Item::TriangularBandage, 6),
];

impl World {
    fn new() -> Self {
        let began: Timestamp = "2026-11-25T12:00:00Z".parse().unwrap();
        let people = (1..)
            .zip(injuries())
            .map(
                |(number, (category, region, side, flow, stops_with, stains))| Person {
                    id: CasualtyId::new(Uuid::from_u128(1000 + number)),
                    category,
                    injury: Injury {
                        id: WoundId::new(Uuid::from_u128(2000 + number)),
                        region,
                        side,
                        flow,
                        stops_with,
                        stains,
                    },
                    met: false,
                },
            )
            .collect();
        let names = ["Teo", "Sol", "Jo", "Mira", "Ben"];
        let helpers = (0..HELPERS)
            .map(|one| Helper {
                author: Author {
                    device: DeviceId::new(Uuid::from_u128(3000 + one as u128)),
                    name: words(names[one]),
                    role: Some(Role::Helper),
                    skill: Some(Skill::FirstAider),
                },
                busy_until: 0,
                doing: None,
            })
            .collect();
        let mut world = Self {
            incident: Incident::default(),
            people,
            helpers,
            began,
            facts: 0,
            seed: 7,
            running: BTreeMap::new(),
            closed: Vec::new(),
        };
        world.open();
        world
    }

    fn open(&mut self) {
        let board = BoardId::new(Uuid::from_u128(1));
        let by = |helper: usize, world: &Self| Author {
            role: None,
            ..world.helpers[helper].author.clone()
        };
        let opened = IncidentOpened {
            board,
            name: words("Drill"),
            practice: true,
        };
        let author = by(0, self);
        self.tell(0, About::Incident, Fact::IncidentOpened(opened), &author);
        for helper in 0..HELPERS {
            let author = by(helper, self);
            let joined = HelperJoined {
                name: author.name.clone(),
                skill: Skill::FirstAider,
                role: Role::Helper,
            };
            self.tell(0, About::Incident, Fact::HelperJoined(joined), &author);
        }
        let items = BAG
            .into_iter()
            .map(|(item, count)| ItemCount {
                item,
                count,
                out_of_date: 0,
            })
            .collect();
        let kit = About::Kit(KitId::new(board.uuid()));
        let author = self.helpers[0].author.clone();
        self.tell(0, kit, Fact::KitCounted(KitCounted { items }), &author);
    }

    fn at(&self, second: i64) -> Timestamp {
        self.began + SignedDuration::from_secs(second)
    }

    fn tell(&mut self, second: i64, about: About, fact: Fact, author: &Author) {
        self.facts += 1;
        let now = self.at(second);
        let report = Report {
            id: EntryId::new(Uuid::from_u128(10_000 + self.facts)),
            about,
            happened_at: now,
            based_on: Seq(u64::MAX),
            time_unsure: false,
            epoch: None,
            fact,
        };
        let mut draft = self.incident.draft();
        draft.admit(report, author, now).unwrap();
        let changes = draft.finish();
        self.incident.adopt(changes);
    }

    /// A small number drawn from the seed: a person's delay.
    fn draw(&mut self, least: i64, most: i64) -> i64 {
        self.seed = self
            .seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695);
        let span = u64::try_from(most - least + 1).unwrap();
        least + i64::try_from((self.seed >> 33) % span).unwrap()
    }

    fn run(&mut self) {
        let mut second = 0;
        while second <= HOUR {
            for helper in 0..HELPERS {
                self.finish(helper, second);
                self.begin(helper, second);
            }
            self.watch(second);
            second += STEP;
        }
    }

    /// Notes which duties have come and which are over.
    fn watch(&mut self, second: i64) {
        let now: BTreeMap<Key, (String, Severity)> = self
            .incident
            .duties()
            .iter()
            .filter(|duty| can_be_answered(duty))
            .map(|duty| (key(duty), (label(duty), duty.severity)))
            .collect();
        let over: Vec<_> = self
            .running
            .iter()
            .filter(|(key, _)| !now.contains_key(key))
            .map(|(key, (label, _))| (key.clone(), label.clone(), second))
            .collect();
        self.closed.extend(over);
        self.running = now;
    }

    fn finish(&mut self, helper: usize, second: i64) {
        let Some((ready, doing)) = self.helpers[helper].doing.clone() else {
            return;
        };
        if second < ready {
            return;
        }
        self.helpers[helper].doing = None;
        match doing {
            Doing::Meet(person) => self.meet(helper, person, second),
            Doing::Answer(duty) => self.answer(helper, &duty, second),
        }
    }

    fn begin(&mut self, helper: usize, second: i64) {
        let one = &self.helpers[helper];
        if one.doing.is_some() || second < one.busy_until {
            return;
        }
        let me = one.author.device;
        let under_way: BTreeSet<Key> = self
            .helpers
            .iter()
            .filter_map(|other| match &other.doing {
                Some((_, Doing::Answer(duty))) => Some(key(duty)),
                _ => None,
            })
            .collect();
        let now = self.at(second);
        let next = self.incident.duties().into_iter().find(|duty| {
            let mine = duty.helpers.contains(&me) || duty.helpers.is_empty();
            let for_all = duty.severity == Severity::Critical || duty.due_at < now;
            can_be_answered(duty)
                && is_time(duty, now)
                && (mine || for_all)
                && !under_way.contains(&key(duty))
        });
        let reaction = self.draw(5, 25);
        let unmet = self.people.iter().position(|person| !person.met);
        let worst = next
            .as_ref()
            .is_some_and(|duty| duty.severity >= Severity::High);
        let doing = match (next, unmet) {
            (Some(duty), None) => Some(Doing::Answer(duty)),
            (Some(duty), _) if worst => Some(Doing::Answer(duty)),
            (_, Some(person)) => {
                self.people[person].met = true;
                Some(Doing::Meet(person))
            }
            (None, None) => None,
        };
        if let Some(doing) = doing {
            let takes = match &doing {
                Doing::Meet(_) => self.draw(30, 60),
                Doing::Answer(duty) => self.takes(duty),
            };
            self.helpers[helper].doing = Some((second + reaction + takes, doing));
        }
    }

    fn takes(&mut self, duty: &Duty) -> i64 {
        let (least, most) = match duty.task {
            Task::Care(ClockKind::BeginPressure, _) => (3, 10),
            Task::Care(ClockKind::BeginTourniquet, _) => (25, 60),
            Task::Care(ClockKind::BeginPacking, _) => (40, 90),
            Task::Care(ClockKind::Wrap, _) => (40, 80),
            Task::Care(
                ClockKind::Warmth | ClockKind::ObserveStable | ClockKind::ObserveShock,
                _,
            ) => (30, 70),
            _ => (10, 30),
        };
        self.draw(least, most)
    }

    fn meet(&mut self, helper: usize, person: usize, second: i64) {
        let author = self.helpers[helper].author.clone();
        let one = &self.people[person];
        let (casualty, category) = (one.id, one.category);
        let found = WoundFound {
            casualty,
            region: one.injury.region,
            side: one.injury.side,
            flow: one.injury.flow,
            amputation: false,
        };
        let wound = one.injury.id;
        let registered = CasualtyRegistered {
            age: ApparentAge::Adult,
            words: Some(words(&format!("number {}", person + 1))),
            place: None,
            tag: None,
        };
        let about = About::Casualty(casualty);
        self.tell(second, about, Fact::CasualtyRegistered(registered), &author);
        let taken = CasualtyTaken {
            helper: Some(author.device),
        };
        self.tell(second, about, Fact::CasualtyTaken(taken), &author);
        self.tell(
            second,
            About::Wound(wound),
            Fact::WoundFound(found),
            &author,
        );
        let assigned = CategoryAssigned {
            category,
            assessment: None,
            reason: None,
        };
        self.tell(second, about, Fact::CategoryAssigned(assigned), &author);
    }

    fn answer(&mut self, helper: usize, duty: &Duty, second: i64) {
        // Somebody else may have been faster.
        if !self
            .incident
            .duties()
            .iter()
            .any(|one| key(one) == key(duty))
        {
            return;
        }
        let author = self.helpers[helper].author.clone();
        let about = duty
            .wound
            .map_or(About::Casualty(duty.casualty), About::Wound);
        for fact in self.facts_for(duty) {
            self.tell(second, about, fact, &author);
        }
        // Hands that press are taken until the hold is up.
        let holds = self.incident.duties().into_iter().find(|one| {
            one.casualty == duty.casualty && one.wound == duty.wound && one.task.is_hold()
        });
        if let Some(hold) = holds {
            let until = hold.due_at.duration_since(self.began).as_secs();
            self.helpers[helper].busy_until = until;
        }
    }

    fn facts_for(&self, duty: &Duty) -> Vec<Fact> {
        use ClockKind as Kind;
        let injury = self
            .people
            .iter()
            .find(|person| person.id == duty.casualty)
            .map(|person| &person.injury)
            .unwrap();
        let Task::Care(kind, step) = duty.task else {
            let person = self.people.iter().find(|one| one.id == duty.casualty);
            return vec![Fact::CategoryAssigned(CategoryAssigned {
                category: person.unwrap().category,
                assessment: None,
                reason: None,
            })];
        };
        match kind {
            Kind::BeginTourniquet | Kind::FixTourniquet => vec![self.did(Deed::Tourniquet)],
            Kind::BeginPacking if step == Some(Step::WrapDressing) => {
                vec![self.did(Deed::PressureDressing)]
            }
            Kind::BeginPacking if step == Some(Step::HoldByHand) => {
                vec![self.did(Deed::HoldByHand)]
            }
            Kind::BeginPacking => vec![self.did(Deed::Pack)],
            Kind::BeginPressure | Kind::BeginOwnWay => vec![self.did(Deed::Press)],
            Kind::PressureHold | Kind::HaemostaticHold | Kind::PlainPackHold => {
                self.after_hold(duty, injury)
            }
            Kind::Wrap => vec![self.did(Deed::PressureDressing)],
            Kind::DressingFirstCheck
                if self.standing(duty).map(|one| one.next) == Some(Step::ReinforceDressing) =>
            {
                vec![self.did(Deed::Reinforce)]
            }
            Kind::DressingFirstCheck | Kind::DressingRecheck => vec![self.checked(duty, injury)],
            Kind::TourniquetFirstCheck | Kind::TourniquetRecheck => {
                vec![Fact::TourniquetChecked(TourniquetChecked {
                    bleeding: Some(false),
                    pulse: Some(Pulse::Absent),
                })]
            }
            Kind::TourniquetReview => vec![self.did(Deed::LeaveTourniquet)],
            Kind::LoosenDressing => vec![self.did(Deed::Loosen)],
            Kind::Breathing => vec![Fact::BreathingChecked(BreathingChecked { worse: false })],
            Kind::Warmth => vec![Fact::CasualtyWarmed(CasualtyWarmed {
                used: vec![Used {
                    item: Item::Blanket,
                    count: 1,
                }],
            })],
            Kind::ObserveShock | Kind::ObserveStable => {
                vec![Fact::VitalsMeasured(VitalsMeasured {
                    pulse_per_minute: Some(92),
                    breaths_per_minute: Some(18),
                    ..VitalsMeasured::default()
                })]
            }
            _ => vec![Fact::WoundLooked(WoundLooked {
                bleeding: Look::Stopped,
            })],
        }
    }

    /// After a hold people look: what was tried was enough, or not.
    fn after_hold(&self, duty: &Duty, injury: &Injury) -> Vec<Fact> {
        let packed = self.state(duty) == Some(State::PackPressing);
        let tried = if packed {
            Holds::Packing
        } else {
            Holds::Pressure
        };
        let stopped = injury.stops_with <= tried;
        let bleeding = if stopped {
            Look::Stopped
        } else {
            Look::StillBleeding
        };
        let mut facts = vec![Fact::WoundLooked(WoundLooked { bleeding })];
        if stopped && !packed {
            facts.push(self.did(Deed::PlainDressing));
        }
        facts
    }

    fn checked(&self, duty: &Duty, injury: &Injury) -> Fact {
        let layers = self.standing(duty).map_or(0, |standing| standing.layers);
        let stain = if injury.stains && layers < 2 {
            Stain::Growing
        } else {
            Stain::Dry
        };
        Fact::DressingChecked(DressingChecked {
            stain: Some(stain),
            circulation: Some(Circulation::Present),
            movement: Some(Compared::AsBefore),
            feeling: Some(Compared::AsBefore),
            refill_tenths: None,
            refill_other_side_tenths: None,
            cold: false,
        })
    }

    fn standing(&self, duty: &Duty) -> Option<&holdfast::rules::bleeding::Standing> {
        let casualty = self.incident.casualty(duty.casualty)?;
        let wound = casualty
            .wounds
            .iter()
            .find(|one| Some(one.id) == duty.wound)?;
        Some(&wound.standing)
    }

    fn state(&self, duty: &Duty) -> Option<State> {
        self.standing(duty).map(|standing| standing.state)
    }

    /// A deed with what is left in the bag: haemostatic gauze while there is any.
    fn did(&self, step: Deed) -> Fact {
        let left = self.incident.stock_left();
        let mut used = step.usual();
        if step == Deed::Pack && left.may_have(Item::HaemostaticGauze) {
            used = vec![Used {
                item: Item::HaemostaticGauze,
                count: 1,
            }];
        }
        Fact::StepDone(StepDone {
            step,
            used,
            expired: false,
            tourniquet: None,
        })
    }

    fn table(&self) -> BTreeMap<String, Line> {
        let mut lines: BTreeMap<String, Line> = BTreeMap::new();
        for ((.., due_at), label, over) in &self.closed {
            let late = over - due_at.duration_since(self.began).as_secs();
            let line = lines.entry(label.clone()).or_default();
            line.due += 1;
            line.done += 1;
            if late > STEP {
                line.late += 1;
                line.longest = line.longest.max(late);
            }
        }
        for ((.., due_at), (label, _)) in &self.running {
            let late = HOUR - due_at.duration_since(self.began).as_secs();
            if late <= 0 {
                continue;
            }
            let line = lines.entry(label.clone()).or_default();
            line.due += 1;
            line.open_late += 1;
            line.longest = line.longest.max(late);
        }
        lines
    }
}

fn key(duty: &Duty) -> Key {
    (duty.number, duty.wound, duty.task.code(), duty.due_at)
}

fn label(duty: &Duty) -> String {
    match duty.task {
        Task::Care(kind, _) => kind.words().to_owned(),
        Task::Sort => "sort".to_owned(),
        Task::LookAgain(_) => "look at the person again".to_owned(),
    }
}

/// A limb's own lines and long after-care are shown with their clock; nobody can tap them away within the hour.
fn can_be_answered(duty: &Duty) -> bool {
    use ClockKind as Kind;
    !matches!(
        duty.task,
        Task::Care(
            Kind::TwoHoursSoon
                | Kind::TwoHours
                | Kind::FourHours
                | Kind::SixHoursSoon
                | Kind::SixHours
                | Kind::RinseBefore
                | Kind::DressingChange
                | Kind::InfectionLook
                | Kind::PackingStays
                | Kind::LimbStarves,
            _
        )
    )
}

/// What must begin is begun at once; a look waits for its time.
fn is_time(duty: &Duty, now: Timestamp) -> bool {
    use ClockKind as Kind;
    let at_once = matches!(
        duty.task,
        Task::Sort
            | Task::Care(
                Kind::FirstLook
                    | Kind::BeginTourniquet
                    | Kind::BeginPacking
                    | Kind::BeginPressure
                    | Kind::BeginOwnWay
                    | Kind::Wrap
                    | Kind::DressingFirstCheck
                    | Kind::TourniquetFirstCheck
                    | Kind::FixTourniquet
                    | Kind::LoosenDressing,
                _
            )
    );
    let soon = SignedDuration::from_secs(if duty.task.is_hold() { 0 } else { 60 });
    at_once || duty.due_at - soon <= now
}

#[test]
fn an_hour_with_twelve_casualties_and_five_helpers() {
    let mut world = World::new();
    world.run();
    let lines = world.table();
    println!("\nA simulated hour: 12 casualties, {HELPERS} helpers who follow the board\n");
    println!(
        "{:<36} {:>4} {:>5} {:>5} {:>10} {:>8}",
        "check", "due", "done", "late", "open, late", "longest"
    );
    let clock = |seconds: i64| format!("{}:{:02}", seconds / 60, seconds % 60);
    for (label, line) in &lines {
        let longest = if line.longest > 0 {
            clock(line.longest)
        } else {
            String::new()
        };
        println!(
            "{label:<36} {:>4} {:>5} {:>5} {:>10} {longest:>8}",
            line.due, line.done, line.late, line.open_late
        );
    }
    let categories: Vec<Category> = injuries().iter().map(|one| one.0).collect();
    let planned = needed(&categories, 0);
    println!(
        "\n{:<36} {:>5} {:>5} {:>5} {:>12}",
        "item", "began", "used", "left", "planned, 6 h"
    );
    for account in world.incident.accounts() {
        let began = BAG
            .iter()
            .find(|(item, _)| *item == account.item)
            .map_or(0, |one| one.1);
        let plan = planned.iter().find(|need| need.item == account.item);
        let plan = plan.map_or(String::new(), |need| need.count.to_string());
        let left = account.left.map_or("–".to_owned(), |left| left.to_string());
        println!(
            "{:<36} {began:>5} {:>5} {left:>5} {plan:>12}",
            account.item.words(),
            account.used
        );
        // What is left is what was there less what was used, whoever used it.
        if let Some(left) = account.left {
            assert_eq!(
                left + account.used,
                began + account.overdrawn,
                "{:?}",
                account.item
            );
        }
    }
    println!();

    assert_eq!(world.incident.casualties().count(), 12, "all were met");
    let states = |wanted: State| {
        let all = world.incident.casualties().flat_map(|one| &one.wounds);
        all.filter(|wound| wound.standing.state == wanted).count()
    };
    assert_eq!(
        states(State::Bleeding),
        0,
        "nobody bleeds untreated at the end of the hour"
    );
    assert_eq!(
        states(State::TourniquetHolds),
        1,
        "one bleed needed a tourniquet, and got it"
    );
    let critical_open = world.running.iter().filter(|((.., due), (_, severity))| {
        *severity == Severity::Critical && *due < world.at(HOUR)
    });
    assert_eq!(
        critical_open.count(),
        0,
        "what kills within minutes was answered"
    );
    // The same seed gives the same hour.
    let mut again = World::new();
    again.run();
    assert_eq!(world.incident.entries(), again.incident.entries());
}
