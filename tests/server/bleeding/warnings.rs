//! Every warning there is, read where it matters: none that nobody is ever shown.

use holdfast::rules::bleeding::Warning;
use serde_json::{Value, json};

use crate::harness::{Device, TestBoard};

/// A page as people read it.
async fn read(phone: &Device, path: &str) -> String {
    phone.gets(path).await.body.replace("&#39;", "'")
}

struct Told<'a> {
    phone: &'a Device,
    casualty: String,
    seen: String,
}

impl Told<'_> {
    /// A wound at this place with this flow, and what was reported on it; the page is read after each report.
    async fn wound(&mut self, region: &str, flow: &str, facts: &[Value]) {
        let wound = self.phone.finds_wound(&self.casualty, region, flow).await;
        self.looks().await;
        for fact in facts {
            self.phone
                .says(json!({ "wound": wound }), fact.clone())
                .await;
            self.looks().await;
        }
    }

    async fn looks(&mut self) {
        let page = read(self.phone, &format!("/casualties/{}", self.casualty)).await;
        self.seen.push_str(&page);
    }
}

fn did(step: &str) -> Value {
    json!({ "kind": "step.taken/2", "step": step })
}

#[tokio::test]
async fn every_warning_is_shown_somewhere() {
    let board = TestBoard::start_at("2026-06-01T08:00:00Z").await;
    let teo = board.device("Teo").await;
    let ina = board.lead("Ina").await;
    let stranger = board.stranger();
    let mut told = Told {
        phone: &teo,
        casualty: teo.registers("many wounds").await,
        seen: read(&stranger, "/join").await,
    };
    let checked = |bleeding: bool| json!({ "kind": "tourniquet.checked/1", "bleeding": bleeding, "pulse": "absent" });
    told.wound("thigh", "spurting", &[]).await;
    told.wound("forearm", "steady", &[did("press"), did("pressure_lifted")])
        .await;
    told.wound("groin", "high", &[did("tourniquet")]).await;
    told.wound("abdomen", "ooze", &[did("pack")]).await;
    told.wound("neck", "steady", &[did("pack"), did("pressure_dressing")])
        .await;
    told.wound("back", "high", &[did("pack")]).await;
    told.wound("nose", "steady", &[did("pressure_dressing")])
        .await;
    told.wound("skull_fracture_suspected", "ooze", &[]).await;
    let tight = json!({ "kind": "dressing.checked/1", "stain": "dry", "circulation": "absent" });
    told.wound(
        "lower_leg",
        "high",
        &[did("pack"), did("pressure_dressing"), tight],
    )
    .await;
    let expired = json!({ "kind": "step.taken/2", "step": "pack", "expired": true,
        "used": [{ "item": "haemostatic_gauze", "count": 1 }] });
    told.wound("axilla", "high", &[expired]).await;
    told.wound(
        "upper_arm",
        "none",
        &[json!({ "kind": "wound.described/1", "mechanism": "bite" })],
    )
    .await;
    for place in ["chest_open", "evisceration", "eye"] {
        told.wound(place, "ooze", &[]).await;
    }
    told.wound(
        "buttock",
        "high",
        &[did("pack"), json!({ "kind": "wound.rinsed/1", "ml": 500 })],
    )
    .await;
    told.wound(
        "knee",
        "steady",
        &[json!({ "kind": "wound.described/1", "impaled": true })],
    )
    .await;
    let unknown = json!({ "kind": "step.taken/2", "step": "tourniquet", "tourniquet": { "time_unknown": true } });
    told.wound("hand", "spurting", &[unknown]).await;

    // Taking one off: not by a first aider, not unwatched, not in shock, not on a stump.
    told.casualty = teo.registers("tied").await;
    let begun = json!({ "kind": "release.begun/1", "watched_by": "Ina", "ticked": ["no_shock"] });
    told.wound(
        "forearm",
        "spurting",
        &[did("tourniquet"), checked(false), begun.clone()],
    )
    .await;
    let wound = ina.finds_wound(&told.casualty, "thigh", "spurting").await;
    for fact in [did("tourniquet"), checked(false), begun.clone()] {
        ina.says(json!({ "wound": wound }), fact).await;
    }
    told.looks().await;
    told.casualty = teo.registers("stump").await;
    let lost = holdfast::clock::fresh_id().to_string();
    let found = json!({ "kind": "wound.found/2", "casualty": told.casualty, "region": "lower_leg", "side": "left",
        "flow": "spurting", "amputation": "complete" });
    for fact in [found, did("tourniquet"), checked(false), begun.clone()] {
        ina.says(json!({ "wound": lost }), fact).await;
    }
    told.looks().await;
    told.casualty = teo.registers("shock").await;
    let shocked = json!({ "kind": "shock.judged/1", "shock": true });
    teo.says(json!({ "casualty": told.casualty }), shocked)
        .await;
    told.wound(
        "forearm",
        "spurting",
        &[did("tourniquet"), checked(false), begun],
    )
    .await;

    let missing: Vec<&str> = Warning::ALL
        .iter()
        .map(|warning| warning.text())
        .filter(|text| !told.seen.contains(text))
        .collect();
    assert!(missing.is_empty(), "never shown: {missing:#?}");
}
