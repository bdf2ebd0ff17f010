//! The part of a casualty's page about vital signs: the latest, the scores, the course, what got worse.

use askama::Template;

use super::super::view::{CasualtyView, Moment, Plot, ScoreView, scores};
use super::{Shown, Stage, draw};
use crate::incident::{Casualty, vitals_words};

#[derive(Template)]
#[template(path = "parts/signs.html")]
struct Signs {
    one: CasualtyView,
    worse: Vec<(Moment, &'static str, &'static str)>,
    latest: Option<(Moment, String)>,
    before: Vec<(Moment, String)>,
    scores: Vec<ScoreView>,
    plot: Option<Plot>,
    told: String,
}

impl Stage<'_> {
    pub(in crate::web) fn signs(&self, casualty: &Casualty) -> Shown {
        let id = format!("signs-{}", casualty.id);
        self.show(&id, None, self.touched(casualty), || {
            let mut sets = casualty
                .vitals
                .iter()
                .rev()
                .map(|(at, vitals)| (Moment::from(*at), vitals_words(vitals)));
            draw(&Signs {
                one: CasualtyView::of(casualty, self.incident),
                worse: casualty
                    .worse_since_sorted()
                    .map(|(at, flag)| ((*at).into(), flag.words(), flag.source()))
                    .collect(),
                latest: sets.next(),
                before: sets.collect(),
                scores: scores(casualty, self.incident.shows_trauma_score()),
                plot: Plot::of(casualty, self.incident),
                told: crate::incident::told_words(casualty.sorting.told),
            })
        })
    }
}
