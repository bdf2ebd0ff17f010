//! The house's own rules, read off its sources: which way imports run, what a file opens with, how long it may be.
//!
//! Each check is a function over text, tried on small wrong texts at the end of this file.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on stops")]

use std::path::{Path, PathBuf};

/// What each part of the house may import of the others. A part not named here may import nothing of ours.
const MAY_IMPORT: [(&str, &[&str]); 15] = [
    ("rules", &[]),
    ("incident", &["rules"]),
    ("journal", &["incident", "rules", "clock"]),
    ("live", &["journal", "incident", "rules"]),
    ("exchange", &["incident", "rules"]),
    // A drill plays phones to a board from outside: like them it makes ids and goes by a clock.
    ("drill", &["incident", "rules", "clock", "tls"]),
    (
        "web",
        &["live", "journal", "incident", "rules", "exchange", "clock"],
    ),
    ("clock", &[]),
    (
        "boot",
        &[
            "web", "live", "journal", "incident", "rules", "exchange", "drill", "clock", "tls",
        ],
    ),
    ("tls", &[]),
    (
        "standby",
        &["boot", "web", "journal", "incident", "clock", "tls"],
    ),
    ("main", &[]),
    ("commands", &[]),
    ("lib", &[]),
    (
        "bench",
        &[
            "web", "live", "journal", "incident", "rules", "exchange", "drill", "clock", "boot",
        ],
    ),
];

/// Crates that a part must not know.
const FOREIGN: [(&str, &[&str]); 6] = [
    (
        "rules",
        &[
            "tokio", "axum", "sqlx", "reqwest", "hyper", "tracing", "askama", "uuid",
        ],
    ),
    (
        "incident",
        &[
            "tokio", "axum", "sqlx", "reqwest", "hyper", "tracing", "askama",
        ],
    ),
    ("journal", &["axum", "reqwest", "hyper", "askama"]),
    ("live", &["axum", "reqwest", "hyper", "sqlx", "askama"]),
    ("exchange", &["axum", "reqwest", "hyper", "sqlx", "tokio"]),
    ("web", &["sqlx", "reqwest"]),
];

/// What only `server/clock.rs` may ask for.
const ONLY_THE_CLOCK: [&str; 7] = [
    "Timestamp::now",
    "SystemTime::now",
    "Zoned::now",
    "getrandom",
    "now_v7",
    "new_v4",
    "OsRng",
];

/// The longest a source file may be, its unit tests not counted.
const LONGEST: usize = 400;
/// Files that are longer, with their length: a list that may only shrink.
const LONGER: &[(&str, usize)] = &[];
const LONGEST_SCRIPT: usize = 200;
const LONGEST_TEMPLATE: usize = 200;

const NAMES_THAT_SAY_NOTHING: [&str; 8] = [
    "util", "utils", "helper", "helpers", "common", "types", "misc", "shared",
];

/// What phones on plain HTTP do not have, and what would make text into HTML.
const NOT_IN_SCRIPTS: [&str; 8] = [
    "randomUUID",
    "crypto.subtle",
    "serviceWorker",
    "innerHTML",
    "outerHTML",
    "insertAdjacentHTML",
    "document.write",
    "eval(",
];
/// The one place where text becomes HTML.
const TRUSTED: &str = "static/js/live/trusted.js";

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every file under a folder with an ending: its path from the root, and its text.
fn files(folder: &str, ending: &str) -> Vec<(String, String)> {
    fn walk(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) {
        let Ok(listing) = std::fs::read_dir(folder) else {
            return;
        };
        for item in listing {
            let path = item.unwrap().path();
            if path.is_dir() {
                walk(&path, ending, found);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    walk(&root().join(folder), ending, &mut found);
    found.sort();
    found
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let name = path
                .strip_prefix(root())
                .unwrap()
                .to_string_lossy()
                .into_owned();
            (name, text)
        })
        .collect()
}

/// Rust without comments and without the insides of strings, so that words in them are no code.
fn code(text: &str) -> String {
    let mut code = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let skipped = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |end| end + 2)
        } else if let Some(raw) = rest.strip_prefix("r#\"") {
            raw.find("\"#").map_or(rest.len(), |end| end + 5)
        } else if c == '"' {
            string_length(rest)
        } else if rest.starts_with("'\"'") {
            3
        } else {
            0
        };
        if skipped == 0 {
            code.push(c);
            rest = &rest[c.len_utf8()..];
        } else {
            code.push(' ');
            rest = &rest[skipped..];
        }
    }
    code
}

fn string_length(text: &str) -> usize {
    let mut escaped = false;
    for (at, c) in text.char_indices().skip(1) {
        match c {
            '\\' if !escaped => escaped = true,
            '"' if !escaped => return at + 1,
            _ => escaped = false,
        }
    }
    text.len()
}

/// Which part of the house a file belongs to.
fn part(path: &str) -> &str {
    let inside = path.strip_prefix("server/").unwrap_or(path);
    inside.split('/').next().unwrap().trim_end_matches(".rs")
}

/// Parts of the house that code names: `crate::x`, `crate::{x, y}`, `holdfast::x`, and `super` climbing out.
fn imports(path: &str, code: &str) -> Vec<String> {
    let mut named = Vec::new();
    for start in ["crate::", "holdfast::"] {
        for rest in code.split(start).skip(1) {
            if let Some(group) = rest.strip_prefix('{') {
                named.extend(group_names(group));
            } else {
                named.push(first_name(rest));
            }
        }
    }
    let inside = path.strip_prefix("server/").unwrap_or(path);
    let depth = inside.matches('/').count() + usize::from(!inside.ends_with("mod.rs"));
    let climb = "super::".repeat(depth.max(1));
    // A unit-test module stands one deeper; only a climb past the part's own root counts.
    if depth > 0 && !code.contains("mod tests") && code.contains(&climb) && inside.contains('/') {
        let after = code.split(&climb).nth(1).unwrap_or_default();
        named.push(first_name(after));
    }
    named
}

fn first_name(text: &str) -> String {
    text.chars()
        .take_while(|c| c.is_ascii_alphanumeric() || *c == '_')
        .collect()
}

/// The first names in `{a::b, c::{d, e}}`, after its opening brace.
fn group_names(group: &str) -> Vec<String> {
    let mut names = Vec::new();
    let mut depth = 0;
    let mut item = String::new();
    for c in group.chars() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => names.push(first_name(std::mem::take(&mut item).trim())),
            _ if depth == 0 => item.push(c),
            _ => {}
        }
    }
    names.push(first_name(item.trim()));
    names.retain(|name| !name.is_empty());
    names
}

fn wrong_imports(path: &str, text: &str) -> Vec<String> {
    let part = part(path);
    if matches!(part, "main" | "lib" | "commands") {
        return Vec::new();
    }
    let code = code(text);
    let allowed = MAY_IMPORT
        .iter()
        .find(|(name, _)| *name == part)
        .map_or(&[][..], |(_, allowed)| allowed);
    let ours: Vec<&str> = MAY_IMPORT.iter().map(|(name, _)| *name).collect();
    let inner = imports(path, &code)
        .into_iter()
        .filter(|name| {
            name != part && ours.contains(&name.as_str()) && !allowed.contains(&name.as_str())
        })
        .map(|name| format!("{path}: {part} imports {name}"));
    let foreign = FOREIGN
        .iter()
        .find(|(name, _)| *name == part)
        .map_or(&[][..], |(_, foreign)| foreign);
    let outer = foreign
        .iter()
        .filter(|name| holds_path(&code, name))
        .map(|name| format!("{path}: {part} knows {name}"));
    inner.chain(outer).collect()
}

/// Whether code names something of a crate: `tokio::…`, not `my_tokio::…`.
fn holds_path(code: &str, name: &str) -> bool {
    let wanted = format!("{name}::");
    code.match_indices(&wanted).any(|(at, _)| {
        let before = code[..at].chars().next_back().unwrap_or(' ');
        !before.is_ascii_alphanumeric() && before != '_' && before != ':'
    })
}

fn asks_for_time(path: &str, text: &str) -> Vec<String> {
    if path == "server/clock.rs" {
        return Vec::new();
    }
    let code = code(text);
    let asked = ONLY_THE_CLOCK.iter().filter(|word| code.contains(*word));
    asked
        .map(|word| format!("{path} asks for {word}"))
        .collect()
}

fn lacks_header(path: &str, text: &str) -> Option<String> {
    let header: Vec<&str> = text
        .lines()
        .take_while(|line| line.starts_with("//!"))
        .collect();
    let words = header
        .iter()
        .map(|line| line.trim_start_matches("//!").trim().len())
        .sum::<usize>();
    (words < 12).then(|| format!("{path} does not open with what it owns and promises (`//!`)"))
}

/// Files that hold nothing but unit tests, too large to stand at the end of another.
fn is_all_tests(path: &str) -> bool {
    ["/laws.rs", "/tests.rs"]
        .iter()
        .any(|name| path.ends_with(name))
}

/// Lines before the unit tests at the end.
fn length(text: &str) -> usize {
    text.lines()
        .take_while(|line| *line != "#[cfg(test)]")
        .count()
}

fn too_long(path: &str, text: &str, longer: &[(&str, usize)]) -> Option<String> {
    let length = if is_all_tests(path) { 0 } else { length(text) };
    match longer.iter().find(|(name, _)| *name == path) {
        Some((_, most)) if length > *most => Some(format!(
            "{path} has grown to {length} lines; it may only shrink from {most}"
        )),
        Some(_) if length <= LONGEST => {
            Some(format!("{path} is short enough now; take it off the list"))
        }
        Some(_) => None,
        None => {
            (length > LONGEST).then(|| format!("{path} has {length} lines, more than {LONGEST}"))
        }
    }
}

fn says_nothing(path: &str) -> Option<String> {
    let stem = path.rsplit('/').next().unwrap().split('.').next().unwrap();
    let folders = path.split('/').rev().skip(1);
    let bad = folders
        .chain([stem])
        .any(|name| NAMES_THAT_SAY_NOTHING.contains(&name));
    bad.then(|| format!("{path}: a name that says nothing; name the concept"))
}

fn wrong_in_script(path: &str, text: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    if !text.trim_start().starts_with("//") && !text.trim_start().starts_with("/*") {
        wrong.push(format!(
            "{path} does not open with a comment that says what it is"
        ));
    }
    let lines = text.lines().count();
    if lines > LONGEST_SCRIPT {
        wrong.push(format!(
            "{path} has {lines} lines, more than {LONGEST_SCRIPT}"
        ));
    }
    let code: String = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//") && !line.trim_start().starts_with('*'))
        .map(|line| line.split(" // ").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n");
    for word in NOT_IN_SCRIPTS.iter().filter(|word| code.contains(*word)) {
        if !(path == TRUSTED && *word == "innerHTML") {
            wrong.push(format!("{path} uses {word}"));
        }
    }
    wrong
}

fn wrong_in_template(path: &str, text: &str) -> Vec<String> {
    let lines = text.lines().count();
    let mut wrong: Vec<String> = (lines > LONGEST_TEMPLATE)
        .then(|| format!("{path} has {lines} lines"))
        .into_iter()
        .collect();
    // The content security policy would silently drop these.
    for (word, why) in [
        (" style=\"", "inline style"),
        ("<style", "inline style"),
        (" onclick=", "inline script"),
        ("https://", "another host"),
    ] {
        if text.contains(word) {
            wrong.push(format!("{path} has {why}"));
        }
    }
    wrong
}

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "\n  {}\n", wrong.join("\n  "));
}

#[test]
fn imports_run_one_way() {
    let sources = files("server", ".rs");
    assert!(sources.len() > 50, "the sources are found");
    none(
        &sources
            .iter()
            .flat_map(|(path, text)| wrong_imports(path, text))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn every_part_of_the_house_is_in_the_table() {
    let known: Vec<&str> = MAY_IMPORT.iter().map(|(name, _)| *name).collect();
    for (path, _) in files("server", ".rs") {
        assert!(
            known.contains(&part(&path)),
            "{path}: say in MAY_IMPORT what this part may import"
        );
    }
}

#[test]
fn only_the_clock_asks_for_the_time_or_for_random_bytes() {
    let sources = files("server", ".rs");
    none(
        &sources
            .iter()
            .flat_map(|(path, text)| asks_for_time(path, text))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn every_file_says_what_it_is() {
    let sources = [
        files("server", ".rs"),
        files("tests", ".rs"),
        files("benches", ".rs"),
    ]
    .concat();
    let wanting = sources
        .iter()
        // A test binary that is declared and not written yet.
        .filter(|(_, text)| text.trim() != "fn main() {}")
        .filter_map(|(path, text)| lacks_header(path, text));
    none(&wanting.collect::<Vec<_>>());
}

#[test]
fn no_file_has_grown_past_its_size() {
    let sources = files("server", ".rs");
    none(
        &sources
            .iter()
            .filter_map(|(path, text)| too_long(path, text, LONGER))
            .collect::<Vec<_>>(),
    );
    for (path, _) in LONGER {
        assert!(
            root().join(path).exists(),
            "{path} is gone; take it off the list"
        );
    }
}

#[test]
fn no_name_says_nothing() {
    let all = [
        files("server", ".rs"),
        files("static/js", ".js"),
        files("tests", ".rs"),
    ]
    .concat();
    none(
        &all.iter()
            .filter_map(|(path, _)| says_nothing(path))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn scripts_use_what_phones_on_plain_http_have() {
    let scripts = files("static/js", ".js");
    assert!(scripts.len() > 20, "the scripts are found");
    none(
        &scripts
            .iter()
            .flat_map(|(path, text)| wrong_in_script(path, text))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn templates_are_short_and_have_nothing_inline() {
    let templates = files("templates", ".html");
    assert!(templates.len() > 10, "the templates are found");
    none(
        &templates
            .iter()
            .flat_map(|(path, text)| wrong_in_template(path, text))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn sources_do_not_name_where_they_were_written() {
    let all = [
        files("server", ".rs"),
        files("static", ""),
        files("templates", ""),
        files("tests", ".rs"),
        files("migrations", ""),
    ]
    .concat();
    for word in ["/work", "/tmp"].map(|folder| format!("{folder}/")) {
        for (path, text) in &all {
            assert!(!text.contains(&word), "{path} names {word}");
        }
    }
}

mod the_checks_can_fail {
    use super::*;

    #[test]
    fn imports() {
        let wrong = |path: &str, text: &str| !wrong_imports(path, text).is_empty();
        assert!(wrong("server/rules/x.rs", "use crate::incident::Entry;"));
        assert!(wrong(
            "server/rules/x/y.rs",
            "fn f() { crate::clock::wall_now(); }"
        ));
        assert!(wrong(
            "server/incident/x.rs",
            "use crate::{rules::Item, web::App};"
        ));
        assert!(wrong(
            "server/incident/x.rs",
            "use crate::{\n    rules::{Item, Hold},\n    journal,\n};"
        ));
        assert!(wrong("server/journal/x.rs", "use crate::live::Shelf;"));
        assert!(wrong("server/live/x.rs", "use crate::web::App;"));
        assert!(wrong(
            "server/exchange/x.rs",
            "use crate::journal::Journal;"
        ));
        assert!(wrong(
            "server/incident/x.rs",
            "use super::super::journal::Journal;"
        ));
        assert!(wrong(
            "server/incident/mod.rs",
            "use super::journal::Journal;"
        ));
        assert!(wrong("server/incident/x.rs", "use tokio::sync::watch;"));
        assert!(wrong("server/web/x.rs", "sqlx::query(\"\")"));
        assert!(
            wrong("server/new/x.rs", "use crate::journal::Journal;"),
            "a part nobody allowed anything"
        );
    }

    #[test]
    fn imports_that_are_right() {
        let right = |path: &str, text: &str| wrong_imports(path, text).is_empty();
        assert!(right(
            "server/incident/x.rs",
            "use crate::rules::Item; // not crate::web"
        ));
        assert!(right(
            "server/incident/x.rs",
            "/// See [`crate::web`].\nlet a = \"crate::web\";"
        ));
        assert!(right(
            "server/incident/fact/x.rs",
            "use super::super::ids::Seq;"
        ));
        assert!(right(
            "server/web/x.rs",
            "use crate::{live::Shelf, journal};"
        ));
        assert!(right("server/web/x.rs", "use crate::web::App;"));
        assert!(right("server/boot.rs", "use crate::web;"));
    }

    #[test]
    fn time() {
        assert!(!asks_for_time("server/web/x.rs", "let now = jiff::Timestamp::now();").is_empty());
        assert!(!asks_for_time("server/incident/x.rs", "Uuid::now_v7()").is_empty());
        assert!(asks_for_time("server/web/x.rs", "// Timestamp::now is not asked").is_empty());
        assert!(asks_for_time("server/clock.rs", "Timestamp::now()").is_empty());
    }

    #[test]
    fn headers_and_sizes() {
        assert!(lacks_header("x.rs", "use a;\n").is_some());
        assert!(lacks_header("x.rs", "//! x\n").is_some());
        assert!(lacks_header("x.rs", "//! What this file owns and promises.\n").is_none());
        assert!(too_long("server/x.rs", &"a\n".repeat(401), &[]).is_some());
        assert!(too_long("server/x.rs", &"a\n".repeat(400), &[]).is_none());
        let tested = format!("{}#[cfg(test)]\n{}", "a\n".repeat(400), "a\n".repeat(400));
        assert!(too_long("server/x.rs", &tested, &[]).is_none());
        let list = [("server/long.rs", 500)];
        assert!(too_long("server/long.rs", &"a\n".repeat(501), &list).is_some());
        assert!(too_long("server/long.rs", &"a\n".repeat(500), &list).is_none());
        assert!(
            too_long("server/long.rs", "a\n", &list).is_some(),
            "off the list"
        );
        assert!(too_long("server/x/laws.rs", &"a\n".repeat(500), &[]).is_none());
    }

    #[test]
    fn names() {
        assert!(says_nothing("server/util.rs").is_some());
        assert!(says_nothing("server/web/helpers/mod.rs").is_some());
        assert!(says_nothing("static/js/misc.js").is_some());
        assert!(says_nothing("server/web/codes.rs").is_none());
    }

    #[test]
    fn scripts_and_templates() {
        let wrong = |path: &str, text: &str| !wrong_in_script(path, text).is_empty();
        assert!(wrong("static/js/x.js", "export const a = 1;\n"));
        assert!(wrong("static/js/x.js", "// What.\ncrypto.randomUUID();\n"));
        assert!(wrong("static/js/x.js", "// What.\nbox.innerHTML = text;\n"));
        assert!(wrong(
            "static/js/x.js",
            &format!("// What.\n{}", "a;\n".repeat(200))
        ));
        assert!(!wrong(
            "static/js/x.js",
            "// What: there is no crypto.randomUUID here.\na();\n"
        ));
        assert!(!wrong(TRUSTED, "// What.\nbox.innerHTML = trusted;\n"));
        assert!(wrong(TRUSTED, "// What.\nbox.outerHTML = trusted;\n"));
        assert!(!wrong_in_template("templates/x.html", &"a\n".repeat(201)).is_empty());
        assert!(!wrong_in_template("templates/x.html", "<p style=\"x\">").is_empty());
    }
}

#[test]
fn every_test_that_the_hazard_log_names_is_there() {
    let log = std::fs::read_to_string(root().join("docs/safety/hazards.md")).unwrap();
    let tests: String = files("tests", ".rs")
        .into_iter()
        .chain(files("server", ".rs"))
        .map(|(_, text)| text)
        .collect();
    let named: Vec<&str> = log
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|name| name.contains('_'))
        .collect();
    assert!(named.len() > 25, "{named:?}");
    for name in named {
        assert!(
            tests.contains(&format!("fn {name}(")),
            "the hazard log names {name}, which is no test"
        );
    }
}
