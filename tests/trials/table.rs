//! What a trial comes to, and the table of all of them.
#![expect(
    clippy::print_stdout,
    reason = "the table is what a person runs this for"
)]

/// A fast cut for every run of the tests, or the whole of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    Fast,
    Full,
}

impl Size {
    /// One of two.
    pub(crate) fn pick<T>(self, fast: T, full: T) -> T {
        match self {
            Self::Fast => fast,
            Self::Full => full,
        }
    }

    /// Whether a figure of speed counts: the fast cut runs unoptimised and beside other work, and only prints it.
    pub(crate) fn in_time(self, within: bool) -> bool {
        self.pick(true, within)
    }
}

/// One line of the table.
pub(crate) struct Outcome {
    pub(crate) id: &'static str,
    pub(crate) what: &'static str,
    pub(crate) passed: bool,
    pub(crate) said: String,
}

impl Outcome {
    /// Says it at once: a long run is watched.
    pub(crate) fn print(&self) {
        let passed = if self.passed { "ok    " } else { "FAILED" };
        println!(
            "{passed} {:<4} {}\n            {}",
            self.id, self.what, self.said
        );
    }
}

/// The value below which so many hundredths of the sorted values are.
pub(crate) fn percentile(values: &mut [f64], hundredths: usize) -> f64 {
    values.sort_by(f64::total_cmp);
    let at = (values.len() * hundredths / 100).min(values.len().saturating_sub(1));
    values.get(at).copied().unwrap_or(f64::NAN)
}
