//! One person's screen: a browser of its own, driven by what a person sees and taps.

use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use thirtyfour::prelude::*;

use crate::board::{Board, CODE, WORDS};

/// How long a story waits for what it expects to see.
pub(crate) const SOON: Duration = Duration::from_secs(20);
const LOOK_AGAIN: Duration = Duration::from_millis(50);

/// The same browser without what only a window needs: it costs about half, so it is taken where it is installed.
///
/// The program itself: the script of that name stands between it and the driver, which then ends the script alone.
const SHELL: &str = "/usr/lib/chromium/chromium-headless-shell";

/// A chromedriver of this test's own.
pub(crate) struct Browsers {
    driver: Child,
    url: String,
    /// Dropped with the story; the watch over its time ends with it.
    _story: mpsc::Sender<()>,
}

/// No story takes longer: one that hangs must end the run and say which it was. The long cut of one has an hour.
fn longest_story() -> Duration {
    let is_long = std::env::var_os("HOLDFAST_LONG").is_some();
    Duration::from_mins(if is_long { 60 } else { 6 })
}

fn watch_over_time() -> mpsc::Sender<()> {
    let (story, over) = mpsc::channel();
    let name = std::thread::current().name().map(str::to_owned);
    std::thread::spawn(move || {
        let longest = longest_story();
        if over.recv_timeout(longest) == Err(mpsc::RecvTimeoutError::Timeout) {
            println!("{name:?} still runs after {longest:?}: given up");
            std::process::exit(1);
        }
    });
    story
}

/// A driver and its port; nothing when it ended before it said one.
fn start_driver() -> Option<(Child, String)> {
    let mut driver = Command::new("chromedriver")
        .arg("--port=0")
        // Hours on a screen are local ones; stories compare them with the board's.
        .env("TZ", "UTC")
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let lines = BufReader::new(driver.stdout.take()?).lines();
    let port = lines.map_while(Result::ok).find_map(|line| {
        line.split("successfully on port ")
            .nth(1)
            .map(|rest| rest.trim_end_matches('.').to_owned())
    });
    if port.is_none() {
        driver.kill().ok();
        driver.wait().ok();
    }
    Some((driver, port?))
}

impl Browsers {
    pub(crate) fn start() -> Self {
        holdfast::tls::provide();
        // Drivers that start at one moment may take each other's port: whoever loses it ends, and begins again.
        let begun = (0..10).find_map(|_| start_driver());
        let (driver, port) = begun.expect("chromedriver is installed (tests/run brings it)");
        Self {
            driver,
            url: format!("http://127.0.0.1:{port}"),
            _story: watch_over_time(),
        }
    }

    /// The driver's process: the browsers are its children.
    pub(crate) fn pid(&self) -> u32 {
        self.driver.id()
    }

    /// A phone of 390 × 844.
    pub(crate) async fn phone(&self, name: &'static str) -> Screen {
        self.screen(name, 390, 844, true).await
    }

    /// The lead's tablet.
    pub(crate) async fn tablet(&self, name: &'static str) -> Screen {
        self.screen(name, 1280, 800, false).await
    }

    async fn screen(&self, name: &'static str, width: u32, height: u32, mobile: bool) -> Screen {
        let mut wishes = DesiredCapabilities::chrome();
        for flag in [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            // No process in waiting for a page to come: a story that kills a tab must know which it is.
            "--disable-features=SpareRendererForSitePerProcess",
        ] {
            wishes.add_arg(flag).unwrap();
        }
        if std::path::Path::new(SHELL).exists() {
            wishes.set_binary(SHELL).unwrap();
        }
        // A machine that is busy may be too slow for the driver's own patience: a browser that did not come is asked for again.
        let mut driver = WebDriver::new(&self.url, wishes.clone()).await;
        for _ in 0..2 {
            if driver.is_err() {
                driver = WebDriver::new(&self.url, wishes.clone()).await;
            }
        }
        let driver = driver.expect("a browser starts");
        let screen = Screen { driver, name };
        let size =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": mobile });
        screen.cdp("Emulation.setDeviceMetricsOverride", size).await;
        screen
            .cdp(
                "Emulation.setTouchEmulationEnabled",
                json!({ "enabled": mobile }),
            )
            .await;
        screen.before_every_page(COLLECT_FAULTS).await;
        screen
    }
}

impl Drop for Browsers {
    fn drop(&mut self) {
        self.driver.kill().ok();
        self.driver.wait().ok();
    }
}

/// Script errors and policy violations are kept, so that a story can end by asking for none.
const COLLECT_FAULTS: &str = r"
    window.faults = [];
    addEventListener('error', (event) => window.faults.push(String(event.message)));
    addEventListener('unhandledrejection', (event) => window.faults.push(String(event.reason)));
    document.addEventListener('securitypolicyviolation', (event) => window.faults.push(`policy: ${event.violatedDirective}`));
";

/// What an element is looked for.
#[derive(Clone, Copy, Debug)]
enum Wanted {
    Seen,
    /// Says the words somewhere.
    Read,
    Tapped,
    /// Its first line is the words.
    TappedByWords,
}

impl Wanted {
    const fn word(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::Read => "read",
            Self::Tapped => "tapped",
            Self::TappedByWords => "tapped by words",
        }
    }
}

/// Looks for a second at most: a page that goes meanwhile would take the answer with it. What is to be tapped is brought
/// to the middle as a person does, and not before a finger could: right after a change of view the page takes a tap for
/// a tremble.
const FIND: &str = r"
    const [css, words, wanted, done] = arguments;
    const hasBox = (one) => [...one.getClientRects()].some((box) => box.width > 0 && box.height > 0);
    const isSeen = (one) => one.checkVisibility({ opacityProperty: true, visibilityProperty: true })
        && (hasBox(one) || [...one.children].some(isSeen));
    const text = (one) => (one.innerText ?? one.textContent).replace(/[\u00a0\t]/g, ' ').trim();
    const fits = (one) => {
        if (!isSeen(one)) return false;
        if (wanted === 'read') return text(one).includes(words);
        return wanted !== 'tapped by words' || text(one).split('\n')[0].trim() === words;
    };
    const isTap = wanted.startsWith('tapped');
    let looks = 0;
    const look = () => {
        const settling = isTap && document.documentElement.hasAttribute('data-settling');
        const found = settling ? undefined : [...document.querySelectorAll(css)].find(fits);
        if (!found && ++looks < 25) return setTimeout(look, 40);
        if (found && isTap) found.scrollIntoView({ block: 'center' });
        done(found ?? null);
    };
    look();";

/// How far a page has come, for a story that fails: what it still waits for, and how often it has come again by itself.
const STATE: &str = r"
    const came = performance.getEntriesByType('resource').map((one) => one.name);
    const scripts = [...document.querySelectorAll('script[src]')].map((one) => one.src).filter((src) => !came.includes(src));
    return { state: document.readyState, for: Math.round(performance.now()), started: 'started' in document.documentElement.dataset,
        loads: sessionStorage.getItem('holdfast/loads'), scripts: came.length, missing: scripts };";

pub(crate) struct Screen {
    pub(crate) driver: WebDriver,
    name: &'static str,
}

impl Screen {
    pub(crate) async fn cdp(&self, command: &str, parameters: Value) -> Value {
        self.driver
            .cdp()
            .send_raw(command, parameters)
            .await
            .unwrap()
    }

    pub(crate) fn is_named(&self, name: &str) -> bool {
        self.name == name
    }

    /// A script that runs before each page's own.
    pub(crate) async fn before_every_page(&self, script: &str) {
        self.cdp(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": script }),
        )
        .await;
    }

    pub(crate) async fn open(&self, url: &str) {
        self.driver.goto(url).await.unwrap();
    }

    /// Joins as somebody who scanned the poster: the code is in the address already.
    pub(crate) async fn join_by_poster(&self, board: &Board) {
        self.join_at(&board.url("")).await;
    }

    /// The same at an address of its own.
    pub(crate) async fn join_at(&self, base: &str) {
        self.open(&format!("{base}/join#{CODE}")).await;
        self.see_join_form().await;
        let deadline = Instant::now() + SOON;
        while self.ask("return location.hash").await != json!("") {
            assert!(
                Instant::now() < deadline,
                "the code stays in the address bar"
            );
            tokio::time::sleep(LOOK_AGAIN).await;
        }
        self.fill("[name=name]", self.name).await;
        self.tap("input[value=first_aider] + span").await;
        self.tap("[data-join-form] button[type=submit]").await;
        self.see(".next").await;
    }

    /// Where a script got lost, or hangs, the page comes again by itself.
    async fn see_join_form(&self) {
        if !self.sees("[data-started] [name=code]", 2 * SOON).await {
            // Every script got lost, the one that would load the page again too: it says so, and a person does it.
            self.see(".half").await;
            self.driver.refresh().await.unwrap();
            self.see("[data-started] [name=code]").await;
        }
    }

    /// Joins as the evacuation coordinator.
    pub(crate) async fn join_as_evac(&self, board: &Board) {
        let code = board.app.as_ref().unwrap().codes.evac.clone();
        self.open(&board.url("/join")).await;
        self.see_join_form().await;
        self.fill("[name=code]", &code).await;
        self.fill("[name=name]", self.name).await;
        self.tap("[data-join-form] button[type=submit]").await;
        self.see("#evac-now").await;
        self.see("body[data-link=live]").await;
    }

    /// Joins as the lead.
    pub(crate) async fn join_as_lead(&self, board: &Board) {
        self.lead_at(&board.url("")).await;
    }

    /// The same at an address of its own.
    pub(crate) async fn lead_at(&self, base: &str) {
        self.open(&format!("{base}/join")).await;
        self.see_join_form().await;
        self.fill("[name=code]", WORDS).await;
        self.fill("[name=name]", self.name).await;
        self.tap("[data-join-form] button[type=submit]").await;
        self.see("#duties").await;
        self.see("body[data-link=live]").await;
    }

    /// Opens a page and waits until it is live.
    pub(crate) async fn open_at(&self, base: &str, path: &str) {
        self.open(&format!("{base}{path}")).await;
        self.see_within("body[data-link=live]", Duration::from_secs(30))
            .await;
    }

    pub(crate) async fn ask(&self, script: &str) -> Value {
        self.driver
            .execute(script, Vec::new())
            .await
            .unwrap()
            .json()
            .clone()
    }

    /// Every report this device keeps: [id, state, seq].
    pub(crate) async fn kept(&self) -> Vec<(String, String)> {
        let read = r"
            const done = arguments[0];
            const open = indexedDB.open(`holdfast-outbox/${document.body.dataset.board}`);
            open.onerror = () => done([]);
            open.onsuccess = () => {
                const all = open.result.transaction('facts').objectStore('facts').getAll();
                all.onsuccess = () => { open.result.close(); done(all.result.map((item) => [item.id, item.state])); };
            };";
        let answer = self.driver.execute_async(read, Vec::new()).await.unwrap();
        serde_json::from_value(answer.json().clone()).unwrap()
    }

    pub(crate) async fn fill(&self, css: &str, text: &str) {
        let field = self.see(css).await;
        field.clear().await.unwrap();
        field.send_keys(text).await.unwrap();
    }

    /// Waits until something that fits is on the screen.
    pub(crate) async fn see(&self, css: &str) -> WebElement {
        self.see_within(css, SOON).await
    }

    /// Whether something that fits comes on the screen in time.
    pub(crate) async fn sees(&self, css: &str, limit: Duration) -> bool {
        self.find(css, "", Wanted::Seen, limit).await.is_ok()
    }

    pub(crate) async fn see_within(&self, css: &str, limit: Duration) -> WebElement {
        let found = self.find(css, "", Wanted::Seen, limit).await;
        found.unwrap_or_else(|words| {
            panic!(
                "{} does not see `{css}`; the screen says: {words}",
                self.name
            )
        })
    }

    /// Waits until an element on the screen says these words; tells how long it took.
    pub(crate) async fn reads(&self, css: &str, words: &str) -> Duration {
        self.reads_within(css, words, SOON).await
    }

    pub(crate) async fn reads_within(&self, css: &str, words: &str, limit: Duration) -> Duration {
        let began = Instant::now();
        let found = self.find(css, words, Wanted::Read, limit).await;
        if let Err(screen) = found {
            panic!(
                "{} does not read `{words}` in `{css}`; the screen says: {screen}",
                self.name
            );
        }
        began.elapsed()
    }

    /// Taps something as soon as it is there; tries again when a live part replaced it meanwhile.
    pub(crate) async fn tap(&self, css: &str) {
        self.tap_one(css, "", Wanted::Tapped).await;
    }

    /// Taps the button with these words inside the view that is open.
    pub(crate) async fn tap_words(&self, css: &str, words: &str) {
        self.tap_one(css, words, Wanted::TappedByWords).await;
    }

    async fn tap_one(&self, css: &str, words: &str, wanted: Wanted) {
        let deadline = Instant::now() + SOON;
        loop {
            let left = deadline.saturating_duration_since(Instant::now());
            let element = match self.find(css, words, wanted, left).await {
                Ok(element) => element,
                Err(screen) => panic!(
                    "{} cannot tap `{css}` {words}; the screen says: {screen}",
                    self.name
                ),
            };
            match element.click().await {
                Ok(()) => return,
                Err(error) => assert!(
                    Instant::now() < deadline,
                    "{} cannot tap `{css}` {words}: {error}",
                    self.name
                ),
            }
            tokio::time::sleep(LOOK_AGAIN).await;
        }
    }

    /// Waits for an element inside the page, which costs far less than to ask again and again from here. Else a picture
    /// is kept, and what the screen says is given.
    async fn find(
        &self,
        css: &str,
        words: &str,
        wanted: Wanted,
        limit: Duration,
    ) -> Result<WebElement, String> {
        let deadline = Instant::now() + limit;
        let arguments = vec![json!(css), json!(words), json!(wanted.word())];
        loop {
            // An error is a page that goes while it is asked.
            let answer = self.driver.execute_async(FIND, arguments.clone()).await;
            if let Ok(answer) = answer
                && let Ok(element) = answer.element()
            {
                return Ok(element);
            }
            if Instant::now() >= deadline {
                self.shot("failed").await;
                let state = self.ask(STATE).await;
                return Err(format!("{}\n{state}", self.words().await));
            }
            tokio::time::sleep(LOOK_AGAIN).await;
        }
    }

    pub(crate) async fn words(&self) -> String {
        self.ask("return document.body.innerText")
            .await
            .as_str()
            .unwrap_or_default()
            .to_owned()
    }

    /// Keeps a picture of the whole page among the artefacts.
    pub(crate) async fn shot(&self, what: &str) {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("artefacts");
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join(format!("{}-{what}.png", self.name.to_lowercase()));
        self.driver.screenshot(&file).await.unwrap();
    }

    /// Keeps a picture of the page from its top to its end among the artefacts.
    pub(crate) async fn whole(&self, what: &str) {
        let wanted = json!({ "format": "png", "captureBeyondViewport": true });
        let answer = self.cdp("Page.captureScreenshot", wanted).await;
        let picture = answer["data"].as_str().unwrap();
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("artefacts");
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join(format!("{}-{what}.png", self.name.to_lowercase()));
        std::fs::write(file, base64(picture)).unwrap();
    }

    /// The same picture in the light, the dark and the dim look; ends as it was.
    pub(crate) async fn shot_in_every_look(&self, what: &str) {
        let before = self
            .ask("return document.documentElement.dataset.theme")
            .await;
        for look in ["light", "dark", "night"] {
            self.ask(&format!(
                "document.documentElement.dataset.theme = '{look}'"
            ))
            .await;
            self.shot(&format!("{what}-{look}")).await;
        }
        let before = before.as_str().unwrap_or("light");
        self.ask(&format!(
            "document.documentElement.dataset.theme = '{before}'"
        ))
        .await;
    }

    /// The page had no script error and broke no rule of its content policy, and nothing hangs over its side.
    pub(crate) async fn is_sound(&self) {
        let faults = self.ask("return window.faults ?? []").await;
        assert_eq!(faults, json!([]), "{}: faults on the page", self.name);
        let over = self.ask("return document.documentElement.scrollWidth - document.documentElement.clientWidth").await;
        assert!(
            over.as_i64() <= Some(0),
            "{}: {} is {over} px wider than the screen",
            self.name,
            self.driver.current_url().await.unwrap()
        );
    }

    pub(crate) async fn leave(self) {
        self.driver.quit().await.unwrap();
    }
}

/// Bytes written in base64 (RFC 4648), as the browser hands pictures over.
fn base64(text: &str) -> Vec<u8> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut bytes = Vec::with_capacity(text.len() * 3 / 4);
    let (mut bits, mut held) = (0_u32, 0);
    for letter in text.bytes().filter(|letter| *letter != b'=') {
        let value = LETTERS.iter().position(|known| *known == letter).unwrap();
        bits = bits << 6 | u32::try_from(value).unwrap();
        held += 6;
        if held >= 8 {
            held -= 8;
            bytes.push(u8::try_from(bits >> held & 255).unwrap());
        }
    }
    bytes
}
