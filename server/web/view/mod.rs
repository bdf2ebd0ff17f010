//! What templates draw: ready values worked out from the state, so that templates need no more than
//! `if`, `for` and `include`. Nothing here depends on the present moment: clocks run on the page.

mod cards;
mod casualty;
mod category;
mod checks;
mod choice;
mod dispute;
mod duty;
mod entry;
mod ladder;
mod look_again;
mod materials;
mod offers;
mod person;
mod places;
mod plot;
mod quick;
mod records;
mod scores;
mod sorted;
mod stock;
mod time;
mod trend;
mod wound;
mod wound_notes;

pub(super) use cards::Cards;
pub(super) use casualty::{CasualtyView, order};
pub(super) use category::CategoryView;
pub(super) use choice::Choice;
pub(super) use duty::DutyView;
pub(super) use entry::EntryView;
pub(super) use offers::{duty_offers, person_offers, wound_offers};
pub(super) use person::{Drink, PersonView};
pub(super) use plot::Plot;
pub(super) use quick::{QuickStep, quick_steps};
pub(super) use records::Pair;
pub(super) use scores::{ScoreView, scores};
pub(super) use sorted::{BegunView, DecisionView};
pub(super) use stock::{KitView, ShortView, StockView, kits, short, stock, to_bring};
pub(super) use time::{Moment, day, hour, hour_on, zone};
pub(super) use trend::Trend;
pub(super) use wound::WoundView;
