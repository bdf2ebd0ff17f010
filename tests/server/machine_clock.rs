//! The machine's clock is set while the board runs, or was never set: order, duties and the log do not suffer.

use serde_json::json;

use crate::harness::TestBoard;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn when_the_machines_clock_is_set_nothing_falls_due_for_it_and_everybody_is_told() {
    for (seconds, words) in [
        (3_660, "forward by 61 min"),
        (-3_600, "back by 60 min"),
        // To 1970, as a machine without a clock of its own after a power cut.
        (-1_795_000_000, "back by 20775 days"),
    ] {
        let board = TestBoard::start().await;
        let teo = board.device("Teo").await;
        let woman = teo.registers("woman").await;
        let wound = teo.finds_wound(&woman, "thigh", "spurting").await;
        teo.takes_step(&wound, "tourniquet", "tourniquet").await;
        let due = |board: &TestBoard| {
            board.state(|incident| {
                let casualty = incident.casualty(woman.parse().unwrap()).unwrap();
                holdfast::incident::duties_of(casualty, incident.settings().now(), false)
                    .iter()
                    .map(|duty| duty.due_at)
                    .collect::<Vec<_>>()
            })
        };
        let before = (board.journal().now(), due(&board), board.head());
        assert!(!before.1.is_empty());
        let mut screen = teo.watches("next", board.head()).await;
        screen.hears_of("hello").await;
        board.machine_clock_is_set(seconds);
        let told = screen
            .hears(|event| event.data["notices"][0]["code"] == "clock-set")
            .await;
        let notice = told.data["notices"][0]["words"]
            .as_str()
            .unwrap()
            .to_owned();
        assert!(notice.contains(words), "{notice}");
        assert!(
            notice.contains(&format!("at entry {}", before.2)),
            "{notice}"
        );
        assert_eq!(due(&board), before.1, "nothing moved");
        let passed = board.journal().now().duration_since(before.0);
        assert!(passed.as_secs() < 20 && !passed.is_negative(), "{passed}");
        // The log keeps it; entries go on in order and in time.
        teo.notes(&woman, "goes on").await;
        let times: Vec<_> = board.state(|incident| {
            incident
                .entries()
                .iter()
                .map(|entry| entry.recorded_at)
                .collect()
        });
        assert!(times.is_sorted(), "{times:?}");
        assert!(teo.opens("/log").await.says(words));
        // Small corrections are the clock being kept right.
        let head = board.head();
        board.machine_clock_is_set(1);
        let quiet = screen
            .hears_within(std::time::Duration::from_millis(1500))
            .await;
        assert_eq!(board.head(), head, "{quiet:?}");
    }
}

#[tokio::test]
async fn a_machine_that_starts_in_the_past_is_told_so() {
    let stopped = {
        let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
        board.device("Teo").await.registers("woman").await;
        board.minutes_pass(-60 * 24 * 365);
        board.stop_for_good().await
    };
    let board = stopped.start().await;
    let page = board.device("Teo").await.opens("/next").await;
    assert!(page.says("SAYS 25 Nov 2025"));
    assert_eq!(
        board.device("Eva").await.gets("/session").await.json()["role"],
        json!("helper"),
        "it serves all the same"
    );
}
