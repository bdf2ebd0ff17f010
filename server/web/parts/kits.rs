//! The part of the kits' page: the account of every item, and each kit with what is in it.

use askama::Template;

use super::super::view::{KitView, StockView, kits, stock};
use super::{Shown, Stage, draw};

#[derive(Template)]
#[template(path = "parts/kits.html")]
struct Kits {
    accounts: Vec<StockView>,
    kits: Vec<KitView>,
}

impl Stage<'_> {
    pub(in crate::web) fn kits(&self) -> Shown {
        let touched = self.all_touched().max(self.incident.touched().stock);
        self.show("kits", None, touched, || {
            draw(&Kits {
                accounts: stock(self.incident),
                kits: kits(self.incident),
            })
        })
    }
}
