//! An accessibility engine over every screen, every view of it, in every look, on a phone and on a tablet; and every
//! target as large as the house asks, every page of every role within 320 px.
//!
//! The engine is axe-core from the npm registry (MPL-2.0, for tests only): `tests/run` brings it into `target/axe`. Where
//! it cannot be had, `HOLDFAST_WITHOUT_AXE=1` says so aloud instead of a failure.

use std::path::PathBuf;

use serde_json::{Value, json};

use crate::board::Board;
use crate::screen::{Browsers, Screen};
use crate::tour::populate;

fn engine() -> Option<String> {
    let file = std::env::var_os("HOLDFAST_AXE").map_or_else(
        || {
            PathBuf::from(env!("CARGO_MANIFEST_DIR"))
                .join("target/axe/node_modules/axe-core/axe.min.js")
        },
        PathBuf::from,
    );
    match std::fs::read_to_string(&file) {
        Ok(source) => Some(source),
        Err(_) if std::env::var_os("HOLDFAST_WITHOUT_AXE").is_some() => None,
        Err(error) => panic!(
            "{}: {error}. Bring it: npm install --prefix target/axe axe-core@4.14.1; or say that it is left out: \
            HOLDFAST_WITHOUT_AXE=1",
            file.display()
        ),
    }
}

/// Asks the engine about the page as it opens; where wished, also with every view of it shown. In the first look by every
/// rule, in the others by what a look can change.
const ASK: &str = r"
    const [look, deep, done] = arguments;
    document.documentElement.dataset.theme = look;
    const rules = look === 'light' ? {} : { runOnly: ['color-contrast'] };
    const options = { ...rules, resultTypes: ['violations'] };
    const views = deep ? [...document.querySelectorAll('[data-view-name]')] : [];
    const shown = views.filter((view) => !view.hidden);
    const found = [];
    const note = (where, { violations }) => {
        for (const { id, nodes } of violations) {
            found.push(`${where}: ${id}: ${nodes.slice(0, 3).map((node) => node.target.join(' ') + ' ' + node.html.slice(0, 120)).join(' | ')}`);
        }
    };
    const open = (view) => { for (const fold of view.querySelectorAll('details')) fold.open = true; };
    (async () => {
        note('page', await axe.run(document, options));
        if (views.length > 0) {
            for (const view of views) { view.hidden = false; open(view); }
            // Never all shown at once for people: two of them may have one name.
            const together = look === 'light' ? { rules: { 'landmark-unique': { enabled: false } } } : {};
            note('views', await axe.run(document, { ...options, ...together }));
        }
        for (const view of views) view.hidden = !shown.includes(view);
        done(found);
    })().catch((error) => done([String(error)]));";

async fn looked_over(screen: &Screen, engine: &str, look: &str, deep: bool) -> Vec<String> {
    let there = screen.ask("return typeof axe === 'object'").await;
    if there != true {
        screen.driver.execute(engine, Vec::new()).await.unwrap();
    }
    let found = screen
        .driver
        .execute_async(ASK, vec![json!(look), json!(deep)])
        .await
        .unwrap();
    serde_json::from_value(found.json().clone()).unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn an_accessibility_engine_finds_nothing_on_any_screen_in_any_look() {
    let Some(engine) = engine() else {
        println!("SKIPPED: the accessibility engine (HOLDFAST_WITHOUT_AXE is set)");
        return;
    };
    let board = Board::start().await;
    let casualty = populate(&board).await;
    let browsers = Browsers::start();
    let (ina, teo, eve) = tokio::join!(
        browsers.tablet("Ina"),
        browsers.phone("Teo"),
        browsers.phone("Eve")
    );
    eve.open(&board.url("/join")).await;
    let mut found = Vec::new();
    for line in looked_over(&eve, &engine, "light", true).await {
        found.push(format!("/join light {line}"));
    }
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));
    let one = format!("/casualties/{casualty}");
    let sheet = format!("{one}/handover");
    let lead = [
        "/board",
        &one,
        &sheet,
        "/summary",
        "/log",
        "/poster",
        "/kits",
        "/settings",
        "/evac",
        "/cards",
        "/command",
        "/record",
    ];
    let helper = ["/next", "/board", &one];
    let mut screens = 1;
    for (screen, pages) in [(&ina, &lead[..]), (&teo, &helper[..])] {
        screen
            .driver
            .set_script_timeout(std::time::Duration::from_mins(3))
            .await
            .unwrap();
        for page in pages {
            let began = std::time::Instant::now();
            screen.open(&board.url(page)).await;
            screen.see("main").await;
            // The forms are the same on every page of a role.
            let deep = *page == one && screen.is_named("Ina");
            for look in ["light", "dark", "night"] {
                for line in looked_over(screen, &engine, look, deep).await {
                    found.push(format!("{page} {look} {line}"));
                }
                screens += 1;
            }
            println!("{page}: {:?}", began.elapsed());
        }
    }
    println!("{screens} screens and looks looked over");
    assert!(
        found.is_empty(),
        "{} found:\n{}",
        found.len(),
        found.join("\n")
    );
    tokio::join!(ina.leave(), teo.leave(), eve.leave());
}

/// What can be tapped and is lower than 56 px, but for boxes and dots inside a label that is not, and links inside a
/// sentence; and how far the page hangs over its side.
const SMALL: &str = r"
    const wide = document.documentElement;
    const small = [...document.querySelectorAll('a, button, summary, label, input, select, textarea')].filter((it) => {
        const { width, height } = it.getBoundingClientRect();
        if (width === 0 || height === 0 || it.closest('[data-sentence], .visually-hidden')) return false;
        if (it.matches('input') && it.closest('label')) return false;
        // A label that stands above its field is not what is tapped.
        if (it.matches('label') && !it.querySelector('input')) return false;
        return height < 55.5;
    });
    return [wide.scrollWidth - wide.clientWidth, [...new Set(small.map((it) => `${Math.round(it.getBoundingClientRect().height)} px ${it.outerHTML.slice(0, 110)}`))]]";

#[tokio::test(flavor = "multi_thread")]
async fn every_target_is_large_and_every_page_of_every_role_fits_320_px() {
    let board = Board::start().await;
    let casualty = populate(&board).await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.phone("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));
    let one = format!("/casualties/{casualty}");
    let sheet = format!("{one}/handover");
    let lead = [
        "/board",
        &one,
        &sheet,
        "/summary",
        "/log",
        "/poster",
        "/kits",
        "/settings",
        "/evac",
        "/cards",
    ];
    let helper = [
        "/next", "/board", &one, "/summary", "/log", "/kits", "/cards",
    ];
    let mut found: Vec<String> = Vec::new();
    for (screen, pages) in [(&ina, &lead[..]), (&teo, &helper[..])] {
        let size = json!({ "width": 320, "height": 640, "deviceScaleFactor": 2, "mobile": true });
        screen.cdp("Emulation.setDeviceMetricsOverride", size).await;
        for page in pages {
            screen.open(&board.url(page)).await;
            screen.see("main").await;
            screen.ask("for (const fold of document.querySelectorAll('main details')) fold.open = true").await;
            let Value::Array(answer) = screen.ask(SMALL).await else {
                panic!("no answer")
            };
            if answer[0].as_i64() > Some(0) {
                found.push(format!("{page}: {} px over its side", answer[0]));
            }
            let small: Vec<String> = serde_json::from_value(answer[1].clone()).unwrap();
            found.extend(small.into_iter().map(|it| format!("{page}: {it}")));
        }
    }
    assert!(
        found.is_empty(),
        "{} found:\n{}",
        found.len(),
        found.join("\n")
    );
    tokio::join!(ina.leave(), teo.leave());
}
