//! Interrupted in the middle: what was begun for one casualty must not stand under another, nor pass for what is so now.

use serde_json::json;

use crate::board::Board;
use crate::care::{find_wound, register};
use crate::screen::{Browsers, Screen};

const VITALS: &str = "[data-view-name=vitals]";
/// Makes every draft on this device so many minutes older.
const AGE_DRAFTS: &str = "for (const key of Object.keys(localStorage).filter((key) => key.startsWith('holdfast/draft/'))) {\
    const draft = JSON.parse(localStorage[key]); draft.at -= 70 * 60000; localStorage[key] = JSON.stringify(draft); }";

async fn pulse(screen: &Screen) -> String {
    let asked = format!("return document.querySelector('{VITALS} [name=pulse_per_minute]').value");
    screen.ask(&asked).await.as_str().unwrap().to_owned()
}

async fn band(screen: &Screen, view: &str) -> String {
    let asked = format!(
        "return document.querySelector('[data-view-name={view}] .view__who').textContent.trim()"
    );
    screen.ask(&asked).await.as_str().unwrap().to_owned()
}

/// From one's casualty's page the foot adds somebody else: nothing of the first may stand in the second's band or forms.
#[tokio::test(flavor = "multi_thread")]
async fn somebody_new_is_not_called_by_the_words_of_whoever_was_open() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let ina = browsers.tablet("Ina").await;
    ina.join_as_lead(&board).await;
    ina.see("body[data-link=live]").await;
    register(&ina, "adult", &["hat"]).await;
    assert_eq!(band(&ina, "sheet").await, "hat");
    // In a view about a wound of hers, on a tablet, the foot stays within reach.
    ina.tap("[data-view-name=sheet] [data-open=wound]").await;
    find_wound(&ina, "spurting", "left", "thigh").await;
    ina.see("[data-view-name=step]").await;
    for who in ["B", "C"] {
        ina.tap(".foot [data-open=add]").await;
        ina.tap("[data-view-name=add] input[value=adult] + span")
            .await;
        ina.tap("[data-view-name=add] button[type=submit]").await;
        ina.see("[data-view-name=sheet] [data-open=vitals]").await;
        assert_eq!(
            band(&ina, "sheet").await,
            "",
            "{who}: nobody said a word of them"
        );
        ina.tap("[data-view-name=sheet] [data-open=vitals]").await;
        ina.see(VITALS).await;
        assert_eq!(pulse(&ina).await, "", "{who}: nobody took a pulse yet");
        ina.fill(&format!("{VITALS} [name=pulse_per_minute]"), "130")
            .await;
    }
    ina.is_sound().await;
    ina.leave().await;
}

/// A pulse typed at 14:00 and found again at 15:10 says of when it is, and is reported as of then.
#[tokio::test(flavor = "multi_thread")]
async fn what_was_left_unfinished_says_since_when_and_lands_there() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &["beard"]).await;
    teo.tap("[data-view-name=sheet] [data-open=vitals]").await;
    teo.fill(&format!("{VITALS} [name=pulse_per_minute]"), "130")
        .await;
    teo.tap(&format!("{VITALS} [data-back]")).await;
    // Right away it is as it was, and says nothing.
    teo.tap("[data-view-name=sheet] [data-open=vitals]").await;
    assert_eq!(pulse(&teo).await, "130");
    let told = format!("return document.querySelectorAll('{VITALS} [data-unfinished]').length");
    assert_eq!(teo.ask(&told).await, json!(0));
    teo.tap(&format!("{VITALS} [data-back]")).await;
    teo.ask(AGE_DRAFTS).await;
    teo.tap("[data-view-name=sheet] [data-open=vitals]").await;
    teo.reads(&format!("{VITALS} [data-unfinished]"), "Unfinished, from ")
        .await;
    assert_eq!(pulse(&teo).await, "130");
    teo.shot_in_every_look("unfinished").await;
    let when = format!(
        "return document.querySelector('{VITALS} .picks--when input:checked').parentElement.textContent"
    );
    let hour = teo.ask(&when).await;
    assert!(hour.as_str().unwrap().contains(':'), "{hour}");
    let chosen = format!("document.querySelector('{VITALS} .picks--when').scrollIntoView()");
    teo.ask(&chosen).await;
    teo.shot("unfinished-when").await;
    // Started empty it is gone, and "now" is now.
    teo.tap_words(&format!("{VITALS} [data-unfinished] button"), "Start empty")
        .await;
    assert_eq!(pulse(&teo).await, "");
    assert_eq!(teo.ask(&when).await, json!("now"));
    // Gone on with, it is reported as of then.
    teo.fill(&format!("{VITALS} [name=pulse_per_minute]"), "120")
        .await;
    teo.tap(&format!("{VITALS} [data-back]")).await;
    teo.ask(AGE_DRAFTS).await;
    teo.tap("[data-view-name=sheet] [data-open=vitals]").await;
    teo.tap_words(&format!("{VITALS} [data-unfinished] button"), "Go on")
        .await;
    teo.tap(&format!("{VITALS} button[type=submit]")).await;
    let deadline = tokio::time::Instant::now() + crate::screen::SOON;
    while board.count("vitals.measured/2") == 0 {
        assert!(
            tokio::time::Instant::now() < deadline,
            "the signs never came"
        );
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    let age = board.app.as_ref().unwrap().journal.read(|incident| {
        let entry = incident.entries().last().unwrap();
        entry.recorded_at.duration_since(entry.happened_at)
    });
    assert!((69..=71).contains(&age.as_mins()), "{age:?}");
    teo.is_sound().await;
    teo.leave().await;
}

/// "Yes, this is 1" while the board draws the part anew: the tap that was held back still goes on.
#[tokio::test(flavor = "multi_thread")]
async fn a_held_tap_goes_on_although_its_button_was_drawn_anew() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    for (word, place) in [("hat", "by the shelter"), ("beard", "on the road")] {
        teo.tap("[data-open=add]").await;
        teo.tap("[data-view-name=add] input[value=adult] + span")
            .await;
        teo.tap_words("[data-view-name=add] [data-chips-for=words] button", word)
            .await;
        teo.tap_words("[data-view-name=add] [data-chips-for=place] button", place)
            .await;
        teo.tap("[data-view-name=add] button[type=submit]").await;
        teo.see("[data-view-name=sheet] [data-close]").await;
        teo.tap("[data-view-name=sheet] [data-close]").await;
    }
    let id = board.app.as_ref().unwrap().journal.read(|incident| {
        let mut all = incident.casualties();
        all.find(|one| one.number == 1).map(|one| one.id)
    });
    teo.open(&board.url(&format!("/casualties/{}", id.unwrap())))
        .await;
    teo.see("body[data-link=live]").await;
    teo.tap(".does [data-open=wound]").await;
    teo.see("dialog[data-guard][open]").await;
    teo.ask("const old = document.querySelector('.does'); old.replaceWith(old.cloneNode(true))")
        .await;
    teo.tap("[data-guard-yes]").await;
    teo.see("[data-view-name=wound] [data-outline-region]")
        .await;
    // Gone altogether, it is said.
    teo.tap("[data-view-name=wound] [data-back]").await;
    teo.ask("localStorage.removeItem(Object.keys(localStorage).find((key) => key.startsWith('holdfast/guard/')))").await;
    teo.tap(".does [data-open=wound]").await;
    teo.see("dialog[data-guard][open]").await;
    teo.ask("document.querySelector('.does [data-open=wound]').remove()")
        .await;
    teo.tap("[data-guard-yes]").await;
    teo.reads("[data-told]", "Tap it again").await;
    teo.is_sound().await;
    teo.leave().await;
}
