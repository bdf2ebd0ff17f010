//! The evacuation summary: one sheet, for the screen, the radio and paper.

use askama::Template;

use super::super::view::{CasualtyView, CategoryView, Moment, WoundView, to_bring};
use super::{Shown, Stage, draw};
use crate::incident::fact::Posture;
use crate::rules::triage::Category;

/// Categories that are listed only where somebody has them.
const RARE: [&str; 2] = ["expectant", "not_breathing"];

struct Line {
    category: CategoryView,
    counts: Vec<usize>,
    all: usize,
}

#[derive(Template)]
#[template(path = "parts/summary.html")]
struct Summary {
    incident: String,
    place: String,
    /// When the last entry on it came in; none while there is no entry.
    reported: Option<Moment>,
    seq: u64,
    check: String,
    epoch: String,
    lines: Vec<Line>,
    sums: Vec<usize>,
    all: usize,
    bleeding: Vec<CasualtyView>,
    tourniquets: Vec<(CasualtyView, WoundView)>,
    requests: Vec<CasualtyView>,
    others: Vec<CasualtyView>,
    /// What to bring: how many of what.
    bring: Vec<(u32, &'static str)>,
}

impl Stage<'_> {
    pub(in crate::web) fn summary(&self) -> Shown {
        let touched = self
            .all_touched()
            .max(self.incident.touched().incident)
            .max(self.incident.touched().stock);
        self.show("summary", None, touched, || draw(&self.summary_sheet()))
    }

    fn summary_sheet(&self) -> Summary {
        let about = self.incident.description();
        let text = |words: Option<&crate::incident::Words>| {
            words.map(ToString::to_string).unwrap_or_default()
        };
        let views: Vec<CasualtyView> = self
            .incident
            .casualties()
            .map(|one| CasualtyView::of(one, self.incident))
            .collect();
        let lines = self.summary_lines();
        let sums = (0..4)
            .map(|column| lines.iter().map(|line| line.counts[column]).sum())
            .collect();
        Summary {
            incident: text(about.name.as_ref()),
            place: text(about.place.as_ref()),
            reported: self
                .incident
                .entries()
                .last()
                .map(|entry| entry.recorded_at.into()),
            seq: self.incident.head().0,
            check: self.app.journal.head().check,
            epoch: self.incident.epoch_words(),
            all: lines.iter().map(|line| line.all).sum(),
            lines,
            sums,
            tourniquets: self.tied(),
            requests: self.requests(),
            bleeding: views.iter().filter(|one| one.bleeds).cloned().collect(),
            bring: to_bring(self.incident),
            others: views.into_iter().filter(|one| one.evac.is_none()).collect(),
        }
    }

    fn summary_lines(&self) -> Vec<Line> {
        let counted = self.incident.totals_by_posture();
        let postures = Posture::ALL.into_iter().map(Some).chain([None]);
        Category::ALL
            .into_iter()
            .map(Some)
            .chain([None])
            .map(|category| {
                let counts: Vec<usize> = postures
                    .clone()
                    .map(|posture| counted.get(&(category, posture)).copied().unwrap_or(0))
                    .collect();
                Line {
                    category: CategoryView::of(category, self.incident.profile()),
                    all: counts.iter().sum(),
                    counts,
                }
            })
            .filter(|line| line.all > 0 || !RARE.contains(&line.category.code))
            .collect()
    }
}
