//! A page stays open for hours: who joins, which places are named and what the lead changes must reach its forms.

use std::time::Duration;

use crate::board::Board;
use crate::care::register;
use crate::screen::Browsers;

/// The system for grown-ups that the page's script walks.
const ADULT: &str =
    "return JSON.parse(document.querySelector('[data-triage-systems]').textContent).adult";

#[tokio::test(flavor = "multi_thread")]
async fn an_open_page_follows_who_joins_and_what_the_lead_changes() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    ina.join_as_lead(&board).await;
    ina.see("body[data-link=live]").await;
    ina.reads("[data-restore]", "This board is empty").await;
    // Teo joins while the lead's board stands open, and names a place.
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &[]).await;
    // Both taps of a tremble before the browser has gone back: not out of the page.
    teo.ask("const close = document.querySelector('[data-view-name=sheet] [data-close]'); close.click(); close.click()")
        .await;
    teo.see("[data-view-name=home]").await;
    tokio::time::sleep(Duration::from_millis(300)).await;
    assert_eq!(teo.ask("return location.pathname").await, "/next");
    teo.see("body[data-link=live]").await;

    ina.reads("#rows", "adult").await;
    ina.reads("#people", "Teo").await;
    // Nor is it called empty any more.
    ina.see_within("[data-restore][hidden] ~ *", Duration::from_secs(20))
        .await;
    let offered =
        "return document.querySelector('[data-view-name=give]').textContent.includes('Teo')";
    assert_eq!(ina.ask(offered).await, true);
    // Whom I am is not among those I can hand everything to.
    let me = "return [...document.querySelectorAll('[data-hand-over]:not([hidden])')].map((one) => one.textContent)";
    assert_eq!(teo.ask(me).await.as_array().unwrap().len(), 1);

    ina.tap("[data-open=incident]").await;
    ina.tap("[data-view-name=incident] [data-open=systems]")
        .await;
    ina.tap("[data-view-name=systems] [name=adult][value=\"salt.standard\"] + span")
        .await;
    ina.tap("[data-view-name=systems] button[type=submit]")
        .await;
    let deadline = tokio::time::Instant::now() + Duration::from_secs(20);
    while teo.ask(ADULT).await != "salt.standard" {
        assert!(
            tokio::time::Instant::now() < deadline,
            "the phone still sorts by the old system"
        );
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    teo.is_sound().await;
    ina.is_sound().await;
    tokio::join!(ina.leave(), teo.leave());
}

/// Being made a deputy must not throw anybody out of what they are in the middle of, nor make a healthy page look dead; once
/// they are done they are one, and have what a deputy has.
#[tokio::test(flavor = "multi_thread")]
async fn who_is_made_a_deputy_goes_on_with_what_they_do_and_is_one_afterwards() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    // The answer is slow: whatever else would load the page meanwhile must not, or it comes as who this phone was.
    teo.before_every_page(
        "const ask = window.fetch; window.fetch = async (...all) => { const answer = await ask(...all); \
        if (all[0] === '/session/renewal') await new Promise((go) => setTimeout(go, 700)); return answer; }",
    )
    .await;
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &["beard"]).await;
    teo.tap("[data-view-name=sheet] [data-open=assess]").await;
    teo.see("[data-triage-answer=yes]").await;
    let device = teo.ask("return document.body.dataset.device").await;
    let named = serde_json::json!({ "kind": "deputy.named/1", "helper": device, "deputy": true });
    crate::evac::told(&board, 0, serde_json::json!("incident"), named).await;
    let longer = serde_json::json!({ "kind": "policy.changed/1", "setting": "hold_pressure", "value": 15, "decided_by": "Ina" });
    crate::evac::told(&board, 0, serde_json::json!("incident"), longer).await;
    teo.reads_within(
        "[data-link-message]",
        "made you deputy",
        Duration::from_secs(20),
    )
    .await;
    // Longer than a page may be silent: the stream is well, and it is said so.
    tokio::time::sleep(Duration::from_secs(17)).await;
    assert_eq!(
        teo.ask("return document.body.dataset.link").await,
        "live",
        "a healthy stream"
    );
    teo.see("[data-view-name=assess] [data-triage-answer=yes]")
        .await;
    teo.shot("made-deputy").await;
    teo.tap("[data-view-name=assess] [data-back]").await;
    teo.tap("[data-view-name=sheet] [data-close]").await;
    teo.see_within("body[data-role=deputy]", Duration::from_secs(20))
        .await;
    teo.see("body[data-link=live]").await;
    let shown = "const one = document.createElement('button'); one.dataset.needsLead = ''; document.body.append(one); \
        const shown = getComputedStyle(one).display; one.remove(); return shown !== 'none'";
    assert_eq!(teo.ask(shown).await, true, "what a lead has, a deputy has");
    teo.is_sound().await;
    teo.leave().await;
}

/// Command is offered while both have the page open: the form to read back comes by itself, and who joins can be chosen.
#[tokio::test(flavor = "multi_thread")]
async fn an_open_page_of_command_brings_the_form_to_read_back() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    ina.join_as_lead(&board).await;
    ina.open(&board.url("/command")).await;
    ina.see("body[data-link=live]").await;
    ina.reads("#command-takers", "Nobody else has joined").await;
    teo.join_by_poster(&board).await;
    ina.reads("#command-takers", "Hand over to Teo").await;
    let own = "return [...document.querySelectorAll('#command-takers [data-offer]:not([hidden])')].length";
    assert_eq!(ina.ask(own).await, 1, "nobody hands over to themselves");
    teo.open(&board.url("/command")).await;
    teo.see("body[data-link=live]").await;
    ina.tap_words("#command-takers button", "Hand over to Teo")
        .await;
    tokio::time::sleep(Duration::from_millis(700)).await;
    ina.tap("#command-takers [data-armed]").await;
    teo.see_within("[data-take-command]", Duration::from_secs(20))
        .await;
    teo.shot("read-back").await;
    // Somebody is met meanwhile: it is said at once that they are not accounted for.
    ina.reads("#command-open", "Everybody is accounted for")
        .await;
    let about = serde_json::json!({ "casualty": holdfast::clock::fresh_id() });
    let met = serde_json::json!({ "kind": "casualty.registered/1", "age": "adult" });
    crate::evac::told(&board, 0, about, met).await;
    ina.reads("#command-open", "casualty 1 is still here").await;
    teo.is_sound().await;
    ina.is_sound().await;
    tokio::join!(ina.leave(), teo.leave());
}
