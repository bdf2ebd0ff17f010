//! The part of a casualty's page that says why they stand where they stand.

use askama::Template;

use super::super::view::{BegunView, CasualtyView, DecisionView, Moment};
use super::{Shown, Stage, draw};
use crate::incident::Casualty;

#[derive(Template)]
#[template(path = "parts/sorted.html")]
struct Sorted {
    one: CasualtyView,
    /// Every decision that stands; several where people disagree.
    standing: Vec<DecisionView>,
    earlier: Vec<DecisionView>,
    begun: Option<BegunView>,
    call: Option<(Moment, &'static str)>,
    lifesaving: Vec<(Moment, &'static str, String)>,
}

impl Stage<'_> {
    pub(in crate::web) fn sorted(&self, casualty: &Casualty) -> Shown {
        let id = format!("sorted-{}", casualty.id);
        self.show(&id, None, self.touched(casualty), || {
            let sorting = &casualty.sorting;
            let standing: Vec<_> = casualty.category.all().iter().map(|one| one.seq).collect();
            let view = |decision: &_| DecisionView::of(decision, casualty, self.incident);
            draw(&Sorted {
                one: CasualtyView::of(casualty, self.incident),
                standing: standing
                    .iter()
                    .filter_map(|seq| sorting.decision_at(*seq))
                    .map(view)
                    .collect(),
                earlier: sorting
                    .decisions
                    .iter()
                    .rev()
                    .filter(|decision| !standing.contains(&decision.seq))
                    .map(view)
                    .collect(),
                begun: BegunView::of(casualty, self.incident),
                call: sorting
                    .call
                    .map(|(at, call)| (at.into(), call.response.words())),
                lifesaving: sorting
                    .lifesaving
                    .iter()
                    .map(|(at, done, by)| ((*at).into(), done.done(), by.to_string()))
                    .collect(),
            })
        })
    }
}
