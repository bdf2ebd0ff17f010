//! A person's device: joins, reports in the words of what people do, and keeps its cookie.

use std::sync::atomic::{AtomicU64, Ordering};

use holdfast::clock::{Clock, fresh_id};
use reqwest::header::{HeaderMap, HeaderValue};
use reqwest::{Client, Method, RequestBuilder, Response};
use serde_json::{Value, json};

use super::live::Stream;
use super::{DEADLINE, page::Page};

/// A device, joined or not.
#[derive(Clone)]
pub(crate) struct Device {
    client: Client,
    pub(crate) origin: String,
    clock: Clock,
    pub(crate) cookie: Option<String>,
    /// Its id on the board; empty before joining.
    pub(crate) id: String,
    /// The position its page showed.
    pub(crate) saw: std::sync::Arc<AtomicU64>,
}

/// An answer, read whole.
#[derive(Clone, Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) headers: HeaderMap,
    pub(crate) body: String,
}

impl Answer {
    pub(crate) async fn of(response: Response) -> Self {
        Self {
            status: response.status().as_u16(),
            headers: response.headers().clone(),
            body: response.text().await.unwrap(),
        }
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.body)
            .unwrap_or_else(|error| panic!("not JSON ({error}): {} {}", self.status, self.body))
    }

    pub(crate) fn header(&self, name: &str) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }
}

impl Device {
    pub(crate) fn stranger(origin: &str, clock: Clock) -> Self {
        Self::at_address(origin, clock, None)
    }

    /// Somebody at an address of their own.
    pub(crate) fn at_address(
        origin: &str,
        clock: Clock,
        address: Option<std::net::IpAddr>,
    ) -> Self {
        holdfast::tls::provide();
        let client = Client::builder()
            .redirect(reqwest::redirect::Policy::none())
            .local_address(address)
            .timeout(DEADLINE)
            .build()
            .unwrap();
        Self {
            client,
            origin: origin.to_owned(),
            clock,
            cookie: None,
            id: String::new(),
            saw: std::sync::Arc::default(),
        }
    }

    /// Tries a code; returns the answer, whatever it is.
    pub(crate) async fn tries_code(&self, code: &str, name: &str) -> Answer {
        self.tries_code_as(code, name, "first_aider").await
    }

    async fn tries_code_as(&self, code: &str, name: &str, skill: &str) -> Answer {
        let form = json!({ "code": code, "name": name, "skill": skill });
        self.posts("/join", &form).await
    }

    /// Joins; returns the device with its session.
    pub(crate) async fn joins(&self, code: &str, name: &str) -> Self {
        self.joins_as(code, name, "first_aider").await
    }

    /// Joins as somebody with this skill.
    pub(crate) async fn joins_as(&self, code: &str, name: &str, skill: &str) -> Self {
        let answer = self.tries_code_as(code, name, skill).await;
        assert_eq!(answer.status, 200, "{name} joins: {}", answer.body);
        let cookie = answer.header("set-cookie");
        let pair = cookie.split(';').next().unwrap();
        Self {
            cookie: Some(pair.to_owned()),
            id: answer.json()["device"].as_str().unwrap().to_owned(),
            saw: std::sync::Arc::default(),
            ..self.clone()
        }
    }

    /// The same device, talking to the board at its new address after a restart.
    pub(crate) fn at(&self, origin: &str) -> Self {
        Self {
            origin: origin.to_owned(),
            ..self.clone()
        }
    }

    /// A request with the cookie and nothing else.
    pub(crate) fn request(&self, method: Method, path: &str) -> RequestBuilder {
        let request = self
            .client
            .request(method, format!("{}{path}", self.origin));
        match &self.cookie {
            Some(cookie) => request.header("cookie", cookie),
            None => request,
        }
    }

    /// Asks for an address as a program would.
    pub(crate) async fn gets(&self, path: &str) -> Answer {
        Answer::of(self.request(Method::GET, path).send().await.unwrap()).await
    }

    /// Opens a page as a browser would; it must be there.
    pub(crate) async fn opens(&self, path: &str) -> Page {
        let request = self
            .request(Method::GET, path)
            .header("accept", "text/html");
        let answer = Answer::of(request.send().await.unwrap()).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        Page::new(answer.body)
    }

    /// A post with everything our own pages send.
    pub(crate) async fn posts(&self, path: &str, body: &Value) -> Answer {
        let request = self
            .request(Method::POST, path)
            .header("origin", HeaderValue::from_str(&self.origin).unwrap())
            .header("x-holdfast", "1")
            .header("content-type", "application/json")
            .body(body.to_string());
        Answer::of(request.send().await.unwrap()).await
    }

    /// Posts facts as given; the batch must be answered. One receipt or problem for each.
    pub(crate) async fn reports_all(&self, facts: &[Value]) -> Vec<Value> {
        let answer = self
            .posts(
                "/journal",
                &json!({ "sent_at": self.now(), "facts": facts }),
            )
            .await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        let receipts = answer.json()["receipts"].as_array().unwrap().clone();
        assert_eq!(receipts.len(), facts.len());
        receipts
    }

    /// Posts one fact, given whole; returns its receipt or problem.
    pub(crate) async fn reports(&self, fact: Value) -> Value {
        self.reports_all(&[fact]).await.remove(0)
    }

    /// Reports something that happened now; it must be taken. Returns the receipt.
    pub(crate) async fn says(&self, about: Value, fact: Value) -> Value {
        let receipt = self.reports(self.fact(about, fact)).await;
        assert!(receipt["seq"].is_u64(), "not taken: {receipt}");
        receipt
    }

    /// A fact of this device, ready to send.
    pub(crate) fn fact(&self, about: Value, fact: Value) -> Value {
        let mut report = json!({ "id": fresh_id(), "happened_at": self.now(),
            "based_on": self.saw.load(Ordering::SeqCst) });
        report["about"] = about;
        report["fact"] = fact;
        report
    }

    /// Has seen the board up to here.
    pub(crate) fn has_seen(&self, seq: u64) {
        self.saw.store(seq, Ordering::SeqCst);
    }

    /// Meets somebody new; returns their id.
    pub(crate) async fn registers(&self, words: &str) -> String {
        let casualty = fresh_id().to_string();
        let fact = json!({ "kind": "casualty.registered/1", "age": "adult", "words": words });
        self.says(json!({ "casualty": casualty }), fact).await;
        casualty
    }

    /// Finds a wound; returns its id.
    pub(crate) async fn finds_wound(&self, casualty: &str, region: &str, flow: &str) -> String {
        let wound = fresh_id().to_string();
        let fact = json!({ "kind": "wound.found/1", "casualty": casualty, "region": region,
            "side": "left", "flow": flow });
        self.says(json!({ "wound": wound }), fact).await;
        wound
    }

    /// Takes a step on a wound with one piece of an item.
    pub(crate) async fn takes_step(&self, wound: &str, step: &str, item: &str) -> Value {
        let fact =
            json!({ "kind": "step.taken/1", "step": step, "used": [{ "item": item, "count": 1 }] });
        self.says(json!({ "wound": wound }), fact).await
    }

    /// Looks at a wound again.
    pub(crate) async fn checks_tourniquet(
        &self,
        wound: &str,
        bleeding: bool,
        pulse: &str,
    ) -> Value {
        let fact = json!({ "kind": "tourniquet.checked/1", "bleeding": bleeding, "pulse": pulse });
        self.says(json!({ "wound": wound }), fact).await
    }

    /// Assigns a category.
    pub(crate) async fn sorts(&self, casualty: &str, category: &str) -> Value {
        let fact = json!({ "kind": "category.assigned/1", "category": category });
        self.says(json!({ "casualty": casualty }), fact).await
    }

    /// Moves a casualty.
    pub(crate) async fn moves(&self, casualty: &str, place: &str) -> Value {
        let fact = json!({ "kind": "casualty.moved/1", "place": place });
        self.says(json!({ "casualty": casualty }), fact).await
    }

    /// Takes a casualty on.
    pub(crate) async fn takes(&self, casualty: &str) -> Value {
        let fact = json!({ "kind": "casualty.taken/1", "helper": self.id });
        self.says(json!({ "casualty": casualty }), fact).await
    }

    /// Asks for evacuation.
    pub(crate) async fn requests_evac(
        &self,
        casualty: &str,
        priority: &str,
        posture: &str,
    ) -> Value {
        let fact = json!({ "kind": "evac.requested/1", "priority": priority, "posture": posture });
        self.says(json!({ "casualty": casualty }), fact).await
    }

    /// Counts an item in the common bag.
    pub(crate) async fn counts(&self, kit: &str, item: &str, count: u32) -> Value {
        let fact = json!({ "kind": "stock.counted/1", "item": item, "count": count });
        self.says(json!({ "kit": kit }), fact).await
    }

    /// Remarks something about a casualty.
    pub(crate) async fn notes(&self, casualty: &str, text: &str) -> Value {
        let fact = json!({ "kind": "note.added/1", "text": text });
        self.says(json!({ "casualty": casualty }), fact).await
    }

    /// Strikes an entry, given by its receipt.
    pub(crate) async fn strikes(&self, about: Value, receipt: &Value) -> Value {
        let fact = json!({ "kind": "entry.struck/1", "entry": receipt["id"], "reason": "not so" });
        self.says(about, fact).await
    }

    /// As the lead: names a deputy, or takes that back. Returns the receipt or problem.
    pub(crate) async fn names_deputy(&self, who: &Self, deputy: bool) -> Value {
        let fact = json!({ "kind": "deputy.named/1", "helper": who.id, "deputy": deputy });
        self.reports(self.fact(json!("incident"), fact)).await
    }

    /// Takes up a fresh session, in the role the record gives this device now.
    pub(crate) async fn renews_session(&self) -> Self {
        let answer = self.posts("/session/renewal", &json!({})).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        let cookie = answer.header("set-cookie");
        Self {
            cookie: Some(cookie.split(';').next().unwrap().to_owned()),
            ..self.clone()
        }
    }

    /// Opens the live stream of some views.
    pub(crate) async fn watches(&self, views: &str, since: u64) -> Stream {
        Stream::open(self, &format!("/live/{views}?since={since}"), None).await
    }

    /// Reopens a stream as a browser does, with the id of the last event it heard.
    pub(crate) async fn watches_again(&self, views: &str, since: u64, last: u64) -> Stream {
        Stream::open(self, &format!("/live/{views}?since={since}"), Some(last)).await
    }

    /// Every line of the journal after a position.
    pub(crate) async fn reads_journal(&self, after: u64) -> Vec<Value> {
        let answer = self.gets(&format!("/journal?after={after}")).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        assert_eq!(answer.header("content-type"), "application/x-ndjson");
        answer
            .body
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect()
    }

    /// Board time as this device knows it.
    pub(crate) fn now(&self) -> String {
        self.clock.now().to_string()
    }
}
