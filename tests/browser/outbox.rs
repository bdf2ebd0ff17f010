//! What a phone keeps: mended, read aloud, shown as codes, of another version, where storage is refused, after joining anew.

use std::time::Duration;

use serde_json::Value;

use crate::board::{Board, CODE};
use crate::care::register;
use crate::screen::{Browsers, SOON, Screen};

/// A code drawn by the page, read by a decoder of somebody else's: rows of "0" and "1" in, the text out.
pub(crate) fn decoded(rows: &[String]) -> Option<String> {
    const SCALE: usize = 4;
    const QUIET: usize = 4;
    let side = (rows.len() + 2 * QUIET) * SCALE;
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
        let at = |pixel: usize| (pixel / SCALE).checked_sub(QUIET);
        let dark = at(y)
            .zip(at(x))
            .and_then(|(row, column)| rows.get(row)?.as_bytes().get(column))
            .is_some_and(|cell| *cell == b'1');
        if dark { 0 } else { 255 }
    });
    let grids = image.detect_grids();
    grids.first()?.decode().ok().map(|(_, text)| text)
}

fn rows(value: &Value) -> Vec<String> {
    serde_json::from_value(value.clone()).unwrap()
}

/// What the picture on the screen shows, square by square.
const SHOWN: &str = r"
    const drawing = document.querySelector('[data-code-picture] svg');
    const side = drawing.viewBox.baseVal.width - 8;
    const rows = Array.from({ length: side }, () => Array(side).fill('0'));
    for (const [, x, y] of drawing.querySelector('path').getAttribute('d').matchAll(/M(\d+) (\d+)h1v1h-1z/g)) rows[y - 4][x - 4] = '1';
    return rows.map((row) => row.join(''))";

async fn pill_says(phone: &Screen, words: &str) {
    phone
        .reads_within("[data-pill]", words, Duration::from_secs(30))
        .await;
}

/// The first registration and every note are garbled on their way, as a page of another time might send them.
const GARBLES: &str = r#"
    const real = window.fetch;
    let spoilt = null;
    window.fetch = (address, options) => {
        if (address === "/journal" && options?.method === "POST" && document.body.dataset.spoils !== "no") {
            const batch = JSON.parse(options.body);
            for (const one of batch.facts) {
                if (one.fact.kind === "casualty.registered/1") spoilt ??= one.id;
                if (one.id === spoilt) one.fact.age = "as old as the hills";
                if (one.fact.kind === "note.added/1") one.fact.text = 7;
            }
            options = { ...options, body: JSON.stringify(batch) };
        }
        return real(address, options);
    };"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_the_board_cannot_take_is_mended_or_dropped_and_holds_nothing_up() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.before_every_page(GARBLES).await;
    teo.join_by_poster(&board).await;
    teo.see("body[data-link=live]").await;
    register(&teo, "adult", &["woman", "red"]).await;
    pill_says(&teo, "1 needs a look").await;
    // What is said of them meanwhile refers to nobody; the next casualty goes through all the same.
    teo.tap_words("[data-view-name=sheet] button", "I have them")
        .await;
    pill_says(&teo, "2 need a look").await;
    teo.tap("[data-view-name=sheet] [data-close]").await;
    register(&teo, "child", &["boy"]).await;
    board.gets("casualty.registered/1", 1).await;
    // Its receipt is here too: the list does not change under the taps that follow.
    teo.reads("[data-undo-text]", "on the board").await;
    pill_says(&teo, "2 need a look").await;

    teo.tap("[data-pill]").await;
    teo.reads("[data-outbox-rows]", "needs a look").await;
    teo.shot("outbox-parked").await;
    teo.tap("[data-outbox-rows] li:first-child [data-row-mend]")
        .await;
    teo.see("[data-view-name=add]").await;
    let filled = teo
        .ask(
            "const form = document.querySelector('[data-view-name=add] form'); \
            return [form.elements.age.value, form.elements.words.value]",
        )
        .await;
    assert_eq!(filled, serde_json::json!(["adult", "woman, red"]));
    teo.shot("outbox-mending").await;
    teo.tap("[data-view-name=add] button[type=submit]").await;
    // The mended one is there, and what waited for it has gone again by itself, under the same casualty.
    pill_says(&teo, "All on the board").await;
    assert_eq!(board.count("casualty.registered/1"), 2);
    assert_eq!(board.count("casualty.taken/1"), 1);

    teo.tap("[data-view-name=sheet] [data-open=note]").await;
    teo.fill("#note-text", "left shoe lost").await;
    teo.tap("[data-view-name=note] button[type=submit]").await;
    pill_says(&teo, "1 needs a look").await;
    teo.tap("[data-pill]").await;
    teo.tap("[data-row-drop]:not([hidden])").await;
    teo.reads("[data-row-drop]", "tap again").await;
    // A tremble is no second thought.
    teo.ask("document.querySelector('[data-row-drop][data-armed]').click()")
        .await;
    tokio::time::sleep(Duration::from_millis(700)).await;
    pill_says(&teo, "1 needs a look").await;
    teo.tap("[data-row-drop]:not([hidden])").await;
    pill_says(&teo, "All on the board").await;
    teo.tap("[data-outbox-close]").await;
    assert_eq!(board.count("note.added/1"), 0);
    assert!(
        teo.kept()
            .await
            .iter()
            .all(|(_, state)| ["receipted", "dropped"].contains(&state.as_str())),
        "what was dropped on purpose stays to be seen"
    );
    teo.is_sound().await;
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn with_the_board_gone_the_list_is_read_aloud_and_shown_as_codes() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    teo.see("body[data-link=live]").await;
    board.close().await;
    for words in [
        ["woman", "red"],
        ["man", "green"],
        ["man", "grey"],
        ["woman", "beard"],
    ] {
        register(&teo, "adult", &words).await;
        teo.tap("[data-view-name=sheet] [data-close]").await;
    }
    teo.reads("[data-pill]", "4 only on this phone").await;
    teo.tap("[data-pill]").await;
    teo.tap("[data-outbox-as-text]").await;
    let text = teo
        .ask("return document.querySelector('[data-outbox-text]').value")
        .await;
    let text = text.as_str().unwrap().to_owned();
    assert!(text.starts_with("Larch Pass bus, Teo, "), "{text}");
    assert!(text.contains("4 reports are only on this phone."), "{text}");
    assert_eq!(text.lines().count(), 5, "{text}");
    teo.shot("outbox-text").await;

    teo.tap("[data-outbox-as-code]").await;
    teo.shot("outbox-code").await;
    let mut scanned = Vec::new();
    loop {
        scanned.push(decoded(&rows(&teo.ask(SHOWN).await)).expect("a camera reads the code"));
        let part = teo
            .ask(
                "const next = document.querySelector('[data-code-next]'); return next.hidden || \
                /Code (\\d+) of \\1$/.test(document.querySelector('[data-code-part]').textContent)",
            )
            .await;
        if part == true {
            break;
        }
        teo.tap("[data-code-next]").await;
    }
    assert!(scanned.len() > 1, "two codes: {scanned:?}");
    // The first line says the minute, which may turn between the two.
    let lines = |all: &str| all.lines().skip(1).map(str::to_owned).collect::<Vec<_>>();
    let scanned = scanned.join("\n");
    assert!(scanned.starts_with("Larch Pass bus, Teo, "), "{scanned}");
    assert_eq!(lines(&scanned), lines(&text));

    // Every size there is, with letters of two and three bytes.
    let many = teo
        .driver
        .execute_async(
            r"const done = arguments[0];
            import(new URL('./qr/matrix.js', document.querySelector('script[type=module]').src)).then(({ matrixOf }) => {
                const texts = [];
                for (let length = 1; length <= 213; length += 1) texts.push('äß€ Über 7: packed, 14:03 '.repeat(20).slice(0, length));
                const fits = texts.filter((text) => new TextEncoder().encode(text).length <= 213);
                done(fits.map((text) => [text, matrixOf(text).map((row) => row.map(Number).join(''))]));
            })",
            Vec::new(),
        )
        .await
        .unwrap();
    let many: Vec<(String, Vec<String>)> = serde_json::from_value(many.json().clone()).unwrap();
    assert!(many.len() > 150);
    for (text, squares) in &many {
        assert_eq!(decoded(squares).as_ref(), Some(text));
    }
    println!("{} codes of sizes 1 to 10 read back", many.len());
    teo.is_sound().await;
    teo.leave().await;
}

/// A database as a newer page would leave it: another layout, and a report of a format that this one does not know.
const FROM_THE_FUTURE: &str = r"
    const done = arguments[0];
    const open = indexedDB.open(`holdfast-outbox/${document.body.dataset.board}`, 7);
    open.onupgradeneeded = () => {
        if (!open.result.objectStoreNames.contains('facts')) open.result.createObjectStore('facts', { keyPath: 'id' });
        open.result.createObjectStore('more');
    };
    open.onsuccess = () => {
        const write = open.result.transaction('facts', 'readwrite');
        write.objectStore('facts').put({ id: 'later', format: 99, said: '3: something new', what: { nobody: 'knows' } });
        write.oncomplete = () => { open.result.close(); done(true); };
    };
    open.onerror = () => done(String(open.error));";

#[tokio::test(flavor = "multi_thread")]
async fn what_a_newer_page_wrote_is_kept_and_told_and_never_touched() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    let made = teo
        .driver
        .execute_async(FROM_THE_FUTURE, Vec::new())
        .await
        .unwrap();
    assert_eq!(*made.json(), true);
    teo.open(&board.url("/next")).await;
    pill_says(&teo, "1 of a newer page").await;
    register(&teo, "adult", &[]).await;
    teo.reads("[data-undo-text]", "on the board").await;
    pill_says(&teo, "1 of a newer page").await;
    teo.tap("[data-pill]").await;
    teo.reads("[data-outbox-rows]", "3: something new").await;
    teo.shot("outbox-newer").await;
    let kept = teo
        .driver
        .execute_async(
            r"const done = arguments[0];
            const open = indexedDB.open(`holdfast-outbox/${document.body.dataset.board}`);
            open.onsuccess = () => {
                const get = open.result.transaction('facts').objectStore('facts').get('later');
                get.onsuccess = () => { open.result.close(); done(get.result); };
            };",
            Vec::new(),
        )
        .await
        .unwrap();
    let wanted = serde_json::json!({ "id": "later", "format": 99, "said": "3: something new", "what": { "nobody": "knows" } });
    assert_eq!(*kept.json(), wanted);
    assert_eq!(board.count("casualty.registered/1"), 1);
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn where_storage_is_refused_it_is_said_in_words_and_taps_still_arrive() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, sol) = tokio::join!(browsers.phone("Teo"), browsers.phone("Sol"));
    let none = "Object.defineProperty(window, 'indexedDB', { get() { throw new DOMException('refused', 'SecurityError'); } });";
    teo.before_every_page(none).await;
    sol.before_every_page(none).await;
    sol.before_every_page("Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };")
        .await;
    for (phone, words) in [(&teo, "only weakly"), (&sol, "cannot keep notes")] {
        phone.join_by_poster(&board).await;
        phone.reads("[data-storage-warning]", words).await;
    }
    sol.shot("storage-refused").await;
    board.close().await;
    register(&teo, "adult", &[]).await;
    register(&sol, "child", &[]).await;
    pill_says(&teo, "1 only on this phone").await;
    pill_says(&sol, "1 only on this phone").await;
    board.open().await;
    // Even weakly kept notes outlive the page.
    teo.open(&board.url("/next")).await;
    pill_says(&teo, "All on the board").await;
    pill_says(&sol, "All on the board").await;
    assert_eq!(board.count("casualty.registered/1"), 2);
    tokio::join!(teo.leave(), sol.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn joining_anew_takes_nothing_from_the_phone() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    teo.see("body[data-link=live]").await;
    board.close().await;
    register(&teo, "adult", &["woman", "red"]).await;
    pill_says(&teo, "1 only on this phone").await;
    teo.driver.delete_all_cookies().await.unwrap();
    board.open().await;
    pill_says(&teo, "join again to send").await;
    teo.reads("[data-link-message]", "join again").await;
    teo.shot("join-again").await;
    teo.join_by_poster(&board).await;
    pill_says(&teo, "All on the board").await;
    assert_eq!(board.count("casualty.registered/1"), 1);
    teo.leave().await;
}

/// A phone that got into another board's Wi-Fi must not be sent into that incident by words that sound like its own board's.
#[tokio::test(flavor = "multi_thread")]
async fn another_board_at_the_address_is_told_from_ones_own() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    teo.see("body[data-link=live]").await;
    let own = board.is_lost_and_replaced().await;
    teo.reads(
        "[data-link-message]",
        "Another board answers at this address",
    )
    .await;
    teo.see("body[data-link=lost]").await;
    // Nor does what is reported there ask for joining that board.
    register(&teo, "adult", &["woman", "red"]).await;
    teo.tap("[data-view-name=sheet] [data-close]").await;
    teo.reads("[data-pill]", "1 only on this phone").await;
    tokio::time::sleep(Duration::from_secs(2)).await;
    assert!(!teo.words().await.contains("join again to send"));
    teo.shot("other-board").await;
    board.comes_back(own).await;
    teo.see_within("body[data-link=live]", Duration::from_secs(30))
        .await;
    pill_says(&teo, "All on the board").await;
    board.gets("casualty.registered/1", 1).await;
    let said = "return document.querySelector('[data-link-message]').hidden";
    assert_eq!(teo.ask(said).await, true, "it goes on by itself");
    teo.is_sound().await;
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_report_waits_through_a_new_join_code_and_arrives_with_it() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, ina) = tokio::join!(browsers.phone("Teo"), browsers.tablet("Ina"));
    tokio::join!(teo.join_by_poster(&board), ina.join_as_lead(&board));
    teo.see("body[data-link=live]").await;
    board.close().await;
    register(&teo, "adult", &["woman", "red"]).await;
    pill_says(&teo, "1 only on this phone").await;
    teo.driver.delete_all_cookies().await.unwrap();
    board.open().await;

    ina.open(&board.url("/poster")).await;
    ina.reads(".code--big", CODE).await;
    ina.tap("[data-renew-code]").await;
    ina.reads("[data-renew-code]", "Tap again").await;
    // A tap that follows at once is a trembling finger.
    tokio::time::sleep(Duration::from_millis(700)).await;
    ina.tap("[data-renew-code][data-armed]").await;
    let deadline = std::time::Instant::now() + SOON;
    let fresh = loop {
        let words =
            "return document.querySelector('.code--big')?.textContent.replace('Code ', '') ?? ''";
        let shown = ina.ask(words).await.as_str().unwrap_or_default().to_owned();
        if !shown.is_empty() && shown != CODE {
            break shown;
        }
        assert!(
            std::time::Instant::now() < deadline,
            "the sheet still shows the old code"
        );
        tokio::time::sleep(Duration::from_millis(50)).await;
    };

    // The old sheet opens nothing, says so, and what waits still waits.
    teo.open(&board.url(&format!("/join#{CODE}"))).await;
    teo.fill("[name=name]", "Teo").await;
    teo.tap("[data-join-form] button[type=submit]").await;
    teo.see("[data-join-error]:not([hidden])").await;
    teo.shot("old-code").await;
    assert_eq!(board.count("casualty.registered/1"), 0);

    // A code with nothing between its halves is the same code.
    teo.fill("[name=code]", &fresh.replace('-', "")).await;
    teo.tap("[data-join-form] button[type=submit]").await;
    teo.see(".next").await;
    pill_says(&teo, "All on the board").await;
    assert_eq!(board.count("casualty.registered/1"), 1);
    tokio::join!(teo.leave(), ina.leave());
}
