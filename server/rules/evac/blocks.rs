//! Blocks: people who go on one trip or not at all, with everything that limits where they can go.

use super::model::{Block, Member, Model, Slot};
use super::problem::{Ability, Casualty, Equipment, Pin, Posture};
use super::vector::{LEFT_BEHIND, Score};

impl Model<'_> {
    pub(super) fn block(&self, members: &[usize]) -> Block {
        let problem = self.problem;
        let people: Vec<&Casualty> = members.iter().map(|at| &problem.casualties[*at]).collect();
        let lying = people
            .iter()
            .filter(|c| c.posture == Posture::Lying)
            .count();
        let mut block = Block {
            members: members
                .iter()
                .map(|at| Member {
                    casualty: *at,
                    class: problem.casualties[*at].priority.index(),
                    deadline: problem.casualties[*at].deadline.unwrap_or(i32::MAX),
                    shown: self.shown(*at),
                })
                .collect(),
            class: people.iter().map(|c| c.priority.index()).min().unwrap_or(0),
            lying: u16::try_from(lying).unwrap_or(u16::MAX),
            sitting: u16::try_from(people.len() - lying).unwrap_or(u16::MAX),
            escort: people.iter().fold(0, |sum, c| sum.saturating_add(c.escort)),
            ready: people.iter().map(|c| c.ready).max().unwrap_or(0),
            count: [0; 4],
            out: Score::default(),
            routes: Vec::new(),
            next_trip: false,
            aboard: false,
            twin: None,
        };
        for member in &block.members {
            block.count[member.class] += 1;
            block.out.0[member.class] += LEFT_BEHIND;
            block.out.0[4] += u64::from(member.shown.is_some());
        }
        let pins: Vec<_> = problem
            .pins
            .iter()
            .filter(|pin| people.iter().any(|c| c.id == pin.casualty))
            .collect();
        block.next_trip = pins.iter().any(|pin| pin.next_trip);
        block.routes = (0..problem.transports.len())
            .map(|v| self.routes(v, &block, &people, &pins))
            .collect();
        block
    }

    /// The ways on one transport that nothing about these people forbids.
    fn routes(
        &self,
        v: usize,
        block: &Block,
        people: &[&Casualty],
        pins: &[&Pin],
    ) -> Vec<(usize, i32)> {
        let problem = self.problem;
        let transport = &problem.transports[v];
        let van = &self.vans[v];
        let walks = !transport.on_foot || people.iter().all(|c| c.posture != Posture::Sitting);
        let equipped = people
            .iter()
            .all(|c| has_all(&c.aboard, &transport.equipment));
        let pinned_here = pins.iter().all(|pin| pin.transport == transport.id);
        if !walks
            || !equipped
            || !pinned_here
            || !van.fits(block.lying, block.sitting, block.escort)
        {
            return Vec::new();
        }
        problem
            .destinations
            .iter()
            .enumerate()
            .filter(|(d, place)| {
                people.iter().all(|c| knows_all(&c.needs, &place.abilities))
                    && pins
                        .iter()
                        .all(|pin| pin.destination.is_none_or(|to| to == place.id))
                    && block
                        .count
                        .iter()
                        .zip(&self.beds[*d])
                        .all(|(n, beds)| n <= beds)
            })
            .filter_map(|(d, place)| {
                // A trip that is being loaded may go where no way is known of, at its own pace.
                let loading = problem
                    .loading_on(transport.id)
                    .filter(|t| t.destination == place.id);
                let minutes = transport
                    .minutes_to(place.id)
                    .or(loading.map(|t| t.travel))?;
                Some((d, minutes))
            })
            .collect()
    }

    /// Where the plan on screen has this casualty.
    fn shown(&self, at: usize) -> Option<Slot> {
        let problem = self.problem;
        let id = problem.casualties[at].id;
        let stands: Vec<_> = problem
            .shown
            .iter()
            .filter(|trip| {
                trip.casualties
                    .iter()
                    .any(|id| problem.casualty(*id).is_some() && !problem.has_left(*id))
            })
            .collect();
        let place = stands
            .iter()
            .position(|trip| trip.casualties.contains(&id))?;
        let trip = stands[place];
        let number = stands[..place]
            .iter()
            .filter(|before| before.transport == trip.transport)
            .count();
        let van = problem
            .transports
            .iter()
            .position(|t| t.id == trip.transport)?;
        let destination = problem
            .destinations
            .iter()
            .position(|d| d.id == trip.destination)?;
        Some((van, number, destination))
    }
}

fn has_all(needs: &[Equipment], has: &[Equipment]) -> bool {
    needs.iter().all(|need| has.contains(need))
}

fn knows_all(needs: &[Ability], has: &[Ability]) -> bool {
    needs.iter().all(|need| has.contains(need))
}
