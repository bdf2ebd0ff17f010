//! What happens when the disk is full, held, broken or changed: nothing acknowledged is lost, nothing is
//! acknowledged that is not kept, every screen is told, and reading goes on.

use std::path::{Path, PathBuf};
use std::time::Duration;

use holdfast::clock::random_bytes;
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::process::Command;
use tokio::time::{Instant, timeout};

use crate::harness::{Device, LEAD_WORDS, Stream, TestBoard, connect, read_table};
use crate::program::{CODE, Program, file_in, verifies};

/// A remark as long as they may be, so that a disk fills soon.
fn long_note(device: &Device, casualty: &str) -> Value {
    let note = json!({ "kind": "note.added/1", "text": "under way ".repeat(27) });
    device.fact(json!({ "casualty": casualty }), note)
}

/// Waits until a screen is told this, or until it is told nothing more (`None`).
async fn is_told(screen: &mut Stream, code: Option<&str>) -> Value {
    screen
        .hears(|event| {
            let notices = event.data["notices"].as_array();
            notices.is_some_and(|notices| match code {
                Some(code) => notices.iter().any(|notice| notice["code"] == code),
                None => notices.is_empty(),
            })
        })
        .await
        .data["notices"]
        .clone()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_file_held_by_another_program_refuses_clearly_and_goes_on_by_itself() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman").await;
    let mut screen = teo.watches("board", board.head()).await;
    screen.hears_of("hello").await;
    let mut other = connect(&board.file, false).await;
    sqlx::query("begin immediate")
        .execute(&mut other)
        .await
        .unwrap();
    let fact = long_note(&teo, &woman);
    let refused = teo.posts("/journal", &json!({ "facts": [fact] })).await;
    assert_eq!(refused.status, 507, "{}", refused.body);
    assert_eq!(refused.json()["code"], "file-held");
    assert!(!refused.header("retry-after").is_empty());
    let told = is_told(&mut screen, Some("file-held")).await;
    assert!(told[0]["words"].as_str().unwrap().contains("CANNOT STORE"));
    let page = teo.opens("/board").await;
    assert!(
        page.says("CANNOT STORE") && page.says("woman"),
        "it can be read"
    );
    sqlx::query("rollback").execute(&mut other).await.unwrap();
    is_told(&mut screen, None).await;
    let receipt = teo.reports(fact).await;
    assert!(receipt["seq"].is_u64(), "{receipt}");
    assert!(!teo.opens("/board").await.says("CANNOT STORE"));
}

#[tokio::test]
async fn once_it_is_not_known_what_the_disk_holds_nothing_is_acknowledged_any_more() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let vic = board.viewer("Vic").await;
    let woman = teo.registers("woman").await;
    let mut screen = teo.watches("board", board.head()).await;
    screen.hears_of("hello").await;
    // Somebody wrote into the journal behind the board's back: memory and file differ from here on.
    let mut other = connect(&board.file, false).await;
    sqlx::query(
        "insert into entry (seq, id, body, chain) \
         select seq + 1, 'x', body, chain from entry order by seq desc limit 1",
    )
    .execute(&mut other)
    .await
    .unwrap();
    let head = board.head();
    let fact = long_note(&teo, &woman);
    for _ in 0..2 {
        let refused = teo.posts("/journal", &json!({ "facts": [fact] })).await;
        assert_eq!(refused.status, 507, "{}", refused.body);
        assert_eq!(refused.json()["code"], "storage");
    }
    assert_eq!(board.head(), head);
    is_told(&mut screen, Some("storage")).await;
    assert!(teo.opens("/board").await.says("STOPPED STORING"));
    assert!(vic.opens("/summary").await.says("STOPPED STORING"));
    // Who joins again is not let in and not thrown out either.
    let again = teo.tries_code(LEAD_WORDS, "Teo").await;
    assert_eq!(again.status, 507, "{}", again.body);
    assert_eq!(teo.gets("/session").await.json()["role"], "helper");
    // A device is out at once even so.
    let removed = ina
        .posts(&format!("/devices/{}/revocation", teo.id), &json!({}))
        .await;
    assert_eq!(removed.status, 507);
    assert_eq!(teo.gets("/session").await.status, 401);
    drop(other);
    let said = board.stop_for_good().await.fails_to_start().await;
    assert!(said.contains("damaged"), "never served as healthy: {said}");
}

/// A small file system of its own; unmounted when dropped.
struct SmallDisk {
    path: PathBuf,
    _parent: TempDir,
}

impl SmallDisk {
    /// Nothing where the machine does not allow it; says so.
    async fn mount(megabytes: u32) -> Option<Self> {
        let parent = tempfile::tempdir().unwrap();
        let path = parent.path().join("disk");
        std::fs::create_dir(&path).unwrap();
        let size = format!("size={megabytes}m");
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &size, "none"])
            .arg(&path)
            .stderr(std::process::Stdio::null())
            .status()
            .await;
        if mounted.is_ok_and(|status| status.success()) {
            Some(Self {
                path,
                _parent: parent,
            })
        } else {
            skipped("a small file system cannot be mounted here");
            None
        }
    }

    fn folder(&self) -> TempDir {
        tempfile::tempdir_in(&self.path).unwrap()
    }

    async fn remount(&self, how: &str) {
        let status = Command::new("mount")
            .args(["-o", &format!("remount,{how}")])
            .arg(&self.path)
            .status()
            .await
            .unwrap();
        assert!(status.success());
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let done = std::process::Command::new("umount")
            .arg("-l")
            .arg(&self.path)
            .status();
        drop(done);
    }
}

#[expect(clippy::print_stderr, reason = "a skipped test is said, not hidden")]
fn skipped(why: &str) {
    eprintln!("SKIPPED: {why}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_full_disk_is_told_early_refuses_clearly_and_goes_on_by_itself() {
    let Some(disk) = SmallDisk::mount(8).await else {
        return;
    };
    let board = TestBoard::start_in(disk.folder()).await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman").await;
    let mut screen = teo.watches("board", board.head()).await;
    is_told(&mut screen, Some("disk-low")).await;
    assert!(teo.opens("/next").await.says("nearly full"));
    // Somebody else's file takes all that is left.
    let filler = disk.path.join("filler");
    let overflow = std::io::copy(
        &mut std::io::repeat(1),
        &mut std::fs::File::create(&filler).unwrap(),
    );
    assert!(overflow.is_err(), "the disk is full");
    let mut acknowledged = Vec::new();
    let begun = Instant::now();
    let (refused, kept) = loop {
        assert!(begun.elapsed() < Duration::from_mins(1), "it never filled");
        let facts: Vec<Value> = (0..50).map(|_| long_note(&teo, &woman)).collect();
        let answer = teo.posts("/journal", &json!({ "facts": facts })).await;
        if answer.status != 200 {
            break (answer, facts);
        }
        for receipt in answer.json()["receipts"].as_array().unwrap() {
            acknowledged.push(receipt["id"].as_str().unwrap().to_owned());
        }
    };
    assert!(!acknowledged.is_empty(), "the reserve let reports go on");
    assert!(!board.folder.path().join("reserve").exists(), "it was used");
    assert_eq!(refused.status, 507, "{}", refused.body);
    assert_eq!(refused.json()["code"], "disk-full");
    is_told(&mut screen, Some("disk-full")).await;
    assert!(
        teo.opens("/board").await.says("its disk is full"),
        "it can be read"
    );
    let on_disk = |rows: &[Value]| -> std::collections::HashSet<String> {
        rows.iter()
            .map(|row| row[0].as_str().unwrap().to_owned())
            .collect()
    };
    let ids = on_disk(&board.read_table("select id from entry").await);
    assert!(acknowledged.iter().all(|id| ids.contains(id)));
    assert!(
        kept.iter()
            .all(|fact| !ids.contains(fact["id"].as_str().unwrap()))
    );
    std::fs::remove_file(&filler).unwrap();
    screen
        .hears(|event| {
            event.data["notices"].is_array() && event.data["notices"][0]["code"] != "disk-full"
        })
        .await;
    teo.reports_all(&kept).await;
    let ids = on_disk(&board.read_table("select id from entry").await);
    assert!(acknowledged.iter().all(|id| ids.contains(id)));
    assert!(
        kept.iter()
            .all(|fact| ids.contains(fact["id"].as_str().unwrap()))
    );
    let stopped = board.stop_for_good().await;
    let verdict = holdfast::journal::verify(&stopped.file).await.unwrap();
    assert!(verdict.is_whole(), "{verdict:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_folder_that_cannot_be_written_is_said_at_the_start() {
    let Some(disk) = SmallDisk::mount(8).await else {
        return;
    };
    let stopped = TestBoard::start_in(disk.folder())
        .await
        .stop_for_good()
        .await;
    disk.remount("ro").await;
    let said = stopped.fails_to_start().await;
    assert!(
        said.contains("cannot be used") && said.contains("--data"),
        "{said}"
    );
    disk.remount("rw").await;
    let board = stopped.start().await;
    board.device("Teo").await.registers("woman").await;
}

/// The sync that fails is one and later ones would succeed: it is the board that must not go on.
#[cfg(target_os = "linux")]
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn after_a_failed_sync_nothing_is_acknowledged_until_started_and_verified_again() {
    let tried = Command::new("strace")
        .args(["-o", "/dev/null", "true"])
        .status()
        .await;
    if !tried.is_ok_and(|status| status.success()) {
        return skipped("system calls cannot be made to fail here (strace)");
    }
    let mut reached = 0;
    for when in ["30", "41"] {
        let data = tempfile::tempdir().unwrap();
        let inject = format!("inject=fsync,fdatasync:error=EIO:when={when}");
        let wrapper = [
            "strace",
            "-f",
            "-o",
            "/dev/null",
            "-e",
            "trace=fsync,fdatasync",
            "-e",
            &inject,
        ];
        let mut program = Program::start_under(&wrapper, data.path()).await;
        let teo = program.device(CODE, "Teo").await;
        let woman = teo.registers("woman").await;
        let mut acknowledged = Vec::new();
        let failed = loop {
            assert!(acknowledged.len() < 200, "no sync failed");
            let fact = long_note(&teo, &woman);
            let answer = teo.posts("/journal", &json!({ "facts": [fact] })).await;
            if answer.status == 429 {
                tokio::time::sleep(Duration::from_millis(200)).await;
                continue;
            }
            if answer.status != 200 {
                assert_eq!(answer.status, 507, "{}", answer.body);
                assert_eq!(answer.json()["code"], "storage");
                break fact;
            }
            acknowledged.push(fact["id"].clone());
        };
        for _ in 0..5 {
            let fact = long_note(&teo, &woman);
            let answer = teo.posts("/journal", &json!({ "facts": [fact] })).await;
            assert_eq!(
                answer.status, 507,
                "a later sync succeeds, the board does not go on"
            );
        }
        assert!(teo.opens("/board").await.says("STOPPED STORING"));
        program.kill_inner();
        timeout(Duration::from_secs(5), program.child.wait())
            .await
            .unwrap()
            .unwrap();
        verifies(data.path()).await;
        // What was answered with a failure may be there or not; sent again it is there once. The sync that fails is the
        // one of the commit, so its bytes had reached the file: this is the case where they are there after all.
        let rows = read_table(&file_in(data.path()), "select id from entry").await;
        reached += usize::from(rows.iter().any(|row| row[0] == failed["id"]));
        let program = Program::start(data.path()).await;
        let teo = teo.at(&program.origin);
        let receipt = teo.reports(failed.clone()).await;
        assert!(receipt["seq"].is_u64(), "{receipt}");
        acknowledged.push(failed["id"].clone());
        let rows = read_table(&file_in(data.path()), "select id from entry").await;
        for id in &acknowledged {
            let times = rows.iter().filter(|row| row[0] == *id).count();
            assert_eq!(times, 1, "sync {when}");
        }
        program.kill_hard().await;
    }
    assert!(
        reached > 0,
        "a commit that failed and yet reached the disk was among them"
    );
}

/// A board's file at rest with a few hundred entries.
async fn a_long_record() -> (TempDir, PathBuf) {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman").await;
    for _ in 0..4 {
        let facts: Vec<Value> = (0..50).map(|_| long_note(&teo, &woman)).collect();
        teo.reports_all(&facts).await;
    }
    let stopped = board.stop_for_good().await;
    (stopped.folder, stopped.file)
}

/// One way to damage a file; the seed says which.
fn damage(bytes: &mut Vec<u8>, seed: [u8; 8]) -> String {
    let number = u64::from_le_bytes(seed);
    let length = bytes.len();
    let at = usize::try_from(number >> 8).unwrap_or(0) % length;
    let page = at / 4096 * 4096;
    match number % 4 {
        0 => {
            bytes[at] ^= 1 << (number >> 4 & 7);
            format!("bit at {at}")
        }
        1 => {
            let end = (page + 4096).min(length);
            bytes[page..end].fill(0);
            format!("page at {page} zeroed")
        }
        2 => {
            bytes.truncate(at);
            format!("cut at {at}")
        }
        _ => {
            let other = (at.wrapping_mul(7) % length) / 4096 * 4096;
            for offset in 0..4096.min(length - page.max(other)) {
                bytes.swap(page + offset, other + offset);
            }
            format!("pages {page} and {other} swapped")
        }
    }
}

#[tokio::test]
async fn random_damage_to_the_file_is_found_or_touches_nothing_that_was_reported() {
    const TRIES: usize = 150;
    let (folder, file) = a_long_record().await;
    let whole = std::fs::read(&file).unwrap();
    let contents = read_table(&file, "select seq, id, body from entry order by seq").await;
    let mut found = 0;
    for _ in 0..TRIES {
        let mut bytes = whole.clone();
        let how = damage(&mut bytes, random_bytes());
        if bytes == whole {
            continue;
        }
        let copy = folder.path().join("damaged.db");
        for side in ["damaged.db", "damaged.db-wal", "damaged.db-shm"] {
            drop(std::fs::remove_file(folder.path().join(side)));
        }
        std::fs::write(&copy, &bytes).unwrap();
        let verdict = holdfast::journal::verify(&copy).await;
        if verdict.is_ok_and(|verdict| verdict.is_whole()) {
            let now = read_table(&copy, "select seq, id, body from entry order by seq").await;
            assert_eq!(
                now, contents,
                "{how}: not found, yet the record reads otherwise"
            );
        } else {
            found += 1;
        }
    }
    assert!(
        found > TRIES / 3,
        "only {found} of {TRIES} touched anything"
    );
}

#[tokio::test]
async fn a_copy_made_while_the_board_runs_is_whole_and_old_ones_make_room() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman").await;
    let stick = tempfile::tempdir().unwrap();
    let to = stick.path().join("copies");
    let mut last = None;
    for number in 0..12 {
        teo.notes(&woman, &format!("remark {number}")).await;
        let copied = holdfast::journal::copy(&board.file, &to, holdfast::clock::wall_now())
            .await
            .unwrap();
        assert_eq!(copied.head.0, board.head());
        last = Some(copied);
    }
    let copies = holdfast::journal::incidents(&to).unwrap();
    assert_eq!(copies.len(), 10, "the newest ten");
    let last = last.unwrap();
    assert_eq!(copies[0].path, last.path);
    for copy in &copies {
        let verdict = holdfast::journal::verify(&copy.path).await.unwrap();
        assert!(verdict.is_whole(), "{verdict:?}");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(&last.path).unwrap().permissions().mode();
        assert_eq!(mode & 0o077, 0, "for its owner alone");
    }
    // Somebody started the oldest one: it is a board now, under the name of a copy, and stays whatever is copied there.
    let oldest = copies.last().unwrap().path.clone();
    let mut used = holdfast::journal::open(&oldest, holdfast::clock::Clock::wall())
        .await
        .unwrap();
    used.settings
        .set(holdfast::journal::COPIED, "")
        .await
        .unwrap();
    used.journal.close_readers().await;
    drop((used.journal, used.settings));
    used.writer.await.unwrap().unwrap();
    for _ in 0..12 {
        holdfast::journal::copy(&board.file, &to, holdfast::clock::wall_now())
            .await
            .unwrap();
    }
    assert!(oldest.exists(), "a board that went on from a copy");
    let left = holdfast::journal::incidents(&to).unwrap().len();
    assert!((10..=11).contains(&left), "{left}");
    for item in std::fs::read_dir(&to).unwrap() {
        let path = item.unwrap().path().display().to_string();
        let of = path.trim_end_matches("-wal").trim_end_matches("-shm");
        assert!(Path::new(of).exists(), "{path} is left of a copy that went");
    }
    // Where nothing can be written there is no copy, and no half of one.
    let file = stick.path().join("not-a-folder");
    std::fs::write(&file, b"").unwrap();
    assert!(
        holdfast::journal::copy(&board.file, &file, holdfast::clock::wall_now())
            .await
            .is_err()
    );
}
