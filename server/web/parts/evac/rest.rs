//! Who is not planned and why, who is kept here, and for whom nobody has asked yet.

use askama::Template;
use serde_json::json;

use super::super::super::view::CasualtyView;
use super::super::{Shown, Stage, draw};
use super::report;
use crate::incident::Casualty;
use crate::incident::evac::{Whereabouts, Wish};
use crate::incident::fact::EvacPriority;
use crate::rules::evac::Priority;
use crate::rules::evac::priority::{Condition, suggest};
use crate::rules::triage::Category;

struct Left {
    one: CasualtyView,
    why: String,
    was: String,
    held: bool,
    free: String,
}

struct NotAsked {
    one: CasualtyView,
    /// What would be asked, in words; none for those a person must decide about.
    suggested: String,
    ask: String,
}

#[derive(Template)]
#[template(path = "parts/evac_rest.html")]
struct Rest {
    left: Vec<Left>,
    not_asked: Vec<NotAsked>,
    comfort: Vec<CasualtyView>,
    /// Who has gone on a trip that is over, and whom nobody has handed over.
    on_their_way: Vec<(CasualtyView, String)>,
}

impl Stage<'_> {
    /// Who does not leave by this plan.
    pub(in crate::web) fn evac_rest(&self) -> Shown {
        self.evac_part("evac-rest", || {
            let standing = self.app.plans.standing(self.incident);
            let evacuation = self.incident.evacuation();
            let left = standing.plan.not_planned.iter().filter_map(|id| {
                let wish = evacuation.wishes.get(id);
                let reason = match wish {
                    Some(Wish::Held(Some(reason))) => format!(": {reason}"),
                    _ => String::new(),
                };
                let why = standing.plan.why.get(id).cloned().unwrap_or_default();
                Some(Left {
                    one: CasualtyView::of(self.incident.casualty(*id)?, self.incident),
                    why: format!("{why}{reason}"),
                    was: standing
                        .changed
                        .get(id)
                        .map(|(_, was)| was.clone())
                        .unwrap_or_default(),
                    held: matches!(wish, Some(Wish::Held(_))),
                    free: report("casualty", id, json!({ "kind": "evac.freed/1" })),
                })
            });
            let waiting = || {
                let all = self.incident.casualties();
                all.filter(|one| one.evac.is_none() && evacuation.whereabouts(one.id).is_none())
            };
            let is_comfort = |category: Option<Category>| {
                matches!(category, Some(Category::Expectant | Category::NotBreathing))
            };
            draw(&Rest {
                on_their_way: self.gone_with_nobody_to_say(),
                left: left.collect(),
                not_asked: waiting()
                    .filter(|one| !is_comfort(one.urgent_category()))
                    .filter(|one| one.urgent_category() != Some(Category::Dead))
                    .map(|one| {
                        let (suggested, ask) = suggested(one);
                        NotAsked {
                            one: CasualtyView::of(one, self.incident),
                            suggested,
                            ask,
                        }
                    })
                    .collect(),
                comfort: waiting()
                    .filter(|one| is_comfort(one.urgent_category()))
                    .map(|one| CasualtyView::of(one, self.incident))
                    .collect(),
            })
        })
    }
}

impl Stage<'_> {
    /// Who has gone on a trip that is over or not known any more, and whom nobody has handed over.
    fn gone_with_nobody_to_say(&self) -> Vec<(CasualtyView, String)> {
        let evacuation = self.incident.evacuation();
        let lost_sight = |one: &Casualty| {
            let Some(Whereabouts::Gone { transport, .. }) = evacuation.whereabouts(one.id) else {
                return None;
            };
            let known = evacuation.transports.get(transport)?;
            let with_it = known
                .under_way()
                .is_some_and(|trip| trip.casualties.contains(&one.id));
            (!with_it).then(|| format!("went on {}", known.details.name))
        };
        let all = self.incident.casualties();
        all.filter_map(|one| Some((CasualtyView::of(one, self.incident), lost_sight(one)?)))
            .collect()
    }
}

/// What to ask for, in words and as the stored code; nothing where nothing is suggested. The person decides, also how
/// they travel: nobody is said to lie or sit who was not asked.
fn suggested(one: &Casualty) -> (String, String) {
    let suggestion = suggest(Condition {
        category: one.urgent_category(),
        tourniquet_minutes: one.tourniquet_since().map(|_| 0),
        getting_worse: one.worse_since_sorted().next().is_some(),
    });
    let priority = match suggestion.priority {
        Some(Priority::First) => EvacPriority::First,
        Some(Priority::Second) => EvacPriority::Soon,
        Some(Priority::Third) => EvacPriority::CanWait,
        Some(Priority::Last) | None => return (String::new(), String::new()),
    };
    let words = format!("{}: {}", priority.words(), suggestion.because);
    (words, priority.code().to_owned())
}
