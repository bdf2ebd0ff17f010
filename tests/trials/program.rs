//! The real program on a real disk, as a process of its own.

use std::io::{BufRead, BufReader};
use std::net::SocketAddr;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Codes given to it, so that no output has to be read for them.
pub(crate) const CODE: &str = "K7QFM2TX";
pub(crate) const WORDS: &str = "river stone lamp";

/// A running program; killed when dropped.
pub(crate) struct Program {
    child: Child,
    /// The program itself, where it runs under another.
    pid: u32,
    pub(crate) board: SocketAddr,
    pub(crate) ready_after: Duration,
}

impl Program {
    /// Starts it; `extra` goes on its command line.
    pub(crate) fn start(data: &Path, extra: &[&str]) -> Self {
        Self::under(&[], data, extra)
    }

    /// The same under another program.
    pub(crate) fn under(wrapper: &[&str], data: &Path, extra: &[&str]) -> Self {
        Self::starts_under(wrapper, data, extra).expect("it says where it is")
    }

    /// The same where it may not start: then with its exit code and what it said.
    pub(crate) fn starts_under(
        wrapper: &[&str],
        data: &Path,
        extra: &[&str],
    ) -> Result<Self, (Option<i32>, String)> {
        let begun = Instant::now();
        let words = [wrapper, &[env!("CARGO_BIN_EXE_holdfast")]].concat();
        let said = data.with_extension("stderr");
        let errors = std::fs::File::options()
            .append(true)
            .create(true)
            .open(&said)
            .expect("a log of its errors");
        let mut child = Command::new(words[0])
            .args(&words[1..])
            .args([
                "--listen",
                "127.0.0.1:0",
                "--join-code",
                CODE,
                "--lead-words",
                WORDS,
            ])
            .args(extra)
            .arg("--data")
            .arg(data)
            .stdout(Stdio::piped())
            .stderr(errors)
            .spawn()
            .expect("the program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("it was piped")).lines();
        let board = lines.by_ref().map_while(Result::ok).find_map(|line| {
            line.split("http://")
                .nth(1)
                .filter(|_| line.contains("Phones"))?
                .trim()
                .parse()
                .ok()
        });
        let Some(board) = board else {
            let code = child.wait().ok().and_then(|status| status.code());
            let said = std::fs::read_to_string(said).unwrap_or_default();
            return Err((code, said));
        };
        let ready_after = begun.elapsed();
        // Read on, so that the program never waits for somebody to read.
        std::thread::spawn(move || lines.for_each(drop));
        let pid = if wrapper.is_empty() {
            child.id()
        } else {
            child_of(child.id()).unwrap_or(child.id())
        };
        Ok(Self {
            child,
            pid,
            board,
            ready_after,
        })
    }

    /// Whether it still runs.
    pub(crate) fn lives(&self) -> bool {
        // Under a trace the child is the tracer, which lives as long as what it traces.
        std::fs::read_to_string(format!("/proc/{}/stat", self.pid))
            .is_ok_and(|stat| !stat.contains(") Z "))
    }

    /// Memory it holds now, and the most it ever held, in MB.
    pub(crate) fn memory(&self) -> (u64, u64) {
        let status =
            std::fs::read_to_string(format!("/proc/{}/status", self.pid)).unwrap_or_default();
        let of = |name: &str| {
            let line = status.lines().find(|line| line.starts_with(name))?;
            line.split_whitespace().nth(1)?.parse::<u64>().ok()
        };
        (
            of("VmRSS:").unwrap_or(0) / 1024,
            of("VmHWM:").unwrap_or(0) / 1024,
        )
    }

    /// How many files and connections it has open.
    pub(crate) fn handles(&self) -> usize {
        std::fs::read_dir(format!("/proc/{}/fd", self.pid)).map_or(0, Iterator::count)
    }

    /// Asks it to stop; how long it took, and whether it ended well.
    pub(crate) fn stop(mut self) -> (Duration, bool) {
        let begun = Instant::now();
        signal(self.pid, "TERM");
        let ended = self.child.wait().is_ok_and(|status| status.success());
        (begun.elapsed(), ended)
    }

    /// No chance to tidy up.
    pub(crate) fn kill(mut self) {
        self.end();
    }

    fn end(&mut self) {
        if self.pid == self.child.id() {
            drop(self.child.kill());
        } else {
            signal(self.pid, "KILL");
        }
        drop(self.child.wait());
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        if matches!(self.child.try_wait(), Ok(None)) {
            self.end();
        }
    }
}

fn signal(pid: u32, name: &str) {
    drop(
        Command::new("kill")
            .args([&format!("-{name}"), &pid.to_string()])
            .status(),
    );
}

fn child_of(pid: u32) -> Option<u32> {
    let children = std::fs::read_to_string(format!("/proc/{pid}/task/{pid}/children")).ok()?;
    children.split_whitespace().next()?.parse().ok()
}

/// The one incident's file in a folder.
pub(crate) fn file_in(data: &Path) -> std::path::PathBuf {
    holdfast::journal::incidents(data)
        .expect("the folder is there")
        .remove(0)
        .path
}

/// Whether the program ever said that something in it panicked.
pub(crate) fn panicked(data: &Path) -> bool {
    std::fs::read_to_string(data.with_extension("stderr"))
        .is_ok_and(|text| text.contains("panicked"))
}
