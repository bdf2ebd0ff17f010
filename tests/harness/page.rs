//! A page as a browser keeps it: elements by id, and what a live stream does to them.
//!
//! Reads the board's own HTML, which closes what it opens; it is no general HTML reader.

use std::collections::BTreeMap;

use serde_json::Value;

/// Elements that have no end tag.
const VOID: [&str; 7] = ["meta", "link", "input", "br", "hr", "img", "source"];

/// A page and its elements that have an id, outermost HTML by id.
#[derive(Clone, Debug)]
pub(crate) struct Page {
    pub(crate) html: String,
    parts: BTreeMap<String, String>,
}

impl Page {
    pub(crate) fn new(html: String) -> Self {
        let parts = elements(&html)
            .into_iter()
            .filter_map(|element| Some((attribute(&element, "id")?, element)))
            .collect();
        Self { html, parts }
    }

    /// The HTML of the element with an id.
    pub(crate) fn part(&self, id: &str) -> Option<&str> {
        self.parts.get(id).map(String::as_str)
    }

    /// Whether the page says this anywhere.
    pub(crate) fn says(&self, text: &str) -> bool {
        self.html.contains(text)
    }

    /// The position the page was rendered at.
    pub(crate) fn seq(&self) -> u64 {
        self.body("data-seq").parse().unwrap()
    }

    /// An attribute of the body.
    pub(crate) fn body(&self, name: &str) -> String {
        let start = self.html.find("<body").unwrap();
        attribute(&self.html[start..], name).unwrap_or_default()
    }

    /// Does what the page's script does with an event of parts.
    pub(crate) fn take_in(&mut self, data: &Value) {
        for part in data["parts"].as_array().unwrap() {
            let id = part["id"].as_str().unwrap();
            let html = part["html"].as_str().unwrap();
            let has_place = part["into"]
                .as_str()
                .is_some_and(|into| self.parts.contains_key(into));
            if self.parts.contains_key(id) || has_place {
                self.parts.insert(id.to_owned(), html.to_owned());
            }
        }
        for id in data["gone"].as_array().into_iter().flatten() {
            self.parts.remove(id.as_str().unwrap());
        }
    }
}

/// Every element of a page, outermost HTML each.
fn elements(html: &str) -> Vec<String> {
    let mut open: Vec<(&str, usize)> = Vec::new();
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = html[at..].find('<').map(|found| at + found) {
        let end = start + html[start..].find('>').expect("a tag ends") + 1;
        let tag = &html[start + 1..end - 1];
        at = end;
        if tag.starts_with('!') {
            continue;
        }
        if let Some(name) = tag.strip_prefix('/') {
            let name = name.trim();
            while let Some((opened, from)) = open.pop() {
                if opened == name {
                    found.push(html[from..end].to_owned());
                    break;
                }
            }
            continue;
        }
        let name = tag.split([' ', '\n', '/']).next().unwrap();
        if VOID.contains(&name) || tag.ends_with('/') {
            found.push(html[start..end].to_owned());
        } else {
            open.push((name, start));
            if name == "script" {
                at = start + html[start..].find("</script").expect("a script ends");
            }
        }
    }
    found
}

fn attribute(html: &str, name: &str) -> Option<String> {
    let tag = &html[..html.find('>')?];
    let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    let length = tag[start..].find('"')?;
    Some(tag[start..start + length].to_owned())
}
