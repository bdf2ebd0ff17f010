//! The turns a transport can have, and when each can begin at the earliest.

use super::model::Model;

/// A turn of a transport.
pub(super) struct Turn {
    pub(super) van: usize,
    pub(super) number: usize,
    /// How many people of the kind it holds.
    pub(super) places: usize,
    /// Minute from which it can be loaded, at the earliest.
    pub(super) from: i32,
}

/// The turns that people of a kind can have, each as often as it holds one of them.
pub(super) fn turns(model: &Model<'_>, layer: &[usize], kind: usize, rows: &[usize]) -> Vec<Turn> {
    let mut turns = Vec::new();
    for (v, van) in model.vans.iter().enumerate() {
        let least_escort = rows
            .iter()
            .map(|row| model.blocks[*row].escort)
            .min()
            .unwrap_or(1)
            .max(1);
        let most = van.layouts.iter().map(|(lying, sitting)| match kind {
            0 => (lying + sitting).min(van.attendants / least_escort),
            1 => *lying,
            _ => *sitting,
        });
        let places = usize::from(most.max().unwrap_or(0)).min(rows.len());
        let nearest = layer
            .iter()
            .flat_map(|block| &model.blocks[*block].routes[v])
            .map(|(_, travel)| *travel)
            .chain(
                model
                    .seeds
                    .iter()
                    .filter(|seed| seed.van == v)
                    .map(|seed| seed.travel),
            )
            .min();
        let Some(nearest) = nearest else { continue };
        let seeded = model.seeds.iter().find(|seed| seed.van == v);
        let mut from = seeded.map_or(van.start, |seed| seed.departs - van.load);
        for number in 0..van.trips.min(layer.len() + 1) {
            if from + van.load > van.last_departure || from + van.load + nearest > model.horizon {
                break;
            }
            if places > 0 {
                turns.push(Turn {
                    van: v,
                    number,
                    places,
                    from,
                });
            }
            from += van.load + nearest + van.unload + nearest;
        }
    }
    turns
}
