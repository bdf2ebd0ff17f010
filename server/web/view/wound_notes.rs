//! What stands beside a wound's next step: how to do it at this place, how its tourniquet sits, what was felt beyond,
//! what its care asks for later.
//!
//! Owns which of these lines are shown, in order. Every line comes from the rules, with its source there.

use jiff::Timestamp;

use super::time::hour;
use super::wound::Note;
use crate::incident::{BeyondSeen, Casualty, Wound, level_words};
use crate::rules::bleeding::after_care::{
    DressingCare, dressing_care, leave_for_the_wound, not_to_be_closed,
};
use crate::rules::bleeding::conversion::hospital_is_near;
use crate::rules::bleeding::infection::{BITE_NOTE, tetanus_note};
use crate::rules::bleeding::place_rules::{AMPUTATED_PART, IMPALED, place_steps};
use crate::rules::bleeding::warning::Warning;
use crate::rules::bleeding::wound::{Amputation, Contamination, Mechanism};
use crate::rules::bleeding::{Policy, Region};

/// How it is done here, one line each.
pub(super) fn how(wound: &Wound) -> Vec<&'static str> {
    let place = wound.region.map_or(&[][..], place_steps);
    let impaled: &[&str] = if wound.described.impaled {
        &IMPALED
    } else {
        &[]
    };
    let lost = (wound.described.amputation != Amputation::None).then_some(AMPUTATED_PART);
    place
        .iter()
        .copied()
        .chain(impaled.iter().copied())
        .chain(lost)
        .collect()
}

/// What is known beside the ladder, one line each.
pub(super) fn notes(policy: &Policy, casualty: &Casualty, wound: &Wound) -> Vec<Note> {
    let mut lines = Vec::new();
    lines.extend(tourniquet(wound));
    lines.extend(
        wound
            .seen
            .before
            .as_ref()
            .map(|seen| beyond("before the dressing", seen)),
    );
    if let Some(seen) = &wound.seen.beyond {
        lines.push(beyond("beyond", seen));
        if seen.judged.slow_refill_from_cold {
            lines.push(Warning::SlowRefillCold.text().to_owned());
        }
        if seen.judged.ask_about_shock {
            lines.push("Slow on both sides and not cold: look for signs of shock.".to_owned());
        }
    }
    if let Some((at, _, serious)) = &wound.seen.infection {
        let says = serious.advice().unwrap_or("no sign of infection");
        lines.push(format!("{}: {says}", hour(*at)));
    }
    if wound.seen.rinsed_ml > 0 {
        lines.push(format!("rinsed with {} mL", wound.seen.rinsed_ml));
    }
    lines.extend(closing(policy, casualty, wound));
    lines.extend(later(casualty, wound));
    let mut notes: Vec<Note> = lines.into_iter().map(Note::from).collect();
    notes.extend(hospital(policy, casualty, wound).into_iter().flatten());
    notes.extend(too_old_to_close(policy, casualty, wound));
    notes
}

/// Why a tourniquet that could come off is left on; once the time has passed, that it is to be judged anew.
fn hospital(policy: &Policy, casualty: &Casualty, wound: &Wound) -> Option<[Note; 2]> {
    let limb = wound.limb.as_ref().filter(|limb| limb.is_tight())?;
    let at = casualty.risks.hospital_at?;
    hospital_is_near(policy, limb, Some(at)).then(|| {
        let waits = format!(
            "in hospital at {}: the tourniquet stays on until then",
            hour(at)
        );
        let late = format!(
            "was to be in hospital at {}: look at the tourniquet again",
            hour(at)
        );
        [
            Note {
                until: Some(at.into()),
                ..Note::from(waits)
            },
            Note {
                from: Some(at.into()),
                ..Note::from(late)
            },
        ]
    })
}

/// How old a wound was at a moment, in whole hours.
fn hours_old(casualty: &Casualty, wound: &Wound, at: Timestamp) -> Option<u32> {
    let since = casualty.risks.injured_at.unwrap_or(wound.found_at);
    u32::try_from(at.duration_since(since).as_hours()).ok()
}

/// Closed all the same, or why it stays open.
fn closing(policy: &Policy, casualty: &Casualty, wound: &Wound) -> Option<String> {
    let standing = &wound.standing;
    if let (Some(_), Some((at, with))) = (standing.times.closed, wound.seen.closed) {
        let age = hours_old(casualty, wound, at);
        let why = not_to_be_closed(policy, &wound.described, age).map_or_else(String::new, |why| {
            format!(", although {why}: tell the hospital")
        });
        return Some(format!("{} closed with {}{why}", hour(at), with.words()));
    }
    let why = not_to_be_closed(policy, &wound.described, None)?;
    standing
        .state
        .is_stopped()
        .then(|| format!("stays open, not closed out here: {why}"))
}

/// From when a wound that could be closed now may not be any more.
fn too_old_to_close(policy: &Policy, casualty: &Casualty, wound: &Wound) -> Option<Note> {
    let standing = &wound.standing;
    let open = standing.state.is_stopped() && standing.times.closed.is_none();
    if !open || not_to_be_closed(policy, &wound.described, None).is_some() {
        return None;
    }
    let late = policy.care.rinse_before;
    let why = not_to_be_closed(policy, &wound.described, Some(late.0 / 60 + 1))?;
    let since = casualty.risks.injured_at.unwrap_or(wound.found_at);
    Some(Note {
        words: format!("stays open, not closed out here: {why}"),
        from: Some(late.after(since).into()),
        until: None,
    })
}

fn tourniquet(wound: &Wound) -> Option<String> {
    let limb = wound.limb.as_ref().filter(|limb| limb.is_tight())?;
    let last = limb.tourniquets.last()?;
    let on = last.application;
    let mut said = vec![format!("tourniquet {}", level_words(on.level))];
    if on.over_clothes {
        said.push("over clothes".to_owned());
    }
    if on.improvised {
        said.push("improvised".to_owned());
    }
    said.push(
        if on.time_written {
            "time written on it"
        } else {
            "time NOT yet written on it"
        }
        .to_owned(),
    );
    if limb.tourniquets.len() > 1 {
        said.push(format!("{} on this limb", limb.tourniquets.len()));
    }
    if let Some(again) = limb.retightened_at {
        said.push(format!("tightened again at {}", hour(again)));
    }
    Some(said.join(", "))
}

fn beyond(what: &str, seen: &BeyondSeen) -> String {
    use crate::incident::fact::{Circulation, Compared};
    use crate::rules::bleeding::distal::Skin;
    let check = &seen.check;
    let seconds = |tenths: u16| format!("{}.{} s", tenths / 10, tenths % 10);
    let limit = seconds(seen.limit_tenths);
    let compared = |what: &str, said: Option<Compared>| match said {
        Some(Compared::Worse) => Some(format!("{what} worse")),
        Some(Compared::AsBefore) => Some(format!("{what} well")),
        _ => None,
    };
    let pulse = check.circulation.map(|pulse| {
        match pulse {
            Circulation::Present => "pulse there",
            Circulation::Weaker => "pulse weaker",
            Circulation::Absent => "no pulse",
            Circulation::CannotTell => "pulse cannot be told",
        }
        .to_owned()
    });
    let skin = match check.skin {
        Some(Skin::WorseThisSide) => Some("pale, blue or cold on this side".to_owned()),
        Some(Skin::ColdBothSides) => Some("cold on both sides".to_owned()),
        _ => None,
    };
    let said: Vec<String> = [
        pulse,
        check
            .refill_tenths
            .map(|tenths| format!("colour back in {} (limit {limit})", seconds(tenths))),
        check
            .refill_other_side_tenths
            .map(|tenths| format!("other side {}", seconds(tenths))),
        skin,
        compared("movement", check.movement),
        compared("feeling", check.feeling),
    ]
    .into_iter()
    .flatten()
    .collect();
    format!("{} {what}: {}", hour(seen.at), said.join(", "))
}

/// What its care asks for once it is quiet, and what goes with the casualty.
fn later(casualty: &Casualty, wound: &Wound) -> Vec<String> {
    let described = &wound.described;
    let standing = &wound.standing;
    let mut lines = Vec::new();
    let moment = standing.next_since.unwrap_or(Timestamp::UNIX_EPOCH);
    let reasons = leave_for_the_wound(described, standing, moment);
    if !reasons.is_empty() {
        lines.push(format!("leaves sooner for: {}", reasons.join(", ")));
    }
    if standing.state.is_stopped() || standing.times.packed.is_some() {
        match dressing_care(standing) {
            DressingCare::Daily => {}
            DressingCare::LeaveClosed => {
                lines.push("not opened here: look at the stain and beyond it".to_owned());
            }
            DressingCare::LeavePackedForHospital => {
                lines.push(
                    "packing stays in for the hospital; tell them when it went in".to_owned(),
                );
            }
        }
    }
    let minor = described.contamination == Contamination::Clean
        && matches!(described.mechanism, Mechanism::Cut | Mechanism::Graze);
    let tetanus = casualty
        .risks
        .tetanus
        .and_then(|history| tetanus_note(history, minor));
    lines.extend(tetanus.map(|note| format!("for the hospital: {note}")));
    if described.mechanism == Mechanism::Bite {
        lines.push(format!("for the hospital: {BITE_NOTE}"));
    }
    lines
}

/// Whether something can be felt beyond it before it is dressed.
pub(super) fn feels_before(wound: &Wound) -> bool {
    wound.seen.before.is_none()
        && wound.standing.layers == 0
        && !wound.standing.state.is_under_tourniquet()
        && !wound.standing.state.is_stopped()
        && wound
            .region
            .is_some_and(|region: Region| region.capability().distal_check)
}
