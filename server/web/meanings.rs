//! What each problem code means: the page behind a problem's `type`.
//!
//! Owns one sentence for every code. Promises an explanation for each code that this server gives.

use axum::extract::Path;
use axum::http::StatusCode;

use super::problem::Problem;

/// What each code means, in a sentence.
const MEANINGS: &[(&str, &str)] = &[
    (
        "not-understood",
        "A report had an unknown shape or an unknown word in it.",
    ),
    (
        "out-of-range",
        "A number in a report cannot be a measurement.",
    ),
    (
        "no-such-choice",
        "A setting was changed to something it cannot be.",
    ),
    (
        "needs-decider",
        "A setting that a medical adviser decides was changed without saying who decided it.",
    ),
    ("says-nothing", "A report had no value in it."),
    (
        "does-not-fit",
        "A report was about the wrong kind of thing.",
    ),
    (
        "refers-to-nothing",
        "A report named something the board does not know.",
    ),
    ("not-allowed", "The device's role does not allow it."),
    ("board-only", "Only the board itself writes such an entry."),
    (
        "needs-grounds",
        "Somebody was called expectant without saying what is short.",
    ),
    (
        "needs-reason",
        "What somebody else reported was taken back without a reason.",
    ),
    ("id-used-twice", "Two different reports carried one id."),
    ("join-first", "The device has no session."),
    (
        "wrong-code",
        "The join code or the lead's words were not right.",
    ),
    (
        "no-name",
        "Somebody joined without a name, or with one that is too long.",
    ),
    (
        "too-many-guesses",
        "Too many wrong codes came from one address within a minute.",
    ),
    (
        "too-many-joins",
        "Very many devices joined from one address, or in all, within a minute.",
    ),
    (
        "too-many-streams",
        "More screens were live at once than the board serves.",
    ),
    (
        "busy",
        "The board was asked too much at once. It is safe to send again.",
    ),
    ("storage", "The board's disk refused. Nothing was recorded."),
    (
        "disk-full",
        "The board's disk is full. Nothing was recorded; it goes on by itself once there is room.",
    ),
    (
        "file-held",
        "Another program holds the board's file. Nothing was recorded; it goes on by itself.",
    ),
    (
        "too-slow",
        "A request's body did not arrive within fifteen seconds.",
    ),
    (
        "too-many-connections",
        "One address, or all together, held more connections open than the board serves.",
    ),
    (
        "too-fast",
        "One device reported faster than people can. It is safe to send again.",
    ),
    (
        "only-follows",
        "Somebody was to be removed, or a code renewed, on a standby that follows a board.",
    ),
    (
        "rebuilt-already",
        "A copy was restored on a board that went on from one already.",
    ),
    (
        "not-empty",
        "A lost board can only be rebuilt on one that holds no reports yet.",
    ),
    (
        "its-own",
        "A board was to be rebuilt from a copy of itself.",
    ),
    (
        "occupied",
        "Another device is rebuilding this board from its copy just now.",
    ),
    (
        "begin-again",
        "A copy was continued whose beginning is not here any more; nothing of it was used.",
    ),
    (
        "incomplete",
        "A copy was ended before all of it had arrived; nothing of it was used.",
    ),
    (
        "not-whole",
        "A copy of a record did not hold together. Nothing of it was used.",
    ),
    (
        "sealed",
        "An entry of a copy is sealed for the lead. It opens on a board with the three words of the lost one.",
    ),
    (
        "too-large",
        "A request was larger than 64 kB or held more than 50 reports.",
    ),
    (
        "not-json",
        "A request's body was not the JSON that was expected.",
    ),
    (
        "not-from-here",
        "A request did not come from the board's own pages.",
    ),
    (
        "wrong-host",
        "The board was asked under a name or address that is not its own.",
    ),
    (
        "wrong-method",
        "The address exists but not for this kind of request.",
    ),
    (
        "unreadable-address",
        "A part of the address was not what belongs there.",
    ),
    (
        "no-such-page",
        "Nothing is at the address that was asked for.",
    ),
    (
        "no-such-view",
        "A live stream was asked for a view that does not exist.",
    ),
    ("no-code", "A text was too long for a code to scan."),
    (
        "page-failed",
        "A page could not be drawn: a fault in the program.",
    ),
    (
        "fault",
        "A fault in the program. What was reported before is safe.",
    ),
];

/// `GET /problems/{code}`: what a problem's type means, answered by this server so that it works without a
/// network.
pub(super) async fn explain(Path(code): Path<String>) -> Problem {
    MEANINGS
        .iter()
        .find(|(known, _)| *known == code)
        .map_or_else(Problem::no_such_page, |(_, text)| {
            Problem::new(StatusCode::OK, "explanation", "What this means", *text)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The sources in which problems get their codes.
    const GIVERS: &[&str] = &[
        include_str!("problem.rs"),
        include_str!("join.rs"),
        include_str!("live_door.rs"),
        include_str!("page.rs"),
        include_str!("poster.rs"),
        include_str!("json.rs"),
        include_str!("journal_door.rs"),
        include_str!("connections.rs"),
        include_str!("restoration.rs"),
        include_str!("../incident/refusal.rs"),
    ];

    #[test]
    fn every_code_that_is_given_is_explained() {
        // A code stands alone on its line, or behind the arrow of the table of refusals.
        let given: Vec<&str> = GIVERS
            .iter()
            .flat_map(|source| source.lines())
            .filter_map(|line| {
                let word = line.rsplit("=> ").next()?.trim().strip_suffix(',')?;
                word.strip_prefix('"')?.strip_suffix('"')
            })
            .filter(|word| word.bytes().all(|b| b.is_ascii_lowercase() || b == b'-'))
            .filter(|word| *word != "explanation")
            .collect();
        assert!(given.len() >= 20, "{given:?}");
        for code in given {
            assert!(MEANINGS.iter().any(|(known, _)| *known == code), "{code}");
        }
    }
}
