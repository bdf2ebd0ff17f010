//! Board time on phones whose clocks are wrong: the same second on two of them, and every tap where it happened.

use std::time::Duration;

use holdfast::clock::wall_now;
use jiff::Timestamp;
use serde_json::Value;

use crate::board::Board;
use crate::care::register;
use crate::screen::{Browsers, Screen};

/// The page's wall clock can be set; `trueNow` stays what it is, and every second shown is noted with it.
const SETTABLE: &str = r"
    const Real = Date;
    let shift = 0;
    window.trueNow = () => Real.now();
    window.setClock = (hours) => { shift += hours * 3600000; };
    window.Date = class extends Real {
        constructor(...parts) { if (parts.length === 0) super(Real.now() + shift); else super(...parts); }
        static now() { return Real.now() + shift; }
    };
    window.seconds = {};
    document.addEventListener('DOMContentLoaded', () => {
        const shown = document.querySelector('[data-live]');
        if (shown) new MutationObserver(() => {
            const second = shown.textContent.match(/live (\d\d:\d\d:\d\d)$/)?.[1];
            if (second) window.seconds[second] ??= Real.now();
        }).observe(shown, { childList: true, characterData: true, subtree: true });
    });";

/// When each second was first shown, in true ms; only those after `since`.
async fn seconds(phone: &Screen, since: i64) -> Vec<(String, i64)> {
    let Value::Object(shown) = phone.ask("return window.seconds").await else {
        panic!("no seconds were noted")
    };
    let shown = shown
        .into_iter()
        .map(|(second, at)| (second, at.as_i64().unwrap()));
    shown.filter(|(_, at)| *at > since).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn two_phones_show_the_same_second_and_taps_land_in_time_though_clocks_are_set_by_thirteen_hours()
 {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, sol) = tokio::join!(browsers.phone("Teo"), browsers.phone("Sol"));
    for phone in [&teo, &sol] {
        phone.before_every_page(SETTABLE).await;
        phone.join_by_poster(&board).await;
        phone.see("body[data-link=live]").await;
    }
    for (one, other) in [(13, -13), (-26, 26)] {
        let set = |hours: i32| format!("window.setClock({hours})");
        teo.ask(&set(one)).await;
        sol.ask(&set(other)).await;
        // A heartbeat later both are sure again; until then they say "about".
        tokio::time::sleep(Duration::from_secs(6)).await;
        let since = wall_now().as_millisecond();
        tokio::time::sleep(Duration::from_secs(8)).await;
        let (mine, theirs) = (seconds(&teo, since).await, seconds(&sol, since).await);
        let mut apart: Vec<i64> = mine
            .iter()
            .filter_map(|(second, at)| {
                theirs
                    .iter()
                    .find(|(other, _)| other == second)
                    .map(|(_, there)| (at - there).abs())
            })
            .collect();
        println!("clocks set by {one} and {other} hours: seconds apart by {apart:?} ms");
        assert!(apart.len() >= 3, "{mine:?} and {theirs:?}");
        // A second may be drawn late where the machine is busy; clocks that are apart are so in each.
        apart.sort_unstable();
        assert!(apart[apart.len() / 2] <= 500, "{apart:?}");
    }

    // Out of range with the clock set between taps: both land where they happened.
    board.close().await;
    let mut tapped: Vec<Timestamp> = Vec::new();
    register(&teo, "adult", &[]).await;
    tapped.push(wall_now());
    teo.tap("[data-view-name=sheet] [data-close]").await;
    teo.ask("window.setClock(13)").await;
    tokio::time::sleep(Duration::from_secs(2)).await;
    register(&teo, "child", &[]).await;
    tapped.push(wall_now());
    teo.tap("[data-view-name=sheet] [data-close]").await;
    teo.ask("window.setClock(-20)").await;
    tokio::time::sleep(Duration::from_secs(1)).await;
    board.open().await;
    teo.reads_within("[data-pill]", "All on the board", Duration::from_secs(30))
        .await;
    let kept: Vec<(Timestamp, bool)> = board.app.as_ref().unwrap().journal.read(|incident| {
        let met = incident
            .entries()
            .iter()
            .filter(|entry| entry.fact.kind() == "casualty.registered/1");
        met.map(|entry| (entry.happened_at, entry.time_unsure))
            .collect()
    });
    for (at, (happened, unsure)) in tapped.iter().zip(&kept) {
        let off = happened.duration_since(*at).as_secs_f64();
        println!("a tap landed {off:.1} s from when it was made, unsure: {unsure}");
        assert!(off.abs() < 5.0);
    }
    assert_eq!(kept.len(), 2);
    tokio::join!(teo.leave(), sol.leave());
}
