//! XML as these copies need it: elements, texts, one namespace for each.
//!
//! Owns the escaping. Promises: whatever people typed stands in it as text; characters that XML 1.0 has no place for
//! (section 2.2) become U+FFFD.

/// A document, or a part of one, under way.
#[derive(Debug, Default)]
pub(super) struct Xml(String);

impl Xml {
    /// With its declaration.
    pub(super) fn document() -> Self {
        Self("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_owned())
    }

    /// An element with what `fill` puts in.
    pub(super) fn within(&mut self, name: &str, fill: impl FnOnce(&mut Self)) {
        self.put(&["<", name, ">\n"]);
        fill(self);
        self.put(&["</", name, ">\n"]);
    }

    /// The outermost element of a vocabulary: the names in it are of this namespace.
    pub(super) fn root(&mut self, name: &str, namespace: &str, fill: impl FnOnce(&mut Self)) {
        self.put(&["<", name, " xmlns=\"", namespace, "\">\n"]);
        fill(self);
        self.put(&["</", name, ">\n"]);
    }

    /// An element with a text.
    pub(super) fn text(&mut self, name: &str, said: &str) {
        self.put(&["<", name, ">", &escaped(said), "</", name, ">\n"]);
    }

    /// The same, where there is one.
    pub(super) fn text_if(&mut self, name: &str, said: Option<&str>) {
        if let Some(said) = said.filter(|said| !said.trim().is_empty()) {
            self.text(name, said);
        }
    }

    fn put(&mut self, parts: &[&str]) {
        self.0.extend(parts.iter().copied());
    }

    pub(super) fn into_bytes(self) -> Vec<u8> {
        self.0.into_bytes()
    }
}

fn escaped(said: &str) -> String {
    let mut escaped = String::with_capacity(said.len());
    for c in said.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            // Three in a row would close a section that was never opened.
            '>' => escaped.push_str("&gt;"),
            '\t' | '\n' | ' '..='\u{D7FF}' | '\u{E000}'..='\u{FFFD}' | '\u{10000}'.. => {
                escaped.push(c);
            }
            _ => escaped.push('\u{FFFD}'),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_become_markup_and_no_character_breaks_the_document() {
        let mut xml = Xml::default();
        xml.root("a", "urn:x", |xml| {
            xml.within("b", |xml| {
                xml.text("c", "1 < 2 && \"3\" ]]> \u{1}\u{FFFF}é\n\u{1F9F0}");
            });
            xml.text_if("d", Some(" "));
            xml.text_if("e", Some("f"));
        });
        assert_eq!(
            String::from_utf8(xml.into_bytes()).unwrap(),
            "<a xmlns=\"urn:x\">\n<b>\n<c>1 &lt; 2 &amp;&amp; \"3\" ]]&gt; \u{FFFD}\u{FFFD}é\n\u{1F9F0}</c>\n</b>\n\
             <e>f</e>\n</a>\n"
        );
    }
}
