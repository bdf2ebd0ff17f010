//! Every screen, on a phone and a tablet, light, dark and night, with twelve casualties on it; and on paper.

use holdfast::clock::fresh_id;
use holdfast::incident::fact::{
    CasualtyRegistered, CategoryAssigned, EvacPriority, EvacRequested, Posture, StepTaken,
    StockCounted, Used, WoundFound,
};
use holdfast::incident::{
    About, Author, CasualtyId, DeviceId, EntryId, Fact, KitId, Report, Role, Seq, Words, WoundId,
};
use holdfast::rules::bleeding::{Flow, Measure, Region, Side};
use holdfast::rules::supplies::Item;
use holdfast::rules::triage::{ApparentAge, Category};
use thirtyfour::common::print::PrintParameters;

use crate::board::Board;
use crate::screen::Browsers;

/// Twelve invented casualties, some with markup in their words to see that it stays words.
pub(crate) async fn populate(board: &Board) -> CasualtyId {
    let app = board.app.as_ref().unwrap();
    let author = Author {
        device: DeviceId::new(fresh_id()),
        name: Words::new("Aino <b>").unwrap(),
        role: Some(Role::Lead),
        skill: None,
    };
    let now = app.journal.now();
    let mut reports = Vec::new();
    let mut first = None;
    let mut report = |about, fact| {
        reports.push(Report {
            id: EntryId::new(fresh_id()),
            about,
            happened_at: now,
            based_on: Seq::START,
            time_unsure: false,
            epoch: None,
            fact,
        });
    };
    for index in 0..12_usize {
        let casualty = CasualtyId::new(fresh_id());
        first.get_or_insert(casualty);
        let words = if index == 7 {
            "<img src=x onerror=\"window.faults.push('markup')\">".to_owned()
        } else {
            format!(
                "{}, {} coat",
                ["man", "woman"][index % 2],
                ["green", "red", "grey"][index % 3]
            )
        };
        report(
            About::Casualty(casualty),
            Fact::CasualtyRegistered(CasualtyRegistered {
                age: ApparentAge::Adult,
                words: Words::new(&words).ok(),
                place: Words::new("by the rail").ok(),
                tag: None,
            }),
        );
        if index < 10 {
            let category = [
                Category::Immediate,
                Category::Delayed,
                Category::Minor,
                Category::Dead,
            ][index % 4];
            report(
                About::Casualty(casualty),
                Fact::CategoryAssigned(CategoryAssigned {
                    category,
                    assessment: None,
                    reason: None,
                }),
            );
        }
        let wound = WoundId::new(fresh_id());
        let region = [Region::Thigh, Region::Forearm, Region::Scalp, Region::Groin][index % 4];
        report(
            About::Wound(wound),
            Fact::WoundFound(WoundFound {
                casualty,
                region,
                side: Side::Left,
                flow: Flow::Steady,
                amputation: false,
            }),
        );
        if let Some(step) = Measure::ALL.get(index % 5).copied() {
            let used = vec![Used {
                item: Item::PressureBandage,
                count: 1,
            }];
            report(
                About::Wound(wound),
                Fact::StepTaken(StepTaken { step, used }),
            );
        }
        if index % 2 == 0 {
            let priority = EvacPriority::ALL[index % 3];
            let posture = Posture::ALL[index % 3];
            report(
                About::Casualty(casualty),
                Fact::EvacRequested(EvacRequested {
                    priority,
                    posture,
                    needs: None,
                }),
            );
        }
    }
    let bag = About::Kit(KitId::new(app.board.uuid()));
    report(
        bag,
        Fact::StockCounted(StockCounted {
            item: Item::PressureBandage,
            count: 4,
        }),
    );
    let receipts = app.journal.append(reports, author).await.unwrap();
    assert!(receipts.iter().all(Result::is_ok), "{receipts:?}");
    first.unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn every_screen_is_sound_in_every_look() {
    let board = Board::start().await;
    let casualty = populate(&board).await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));
    let one = format!("/casualties/{casualty}");
    let pages = ["/board", "/next", &one, "/summary", "/log", "/poster"];
    for look in ["light", "dark", "night"] {
        for (screen, pages) in [(&ina, &pages[..]), (&teo, &pages[..5])] {
            for page in pages {
                screen.open(&board.url(page)).await;
                screen.see("main").await;
                screen
                    .ask(&format!(
                        "document.documentElement.dataset.theme = '{look}'"
                    ))
                    .await;
                let name = page.split('/').nth(1).unwrap();
                screen.shot(&format!("{name}-{look}")).await;
                screen.is_sound().await;
            }
        }
    }
    teo.open(&board.url("/next")).await;
    for view in [
        "add",
        "assess",
        "call",
        "told",
        "cards",
        "wound",
        "flow",
        "step",
        "tourniquet-time",
        "look",
        "vitals",
        "evac",
        "note",
        "move",
        "describe",
        "count",
    ] {
        teo.ask(&format!(
            "document.querySelector('[data-view-name=home]').hidden = true; \
             for (const view of document.querySelectorAll('.view')) view.hidden = view.dataset.viewName !== '{view}';"
        ))
        .await;
        teo.see(&format!("[data-view-name={view}]")).await;
        teo.shot(&format!("view-{view}")).await;
        teo.is_sound().await;
    }
    tokio::join!(ina.leave(), teo.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn the_summary_prints_on_one_a4_page() {
    let board = Board::start().await;
    populate(&board).await;
    let browsers = Browsers::start();
    let ina = browsers.tablet("Ina").await;
    ina.join_as_lead(&board).await;
    ina.open(&board.url("/summary")).await;
    ina.see("#summary").await;
    let mut paper = PrintParameters::default();
    // A4 in centimetres.
    paper.page.width = 21.0;
    paper.page.height = 29.7;
    let pdf = ina.driver.print_page(paper).await.unwrap();
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("artefacts");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("summary.pdf"), &pdf).unwrap();
    let text = String::from_utf8_lossy(&pdf);
    let pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
    assert_eq!(
        pages, 1,
        "the summary of twelve casualties takes {pages} pages"
    );
    ina.leave().await;
}
