//! Three phones and a lead work twelve casualties while their links come and go and the board is killed twice.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::time::{Duration, Instant};

use serde_json::Value;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions, Row};
use tokio::sync::watch;

use crate::care::{find_wound, register};
use crate::net::Far;
use crate::screen::{Browsers, Screen};
use crate::sorting::give;

/// How long the links come and go.
const UNREST: Duration = Duration::from_mins(2);
const PATIENCE: Duration = Duration::from_mins(1);

/// Entries that no device reported.
const WRITTEN_BY_THE_BOARD: [&str; 3] = ["helper.joined/1", "incident.opened/1", "record.taken/1"];

/// What a board page says of everybody, without what runs on by itself.
const PICTURE: &str = r"
    return [...document.querySelectorAll('#rows > tr')].map((row) => {
        const copy = row.cloneNode(true);
        copy.removeAttribute('data-changed');
        for (const running of copy.querySelectorAll('.running')) running.remove();
        return copy.dataset.order + ' ' + copy.textContent.replace(/\s+/g, ' ').trim();
    })";

/// Opens one of those listed on "My next": their page, if it can be had, else what this page can do for them.
async fn open_listed(phone: &Screen, round: u64) -> bool {
    const LISTED: &str = "[...document.querySelectorAll('[data-mine] a, [data-met=casualty] [data-met-item] button')]";
    const OPENED: &str = "[data-view-name=sheet] [data-open=vitals], .does [data-open=vitals]";
    phone.see("main.phone[data-view-name=home]").await;
    let open =
        format!("const all = {LISTED}; all[{round} % all.length]?.click(); return all.length > 0");
    if phone.ask(&open).await != true {
        return false;
    }
    // The link may go between the question whether the page is there and the page itself: nothing comes of that tap, and
    // people tap again.
    if !phone.sees(OPENED, Duration::from_secs(10)).await {
        phone.ask(&open).await;
        phone.see(OPENED).await;
    }
    true
}

async fn begin(phone: &Screen, what: &str) {
    let open = format!(
        "[data-view-name=sheet]:not([hidden]) [data-open={what}], .does [data-open={what}]"
    );
    phone.tap(&open).await;
    phone.see(&format!("[data-view-name={what}]")).await;
}

/// Sorts by whatever the incident sorts by: does not walk, and yes to everything else.
async fn sorts(phone: &Screen) {
    begin(phone, "assess").await;
    for asked in 0..9 {
        let seen = "const shown = (css) => document.querySelector(css)?.offsetParent != null; \
            return [shown('[data-triage-accept]'), shown('[data-triage-age=adult]')]";
        let seen = phone.ask(seen).await;
        if seen[0] == true {
            return phone.tap("[data-triage-accept]").await;
        }
        if seen[1] == true {
            phone.tap("[data-triage-age=adult]").await;
        } else {
            give(phone, if asked == 0 { "no" } else { "yes" }).await;
        }
    }
    // Answered already by the same hand: nothing is left to ask or to assign.
    phone.tap("[data-view-name=assess] [data-back]").await;
}

async fn does_one_thing(phone: &Screen, round: u64) {
    match round % 5 {
        0 => sorts(phone).await,
        1 => {
            begin(phone, "evac").await;
            for choice in ["soon", "lying"] {
                phone
                    .tap(&format!(
                        "[data-view-name=evac] input[value={choice}] + span"
                    ))
                    .await;
            }
            phone.tap("[data-view-name=evac] button[type=submit]").await;
        }
        2 => {
            begin(phone, "note").await;
            phone.fill("#note-text", "asks for water").await;
            phone.tap("[data-view-name=note] button[type=submit]").await;
        }
        _ => {
            begin(phone, "vitals").await;
            phone.tap("[data-view-name=vitals] [data-step='4']").await;
            phone
                .tap("[data-view-name=vitals] button[type=submit]")
                .await;
        }
    }
}

/// One helper's casualties: met, taken on, a wound found, pressed and looked at; then, again and again, sorted, asked to
/// leave, noted on and measured. Everything is tapped whether the board can be reached or not.
async fn works(phone: &Screen, mut over: watch::Receiver<bool>) {
    for age in ["adult", "child", "adult", "unknown"] {
        register(phone, age, &["woman", "red"]).await;
        phone
            .tap_words("[data-view-name=sheet] button", "I have them")
            .await;
        phone.tap("[data-view-name=sheet] [data-open=wound]").await;
        find_wound(phone, "steady", "left", "forearm").await;
        phone
            .tap_words("[data-view-name=step] [data-report]", "Pressing now")
            .await;
        phone
            .tap_words("[data-view-name=hold] [data-report]", "Lifted")
            .await;
        phone
            .tap_words("[data-view-name=hold] [data-report]", "Hands are off it")
            .await;
        phone.see("main.phone[data-view-name=home]").await;
    }
    let mut round = 0;
    while !*over.borrow_and_update() || round < 5 {
        if !open_listed(phone, round).await {
            tokio::time::sleep(Duration::from_millis(300)).await;
            continue;
        }
        does_one_thing(phone, round).await;
        if phone.ask("return document.body.dataset.here").await == "casualty" {
            phone.see("[data-view-name=home] .does").await;
            phone.tap(".foot__link[href='/next']").await;
        } else if phone
            .ask("return document.querySelector('main.phone').hidden")
            .await
            == true
        {
            phone.tap("[data-view-name=sheet] [data-close]").await;
        }
        phone.see("main.phone[data-view-name=home]").await;
        round += 1;
    }
}

/// Cuts and mends, in a fixed pattern: short and long, one and several.
async fn unrest(far: &mut Far) {
    let began = Instant::now();
    let mut killed = 0;
    let mut beat = 0_usize;
    while began.elapsed() < UNREST {
        let which = [beat % 3, (beat / 2) % 3];
        for at in which {
            far.link(at).cut();
        }
        if beat.is_multiple_of(4) {
            far.link(3).cut();
        }
        tokio::time::sleep(Duration::from_millis(2_000 + 1_500 * (beat as u64 % 5))).await;
        if beat == 3 || beat == 7 {
            far.kill();
            killed += 1;
            tokio::time::sleep(Duration::from_secs(2)).await;
            far.open().await;
        }
        for at in 0..4 {
            far.link(at).mend();
        }
        tokio::time::sleep(Duration::from_millis(1_500 + 700 * (beat as u64 % 3))).await;
        beat += 1;
    }
    assert_eq!(killed, 2, "the board was killed twice");
    println!(
        "{beat} cuts in {:?}, the board killed twice",
        began.elapsed()
    );
}

pub(crate) async fn rows(file: &Path, query: &'static str) -> Vec<(String, String)> {
    let options = SqliteConnectOptions::new().filename(file).read_only(true);
    let mut connection: SqliteConnection = options.connect().await.unwrap();
    let rows = sqlx::query(query).fetch_all(&mut connection).await.unwrap();
    rows.iter()
        .map(|row| (row.get::<String, _>(0), row.get::<String, _>(1)))
        .collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn three_phones_and_a_lead_lose_nothing_while_links_and_board_fail() {
    let mut far = Far::start(4).await;
    let browsers = Browsers::start();
    let (teo, sol, jo, ina) = tokio::join!(
        browsers.phone("Teo"),
        browsers.phone("Sol"),
        browsers.phone("Jo"),
        browsers.tablet("Ina")
    );
    let base: Vec<String> = (0..4).map(|at| far.link(at).url("")).collect();
    tokio::join!(
        teo.join_at(&base[0]),
        sol.join_at(&base[1]),
        jo.join_at(&base[2]),
        ina.lead_at(&base[3])
    );

    let (tell, over) = watch::channel(false);
    let unrest = async {
        unrest(&mut far).await;
        tell.send(true).unwrap();
    };
    let mended = {
        tokio::join!(
            works(&teo, over.clone()),
            works(&sol, over.clone()),
            works(&jo, over.clone()),
            unrest
        );
        Instant::now()
    };
    for (phone, name) in [(&teo, "Teo"), (&sol, "Sol"), (&jo, "Jo")] {
        phone
            .reads_within("[data-pill]", "All on the board", PATIENCE)
            .await;
        println!(
            "{name}: caught up {:.1} s after the links stayed",
            mended.elapsed().as_secs_f32()
        );
    }

    // One last time everybody is out of range while the lead's own reports go on; all come back to the same picture.
    tokio::join!(
        teo.open_at(&base[0], "/board"),
        sol.open_at(&base[1], "/board"),
        jo.open_at(&base[2], "/board")
    );
    for at in 0..3 {
        far.link(at).cut();
    }
    register(&ina, "adult", &["man", "hat"]).await;
    ina.tap("[data-view-name=sheet] [data-close]").await;
    ina.reads("#rows", "man, hat").await;
    tokio::time::sleep(Duration::from_secs(8)).await;
    let back = Instant::now();
    for at in 0..3 {
        far.link(at).mend();
    }
    for phone in [&teo, &sol, &jo] {
        phone.reads_within("#rows", "man, hat", PATIENCE).await;
    }
    println!(
        "all screens caught up {:.1} s after the last cut",
        back.elapsed().as_secs_f32()
    );
    agree(&far, [&teo, &sol, &jo, &ina], &base[3]).await;
    for screen in [teo, sol, jo, ina] {
        screen.is_sound().await;
        screen.leave().await;
    }
}

/// Four live screens, a fresh page and the file say the same; nothing that was shown as kept is missing or double.
async fn agree(far: &Far, screens: [&Screen; 4], base: &str) {
    let mut tapped = BTreeSet::new();
    let mut doubled = 0;
    for screen in screens {
        for (id, state) in screen.kept().await {
            assert_eq!(state, "receipted", "{id}");
            doubled += usize::from(!tapped.insert(id));
        }
    }
    let entries = rows(&far.file(), "select id, kind from entry").await;
    let on_board: BTreeSet<String> = entries.iter().map(|(id, _)| id.clone()).collect();
    let people = entries
        .iter()
        .filter(|(_, kind)| !WRITTEN_BY_THE_BOARD.contains(&kind.as_str()));
    let reported = people.count();
    doubled += entries.len() - on_board.len();
    let lost = tapped.difference(&on_board).count();
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for (_, kind) in &entries {
        *kinds.entry(kind).or_default() += 1;
    }
    println!("{kinds:?}");
    for kind in [
        "casualty.registered/1",
        "wound.found/2",
        "step.taken/2",
        "assessment.answered/1",
        "vitals.measured/2",
        "evac.requested/2",
        "note.added/1",
    ] {
        assert!(kinds.contains_key(kind), "nobody reported {kind}");
    }
    println!(
        "facts tapped {}, on the board {reported}, lost {lost}, doubled {doubled}",
        tapped.len()
    );
    assert_eq!((lost, doubled, reported), (0, 0, tapped.len()));

    let mut pictures = Vec::new();
    for screen in screens {
        pictures.push(screen.ask(PICTURE).await);
    }
    let fresh = screens[3];
    fresh.open_at(base, "/board").await;
    pictures.push(fresh.ask(PICTURE).await);
    let first = pictures[0].clone();
    for (at, picture) in pictures.iter().enumerate() {
        assert_eq!(*picture, first, "screen {at} differs");
    }
    let file = rows(
        &far.file(),
        "select cast(number as text), coalesce(words, '') from casualty order by number",
    )
    .await;
    assert_eq!(file.len(), 13, "twelve and the lead's one");
    let shown = first.as_array().unwrap();
    assert_eq!(shown.len(), file.len());
    for (number, words) in &file {
        let says = |row: &Value| {
            row.as_str().is_some_and(|row| {
                row.contains(words.as_str()) && row.split(' ').nth(1) == Some(number)
            })
        };
        assert!(
            shown.iter().any(says),
            "{number} {words} is not on the screens: {shown:?}"
        );
    }
}
