//! The real program as a child process: started, spoken to, killed hard, verified.

use std::path::Path;
use std::process::Stdio;
use std::time::Duration;

use holdfast::clock::Clock;
use tokio::io::{AsyncBufReadExt, BufReader};
use tokio::process::{Child, Command};
use tokio::time::timeout;

use crate::harness::{DEADLINE, Device, LEAD_WORDS};

/// Join code given to the program, so that no output has to be read for it.
pub(crate) const CODE: &str = "K7QFM2TX";

pub(crate) struct Program {
    /// What was started: the program, or the one it runs under.
    pub(crate) child: Child,
    /// The program itself, where it runs under another.
    inner: Option<u32>,
    pub(crate) origin: String,
    /// What it said on its own screen up to where it is.
    pub(crate) said: String,
}

/// What is typed to start a standby of a board, but for its folder.
pub(crate) fn standby_words<'w>(origin: &'w str, lead_words: &'w str) -> [&'w str; 6] {
    [
        "standby",
        origin,
        "--listen",
        "127.0.0.1:0",
        "--lead-words",
        lead_words,
    ]
}

impl Program {
    /// Starts it and waits until it says where it is.
    pub(crate) async fn start(data: &Path) -> Self {
        Self::start_under(&[], data).await
    }

    /// The same under another program, such as one that makes system calls fail.
    pub(crate) async fn start_under(wrapper: &[&str], data: &Path) -> Self {
        let words = [
            "--listen",
            "127.0.0.1:0",
            "--join-code",
            CODE,
            "--lead-words",
            LEAD_WORDS,
        ];
        Self::run(wrapper, &words, data).await
    }

    /// Starts it with these words on its command line.
    pub(crate) async fn run(wrapper: &[&str], arguments: &[&str], data: &Path) -> Self {
        let words = [wrapper, &[env!("CARGO_BIN_EXE_holdfast")]].concat();
        let mut child = Command::new(words[0])
            .args(&words[1..])
            .args(arguments)
            .arg("--data")
            .arg(data)
            .stderr(Stdio::null())
            .stdout(Stdio::piped())
            .kill_on_drop(true)
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let (mut origin, mut said) = (None, String::new());
        while let Some(line) = timeout(DEADLINE, lines.next_line()).await.unwrap().unwrap() {
            said.push_str(&line);
            said.push('\n');
            if let Some(at) = line
                .find("http://127.0.0.1:")
                .filter(|_| line.contains("Phones"))
            {
                let rest = &line[at..];
                let length = rest["http://127.0.0.1:".len()..]
                    .chars()
                    .take_while(char::is_ascii_digit)
                    .count();
                origin = Some(rest[.."http://127.0.0.1:".len() + length].to_owned());
                break;
            }
        }
        // Read on, so that the program never waits for somebody to read.
        tokio::spawn(async move { while let Ok(Some(_)) = lines.next_line().await {} });
        let inner = match (wrapper, child.id()) {
            ([], _) | (_, None) => None,
            (_, Some(outer)) => child_of(outer).await,
        };
        Self {
            child,
            inner,
            origin: origin.expect("it says where it is"),
            said,
        }
    }

    pub(crate) async fn device(&self, code: &str, name: &str) -> Device {
        Device::stranger(&self.origin, Clock::wall())
            .joins(code, name)
            .await
    }

    /// Kills what runs under another program: that one does not take it along.
    pub(crate) fn kill_inner(&mut self) {
        if let Some(inner) = self.inner.take() {
            let done = std::process::Command::new("kill")
                .args(["-KILL", &inner.to_string()])
                .status();
            drop(done);
        }
    }

    /// SIGKILL: no chance to tidy up.
    pub(crate) async fn kill_hard(mut self) {
        self.kill_inner();
        drop(self.child.start_kill());
        timeout(DEADLINE, self.child.wait()).await.unwrap().unwrap();
    }
}

impl Drop for Program {
    /// Also when a test fails half-way: nothing it started runs on.
    fn drop(&mut self) {
        self.kill_inner();
    }
}

/// The process that another one started.
async fn child_of(process: u32) -> Option<u32> {
    let path = format!("/proc/{process}/task/{process}/children");
    let children = tokio::fs::read_to_string(path).await.ok()?;
    children.split_whitespace().next()?.parse().ok()
}

/// Runs a command to its end; whether it went well, and what it said.
pub(crate) async fn holdfast(words: &[&str], data: &Path) -> (bool, String) {
    let ran = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .args(words)
        .arg("--data")
        .arg(data)
        .output();
    let ran = timeout(Duration::from_secs(20), ran)
        .await
        .unwrap()
        .unwrap();
    let said = [ran.stdout, ran.stderr].concat();
    (
        ran.status.success(),
        String::from_utf8_lossy(&said).into_owned(),
    )
}

pub(crate) fn file_in(data: &Path) -> std::path::PathBuf {
    let files = holdfast::journal::incidents(data).unwrap();
    assert_eq!(files.len(), 1, "it resumes, it does not begin anew");
    files[0].path.clone()
}

pub(crate) async fn verifies(data: &Path) {
    let verified = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .arg("verify")
        .arg("--data")
        .arg(data)
        .output();
    let verified = timeout(Duration::from_secs(30), verified)
        .await
        .unwrap()
        .unwrap();
    let said = String::from_utf8_lossy(&verified.stdout).into_owned();
    assert!(verified.status.success(), "{said}");
    assert!(said.contains("OK"), "{said}");
}
