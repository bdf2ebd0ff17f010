//! Rendered parts, shared by every stream.
//!
//! Owns, for each part, its latest form and the position at which that form last differed. A part is looked
//! at again only when something it may depend on was touched, and counts as changed only when it really reads
//! otherwise.

use std::collections::HashMap;
use std::sync::{Arc, Mutex};

use serde::Serialize;

use crate::incident::Seq;

/// A piece of a page that a live stream can replace by itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Part {
    /// The element it replaces.
    pub id: String,
    /// The element it is put into where there is none yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub into: Option<&'static str>,
    /// Its HTML.
    pub html: String,
}

#[derive(Debug)]
struct Slot {
    checked: Seq,
    changed: Seq,
    part: Arc<Part>,
}

/// The parts rendered so far.
#[derive(Debug, Default)]
pub struct Shelf {
    /// A std lock, held for a look-up or a store and never while rendering.
    slots: Mutex<HashMap<String, Slot>>,
}

impl Shelf {
    /// The part in its latest form, with the position at which it last changed.
    ///
    /// `touched` is the last position that may have changed it, `head` the position of the state that `render`
    /// looks at.
    pub fn get(
        &self,
        id: &str,
        touched: Seq,
        head: Seq,
        render: impl FnOnce() -> Part,
    ) -> (Seq, Arc<Part>) {
        {
            let slots = self.lock();
            if let Some(slot) = slots.get(id)
                && slot.checked >= touched
            {
                return (slot.changed, Arc::clone(&slot.part));
            }
        }
        let part = Arc::new(render());
        let mut slots = self.lock();
        match slots.get_mut(id) {
            // Somebody else rendered a newer state meanwhile.
            Some(slot) if slot.checked > head => (slot.changed, Arc::clone(&slot.part)),
            Some(slot) => {
                slot.checked = head;
                if slot.part != part {
                    slot.changed = head;
                    slot.part = part;
                }
                (slot.changed, Arc::clone(&slot.part))
            }
            None => {
                // It cannot have changed after it was touched: after a restart nobody is sent a whole page again.
                let slot = Slot {
                    checked: head,
                    changed: touched,
                    part: Arc::clone(&part),
                };
                slots.insert(id.to_owned(), slot);
                (touched, part)
            }
        }
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, HashMap<String, Slot>> {
        self.slots
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(html: &str) -> Part {
        Part {
            id: "totals".to_owned(),
            into: None,
            html: html.to_owned(),
        }
    }

    #[test]
    fn a_part_is_rendered_once_for_everybody() {
        let shelf = Shelf::default();
        let first = shelf.get("totals", Seq(3), Seq(5), || part("1"));
        let second = shelf.get("totals", Seq(3), Seq(5), || {
            unreachable!("it is on the shelf")
        });
        assert_eq!(first.0, second.0);
        assert!(Arc::ptr_eq(&first.1, &second.1));
    }

    #[test]
    fn a_part_that_reads_the_same_has_not_changed() {
        let shelf = Shelf::default();
        shelf.get("totals", Seq(3), Seq(5), || part("1"));
        let (changed, _) = shelf.get("totals", Seq(8), Seq(9), || part("1"));
        assert_eq!(changed, Seq(3));
        let (changed, _) = shelf.get("totals", Seq(10), Seq(12), || part("2"));
        assert_eq!(changed, Seq(12));
    }
}
