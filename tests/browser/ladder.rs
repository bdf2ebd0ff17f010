//! The published sequences of the ladder by taps alone, on a phone of 390 × 844 whose board's clock the story drives.
//!
//! Every report of a step is made in at most two taps from the casualty's card (or from the view that opened after
//! the one before); the taps are counted.

use std::cell::Cell;

use holdfast::clock::Clock;

use crate::board::Board;
use crate::care::{find_wound, register};
use crate::screen::{Browsers, Screen};

/// A phone at one casualty's card.
pub(crate) struct AtCard<'a> {
    phone: &'a Screen,
    clock: &'a Clock,
    pub(crate) taps: Cell<usize>,
}

impl<'a> AtCard<'a> {
    pub(crate) fn of(phone: &'a Screen, clock: &'a Clock) -> Self {
        Self {
            phone,
            clock,
            taps: Cell::new(0),
        }
    }

    async fn tap(&self, css: &str) {
        self.taps.set(self.taps.get() + 1);
        self.phone.tap(css).await;
    }

    /// Taps the button with these words.
    async fn says(&self, css: &str, words: &str) {
        self.taps.set(self.taps.get() + 1);
        self.phone.tap_words(css, words).await;
    }

    /// One report of a step is done: it took two taps at most.
    fn in_two_taps(&self, what: &str) {
        let taps = self.taps.replace(0);
        assert!((1..=2).contains(&taps), "`{what}` took {taps} taps");
    }

    /// A step with a button of its own on the card.
    pub(crate) async fn on_card(&self, words: &str) {
        self.says(".wound-card .choices--row .button", words).await;
        self.in_two_taps(words);
    }

    /// A step with a button in the view that is open.
    pub(crate) async fn in_view(&self, view: &str, words: &str) {
        self.says(&format!("[data-view-name={view}] .choices .button"), words)
            .await;
        self.in_two_taps(words);
    }

    pub(crate) async fn card_reads(&self, words: &str) {
        self.phone.reads(".wound-card", words).await;
    }

    /// Time passes, and the phone has heard of it: what was late before tells nothing.
    pub(crate) async fn passes(&self, seconds: i64) {
        self.clock.advance(seconds);
        let heard = format!(
            "const wanted = {}; const shown = document.querySelector('[data-live]').textContent.match(/(\\d+):(\\d+):(\\d+)/); \
            const behind = shown && (wanted - (shown[1] * 3600 + shown[2] * 60 + +shown[3]) + 86400) % 86400; \
            return Boolean(shown) && (behind === 0 || behind > 43200)",
            self.clock.now().as_second() % 86_400
        );
        let deadline = std::time::Instant::now() + crate::screen::SOON;
        while self.phone.ask(&heard).await != true {
            assert!(
                std::time::Instant::now() < deadline,
                "the phone does not hear of the time"
            );
            tokio::time::sleep(std::time::Duration::from_millis(20)).await;
        }
    }

    /// Time passes until the hold is over.
    pub(crate) async fn hold_runs_out(&self, seconds: i64) {
        self.passes(seconds).await;
        self.phone.see("[data-hold-clock][data-late]").await;
    }

    /// Time passes until something is late.
    pub(crate) async fn duty_is_late(&self, seconds: i64) {
        self.passes(seconds).await;
        self.phone.see(".wound-card .duty[data-late]").await;
    }
}

/// Registers somebody, finds their wound, and stands at the step view.
pub(crate) async fn meet(phone: &Screen, flow: &str, region: &str) {
    register(phone, "adult", &["man"]).await;
    phone
        .tap_words("[data-view-name=sheet] button", "I have them")
        .await;
    phone
        .tap_words("[data-view-name=sheet] button", "Done for now")
        .await;
    phone.tap(".mine .card").await;
    phone.tap(".does [data-open=wound]").await;
    find_wound(phone, flow, "left", region).await;
}

macro_rules! story {
    ($clock:ident, $board:ident, $phone:ident, $card:ident, $name:literal) => {
        let $clock = Clock::ahead();
        let $board = Board::start_with($clock.clone()).await;
        let browsers = Browsers::start();
        let $phone = browsers.phone($name).await;
        $phone.join_by_poster(&$board).await;
        let $card = AtCard {
            phone: &$phone,
            clock: &$clock,
            taps: Cell::new(0),
        };
    };
}

#[tokio::test(flavor = "multi_thread")]
async fn b03_pressure_fails_plain_gauze_then_a_dressing_that_holds() {
    story!(clock, board, phone, card, "B03");
    meet(&phone, "steady", "forearm").await;
    card.in_view("step", "Pressing now").await;
    phone.reads("[data-hold-clock]", ":").await;
    phone.shot_in_every_look("hold").await;
    // A reload in the middle of it loses nothing.
    card.passes(60).await;
    phone.driver.refresh().await.unwrap();
    phone.see("[data-hold-view] [data-hold-clock]").await;
    phone.reads("[data-hold-clock]", "8:").await;
    card.hold_runs_out(545).await;
    phone.shot_in_every_look("hold-up").await;
    card.in_view("hold", "Still bleeding").await;
    card.card_reads("pack to the bottom").await;
    phone.shot("card").await;
    card.on_card("Packed: plain gauze").await;
    card.hold_runs_out(605).await;
    card.in_view("hold", "Stopped").await;
    card.on_card("Pressure dressing: with bar").await;
    phone.see("[data-view-name=beyond]").await;
    phone.shot("beyond").await;
    card.in_view("beyond", "Dry. Pulse there, moves, feels")
        .await;
    card.card_reads("dressing holds").await;
    card.duty_is_late(605).await;
    card.on_card("Dry. Pulse there, moves, feels").await;
    card.card_reads("dressing holds").await;
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn b06_soaked_at_the_recheck_goes_to_a_tourniquet() {
    story!(clock, board, phone, card, "B06");
    meet(&phone, "high", "lower_leg").await;
    phone
        .tap_words("[data-view-name=step] button", "Nothing yet")
        .await;
    card.on_card("Packed: gauze roll").await;
    card.hold_runs_out(605).await;
    card.in_view("hold", "Stopped").await;
    card.on_card("Pressure dressing: twisted").await;
    card.in_view("beyond", "Dry. Pulse there, moves, feels")
        .await;
    card.duty_is_late(605).await;
    card.on_card("Soaked or bleeds through").await;
    card.card_reads("tourniquet now").await;
    card.on_card("Tourniquet on").await;
    phone.see("[data-view-name=tourniquet]").await;
    phone.shot("tourniquet").await;
    card.in_view("tourniquet", "Stopped, no pulse beyond").await;
    phone
        .tap("[data-view-name=tourniquet] input[name=time_written][value=true] + span")
        .await;
    phone
        .tap("[data-view-name=tourniquet] button[type=submit]")
        .await;
    card.card_reads("tourniquet holds").await;
    card.card_reads("time written on it").await;
    phone.shot("card").await;
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn b08_a_trained_lead_takes_a_tourniquet_off_within_two_hours() {
    let clock = Clock::ahead();
    let board = Board::start_with(clock.clone()).await;
    let browsers = Browsers::start();
    let phone = browsers.phone("B08").await;
    phone.join_as_lead(&board).await;
    let card = AtCard {
        phone: &phone,
        clock: &clock,
        taps: Cell::new(0),
    };
    phone.open(&board.url("/next")).await;
    meet(&phone, "spurting", "forearm").await;
    card.in_view("step", "Tourniquet on").await;
    card.in_view("tourniquet", "Stopped, no pulse beyond").await;
    phone.tap("[data-view-name=tourniquet] [data-close]").await;
    card.card_reads("tourniquet holds").await;
    card.passes(33 * 60).await;
    card.says(
        ".wound-card .choices--row .button",
        "Can it come off? The list",
    )
    .await;
    phone.see("[data-view-name=release]").await;
    phone
        .tap("[data-view-name=release] button[type=submit]")
        .await;
    phone
        .reads("[data-view-name=release] [data-form-error]", "Not ticked")
        .await;
    for point in [
        "no_shock",
        "no_amputation",
        "worked_until_now",
        "in_time",
        "no_failed_try",
        "material_ready",
        "watched",
    ] {
        phone
            .tap(&format!(
                "[data-view-name=release] input[value={point}] + span"
            ))
            .await;
    }
    phone
        .tap_words(
            "[data-view-name=release] [data-chips-for=watched_by] button",
            "B08",
        )
        .await;
    phone.shot_in_every_look("release").await;
    phone
        .tap("[data-view-name=release] button[type=submit]")
        .await;
    phone.see("[data-view-name=releasing]").await;
    phone.shot_in_every_look("releasing").await;
    card.taps.set(0);
    card.passes(7 * 60).await;
    card.in_view("releasing", "Dry: opened fully, it holds")
        .await;
    card.card_reads("dressing not checked yet").await;
    for minutes in [1, 4, 5] {
        card.passes(minutes * 60).await;
        card.on_card("Dry. Pulse there, moves, feels").await;
        card.card_reads("dressing holds").await;
    }
    phone
        .reads(".timeline", "begins to replace the tourniquet, B08 watches")
        .await;
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn b15_a_groin_is_packed_repacked_once_then_held_by_hand() {
    story!(clock, board, phone, card, "B15");
    meet(&phone, "spurting", "groin").await;
    // A tourniquet cannot squeeze a groin: reported all the same, it is asked about and changes nothing.
    card.in_view("step", "Tourniquet on").await;
    phone.tap("[data-view-name=tourniquet] [data-close]").await;
    phone
        .reads(".question", "A tourniquet cannot squeeze this place")
        .await;
    phone.shot("question").await;
    phone.tap_words(".question button", "No, strike it").await;
    card.on_card("Packed: haemostatic").await;
    card.hold_runs_out(185).await;
    card.in_view("hold", "Stopped").await;
    card.on_card("Pressure dressing: improvised").await;
    card.in_view("beyond", "Dry. Pulse there, moves, feels")
        .await;
    card.card_reads("dressing holds").await;
    phone.tap(".does [data-open=move]").await;
    phone
        .tap_words(
            "[data-view-name=move] [data-chips-for=place] button",
            "on the road",
        )
        .await;
    phone.tap("[data-view-name=move] button[type=submit]").await;
    card.card_reads("Check after the move").await;
    card.on_card("Soaked or bleeds through").await;
    card.card_reads("take it down, find the point").await;
    card.on_card("Packed: plain gauze").await;
    card.hold_runs_out(605).await;
    card.in_view("hold", "Still bleeding").await;
    card.on_card("Hands stay on it").await;
    card.card_reads("hands must stay").await;
    phone.shot("card").await;
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn b27_the_bag_is_empty_cloth_wrapped_early() {
    story!(clock, board, phone, card, "B27");
    meet(&phone, "high", "lower_leg").await;
    phone
        .tap_words("[data-view-name=step] button", "Nothing yet")
        .await;
    card.on_card("Packed: clean cloth").await;
    phone.reads("[data-hold-clock]", ":").await;
    card.passes(6 * 60).await;
    card.tap("[data-view-name=hold] [data-open=step]").await;
    card.says(
        "[data-view-name=step] .choices .button",
        "Pressure dressing: improvised",
    )
    .await;
    card.in_two_taps("Pressure dressing: improvised");
    card.card_reads("Wrapped before the pressing time was up")
        .await;
    card.card_reads("dressing not checked yet").await;
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn b29_a_packed_wound_is_not_rinsed_a_quiet_one_is() {
    story!(clock, board, phone, card, "B29");
    meet(&phone, "high", "forearm").await;
    card.in_view("step", "Packed: plain gauze").await;
    card.hold_runs_out(605).await;
    card.in_view("hold", "Stopped").await;
    card.on_card("Pressure dressing: twisted").await;
    card.in_view("beyond", "Dry. Pulse there, moves, feels")
        .await;
    card.card_reads("dressing holds").await;
    // Nothing offers to rinse it; reported all the same, it is asked about.
    let offered = phone.ask("return [...document.querySelectorAll('.wound-card .button')].some((one) => one.textContent.startsWith('Rinsed'))").await;
    assert_eq!(
        offered,
        serde_json::json!(false),
        "rinsing a packed wound is offered"
    );
    phone.tap(".wound-card__more [data-open=step]").await;
    phone.tap("#step-more summary").await;
    phone
        .tap("[data-view-name=step] input[name=step][value=rinse] + span")
        .await;
    phone.tap("[data-view-name=step] button[type=submit]").await;
    phone
        .reads(".question", "Do not open or rinse this one")
        .await;
    phone.tap_words(".question button", "No, strike it").await;

    phone.tap(".does [data-open=wound]").await;
    find_wound(&phone, "none", "left", "upper_arm").await;
    phone
        .tap_words("[data-view-name=step] button", "Nothing yet")
        .await;
    phone.reads(".wounds", "upper arm, left").await;
    card.passes(20 * 60).await;
    card.taps.set(0);
    card.says(".wound-card .choices--row .button", "Rinsed")
        .await;
    phone.see("[data-view-name=rinse]").await;
    phone.shot("rinse").await;
    card.tap("[data-view-name=rinse] button[type=submit]").await;
    card.in_two_taps("Rinsed");
    phone.reads(".wounds", "rinsed and dressed").await;
    card.passes(24 * 3600).await;
    card.says(".wound-card .choices--row .button", "Look for infection")
        .await;
    phone.see("[data-view-name=infection]").await;
    phone.shot("infection").await;
    card.tap("[data-view-name=infection] button[type=submit]")
        .await;
    card.in_two_taps("Look for infection");
    phone.reads(".timeline", "no sign of infection").await;
    phone.shot("quiet").await;
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn pressing_is_counted_down_while_the_board_is_gone() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let phone = browsers.phone("Range").await;
    phone.join_by_poster(&board).await;
    phone.see("body[data-link=live]").await;
    board.close().await;
    register(&phone, "adult", &["man"]).await;
    phone.tap("[data-view-name=sheet] [data-open=wound]").await;
    find_wound(&phone, "steady", "left", "forearm").await;
    phone
        .tap_words("[data-view-name=step] [data-report]", "Pressing now")
        .await;
    phone.reads("[data-hold-clock]", "9:5").await;
    phone
        .tap_words("[data-view-name=hold] [data-report]", "Lifted")
        .await;
    // It begins anew; how long it shows the full ten minutes is a matter of a second.
    phone.reads("[data-pill]", "4 only on this phone").await;
    phone
        .tap_words("[data-view-name=hold] [data-report]", "Still pressing")
        .await;
    phone.reads("[data-pill]", "5 only on this phone").await;
    phone.shot("hold-out-of-range").await;
    board.open().await;
    phone
        .reads_within(
            "[data-pill]",
            "All on the board",
            std::time::Duration::from_secs(30),
        )
        .await;
    assert_eq!(
        board.count("step.taken/2"),
        3,
        "pressed, lifted, still pressing: each once"
    );
    phone.tap("[data-view-name=hold] [data-back]").await;
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_seconds_of_a_refill_are_pressed_counted_and_kept_in_tenths() {
    story!(clock, board, phone, card, "Refill");
    meet(&phone, "steady", "forearm").await;
    phone
        .tap_words("[data-view-name=step] button", "Nothing yet")
        .await;
    card.tap(".wound-card__more [data-open=beyond]").await;
    let box_of = "[data-view-name=beyond] .refill:has([name=refill_tenths])";
    phone.tap(&format!("{box_of} [data-refill-go]")).await;
    phone
        .reads(&format!("{box_of} [data-refill-face]"), "Press a nail")
        .await;
    phone.shot_in_every_look("refill-press").await;
    // Five seconds of pressing, then the colour is awaited.
    phone
        .reads(&format!("{box_of} [data-refill-face]"), "Let go!")
        .await;
    tokio::time::sleep(std::time::Duration::from_millis(2_300)).await;
    phone.tap(&format!("{box_of} [data-refill-go]")).await;
    phone
        .reads(&format!("{box_of} [data-refill-face]"), "slow, over 2.0 s")
        .await;
    let tenths = phone
        .ask("return document.querySelector('[data-view-name=beyond] [name=refill_tenths]').value")
        .await;
    let seconds: f64 = tenths.as_str().unwrap().parse().unwrap();
    assert!((2.1..5.0).contains(&seconds), "{seconds}");
    phone.shot("refill-done").await;
    phone
        .tap("[data-view-name=beyond] button[type=submit]")
        .await;
    card.card_reads("before the dressing: colour back in").await;
    assert_eq!(board.count("beyond.checked/1"), 1);
    phone.is_sound().await;
    phone.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_list_and_the_figure_are_one_choice() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let phone = browsers.phone("List").await;
    phone.join_by_poster(&board).await;
    register(&phone, "adult", &[]).await;
    phone.tap("[data-view-name=sheet] [data-open=wound]").await;
    phone.tap("#wound-list summary").await;
    phone
        .tap("[data-view-name=wound] input[name=side][value=right] + span")
        .await;
    phone
        .tap("[data-view-name=wound] input[name=region][value=thigh] + span")
        .await;
    let pressed = phone
        .ask("return [...document.querySelectorAll('[data-outline-region][aria-pressed=true]')].map((one) => `${one.dataset.outlineRegion} ${one.dataset.outlineSide}`)")
        .await;
    let pressed: Vec<String> = serde_json::from_value(pressed).unwrap();
    assert!(
        !pressed.is_empty() && pressed.iter().all(|place| place == "thigh right"),
        "the figure shows what the list has: {pressed:?}"
    );
    phone.is_sound().await;
    phone.leave().await;
}
