//! A report: lines in the order of its letters.

/// One line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// `M`, or `Line 3`; empty for a pause.
    pub letter: &'static str,
    /// What the letter stands for.
    pub label: &'static str,
    /// What is said.
    pub text: String,
    /// Nobody has said it yet: to be asked for.
    pub missing: bool,
}

/// A report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Report {
    /// What it is called, with its number.
    pub title: String,
    /// Its lines, in the order of its letters.
    pub lines: Vec<Line>,
}

impl Line {
    /// A line; nothing to say makes it one that is asked for.
    pub(super) fn new(letter: &'static str, label: &'static str, text: Option<String>) -> Self {
        let said = text.filter(|text| !text.trim().is_empty());
        Self {
            letter,
            label,
            missing: said.is_none(),
            text: said.unwrap_or_else(|| "not known".to_owned()),
        }
    }
}

impl Line {
    /// What is kept of it when it was said, and how it is known again: its letter and what that stands for.
    pub fn key(&self) -> String {
        format!("{} {}", self.letter, self.label)
    }

    /// What it says apart from running minutes: those change by themselves and are no news. At most 600 characters; a
    /// longer line is compared by its beginning.
    pub fn stable(&self) -> String {
        let mut stable = String::new();
        let mut rest = self.text.as_str();
        while let Some(at) = rest.find(" (") {
            let inside = &rest[at + 2..];
            let end = inside.find(')').unwrap_or(inside.len());
            let number = inside[..end].strip_suffix(" min").unwrap_or("x");
            stable.push_str(&rest[..at]);
            if number.is_empty() || !number.chars().all(|c| c.is_ascii_digit()) {
                stable.push_str(&rest[at..(at + 2 + end + 1).min(rest.len())]);
            }
            rest = &rest[(at + 2 + end + 1).min(rest.len())..];
        }
        let whole = stable + rest;
        whole.chars().take(600).collect()
    }
}

impl Report {
    /// What is still to be asked for.
    pub fn missing(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| line.missing)
    }

    /// For each line, whether it differs from an earlier report of the kind.
    pub fn changed(&self, before: &Self) -> Vec<bool> {
        self.lines
            .iter()
            .map(|line| {
                let old = before
                    .lines
                    .iter()
                    .find(|old| (old.letter, old.label) == (line.letter, line.label));
                old.is_none_or(|old| old.stable() != line.stable())
            })
            .collect()
    }

    /// Only what has changed, for an update.
    #[must_use]
    pub fn update(&self, before: &Self) -> Self {
        let changed = self.changed(before);
        let lines = self.lines.iter().zip(changed);
        Self {
            title: format!("{}, changes only", self.title),
            lines: lines
                .filter(|(line, changed)| *changed && !line.letter.is_empty())
                .map(|(line, _)| line.clone())
                .collect(),
        }
    }

    /// As plain text; lines that differ from `before` are marked with a star.
    pub fn text(&self, before: Option<&Self>) -> String {
        let changed = before
            .map(|before| self.changed(before))
            .unwrap_or_default();
        let mut text = vec![self.title.clone()];
        for (at, line) in self.lines.iter().enumerate() {
            let star = if changed.get(at).copied().unwrap_or(false) {
                "* "
            } else {
                ""
            };
            text.push(if line.letter.is_empty() {
                format!("-- {} --", line.text)
            } else {
                format!("{star}{}  {}", line.letter, line.text)
            });
        }
        text.join("\n") + "\n"
    }

    /// Words of the lines: at a calm 150 a minute, 75 take half a minute (our default; a warning above 80).
    pub fn words(&self) -> usize {
        self.lines
            .iter()
            .map(|line| line.text.split_whitespace().count())
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::Line;

    #[test]
    fn running_minutes_are_no_news_and_other_brackets_stay() {
        let stable = |text: &str| Line::new("T", "Treatment", Some(text.to_owned())).stable();
        assert_eq!(
            stable("tourniquet ON since 1358Z (32 min); splint (left leg)"),
            "tourniquet ON since 1358Z; splint (left leg)"
        );
        assert_eq!(stable("open (bracket"), "open (bracket");
    }
}
