//! Is there a better plan? A search that leaves nothing out, as far as its budget goes.
//!
//! Owns depth-first branch and bound over the blocks of a layer. Taking people out of a possible plan keeps it
//! possible and delays nobody; so placing blocks one by one in a fixed order reaches every plan, and what a part of
//! a plan is worth bounds every plan it can become. Promises: says that a level is proven only when no plan it has
//! not looked at can be better there. Blocks that differ in nothing are placed in order, and of transports that
//! differ in nothing the first is used first: of all plans that are the same but for names, the one that is first
//! in dictionary order keeps both rules.

use super::assignment::{Bound, Matching};
use super::model::Model;
use super::state::{Choice, Place, State};
use super::vector::{Score, Vector};

/// What the search found.
pub(super) struct Verdict {
    /// The best plan known now.
    pub(super) best: State,
    /// How many levels of it are proven, of the 13.
    pub(super) proven: usize,
    /// Ways of placing somebody that were looked at, and bounds worked out.
    pub(super) evaluations: u64,
    /// No plan of these blocks is worth less.
    pub(super) bound: Score,
}

/// Which levels a layer decides.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Levels {
    /// Those of the first so many classes: what comes below is decided by later layers.
    Classes(usize),
    /// All but the changes.
    All,
}

impl Levels {
    /// The score without what the layer does not decide.
    pub(super) fn of(self, mut score: Score) -> Score {
        if let Self::Classes(classes) = self {
            score.0[classes..].fill(0);
        }
        score.without_changes()
    }

    /// How many they are.
    pub(super) fn count(self) -> usize {
        match self {
            Self::Classes(classes) => 3 * classes,
            Self::All => Vector::LEVELS,
        }
    }

    /// How many levels, from the first on, a bound and a plan have in common.
    pub(super) fn proven(self, bound: Score, plan: Score) -> usize {
        let (bound, plan) = (self.of(bound).vector(), self.of(plan).vector());
        let same = bound.levels().into_iter().zip(plan.levels());
        same.take_while(|(a, b)| a == b).count().min(self.count())
    }
}

struct Search<'a, 'p> {
    model: &'a Model<'p>,
    order: &'a [usize],
    levels: Levels,
    /// What the blocks from this place in the order on are worth alone, at least.
    rest: Vec<Score>,
    bound: Option<Bound>,
    best: State,
    best_score: Score,
    /// The least that some plan not looked at could be worth.
    open: Option<Score>,
    left: u64,
}

/// Looks for a better plan of these blocks than `best`, with at most `budget` evaluations.
pub(super) fn prove(
    model: &Model<'_>,
    best: &State,
    order: &[usize],
    levels: Levels,
    budget: u64,
) -> Verdict {
    let empty = State::new(model);
    let mut choices = Vec::new();
    let mut alone = vec![Score::default(); model.blocks.len()];
    let mut spent = 0;
    for block in order {
        spent += empty.choices(model, *block, &mut choices, |_, _| true);
        alone[*block] = own_least(model, &empty, *block, &choices);
    }
    let mut rest = vec![Score::default(); order.len() + 1];
    for at in (0..order.len()).rev() {
        rest[at] = rest[at + 1] + alone[order[at]];
    }
    let mut search = Search {
        model,
        order,
        levels,
        rest,
        bound: Bound::new(model, order, &alone),
        best: best.clone(),
        best_score: levels.of(best.total),
        open: None,
        left: budget.saturating_sub(spent),
    };
    let mut state = empty;
    let total = levels.of(state.total + search.rest[0]);
    search.descend(&mut state, 0, total, &Matching::default());
    let bound = search
        .open
        .map_or(search.best_score, |open| open.min(search.best_score));
    let proven = levels.proven(bound, search.best_score);
    Verdict {
        best: search.best,
        proven,
        evaluations: budget - search.left,
        bound,
    }
}

fn classes_only(mut score: Score) -> Score {
    score.0[4] = 0;
    score
}

/// The least a block itself is worth when nobody else but those being loaded is there.
fn own_least(model: &Model<'_>, empty: &State, block: usize, choices: &[Choice]) -> Score {
    choices
        .iter()
        .map(|choice| {
            if choice.place == Place::Out {
                return classes_only(model.blocks[block].out);
            }
            let mut score = Score::default();
            empty.drive(
                model,
                choice.van,
                Some((block, choice.place)),
                |_, _, who, arrives| {
                    if who == block {
                        for member in &model.blocks[who].members {
                            score.0[member.class] +=
                                super::model::contribution(member.deadline, arrives);
                        }
                    }
                },
            );
            score
        })
        .min()
        .unwrap_or_default()
}

impl Search<'_, '_> {
    fn leave_open(&mut self, score: Score) {
        self.open = Some(self.open.map_or(score, |open| open.min(score)));
    }

    /// Goes through everything that a part of a plan can become; `least` bounds it all.
    fn descend(&mut self, state: &mut State, depth: usize, least: Score, before: &Matching) {
        let Some(block) = self.order.get(depth).copied() else {
            let score = self.levels.of(state.total);
            if score < self.best_score {
                self.best_score = score;
                self.best = state.clone();
            }
            return;
        };
        if self.left == 0 {
            self.leave_open(least);
            return;
        }
        let mut least = least;
        let mut matching = Matching::default();
        if let Some(bound) = &self.bound {
            let (score, found) = bound.of(self.model, state, &self.order[depth..], before);
            matching = found;
            self.left = self.left.saturating_sub(bound.price());
            least = least.max(self.levels.of(score));
            if least >= self.best_score {
                return;
            }
        }
        let mut choices = Vec::new();
        let spent = self.children(state, block, &mut choices);
        self.left = self.left.saturating_sub(spent);
        choices.sort_unstable();
        for choice in &choices {
            let child = self.levels.of(choice.total + self.rest[depth + 1]);
            if child >= self.best_score {
                break;
            }
            let child = child.max(least);
            if self.left == 0 {
                // The others are bounded by this one: they come after it in order.
                self.leave_open(child);
                break;
            }
            let undo = state.place(self.model, block, *choice);
            self.descend(state, depth + 1, child, &matching);
            state.undo(self.model, &undo);
        }
    }

    /// The ways to place a block that are not the same as others but for names.
    fn children(&self, state: &State, block: usize, choices: &mut Vec<Choice>) -> u64 {
        let first = self.first_place(state, block);
        let filter = |van: usize, place: Place| {
            let twin = self.model.vans[van].twin;
            let unused_twin = matches!(place, Place::New(..))
                && state.rides[van].is_empty()
                && twin.is_some_and(|twin| state.rides[twin].is_empty());
            let before_twin = first.is_some_and(|first| match place {
                Place::Join(number) => (van, number) < first,
                Place::New(number, ..) => van < first.0 || (van == first.0 && number <= first.1),
                Place::Out => false,
            });
            !unused_twin && !before_twin
        };
        state.choices(self.model, block, choices, filter)
    }

    /// The place before which a block must not go: its twin's. A twin that stays here keeps it here too.
    fn first_place(&self, state: &State, block: usize) -> Option<(usize, usize)> {
        let twin = self.model.blocks[block].twin?;
        Some(state.number_of(twin).unwrap_or((usize::MAX, usize::MAX)))
    }
}
